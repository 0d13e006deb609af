"""A first protocol for a place: a commented document from the library, its gauge settings right for the air there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from lungwort.evidence.strengths import parse_strength, substance_of
from lungwort.language import _, number
from lungwort.library.agents import find_agent
from lungwort.library.parts import find_part
from lungwort.protocol.equipment import KPA_PER, PressureUnit
from lungwort.protocol.place import Place
from lungwort.protocol.treating import Choice, Programme, choose, programmes, water_plan
from lungwort.protocol.turnarounds import kind_lines
from lungwort.protocol.writing import value_text
from lungwort.science.atmosphere import boiling_point_c
from lungwort.science.steam import saturation_pressure_kpa
from lungwort.wording import figure

KINDS = (
    ("Ventilator", "ventilator with turbine"),
    ("Silicone circuit", "silicone breathing circuit"),
    ("Humidifier chamber", "humidifier chamber"),
    ("Water trap", "water trap"),
    ("Inlet particle filter", "inlet particle filter"),
    ("Expiratory valve", "expiratory valve"),
    ("Flow sensor", "flow sensor"),
    ("Mask", "mask"),
    ("Heat-and-moisture exchanger", "heat-and-moisture exchanger"),
    ("Bacterial filter", "breathing filter"),
    ("Test lung", "test lung"),
    ("Suction jar", "suction jar"),
    ("Monitor leads", "monitor leads"),
    ("Trolley", "trolley"),
)


@dataclass(frozen=True)
class Gauge:
    """An autoclave as its owner knows it: how it removes air, and what its gauge shows."""

    unit: PressureUnit
    kind: Literal["gauge", "absolute"] = "gauge"
    removal: Literal["gravity", "pre-vacuum"] = "gravity"


@dataclass(frozen=True)
class Answers:
    """What a person told of the place; None where there is no such thing."""

    place: str
    altitude_m: float | None = None
    barometer_kpa: float | None = None
    autoclave: Gauge | None = None
    bath_highest_c: float | None = None
    bleach: str | None = None
    roles: Sequence[str] = field(default=("technician", "nurse"))

    @property
    def air_kpa(self) -> float:
        """The usual pressure of the air there; the same answer, and refusals, as a document's own place gives."""
        spread = {"lowest_c": 15, "highest_c": 30}
        known = {"altitude_m": self.altitude_m, "barometer_kpa": self.barometer_kpa}
        raw = {"name": self.place, "room": spread, "store": spread, "waters": ["tap"], **known}
        return Place.model_validate(raw).air_pressure_kpa


def new_protocol(answers: Answers, today: date) -> str:
    """Return a commented protocol for a place as TOML text: suggestions, no criterion adopted, to be filled in.

    It reads back, and vetting it names what is still to be filled in. Raises UnknownName or OutOfRange where the
    strength of the bleach cannot be read.
    """
    air_kpa = answers.air_kpa
    if answers.bleach is not None:
        parse_strength(answers.bleach, substance_of(find_agent("hypochlorite")))
    heat = programmes(answers.autoclave.removal) if answers.autoclave else ()
    water = water_plan(_hottest_water_c(answers, air_kpa))
    choices = {
        part: choose(find_part(part), heat, water, answers.bleach is not None) for _name, part in KINDS
    }
    lines = [
        *_head(answers, today),
        *_place(answers, air_kpa),
        *_adoptions(choices.values()),
        *_autoclave(answers.autoclave, heat, air_kpa),
        *_bath(answers.bath_highest_c),
        *_stock(answers.bleach),
        *_people(answers.roles),
        *_kinds(choices, answers.roles),
    ]
    return "\n".join(lines) + "\n"


def _hottest_water_c(answers: Answers, air_kpa: float) -> float | None:
    """Return what the bath can reach: no more than water does before it boils."""
    if answers.bath_highest_c is None:
        return None
    return min(answers.bath_highest_c, float(boiling_point_c(air_kpa)))


def _comment(*texts: str) -> Iterator[str]:
    yield from (f"# {text}" for text in texts)


def _head(answers: Answers, today: date) -> Iterator[str]:
    yield from _comment(
        _("A first protocol for {place}, made on {day} from the generic library.").format(
            place=" ".join(answers.place.split()), day=today.isoformat()
        ),
        _(
            "Every value is a suggestion. The maker's instructions, local codes and licensed practice come first."
        ),
        _("Change what is otherwise with you, fill in what is commented out, then run: lungwort vet FILE"),
    )
    yield from ("", "format = 1", f"title = {value_text(_('Turnaround of ventilator parts'))}")
    yield f"version = {value_text(f'{today.year}-1')}"


def _place(answers: Answers, air_kpa: float) -> Iterator[str]:
    yield from ("", "[place]", f"name = {value_text(answers.place)}")
    if answers.altitude_m is not None:
        yield f"altitude_m = {value_text(float(answers.altitude_m))}"
    if answers.barometer_kpa is not None:
        yield f"barometer_kpa = {value_text(float(answers.barometer_kpa))}"
    text = _(
        "the air presses with about {air} kPa here [ISO 2533, computed]; water boils at about {boils} °C"
    )
    yield from _comment(text.format(air=number(air_kpa), boils=number(float(boiling_point_c(air_kpa)))))
    yield from _comment(
        _("the coldest and the warmest of the year: where parts are treated, and in the store")
    )
    yield "room = { lowest_c = 15, highest_c = 30 }"
    yield "store = { lowest_c = 15, highest_c = 30 }"
    yield from _comment(_("of: sterile, filtered, boiled, tap"))
    yield 'waters = ["tap", "boiled"]'
    yield from _comment(
        _("the room's volume, and how often its air changes in an hour: needed for chemicals")
    )
    yield from _comment("room_m3 = 40", "air_changes_per_h = 6")


def _adoptions(choices: Iterable[Choice | None]) -> Iterator[str]:
    yield from ("", *_comment(_("---- criteria: none is adopted yet ----")))
    yield from _comment(
        _("A proof opens no gate until a named, authorised person has adopted its criterion after the"),
        _("hospital's own copy of a source. Take the # away and fill in, one table for each criterion:"),
    )
    names = dict.fromkeys(c.criterion for c in choices if c is not None)
    for name in names:
        yield "#"
        yield from _comment(
            "[[adoption]]",
            f'criterion = "{name}"',
            f'by = "{_("name and office of the person authorised")}"',
            "on = 2000-01-01",
            f'source = "{_("title, year, chapter and table of your own copy")}"',
        )


def _autoclave(gauge: Gauge | None, heat: Sequence[Programme], air_kpa: float) -> Iterator[str]:
    if gauge is None:
        return
    yield from ("", *_comment(_("---- equipment ----")), "", "[[autoclave]]", 'name = "Autoclave 1"')
    yield f'removal = "{gauge.removal}"'
    yield f'gauge_unit = "{gauge.unit}"'
    yield f'gauge_kind = "{gauge.kind}"'
    for programme in heat:
        yield from ("", "[[autoclave.setting]]", f'name = "{programme.name}"')
        yield f"temperature_c = {figure(programme.temperature_c)}"
        yield from _comment(
            _("computed for this altitude (IAPWS-IF97; ISO 2533); a licensed engineer sets it")
        )
        yield f"pressure = {shown_pressure(gauge, programme.temperature_c, air_kpa)}"
        yield f"hold_min = {figure(programme.hold_min)}"
    yield from _logger("Logger 1", "Autoclave 1", 1, True)


def shown_pressure(gauge: Gauge, temperature_c: float, air_kpa: float) -> str:
    """Return what a gauge shows of saturated steam of a temperature, as precisely as gauges are read.

    >>> shown_pressure(Gauge("bar"), 121.0, 101.325), shown_pressure(Gauge("kPa", "absolute"), 121.0, 76.6)
    ('1.04', '205')
    """
    kpa = float(saturation_pressure_kpa(temperature_c)) - (air_kpa if gauge.kind == "gauge" else 0.0)
    decimals = {"kPa": 0, "mbar": 0, "psi": 1, "bar": 2, "MPa": 3}[gauge.unit]
    return f"{kpa / KPA_PER[gauge.unit]:.{decimals}f}"


def _logger(name: str, used_on: str, interval_s: int, pressure_too: bool) -> Iterator[str]:
    yield ""
    yield from _comment(
        _("what proves its cycles; write its own class or certificate, and when calibration lapses")
    )
    yield from ("[[thermometer]]", f'name = "{name}"', 'sensor = "±0.5 K"', f'used_on = ["{used_on}"]')
    yield f"interval_s = {interval_s}"
    if pressure_too:
        yield "pressure_too = true"
    yield from _comment("calibration_due = 2000-01-01")


def _bath(highest_c: float | None) -> Iterator[str]:
    if highest_c is not None:
        yield from ("", "[[bath]]", 'name = "Bath 1"', f"highest_c = {value_text(float(highest_c))}")
        yield from _logger("Logger 2", "Bath 1", 10, False)


def _stock(bleach: str | None) -> Iterator[str]:
    if bleach is not None:
        yield from (
            "",
            *_comment(_("as its label says; with the day it was made, so that its age is counted")),
        )
        yield from (
            "[[stock]]",
            'name = "Bleach"',
            'agent = "hypochlorite"',
            f"strength = {value_text(bleach)}",
        )
        yield from _comment("made_on = 2000-01-01", "opened_on = 2000-01-01")


def _people(roles: Sequence[str]) -> Iterator[str]:
    yield from (
        "",
        *_comment(_("---- people: by a code, never by name; at least two in training for each role ----")),
    )
    for role in roles:
        yield from ("", "[[role]]", f"name = {value_text(role)}")
        yield from _comment(
            "[[training]]",
            'person = "A-01"',
            f"role = {value_text(role)}",
            "passed_on = 2000-01-01",
            "expires_on = 2001-01-01",
        )


def _kinds(choices: dict[str, Choice | None], roles: Sequence[str]) -> Iterator[str]:
    yield from ("", *_comment(_("---- kinds of part ----")))
    yield from _comment(
        _(
            "Minutes are guesses [common practice]: time your own. Give materials where they stand on the part, and the"
        ),
        _("maker's limits with their clause; how many sets you own, and how many are used a day."),
    )
    for name, part in KINDS:
        yield ""
        yield from kind_lines(name, find_part(part), choices[part], roles[0], roles[-1])
