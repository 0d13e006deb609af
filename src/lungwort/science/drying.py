"""Drying: water left by weight, and the air and heat needed to carry it off.

The air figures are the least that physics allows: they say how long drying cannot be shorter than, never
that a part is dry. Only a weight against the dry weight speaks of that, within the scale's error.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lungwort.errors import OutOfRange
from lungwort.language import _, number
from lungwort.science.humidity import require_humidity, saturation_mg_per_l
from lungwort.science.moist_air import (
    humidity_ratio,
    latent_heat_kj_per_kg,
    relative_humidity_percent,
    saturated_humidity_ratio,
    volume_m3_per_kg,
    wet_bulb_c,
)
from lungwort.wording import figure

DIFFUSION_M2_PER_S = 2.5e-5
"""Diffusion of water vapour in still air near 25 °C (from memory)."""


@dataclass(frozen=True)
class WaterLeft:
    """Water left in a part by weight [g]: the difference, and the least and most it can be."""

    best_g: float
    low_g: float
    high_g: float


def water_left_g(wet_g: float, dry_g: float, resolution_g: float, error_g: float = 0.0) -> WaterLeft:
    """Return the water left in a part from its weight now and its dry weight.

    Args:
        wet_g: weight now [g], above 0.
        dry_g: weight of the same part, known dry [g], above 0.
        resolution_g: step of the scale's display [g], above 0.
        error_g: largest error of one weighing beyond that step [g], 0 or more.

    Returns:
        Difference, with bounds of one step and twice the error on each side: the worst case, no likelihood.

    Raises:
        OutOfRange: a weight cannot be, or the part weighs less than when dry, beyond the bounds.

    Source: two weighings, each within half a step and the error (computed).

    >>> water_left_g(1250.0, 1200.0, resolution_g=1.0)
    WaterLeft(best_g=50.0, low_g=49.0, high_g=51.0)
    """
    for name, value in (
        (_("weight now"), wet_g),
        (_("dry weight"), dry_g),
        (_("scale's step"), resolution_g),
    ):
        _require_positive(name, value, "g")
    _require_from_zero(_("scale's error"), error_g, "g")
    best, bound = wet_g - dry_g, resolution_g + 2.0 * error_g
    if best + bound < 0.0:
        says = _(
            "The part weighs {value} g less than when dry, more than the scale's {bound} g explain. "
            "Check that it is the same part with nothing missing, and take its dry weight again."
        )
        raise OutOfRange(says.format(value=number(-best, 2), bound=number(bound, 2)))
    return WaterLeft(best, max(best - bound, 0.0), best + bound)


def dryness(water: WaterLeft, limit_g: float) -> str:
    """Return whether a weight shows that a part holds no more than a stated mass of water.

    Args:
        water: from `water_left_g`.
        limit_g: most water that may be left [g], above 0, which the hospital sets; no published figure is known.

    Returns:
        "passed" where even the most is within, "failed" where even the least is beyond, else "not shown".

    Raises:
        OutOfRange: the limit is not above 0.

    Source: guarded acceptance, JCGM 106:2012, 8.3 (from memory).

    >>> dryness(WaterLeft(0.0, 0.0, 1.0), limit_g=0.5)
    'not shown'
    """
    _require_positive(_("limit"), limit_g, "g")
    if water.high_g <= limit_g:
        return "passed"
    return "failed" if water.low_g > limit_g else "not shown"


@dataclass(frozen=True)
class DryingAir:
    """Room air after heating, and the most water that it can carry off."""

    room_c: float
    rh_percent: float
    heated_c: float
    air_pressure_kpa: float
    heated_rh_percent: float
    wet_bulb_c: float
    capacity_g_per_m3: float
    heated_m3_per_room_m3: float
    heating_kj_per_m3: float


def drying_air(room_c: float, rh_percent: float, heated_c: float, air_pressure_kpa: float) -> DryingAir:
    """Return what room air can carry off once it is heated.

    Args:
        room_c: temperature of the air drawn in [°C], 0.01 to 60.
        rh_percent: its relative humidity [%], 0 to 100.
        heated_c: temperature at which it meets the part [°C], from `room_c` to 120.
        air_pressure_kpa: air pressure at the place [kPa], 40 to 110.

    Returns:
        The heated air; its capacity counts grams for each cubic metre of heated air, leaving saturated at
        the wet bulb. Real air leaves drier, so it carries less.

    Raises:
        OutOfRange: a value lies beyond its range, or the air is heated to less than it has.

    Source: (W_sat(T_wb) - W) / v for adiabatic saturation (computed).

    >>> air = drying_air(25.0, 60.0, 60.0, 101.325)
    >>> round(air.wet_bulb_c, 1), round(air.capacity_g_per_m3, 1)
    (28.7, 13.8)
    """
    water = humidity_ratio(room_c, rh_percent, air_pressure_kpa)
    if heated_c < room_c:
        says = _(
            "Air of {room} °C cannot be heated to {heated} °C. Give the temperature that meets the part."
        )
        raise OutOfRange(says.format(room=number(room_c), heated=number(heated_c)))
    wet_bulb = wet_bulb_c(heated_c, water, air_pressure_kpa)
    saturated = saturated_humidity_ratio(wet_bulb, air_pressure_kpa)
    volume = volume_m3_per_kg(heated_c, water, air_pressure_kpa)
    return DryingAir(
        room_c=room_c,
        rh_percent=rh_percent,
        heated_c=heated_c,
        air_pressure_kpa=air_pressure_kpa,
        heated_rh_percent=relative_humidity_percent(heated_c, water, air_pressure_kpa),
        wet_bulb_c=wet_bulb,
        capacity_g_per_m3=1000.0 * max(saturated - water, 0.0) / volume,
        heated_m3_per_room_m3=volume / volume_m3_per_kg(room_c, water, air_pressure_kpa),
        heating_kj_per_m3=(1.006 + 1.86 * water) * (heated_c - room_c) / volume,
    )


@dataclass(frozen=True)
class DryingNeed:
    """The least air, time and heat that carry off a mass of water."""

    water_g: float
    heated_m3: float
    room_m3: float
    at_least_s: float
    evaporation_kj: float
    heating_kj: float


def drying_need(water_g: float, air: DryingAir, flow_m3_per_h: float, uptake: float = 1.0) -> DryingNeed:
    """Return the least air, time and heat that carry off water from surfaces the air sweeps.

    Args:
        water_g: water to carry off [g], 0 or more.
        air: from `drying_air`.
        flow_m3_per_h: flow of the heated air past the wet surface [m³/h], above 0. A flow measured in the
            room counts a little more air, so taking it for heated air errs to the longer time.
        uptake: share of the capacity that the leaving air really carries, above 0 to 1. No published share is
            known; 1 gives the bound that no drying can beat.

    Returns:
        Volumes, time, the heat of evaporation at the wet bulb, and the heat given to the air.

    Raises:
        OutOfRange: a value lies beyond its range, or the air is too damp to carry anything.

    Source: water / capacity (computed).

    >>> need = drying_need(100.0, drying_air(25.0, 60.0, 60.0, 101.325), flow_m3_per_h=20.0)
    >>> round(need.heated_m3, 1), round(need.at_least_s / 60.0)
    (7.3, 22)
    """
    _require_from_zero(_("water to carry off"), water_g, "g")
    _require_positive(_("air flow"), flow_m3_per_h, "m³/h")
    if not 0.0 < uptake <= 1.0:
        says = _("The share of the air's capacity used is {value}. Give more than 0 and at most 1.")
        raise OutOfRange(says.format(value=number(uptake, 2)))
    if air.capacity_g_per_m3 < 0.01:
        says = _(
            "Air of {room} °C and {rh} % heated to {heated} °C is full and carries nothing off. "
            "Heat it further, or draw drier air."
        )
        raise OutOfRange(
            says.format(room=number(air.room_c), rh=number(air.rh_percent), heated=number(air.heated_c))
        )
    heated_m3 = water_g / (air.capacity_g_per_m3 * uptake)
    return DryingNeed(
        water_g=water_g,
        heated_m3=heated_m3,
        room_m3=heated_m3 / air.heated_m3_per_room_m3,
        at_least_s=3600.0 * heated_m3 / flow_m3_per_h,
        evaporation_kj=water_g / 1000.0 * latent_heat_kj_per_kg(air.wet_bulb_c),
        heating_kj=heated_m3 * air.heating_kj_per_m3,
    )


def require_forced_flow(has_lumen: bool, through_flow: bool | None) -> None:
    """Refuse to reckon with a lumen through which no air is forced.

    Args:
        has_lumen: whether the part is a tube or has a channel.
        through_flow: whether air is blown through it; None where nobody said.

    Raises:
        OutOfRange: there is a lumen, and no flow through it is stated.

    Source: `still_lumen_g_per_day`: vapour leaves a still lumen by diffusion alone (computed).

    >>> require_forced_flow(has_lumen=False, through_flow=None)
    """
    if not has_lumen or through_flow:
        return
    state = (
        _("No air is forced through the lumen")
        if through_flow is False
        else _("Nobody says that air is forced through the lumen")
    )
    says = _(
        "{state}: warm air around a tube does not dry its inside in any time worth reckoning. "
        "Force filtered air through it, hang it so that it drains at both ends, and check it by weight."
    )
    raise OutOfRange(says.format(state=state))


def still_lumen_g_per_day(bore_mm: float, length_m: float, temperature_c: float, rh_percent: float) -> float:
    """Return how much water leaves the middle of a still, open tube in a day.

    Args:
        bore_mm: inner diameter [mm], above 0.
        length_m: length between the open ends [m], above 0.
        temperature_c: of tube and air [°C], 0.01 to 60.
        rh_percent: relative humidity of the air outside [%], 0 to 100.

    Returns:
        Water [g/day] leaving by both ends; no more than an order of magnitude, for a caution.

    Raises:
        OutOfRange: a value lies beyond its range.

    Source: Fick's first law over half the length to each end, D = 2.5e-5 m²/s (from memory).

    >>> round(still_lumen_g_per_day(22.0, 1.5, 25.0, 60.0), 3)
    0.02
    """
    _require_positive(_("bore"), bore_mm, "mm")
    _require_positive(_("length"), length_m, "m")
    require_humidity(rh_percent)
    area_m2 = 0.25 * np.pi * (bore_mm / 1000.0) ** 2
    lack_g_per_m3 = saturation_mg_per_l(temperature_c) * (1.0 - rh_percent / 100.0)
    return float(2.0 * 86400.0 * DIFFUSION_M2_PER_S * area_m2 * lack_g_per_m3 / (0.5 * length_m))


def _require_positive(what: str, value: float, unit: str) -> None:
    if not 0.0 < value < float("inf"):
        says = _("The {what} is {value} {unit}. Give a number above 0.")
        raise OutOfRange(says.format(what=what, value=figure(value, 2), unit=unit))


def _require_from_zero(what: str, value: float, unit: str) -> None:
    if not 0.0 <= value < float("inf"):
        says = _("The {what} is {value} {unit}. Give 0 or more.")
        raise OutOfRange(says.format(what=what, value=figure(value, 2), unit=unit))
