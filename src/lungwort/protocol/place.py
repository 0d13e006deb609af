"""The place: how high it lies, how warm its rooms are, which waters it has, how well its air is changed."""

from __future__ import annotations

from pydantic import Field, model_validator

from lungwort.language import _
from lungwort.protocol.model import Name, Table, Water
from lungwort.science.atmosphere import air_pressure_here_kpa

LOWEST_M, HIGHEST_M = -400.0, 6000.0


class Range(Table):
    """A lowest and a highest temperature through the year, in °C."""

    lowest_c: float = Field(ge=-30, le=60)
    highest_c: float = Field(ge=-30, le=60)

    @model_validator(mode="after")
    def _in_order(self) -> Range:
        if self.lowest_c > self.highest_c:
            text = _("lowest_c {low} is above highest_c {high}; change them about")
            raise ValueError(text.format(low=self.lowest_c, high=self.highest_c))
        return self


class Place(Table):
    """Where the protocol holds; `barometer_kpa` as read at the place overrules `altitude_m`."""

    name: Name
    altitude_m: float | None = Field(default=None, ge=LOWEST_M, le=HIGHEST_M)
    barometer_kpa: float | None = Field(default=None, ge=45, le=110)
    room: Range
    store: Range
    waters: tuple[Water, ...] = Field(min_length=1)
    room_m3: float | None = Field(default=None, gt=0, le=10_000)
    air_changes_per_h: float | None = Field(default=None, ge=0, le=100)

    @model_validator(mode="after")
    def _has_air(self) -> Place:
        if self.altitude_m is None and self.barometer_kpa is None:
            raise ValueError(_("the place needs altitude_m or barometer_kpa; a map or a barometer tells"))
        return self

    @property
    def air_pressure_kpa(self) -> float:
        """The usual pressure of the air here, absolute."""
        return air_pressure_here_kpa(self.altitude_m, self.barometer_kpa)
