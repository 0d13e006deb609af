"""What every table of the protocol shares: it cannot change, and it knows no key that is not its own."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, StringConstraints

Name = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=120)]
Water = Literal["sterile", "filtered", "boiled", "tap"]


class Table(BaseModel):
    """A table of the document: frozen, and refusing unknown keys, so that a misspelt one is never ignored."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", str_strip_whitespace=True, allow_inf_nan=False, defer_build=True
    )
