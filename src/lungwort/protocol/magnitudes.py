"""Values that are in another unit by their magnitude; where one is doubted, the other rules stay silent about it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from lungwort.errors import LungwortError
from lungwort.evidence.strengths import Strength, parse_strength, substance_of
from lungwort.language import _, number
from lungwort.library.agents import find_agent
from lungwort.protocol.document import Protocol
from lungwort.protocol.equipment import KPA_PER, Autoclave, PressureUnit, Setting
from lungwort.protocol.kinds import MakerLimit, Step
from lungwort.science.atmosphere import air_pressure_kpa
from lungwort.science.constants import ZERO_C_K
from lungwort.science.steam import saturation_pressure_kpa, saturation_temperature_c

FIT_K = 1.5
"""A pressure fits its temperature within this: half of the usual 3 K band (EN 285, from memory)."""
STEAM_C = (100.0, 150.0)
STEAM_KPA = (50.0, 600.0)
"""Absolute pressures an autoclave's gauge may mean, with a wide margin: steam of 81 to 159 °C (computed)."""
WATER_C, BATH_C, SOAK_C = (40.0, 100.0), (40.0, 100.0), (10.0, 60.0)
NEVER_ROOM_C = 40.0
HIGHEST_HOSPITAL_M = 4600.0
M_PER_FT = 0.3048
STEAM_HOLD_MIN, WATER_HOLD_MIN, SHORT_STEP_MIN = 120.0, 360.0, 600.0
"""Longer holds, and longer steps that are quick work, are met nowhere: seconds, most likely (Lungwort's judgement)."""
SOAK_FACTOR = 10.0
QUICK = ("take apart", "wash", "rinse", "look", "assemble", "test")


@dataclass(frozen=True)
class Doubt:
    """A value that cannot be in the unit its key names; `key` of the table it stands in."""

    key: str
    says: str
    remedy: str
    computed: str = ""
    sure: bool = True


def other_unit(value: float, usual_c: tuple[float, float]) -> tuple[str, float] | None:
    """Return the unit in which a temperature would be usual, °F or K, and what it then is in °C; None where neither.

    >>> other_unit(273.0, (100.0, 150.0))
    ('°F', 133.88888888888889)
    """
    in_units = (("°F", (value - 32) / 1.8), ("K", value - ZERO_C_K))
    low, high = usual_c
    return next(((unit, celsius) for unit, celsius in in_units if low <= celsius <= high), None)


def _degrees(key: str, value: float, usual_c: tuple[float, float], what: str) -> Doubt:
    found = other_unit(value, usual_c)
    if found is None:
        says = _("{key} = {value} °C is no temperature of {what}.")
        remedy = _("Give it in °C; usual are {low} to {high} °C.")
        words = {"low": number(usual_c[0], 0), "high": number(usual_c[1], 0)}
        return Doubt(key, says.format(key=key, value=number(value), what=what), remedy.format(**words))
    unit, celsius = found
    says = _("{key} = {value} looks like {unit}: as °C it is no temperature of {what}.")
    remedy = _("If it is {unit}, write {celsius}: the key wants °C.").format(
        unit=unit, celsius=number(celsius)
    )
    computed = _("{value} {unit} = {celsius} °C").format(
        value=number(value), unit=unit, celsius=number(celsius)
    )
    return Doubt(key, says.format(key=key, value=number(value), unit=unit, what=what), remedy, computed)


def _seconds(key: str, value: float) -> Doubt:
    says = _("{key} = {value} min looks like seconds.").format(key=key, value=number(value, 0))
    shown = number(value / 60, 0 if value % 60 == 0 else 1)
    remedy = _("If it is seconds, write {minutes}: the key wants minutes.").format(minutes=shown)
    computed = _("{value} s = {minutes} min").format(value=number(value, 0), minutes=shown)
    return Doubt(key, says, remedy, computed)


# ---- the place ----


def altitude_doubt(protocol: Protocol) -> Doubt | None:
    """Return why the altitude looks like feet: the barometer fits it in feet only, or hardly anybody lives so high.

    Gauges are asked only above 4,600 m: below it, settings copied from sea level would fit feet by chance.
    """
    written = protocol.place.altitude_m
    if written is None or written <= 0:
        return None
    metres = written * M_PER_FT
    too_high = written > HIGHEST_HOSPITAL_M and protocol.place.barometer_kpa is None
    proof = _by_barometer(protocol, written, metres) or (too_high and _by_gauges(protocol, written, metres))
    if not proof and not too_high:
        return None
    says = _("altitude_m = {value} looks like feet.").format(value=number(written, 0))
    remedy = _("If it is feet, write {metres}: the key wants metres.").format(metres=number(metres, 0))
    high = _("above {limit} m there are hardly any hospitals").format(limit=number(HIGHEST_HOSPITAL_M, 0))
    return Doubt("altitude_m", says, remedy, proof or high, bool(proof))


def air_in_doubt(protocol: Protocol) -> bool:
    """Whether the altitude that the air pressure is taken from is surely feet; a barometer would overrule it."""
    doubt = altitude_doubt(protocol) if protocol.place.barometer_kpa is None else None
    return doubt is not None and doubt.sure


def _by_barometer(protocol: Protocol, written: float, metres: float) -> str:
    read = protocol.place.barometer_kpa
    if read is None:
        return ""
    as_metres, as_feet = float(air_pressure_kpa(written)), float(air_pressure_kpa(metres))
    if abs(as_feet - read) > 3 or abs(as_metres - read) < 6:  # weather moves the air by about 3 kPa
        return ""
    text = _("the barometer reads {read} kPa; {written} m would be {as_m} kPa, {written} ft {as_ft} kPa")
    words = {"read": number(read), "as_m": number(as_metres), "as_ft": number(as_feet)}
    return text.format(written=number(written, 0), **words)


def _by_gauges(protocol: Protocol, written: float, metres: float) -> str:
    """Say that every gauge pressure fits its temperature in feet, and none in metres."""
    settings = [(a, s) for a in protocol.autoclaves if a.gauge_kind == "gauge" for s in a.settings]
    if not settings:
        return ""
    as_metres, as_feet = float(air_pressure_kpa(written)), float(air_pressure_kpa(metres))
    if any(_fits(a, s, as_metres) for a, s in settings) or not all(_fits(a, s, as_feet) for a, s in settings):
        return ""
    text = _("every gauge pressure fits its temperature at {metres} m, none at {written} m")
    return text.format(metres=number(metres, 0), written=number(written, 0))


def room_doubts(protocol: Protocol) -> Iterator[tuple[str, Doubt]]:
    """Yield room and store where they never cool below 40: °F, most likely."""
    for name, spread in (("room", protocol.place.room), ("store", protocol.place.store)):
        if spread.lowest_c > NEVER_ROOM_C:
            yield name, _degrees("lowest_c", spread.lowest_c, (0.0, NEVER_ROOM_C), _("a room"))


# ---- equipment ----


@lru_cache(maxsize=4096)
def steam_c(absolute_kpa: float) -> float:
    """Return the temperature of saturated steam at a pressure of 1 to 1000 kPa, remembered."""
    return float(saturation_temperature_c(min(max(absolute_kpa, 1.0), 1000.0)))


def _fits(autoclave: Autoclave, setting: Setting, air_kpa: float) -> bool:
    absolute_kpa = autoclave.absolute_kpa(setting, air_kpa)
    return 1 < absolute_kpa < 1000 and abs(steam_c(absolute_kpa) - setting.temperature_c) <= FIT_K


def setting_doubts(autoclave: Autoclave, setting: Setting, air_kpa: float) -> tuple[Doubt, ...]:
    """Return what of an autoclave's programme is in another unit by its magnitude."""
    found = []
    if not STEAM_C[0] <= setting.temperature_c <= STEAM_C[1]:
        found.append(_degrees("temperature_c", setting.temperature_c, STEAM_C, _("steam in an autoclave")))
    if setting.hold_min >= STEAM_HOLD_MIN:
        found.append(_seconds("hold_min", setting.hold_min))
    pressure = _pressure_doubt(autoclave, setting, air_kpa)
    return (*found, pressure) if pressure else tuple(found)


def _pressure_doubt(autoclave: Autoclave, setting: Setting, air_kpa: float) -> Doubt | None:
    if not STEAM_C[0] <= setting.temperature_c <= STEAM_C[1] or _fits(autoclave, setting, air_kpa):
        return None
    absolute_kpa = autoclave.absolute_kpa(setting, air_kpa)
    unit = _fitting_unit(autoclave, setting, air_kpa)
    if unit is None and STEAM_KPA[0] <= absolute_kpa <= STEAM_KPA[1]:
        return None
    words = {"value": _short(setting.pressure), "unit": autoclave.gauge_unit, "kind": _(autoclave.gauge_kind)}
    computed = _("{value} {unit} ({kind}) with air of {air} kPa is {absolute} kPa absolute").format(
        air=number(air_kpa), absolute=number(absolute_kpa), **words
    )
    if unit is None:
        says = _("pressure = {value} {unit} ({kind}) is no pressure of steam in an autoclave.")
        remedy = _("Read the gauge's unit and kind again; {needed}.")
        needed = _needed(autoclave, setting, air_kpa)
        return Doubt("pressure", says.format(**words), remedy.format(needed=needed), computed)
    says = _("pressure = {value} looks like {other}: as {unit} it does not mean {named} °C here.")
    says = says.format(other=unit, named=number(setting.temperature_c), **words)
    remedy = _('If the gauge shows {other}, write gauge_unit = "{other}"; else {needed}.')
    needed = _needed(autoclave, setting, air_kpa)
    return Doubt("pressure", says, remedy.format(other=unit, needed=needed), computed)


def _fitting_unit(autoclave: Autoclave, setting: Setting, air_kpa: float) -> PressureUnit | None:
    others = (u for u in KPA_PER if u != autoclave.gauge_unit)
    return next(
        (u for u in others if _fits(autoclave.model_copy(update={"gauge_unit": u}), setting, air_kpa)), None
    )


def _needed(autoclave: Autoclave, setting: Setting, air_kpa: float) -> str:
    absolute_kpa = float(saturation_pressure_kpa(setting.temperature_c))
    shown = (absolute_kpa - (air_kpa if autoclave.gauge_kind == "gauge" else 0.0)) / KPA_PER[
        autoclave.gauge_unit
    ]
    text = _("{named} °C needs {shown} {unit} here")
    return text.format(named=number(setting.temperature_c), shown=_short(shown), unit=autoclave.gauge_unit)


def _short(value: float) -> str:
    return number(value, 0 if abs(value) >= 100 else 1 if abs(value) >= 10 else 2)


def bath_doubt(highest_c: float) -> Doubt | None:
    """Return why a bath's highest temperature looks like °F or K."""
    return None if 30 <= highest_c < 140 else _degrees("highest_c", highest_c, BATH_C, _("a water bath"))


def maker_doubts(limit: MakerLimit) -> tuple[Doubt, ...]:
    """Return the maker's temperatures that look like °F or K."""
    found = []
    if limit.highest_steam_c is not None and other_unit(limit.highest_steam_c, STEAM_C):
        found.append(_degrees("highest_steam_c", limit.highest_steam_c, STEAM_C, _("steam in an autoclave")))
    if limit.highest_water_c is not None and limit.highest_water_c >= 140:
        found.append(_degrees("highest_water_c", limit.highest_water_c, WATER_C, _("hot water")))
    return tuple(found)


# ---- steps ----


@lru_cache(maxsize=1024)
def strength_written(text: str, agent: str, kind: Literal["stock", "target"]) -> Strength | str:
    """Return a strength as read, or the sentence that says why it cannot be read."""
    try:
        return parse_strength(text, substance_of(find_agent(agent)), kind=kind)
    except LungwortError as error:
        return str(error)


def strength_doubt(text: str, agent: str, kind: Literal["stock", "target"]) -> Doubt | None:
    """Return why a strength cannot be."""
    found = strength_written(text, agent, kind)
    if not isinstance(found, str):
        return None
    remedy = _("Write it as the label does, such as 5 % or 1000 mg/L.")
    return Doubt("strength", _sentence(found), remedy)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".")


def step_doubts(protocol: Protocol, step: Step) -> tuple[Doubt, ...]:
    """Return what of a step is in another unit by its magnitude."""
    return tuple(_step_doubts(protocol, step))


def _step_doubts(protocol: Protocol, step: Step) -> Iterator[Doubt]:
    if step.process == "hot water":
        yield from _of_water(step)
    if step.process in ("soak", "wipe"):
        yield from _of_chemical(protocol, step)
    if step.do in QUICK and step.minutes >= SHORT_STEP_MIN:
        yield _seconds("minutes", step.minutes)


def _of_water(step: Step) -> Iterator[Doubt]:
    if step.temperature_c is not None and step.temperature_c >= 140:
        yield _degrees("temperature_c", step.temperature_c, WATER_C, _("hot water"))
    if step.hold_min is not None and step.hold_min >= WATER_HOLD_MIN:
        yield _seconds("hold_min", step.hold_min)


def _of_chemical(protocol: Protocol, step: Step) -> Iterator[Doubt]:
    if step.temperature_c is not None and not 0 <= step.temperature_c <= SOAK_C[1]:
        yield _degrees("temperature_c", step.temperature_c, SOAK_C, _("a solution to soak in"))
    stock = protocol.stock(step.stock)
    if stock is None or step.strength is None or step.contact_min is None:
        return
    doubt = strength_doubt(step.strength, stock.agent, "target")
    if doubt:
        yield doubt
    contacts_s = _contacts_s(stock.agent)
    if step.contact_min * 60 >= SOAK_FACTOR * max(contacts_s) and step.contact_min >= min(contacts_s):
        yield _seconds("contact_min", step.contact_min)


@lru_cache(maxsize=64)
def _contacts_s(agent: str) -> tuple[float, ...]:
    return tuple(use.contact_s for use in find_agent(agent).uses)
