"""A log: readings of several channels over time, in °C and kPa, with all that was assumed in reading it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, time
from typing import Literal

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Quantity = Literal["temperature", "pressure"]
PressureKind = Literal["absolute", "gauge"]


@dataclass(frozen=True, eq=False)
class Channel:
    """One column of readings; `values` in °C or kPa, NaN where a reading is missing.

    `pressure_kind` is None for temperatures, and for a pressure that nobody has declared gauge or absolute.
    """

    name: str
    quantity: Quantity
    values: FloatArray
    written_unit: str
    pressure_kind: PressureKind | None = None

    @property
    def readings(self) -> int:
        """How many readings are present."""
        return int(np.count_nonzero(np.isfinite(self.values)))


@dataclass(frozen=True, eq=False)
class Log:
    """Readings over time: `elapsed_s` (n,) strictly increasing from 0, each channel's `values` (n,).

    `started` is the moment of the first reading as written (with a zone only where the file or the reader gave one).
    `first_clock` is its time of day where that is known, with or without a date.
    `clock_step_s` is the fineness of the written times: 1 for hh:mm:ss, 60 for hh:mm.
    `assumptions` lists, as sentences, every repair and assumption made in reading.
    """

    elapsed_s: FloatArray
    channels: tuple[Channel, ...]
    started: datetime | None = None
    clock_step_s: float = 1.0
    hand: bool = False
    assumptions: tuple[str, ...] = ()
    file_name: str = ""
    sha256: str = ""
    first_clock: time | None = None

    @property
    def temperatures(self) -> tuple[Channel, ...]:
        """The temperature channels, in the order of the file."""
        return tuple(c for c in self.channels if c.quantity == "temperature")

    @property
    def pressures(self) -> tuple[Channel, ...]:
        """The pressure channels, in the order of the file."""
        return tuple(c for c in self.channels if c.quantity == "pressure")

    def between(self, from_s: float, to_s: float) -> Log:
        """Return the part of the log from `from_s` to `to_s` (elapsed seconds, both included), times kept."""
        inside = (self.elapsed_s >= from_s) & (self.elapsed_s <= to_s)
        channels = tuple(replace(c, values=c.values[inside]) for c in self.channels)
        return replace(self, elapsed_s=self.elapsed_s[inside], channels=channels)
