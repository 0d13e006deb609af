"""The record of a soak: when the parts went in and came out, what the solution was, how they were rinsed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Method = Literal["strip", "titration"]
Water = Literal["sterile", "filtered", "boiled", "tap"]


@dataclass(frozen=True)
class StrengthReading:
    """One measurement of the solution's strength; `error_share` is the largest relative error of the method.

    `written` is the reading as its writer put it; `stated` says whether the error was given or is a stand-in.
    """

    written: str
    strength_mg_per_l: float
    method: Method
    error_share: float
    stated: bool

    @property
    def low_mg_per_l(self) -> float:
        """The weakest that the solution can have been."""
        return self.strength_mg_per_l * (1 - self.error_share)

    @property
    def high_mg_per_l(self) -> float:
        """The strongest that the solution can have been."""
        return self.strength_mg_per_l * (1 + self.error_share)


@dataclass(frozen=True)
class Soak:
    """A soak as written down; None and empty mean that nobody wrote it, never that it was in order.

    `contact_s` from the last part in to the first part out; `clock_step_s` the fineness of the written times;
    `age_s` of the solution when the parts came out; `loads` that it had served, this one included.
    """

    contact_s: float | None = None
    clock_step_s: float = 60.0
    strengths: tuple[StrengthReading, ...] = ()
    temperatures_c: tuple[float, ...] = ()
    thermometer_error_k: float = 1.0
    age_s: float | None = None
    loads: int | None = None
    rinse_water: Water | None = None
    rinses: int | None = None
    assumptions: tuple[str, ...] = ()
