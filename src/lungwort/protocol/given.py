"""What a protocol gives to a proof: the adoption of its criteria, the air of the place, the thermometer listed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal, TypeVar

from lungwort.errors import LungwortError
from lungwort.evidence.circumstances import WEATHER_KPA, Circumstances
from lungwort.evidence.verdict import CriterionVerdict, HeatVerdict, Verdict
from lungwort.language import _, number
from lungwort.library.criteria import Criterion
from lungwort.protocol.document import Protocol
from lungwort.protocol.equipment import Thermometer
from lungwort.protocol.people import Adoption

Open = Literal["criterion", "thermometer"]
Judged = TypeVar("Judged", bound=Verdict)


class LeftOpenError(LungwortError):
    """The protocol leaves open what a proof needs to know; `what` says which, for whoever can be asked."""

    def __init__(self, what: Open, says: str) -> None:
        super().__init__(says)
        self.what = what


@dataclass(frozen=True)
class Given:
    """What a protocol gives to one proof; its adoptions count as of the day `on`.

    `equipment` is what the thermometer was used on; `whose` says the kind and the step where it is one only. `air`
    and `listed` say whether the air and the thermometer of the protocol are taken, or others were told.
    `adoptions`, where not None, stand in place of the document's.
    """

    protocol: Protocol
    criteria: tuple[Criterion, ...]
    equipment: str | None
    on: date
    whose: str = ""
    air: bool = True
    listed: bool = True
    adoptions: Sequence[Adoption] | None = None

    @property
    def thermometer(self) -> Thermometer | None:
        """The thermometer that the protocol lists for the equipment; None where none is, or another was told."""
        return thermometer_on(self.protocol, self.equipment) if self.listed else None


def thermometer_on(protocol: Protocol, equipment: str | None) -> Thermometer | None:
    """Return the thermometer used on a piece of equipment, of several alike the first to lapse; None without one.

    Raises LeftOpenError where several that err differently are used on it.
    """
    used = [t for t in protocol.thermometers if equipment in t.used_on]
    if len({t.sensor for t in used}) > 1:
        text = _("several thermometers are used on {equipment} ({names}); say which of them was read")
        names = "; ".join(f"{t.name}: {t.sensor}" for t in used)
        raise LeftOpenError("thermometer", text.format(equipment=equipment, names=names))
    return _first_to_lapse(used)


def _first_to_lapse(thermometers: Sequence[Thermometer]) -> Thermometer | None:
    """Return the one whose calibration lapses first, before all one without a date, as nobody said which was read."""
    return min(thermometers, key=lambda t: t.calibration_due or date.min, default=None)


def circumstances_given(given: Given, told: Circumstances) -> Circumstances:
    """Return the circumstances told, with the air and the thermometer of the protocol where these are to be taken.

    The protocol's air is the usual one, not the day's: the weather's error belongs to it, whoever read a barometer.
    Raises LeftOpenError where the protocol lists thermometers that err differently.
    """
    known, thermometer = told, given.thermometer
    if given.air:
        air_kpa = given.protocol.place.air_pressure_kpa
        known = replace(known, air_pressure_kpa=air_kpa, air_pressure_error_kpa=WEATHER_KPA)
    return known if thermometer is None else replace(known, sensor=thermometer.described)


def signed(given: Given, verdict: Judged, measured_on: date) -> Judged:
    """Return a verdict that says which criteria are adopted, and what was taken from the protocol.

    `measured_on` is the day on which the thermometer's calibration must have held.
    """
    return replace(
        verdict,
        criteria=tuple(_adopted(given, judged) for judged in verdict.criteria),
        assumptions=(*_taken(given, verdict, measured_on), *verdict.assumptions),
    )


def _adopted(given: Given, judged: CriterionVerdict) -> CriterionVerdict:
    adoptions = given.protocol.adoptions if given.adoptions is None else given.adoptions
    held = [a for a in adoptions if a.criterion == judged.criterion.name and a.on <= given.on]
    if not held:
        return judged
    last = max(held, key=lambda adoption: adoption.on)
    text = _("Adopted on {day} by {who} after {source}.")
    return replace(judged, adopted=text.format(day=last.on.isoformat(), who=last.by, source=last.source))


# ---- what was taken from the protocol, in sentences ----


def _taken(given: Given, verdict: Verdict, measured_on: date) -> list[str]:
    said = [_document(given)]
    if not isinstance(verdict, HeatVerdict):
        return said
    if given.air:
        place = given.protocol.place
        text = _("Air of {place} by the protocol: {air} kPa, give or take {error} kPa for the weather.")
        air = number(place.air_pressure_kpa)
        said.append(text.format(place=place.name, air=air, error=number(WEATHER_KPA, 0)))
    thermometer = given.thermometer
    if thermometer is None:
        return said
    text = _("Thermometer by the protocol: {name} on {equipment}, {sensor}.")
    words = {"name": thermometer.name, "equipment": given.equipment, "sensor": thermometer.described.says}
    lapsed = _lapsed(thermometer, measured_on)
    return [*said, text.format(**words), *([lapsed] if lapsed else [])]


def _document(given: Given) -> str:
    text = _("From the protocol {title}, version {version}: to be proved by {names}.")
    if given.whose:
        text = _("From the protocol {title}, version {version}: {whose}, to be proved by {names}.")
    return text.format(
        title=given.protocol.title,
        version=given.protocol.version,
        whose=given.whose,
        names=", ".join(c.name for c in given.criteria),
    )


# ---- calibration ----


def calibration_lapsed(
    protocol: Protocol, equipment: str | None, on: date, *, sensor: str | None = None
) -> str | None:
    """Return why the calibration of the thermometer on a piece of equipment is not shown to hold on a day, or None.

    `sensor` narrows the thermometers listed there to those of this description; of those left, the first to lapse
    speaks for all. Without a thermometer or a date listed, that the calibration holds is not shown either.
    """
    used = [t for t in protocol.thermometers if equipment in t.used_on and sensor in (None, t.sensor)]
    thermometer = _first_to_lapse(used)
    if thermometer is not None:
        return _lapsed(thermometer, on)
    text = _(
        "No thermometer and so no calibration date is listed for {what}: that its error is as stated is not shown."
    )
    return text.format(what=", ".join(word for word in (equipment, sensor) if word) or _("this cycle"))


def _lapsed(thermometer: Thermometer, on: date) -> str | None:
    due = thermometer.calibration_due
    if due is None:
        text = _("No calibration date is listed for {name}: that its error is as stated is not shown.")
        return text.format(name=thermometer.name)
    if due >= on:
        return None
    text = _(
        "The calibration of {name} lapsed on {due}, before this cycle: that its error is still so is not shown."
    )
    return text.format(name=thermometer.name, due=due.isoformat())
