"""What a person declares about a file; it fills what the file leaves open and never overrides it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from lungwort.evidence.log import PressureKind

DateOrder = Literal["dmy", "mdy", "ymd"]
TimeUnit = Literal["s", "min", "h"]


@dataclass(frozen=True)
class Declared:
    """What the person says of a file; where the file says otherwise, the reading is refused.

    `units` maps a column's name (or its number from 1) to a unit; the key "" stands for every column that has none.
    `zone` is an IANA name such as Europe/Lisbon; it settles daylight-saving time.
    `channels` keeps only these channels, `leave_out` drops columns; both by name, whole heading or number.
    """

    units: Mapping[str, str] = field(default_factory=dict)
    pressure_kind: PressureKind | None = None
    date_order: DateOrder | None = None
    time_unit: TimeUnit | None = None
    zone: str | None = None
    channels: tuple[str, ...] = ()
    leave_out: tuple[str, ...] = ()


NOTHING_DECLARED = Declared()
