"""Humidifier: how long a chamber's water lasts and how soon a trap must be emptied, for one set-up.

A forecast is not a promise: settings change, limbs lie in draughts. Each figure that somebody will act on
is therefore the cautious one (`most`), and intervals are rounded down.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from lungwort.errors import OutOfRange
from lungwort.language import _, number
from lungwort.science.arrays import floats, require_between
from lungwort.science.constants import STANDARD_PRESSURE_KPA, ZERO_C_K
from lungwort.science.humidity import (
    MODEL_MARGIN,
    brought_in_mg_per_l,
    condensate_mg_per_l,
    dry_gas_ratio,
    flow_says,
    humidity_mg_per_l,
    saturation_mg_per_l,
    simple_condensate_mg_per_l,
    water_l_per_day,
)
from lungwort.wording import figure

VolumeAt = Literal["gas", "room", "standard"]
"""What a litre of the flow is: gas as it leaves the chamber, saturated (near to what ventilators show,
BTPS); dry gas at room temperature; or dry gas at 0 °C and 101.325 kPa (some flow meters)."""

HIGH_PLACE_KPA = 54.0
"""Air pressure of the cautious figures where nobody says how high the place is: about 5,000 m (ISO 2533), above
nearly every hospital."""


@dataclass(frozen=True)
class Stated:
    """A figure with where it comes from and its basis: published, computed, common practice or from memory."""

    value: float
    source: str
    basis: str


SAFE_FILL = Stated(2.0 / 3.0, "room left in a trap for tilting and for a late round", "common practice")
TARGET_LOW = Stated(33.0, "AARC 2012, humidification during mechanical ventilation (excerpt)", "from memory")
TARGET_HIGH = Stated(44.0, "AARC 2012, humidification during mechanical ventilation (excerpt)", "from memory")
"""Water in the gas [mg/L] asked for at the patient's end of an actively humidified, invasive circuit."""
HOTTEST_AT_PATIENT = Stated(41.0, "AARC 2012, 34 to 41 °C at the Y-piece (excerpt)", "from memory")


@dataclass(frozen=True)
class Patient:
    """An example setting for those who have none at hand: read the machine's own figures instead."""

    name: str
    minute_volume_l_per_min: float
    bias_flow_l_per_min: float
    gas_c: float
    source: str
    basis: str


PATIENTS: Mapping[str, Patient] = {
    "adult": Patient("adult", 10.0, 2.0, 37.0, "an adult of about 70 kg", "from memory"),
    "child": Patient("child", 4.0, 2.0, 37.0, "a child of about 20 kg", "from memory"),
    "newborn": Patient(
        "newborn", 1.0, 8.0, 37.0, "a newborn of about 3 kg on continuous flow", "from memory"
    ),
}


@dataclass(frozen=True)
class Circuit:
    """One set-up: what flows, how warm and wet it is, and what cools it.

    `bias_flow_l_per_min` passes the chamber without being breathed and is counted in full. `wall_c` is the
    coldest stretch of a heated limb; None is a plain limb, which cools the gas to `room_c`. `inlet_c` None is
    dry medical gas. `volume_at` None: nobody said what a litre is; the cautious figures then take litres of
    dry gas at room temperature, which are more water than litres of warm gas. `air_pressure_kpa` None:
    nobody said how high the place is; the best figures then take sea level, the cautious ones 5,000 m.
    """

    minute_volume_l_per_min: float
    gas_c: float
    room_c: float
    air_pressure_kpa: float | None = None
    bias_flow_l_per_min: float = 0.0
    wall_c: float | None = None
    inlet_c: float | None = None
    inlet_rh_percent: float = 0.0
    volume_at: VolumeAt | None = None


@dataclass(frozen=True)
class Forecast:
    """What a circuit uses and sheds; `most` figures are the cautious ones, to be acted on."""

    gas_mg_per_l: float
    limb_end_mg_per_l: float
    flow_l_per_min: float
    flow_most_l_per_min: float
    chamber_gross_l_per_day: float
    chamber_net_simple_l_per_day: float
    chamber_net_l_per_day: float
    chamber_most_l_per_day: float
    condensate_simple_mg_per_l: float
    condensate_mg_per_l: float
    condensate_simple_ml_per_h: float
    condensate_ml_per_h: float
    condensate_most_ml_per_h: float


def forecast(circuit: Circuit) -> Forecast:
    """Return what a circuit takes from its chamber and leaves in one limb.

    Args:
        circuit: the set-up.

    Returns:
        The forecast: best figures on both bases, and the cautious ones.

    Raises:
        OutOfRange: a value lies beyond its range, or a heated wall is said to be colder than the room.

    Source: the functions of `humidity`; the cautious figures count dry gas, the larger flow and
    `MODEL_MARGIN` (computed).

    >>> ward = Circuit(minute_volume_l_per_min=10.0, gas_c=37.0, room_c=24.0, air_pressure_kpa=101.325)
    >>> round(forecast(ward).chamber_gross_l_per_day, 3), round(forecast(ward).condensate_ml_per_h, 1)
    (0.632, 14.2)
    """
    flow, most = chamber_flows_l_per_min(circuit)
    gas, wall_c = saturation_mg_per_l(circuit.gas_c), _wall_c(circuit)
    best_kpa, high_kpa = _pressures_kpa(circuit)
    simple_in, dry_in = _brought_in(circuit, best_kpa)
    simple = simple_condensate_mg_per_l(circuit.gas_c, wall_c, best_kpa)
    shed = condensate_mg_per_l(circuit.gas_c, wall_c, best_kpa)
    shed_high = condensate_mg_per_l(circuit.gas_c, wall_c, high_kpa)
    return Forecast(
        gas_mg_per_l=gas,
        limb_end_mg_per_l=min(gas, saturation_mg_per_l(wall_c)),
        flow_l_per_min=flow,
        flow_most_l_per_min=most,
        chamber_gross_l_per_day=water_l_per_day(flow, gas),
        chamber_net_simple_l_per_day=water_l_per_day(flow, gas, simple_in),
        chamber_net_l_per_day=water_l_per_day(flow, gas, dry_in),
        chamber_most_l_per_day=water_l_per_day(most, gas, _brought_in(circuit, high_kpa)[1]) * MODEL_MARGIN,
        condensate_simple_mg_per_l=simple,
        condensate_mg_per_l=shed,
        condensate_simple_ml_per_h=flow * simple * 0.06,
        condensate_ml_per_h=flow * shed * 0.06,
        condensate_most_ml_per_h=most * shed_high * 0.06 * MODEL_MARGIN,
    )


def chamber_flows_l_per_min(circuit: Circuit) -> tuple[float, float]:
    """Return the flow through the chamber, in litres as they leave it: the best figure and the cautious one.

    Where `volume_at` and the air pressure are stated both are the same. Where the first is not, the best
    takes the litres as they stand, and the cautious one as dry gas at room temperature.

    Source: `dry_gas_ratio`; standard litres are dry gas at 0 °C and 101.325 kPa (definition).

    >>> ward = Circuit(minute_volume_l_per_min=10.0, gas_c=37.0, room_c=24.0, air_pressure_kpa=101.325)
    >>> [round(flow, 2) for flow in chamber_flows_l_per_min(ward)]
    [10.0, 11.13]
    """
    flow = circuit.minute_volume_l_per_min + circuit.bias_flow_l_per_min
    for part in (circuit.minute_volume_l_per_min, circuit.bias_flow_l_per_min, flow):
        require_between(floats(part), 0.0, 120.0, says=flow_says())
    if circuit.minute_volume_l_per_min == 0.0:
        raise OutOfRange(_("A minute volume of 0 L/min is no breathing. Give what the ventilator shows."))
    best, most = (flow * _litres_each(circuit, kpa) for kpa in _pressures_kpa(circuit))
    return (flow, max(most, flow)) if circuit.volume_at is None else (best, most)


def _litres_each(circuit: Circuit, air_pressure_kpa: float) -> float:
    """Return the litres that leave the chamber for each litre stated; unstated counts as dry at room temperature."""
    if circuit.volume_at == "gas":
        return 1.0
    expansion = dry_gas_ratio(circuit.gas_c, 100.0, circuit.room_c, 0.0, air_pressure_kpa)
    if circuit.volume_at != "standard":
        return expansion
    return expansion * (circuit.room_c + ZERO_C_K) / ZERO_C_K * STANDARD_PRESSURE_KPA / air_pressure_kpa


def _pressures_kpa(circuit: Circuit) -> tuple[float, float]:
    """Return the air pressure of the best figures and that of the cautious ones."""
    if circuit.air_pressure_kpa is None:
        return STANDARD_PRESSURE_KPA, HIGH_PLACE_KPA
    return circuit.air_pressure_kpa, circuit.air_pressure_kpa


def interval_h(volume_ml: float, rate_ml_per_h: float, filled_share: float = 1.0) -> float:
    """Return the hours in which water at a rate fills, or uses up, a share of a volume.

    Args:
        volume_ml: a trap's volume, or a chamber's usable one (between its marks) [mL], above 0 to 10,000.
        rate_ml_per_h: water a hour [mL/h], 0 or more.
        filled_share: of the volume, above 0 to 1; `SAFE_FILL` for a trap.

    Returns:
        Hours; infinite where no water comes.

    Raises:
        OutOfRange: the volume, the rate or the share lies beyond its range.

    Source: volume · filled share / rate (definition).

    >>> round(interval_h(60.0, 14.2, SAFE_FILL.value), 2)
    2.82
    """
    _require_above_zero(volume_ml, 10_000.0, "mL", _("A volume"))
    _require_above_zero(filled_share, 1.0, "", _("A share of the volume"))
    if not rate_ml_per_h >= 0.0:
        says = _("A rate of {value} mL/h cannot be. Give 0 or more.")
        raise OutOfRange(says.format(value=figure(rate_ml_per_h)))
    return math.inf if rate_ml_per_h == 0.0 else volume_ml * filled_share / rate_ml_per_h


LONGEST_INTERVAL = Stated(24.0, "settings and rooms change from one day to the next", "common practice")


def rounded_down_h(hours: float) -> float:
    """Return an interval [h] as a ward can keep it, never longer than it is, nor than a day.

    From 4 h up whole hours, from 1 h half hours, below it five minutes.

    >>> rounded_down_h(9.99), rounded_down_h(2.81), rounded_down_h(0.99) * 60, rounded_down_h(0.05)
    (9.0, 2.5, 55.0, 0.0)
    """
    hours = min(hours, LONGEST_INTERVAL.value)
    step_min = 60 if hours >= 4.0 else 30 if hours >= 1.0 else 5
    return math.floor(hours * 60.0 / step_min) * step_min / 60.0


def _wall_c(circuit: Circuit) -> float:
    if circuit.wall_c is None:
        return circuit.room_c
    if circuit.wall_c < circuit.room_c:
        says = _(
            "A heated wall of {wall} °C is colder than the room, {room} °C. "
            "Give the wall's coldest stretch, or leave it out for a plain limb."
        )
        raise OutOfRange(says.format(wall=number(circuit.wall_c), room=number(circuit.room_c)))
    return circuit.wall_c


def _brought_in(circuit: Circuit, air_pressure_kpa: float) -> tuple[float, float]:
    """Return the water of the inlet gas [mg/L] on both bases: simple and dry gas."""
    if circuit.inlet_c is None:
        return 0.0, 0.0
    inlet_c, rh_percent = circuit.inlet_c, circuit.inlet_rh_percent
    dry = brought_in_mg_per_l(inlet_c, rh_percent, circuit.gas_c, air_pressure_kpa)
    return humidity_mg_per_l(inlet_c, rh_percent), dry


def _require_above_zero(value: float, most: float, unit: str, what: str) -> None:
    if 0.0 < value <= most:
        return
    says = _("{what} of {value} cannot be. Give more than 0 and at most {most}.")
    raise OutOfRange(says.format(what=what, value=_with(value, unit), most=_with(most, unit)))


def _with(value: float, unit: str) -> str:
    return f"{figure(value)} {unit}".rstrip()
