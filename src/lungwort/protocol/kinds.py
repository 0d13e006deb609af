"""Kinds of machine and part: materials, contact, the maker's limits, and the turnaround from patient to patient."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, field_validator, model_validator

from lungwort.errors import LungwortError
from lungwort.language import _
from lungwort.library.catalogue import find_criterion
from lungwort.library.duties import find_duty
from lungwort.library.materials import find_material
from lungwort.library.parts import Part, find_part
from lungwort.protocol.model import Name, Table, Water

Do = Literal["take apart", "wash", "treat", "rinse", "dry", "look", "assemble", "test", "store"]
Contact = Literal["non-critical", "semi-critical", "critical"]
NEEDED: dict[str, tuple[str, ...]] = {
    "steam": ("equipment", "setting"),
    "hot water": ("equipment", "temperature_c", "hold_min"),
    "soak": ("stock", "strength", "contact_min"),
    "wipe": ("stock", "strength", "contact_min"),
}


def known_duty(name: str | None) -> str | None:
    """Return the library's own name of a usual check or duty; ValueError with near names where there is none."""
    try:
        return None if name is None else find_duty(name).name
    except LungwortError as error:
        raise ValueError(str(error)) from error


class Step(Table):
    """One step of a turnaround: what is done, by which role, and how long it takes.

    `treat` names its `process` and what belongs to it; `proved_by` the criteria that its evidence must meet.
    `evaporation_mg_per_h` is what a soak gives off into the room, where known; `extracted` says that the bath is
    covered and its air drawn off at the bath.
    """

    do: Do
    by: Name
    minutes: float = Field(gt=0, le=10_080)
    process: Literal["steam", "hot water", "soak", "wipe"] | None = None
    equipment: Name | None = None
    setting: Name | None = None
    temperature_c: float | None = None
    hold_min: float | None = Field(default=None, gt=0)
    stock: Name | None = None
    strength: Name | None = None
    contact_min: float | None = Field(default=None, gt=0)
    solution_days: float | None = Field(default=None, ge=0)
    evaporation_mg_per_h: float | None = Field(default=None, ge=0, le=1e9)
    extracted: bool = False
    water: Water | None = None
    times: int = Field(default=1, ge=1, le=20)
    proved_by: tuple[Name, ...] = ()
    note: str = ""

    @model_validator(mode="after")
    def _whole(self) -> Step:
        if (self.do == "treat") != (self.process is not None):
            raise ValueError(
                _(
                    'process belongs to do = "treat", and every treat needs one: steam, hot water, soak or wipe'
                )
            )
        missing = [key for key in NEEDED.get(self.process or "", ()) if getattr(self, key) is None]
        if missing:
            text = _("process = {process!r} also needs {missing}")
            raise ValueError(text.format(process=self.process, missing=", ".join(missing)))
        if self.do == "rinse" and self.water is None:
            raise ValueError(_("a rinse needs its water: sterile, filtered, boiled or tap"))
        return self

    @field_validator("proved_by")
    @classmethod
    def _known_criteria(cls, names: tuple[str, ...]) -> tuple[str, ...]:
        try:
            return tuple(find_criterion(name).name for name in names)
        except LungwortError as error:
            raise ValueError(str(error)) from error


class Check(Table):
    """A check before or after use; `like` says which usual one of the library it is, where its words do not show it."""

    when: Literal["before use", "after use"]
    what: Name
    by: Name
    like: Name | None = None

    _known_like = field_validator("like")(known_duty)


class Duty(Table):
    """A duty while a patient is connected, or on a machine by the calendar; `like` as for a check.

    A duty by the calendar that is overdue holds the thing back from the next patient, unless `holds` says no.
    """

    what: Name
    by: Name
    like: Name | None = None
    every_h: float | None = Field(default=None, gt=0)
    every_days: float | None = Field(default=None, gt=0)
    holds: bool = True

    @model_validator(mode="after")
    def _has_interval(self) -> Duty:
        if (self.every_h is None) == (self.every_days is None):
            raise ValueError(_("a duty needs every_h or every_days, one of the two"))
        return self

    _known_like = field_validator("like")(known_duty)

    @property
    def interval_h(self) -> float:
        """Its interval in hours, whichever way it is given."""
        return self.every_h if self.every_h is not None else 24.0 * (self.every_days or 0.0)


class MakerLimit(Table):
    """A limit from the maker's instructions, with its clause."""

    what: Name
    clause: Name
    highest_steam_c: float | None = None
    highest_water_c: float | None = None
    cycles_at_most: int | None = Field(default=None, gt=0)
    not_with: tuple[Name, ...] = ()


class Kind(Table):
    """A kind of machine or part; `like` takes over what the generic library knows of such a part."""

    name: Name
    like: Name | None = None
    materials: tuple[Name, ...] = ()
    contact: Contact
    reuse: Literal["reusable", "single patient"] = "reusable"
    machine: bool = False
    makers: tuple[MakerLimit, ...] = Field(default=(), alias="maker")
    sets_owned: int | None = Field(default=None, ge=0)
    used_per_day: float | None = Field(default=None, ge=0)
    steps: tuple[Step, ...] = Field(default=(), alias="step")
    checks: tuple[Check, ...] = Field(default=(), alias="check")
    duties: tuple[Duty, ...] = Field(default=(), alias="duty")
    on_failure: str = ""

    @field_validator("like")
    @classmethod
    def _known_part(cls, name: str | None) -> str | None:
        try:
            return None if name is None else find_part(name).name
        except LungwortError as error:
            raise ValueError(str(error)) from error

    @field_validator("materials")
    @classmethod
    def _known_materials(cls, names: tuple[str, ...]) -> tuple[str, ...]:
        try:
            return tuple(find_material(name).name for name in names)
        except LungwortError as error:
            raise ValueError(str(error)) from error

    @property
    def generic(self) -> Part | None:
        """The generic part it is like."""
        return None if self.like is None else find_part(self.like)

    @property
    def made_of(self) -> tuple[str, ...]:
        """Its materials: its own where given, else the generic part's."""
        return self.materials or (self.generic.materials if self.generic else ())

    @property
    def turnaround_min(self) -> float:
        """The minutes its steps take together."""
        return sum(step.minutes for step in self.steps)
