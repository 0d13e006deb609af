"""What the hospital treats with and measures with: autoclaves, baths, thermometers, scales, chemicals in stock."""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field, field_validator

from lungwort.errors import LungwortError
from lungwort.evidence.instrument import Sensor, parse_sensor
from lungwort.library.agents import Agent, find_agent
from lungwort.protocol.model import Name, Table

PressureUnit = Literal["kPa", "bar", "mbar", "psi", "MPa"]
KPA_PER: dict[PressureUnit, float] = {
    "kPa": 1.0,
    "bar": 100.0,
    "mbar": 0.1,
    "psi": 6.894757,
    "MPa": 1000.0,
}


class Setting(Table):
    """One programme of an autoclave, by what its panel and its gauge show."""

    name: Name
    temperature_c: float
    pressure: float
    hold_min: float = Field(gt=0)


class Autoclave(Table):
    """An autoclave; its gauge shows pressure in `gauge_unit`, above the air outside (gauge) or absolute."""

    name: Name
    removal: Literal["gravity", "pre-vacuum"]
    gauge_unit: PressureUnit
    gauge_kind: Literal["gauge", "absolute"]
    settings: tuple[Setting, ...] = Field(alias="setting", min_length=1)

    def setting(self, name: str | None) -> Setting | None:
        """Return the programme called `name`, or None."""
        return next((s for s in self.settings if s.name == name), None)

    def absolute_kpa(self, setting: Setting, air_pressure_kpa: float) -> float:
        """Return the absolute pressure that a programme's gauge reading means at a place."""
        shown_kpa = setting.pressure * KPA_PER[self.gauge_unit]
        return shown_kpa + (air_pressure_kpa if self.gauge_kind == "gauge" else 0.0)


class Bath(Table):
    """A hot-water bath and the hottest it reaches."""

    name: Name
    highest_c: float
    volume_l: float | None = Field(default=None, gt=0)


class Thermometer(Table):
    """A thermometer or logger, what it is read on, how often, and when its calibration lapses."""

    name: Name
    sensor: Name
    used_on: tuple[Name, ...] = Field(min_length=1)
    interval_s: float = Field(gt=0)
    pressure_too: bool = False
    calibration_due: date | None = None

    @field_validator("sensor")
    @classmethod
    def _known_sensor(cls, text: str) -> str:
        try:
            parse_sensor(text)
        except LungwortError as error:
            raise ValueError(str(error)) from error
        return text

    @property
    def described(self) -> Sensor:
        """What is known of its error."""
        return parse_sensor(self.sensor)


class Scale(Table):
    """A scale to weigh parts with."""

    name: Name
    error_g: float = Field(gt=0)


class Stock(Table):
    """A chemical in store, by its label and its age."""

    name: Name
    agent: Name
    strength: Name
    made_on: date | None = None
    opened_on: date | None = None

    @field_validator("agent")
    @classmethod
    def _known_agent(cls, text: str) -> str:
        try:
            return find_agent(text).name
        except LungwortError as error:
            raise ValueError(str(error)) from error

    @property
    def described(self) -> Agent:
        """What the library knows of the agent."""
        return find_agent(self.agent)
