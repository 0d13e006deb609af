"""Who does the work, who was trained for it until when, and who adopted which criterion after which source."""

from __future__ import annotations

from datetime import date

from pydantic import Field, field_validator

from lungwort.errors import LungwortError
from lungwort.library.catalogue import find_criterion
from lungwort.protocol.model import Name, Table


class Role(Table):
    """A role that owns steps, such as reprocessing technician."""

    name: Name
    note: str = ""


class Training(Table):
    """One person's training for a role, passed and lapsing; people by a code, not by their names."""

    person: Name
    role: Name
    passed_on: date
    expires_on: date


class Adoption(Table):
    """A criterion adopted by a named, authorised person after the hospital's own source."""

    criterion: Name
    by: Name
    on: date
    source: Name = Field(min_length=5)

    @field_validator("criterion")
    @classmethod
    def _known_criterion(cls, text: str) -> str:
        try:
            return find_criterion(text).name
        except LungwortError as error:
            raise ValueError(str(error)) from error
