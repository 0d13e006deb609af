"""Humidity: the water that breathing gas carries, uses up and leaves behind in a limb.

Every figure here is for gas saturated as it leaves the chamber, which is the most water it can carry.
Water is counted as 1 mL a gram. What that and the law of ideal gases leave out is in `MODEL_MARGIN`.
"""

from __future__ import annotations

import numpy as np

from lungwort.language import _
from lungwort.science.arrays import Number, float_or_array, floats, require_between
from lungwort.science.atmosphere import require_air_pressure
from lungwort.science.constants import ZERO_C_K
from lungwort.science.steam import saturation_pressure_kpa

GAS_RANGE_C = (0.01, 60.0)
"""From the triple point of water, below which there is frost, to well above what any patient breathes."""
FLOW_RANGE_L_PER_MIN = (0.0, 400.0)
"""The most that is stated for a patient, 120 L/min, as it may have grown from thin, cool, dry litres."""
VAPOUR_J_PER_KG_K = 461.526
"""Specific gas constant of water (IAPWS-IF97)."""
MODEL_MARGIN = 1.02
"""Moist air near atmospheric pressure holds up to 0.6 % more water than an ideal gas (computed with
CoolProp's humid air, 0.01 to 45 °C, 70 and 101 kPa), and warm water takes up to 1 % more room than
1 mL a gram (from memory): 2 % covers both."""
_LITRES_PER_MG_A_MINUTE = 1440.0 * 1e-6


def saturation_mg_per_l(temperature_c: Number) -> Number:
    """Return the mass of water in a litre of gas that is saturated at a temperature.

    Args:
        temperature_c: temperature [°C], any shape, 0.01 to 60; NaN gives NaN.

    Returns:
        Absolute humidity [mg/L, which is g/m³], same shape; the same at every altitude.

    Raises:
        OutOfRange: a temperature lies beyond that range.

    Source: ideal gas, p_sat / (461.526 J/(kg K) · T), with p_sat of IAPWS-IF97, equation 30 (computed).
    Real moist air holds up to 0.6 % more: see `MODEL_MARGIN`.

    >>> round(saturation_mg_per_l(37.0), 2)
    43.89
    """
    values = floats(temperature_c)
    require_between(values, *GAS_RANGE_C, says=_temperature_says())
    pressure_pa = 1000.0 * floats(saturation_pressure_kpa(values))
    return float_or_array(1000.0 * pressure_pa / (VAPOUR_J_PER_KG_K * (values + ZERO_C_K)), temperature_c)


def humidity_mg_per_l(temperature_c: Number, rh_percent: float) -> Number:
    """Return the mass of water in a litre of gas of a temperature and relative humidity.

    Args:
        temperature_c: temperature [°C], any shape, 0.01 to 60; NaN gives NaN.
        rh_percent: relative humidity [%], 0 (dry medical gas) to 100.

    Returns:
        Absolute humidity [mg/L], same shape as the temperature.

    Raises:
        OutOfRange: a temperature or the humidity lies beyond its range.

    Source: definition of relative humidity, on `saturation_mg_per_l`.

    >>> round(humidity_mg_per_l(22.0, 50.0), 2)
    9.71
    """
    require_humidity(rh_percent)
    return float_or_array(
        floats(saturation_mg_per_l(floats(temperature_c))) * (rh_percent / 100.0), temperature_c
    )


def simple_condensate_mg_per_l(
    gas_c: Number, wall_c: Number, air_pressure_kpa: float, rh_percent: float = 100.0
) -> Number:
    """Return the water a litre of gas sheds on a cooler wall, by plain difference of absolute humidities.

    The air pressure is not needed here and is taken so that both bases are called alike. The gas shrinks
    as it cools, so this basis reports 6 to 10 % too little; use it for comparison only.

    Arguments, returns, range and raises as for `condensate_mg_per_l`.

    Source: AH(gas) - AH_sat(wall), 0 where negative (computed).

    >>> round(simple_condensate_mg_per_l(37.0, 24.0, 101.325), 1)
    22.1
    """
    require_air_pressure(air_pressure_kpa)
    carried = floats(humidity_mg_per_l(floats(gas_c), rh_percent))
    return float_or_array(np.maximum(carried - saturation_mg_per_l(floats(wall_c)), 0.0), gas_c)


def condensate_mg_per_l(
    gas_c: Number, wall_c: Number, air_pressure_kpa: float, rh_percent: float = 100.0
) -> Number:
    """Return the water a litre of gas sheds on a cooler wall, counted on the mass of dry gas.

    Args:
        gas_c: temperature at which the gas enters the limb [°C], 0.01 to 60; NaN gives NaN.
        wall_c: temperature to which the limb cools it [°C], 0.01 to 60, same shape or one number. A plain
            limb cools it to the room's, a heated one to the coldest stretch of its wall.
        air_pressure_kpa: air pressure at the place [kPa], 40 to 110.
        rh_percent: relative humidity of the gas as it enters [%], 0 to 100.

    Returns:
        Condensate [mg per litre of gas as it enters], same shape; 0 where the wall is warm enough.

    Raises:
        OutOfRange: a value lies beyond its range.

    Source: conservation of dry gas, with Dalton's law and ideal gases (computed).

    >>> round(condensate_mg_per_l(37.0, 24.0, 101.325), 1)
    23.7
    """
    require_air_pressure(air_pressure_kpa)
    carried = floats(humidity_mg_per_l(floats(gas_c), rh_percent))
    shrunk = dry_gas_ratio(floats(wall_c), 100.0, floats(gas_c), rh_percent, air_pressure_kpa)
    return float_or_array(np.maximum(carried - saturation_mg_per_l(floats(wall_c)) * shrunk, 0.0), gas_c)


def dry_gas_ratio(
    from_c: Number, from_rh_percent: float, to_c: Number, to_rh_percent: float, air_pressure_kpa: float
) -> Number:
    """Return how many litres at one state hold the same dry gas as one litre at another state.

    Args:
        from_c, from_rh_percent: the state whose litres are wanted [°C, %].
        to_c, to_rh_percent: the state of which there is one litre [°C, %].
        air_pressure_kpa: pressure of both [kPa], 40 to 110.

    Returns:
        Litres at the first state for each litre at the second; above 1 where the first is warmer or wetter.

    Raises:
        OutOfRange: a value lies beyond its range.

    Source: ideal gas and Dalton's law, (T₁ / T₂) · (p - e₂) / (p - e₁) (computed).

    >>> round(dry_gas_ratio(37.0, 100.0, 24.0, 0.0, 101.325), 3)
    1.113
    """
    require_air_pressure(air_pressure_kpa)
    pressure = floats(air_pressure_kpa)
    first, second = floats(from_c), floats(to_c)
    dry_first = pressure - _vapour_kpa(first, from_rh_percent)
    dry_second = pressure - _vapour_kpa(second, to_rh_percent)
    return float_or_array(floats((first + ZERO_C_K) / (second + ZERO_C_K) * dry_second / dry_first), from_c)


def brought_in_mg_per_l(
    inlet_c: Number, inlet_rh_percent: float, gas_c: Number, air_pressure_kpa: float
) -> Number:
    """Return the water that a litre of saturated gas had with it before it entered the chamber.

    Args:
        inlet_c: temperature of the gas that enters the chamber [°C], 0.01 to 60.
        inlet_rh_percent: its relative humidity [%], 0 to 100.
        gas_c: temperature at which it leaves, saturated [°C], 0.01 to 60.
        air_pressure_kpa: air pressure at the place [kPa], 40 to 110.

    Returns:
        Water [mg per litre of gas as it leaves]; less than a litre of inlet gas holds, as gas expands.

    Raises:
        OutOfRange: a value lies beyond its range.

    Source: conservation of dry gas (computed).

    >>> round(brought_in_mg_per_l(22.0, 50.0, 37.0, 101.325), 2)
    8.78
    """
    brought = floats(humidity_mg_per_l(floats(inlet_c), inlet_rh_percent))
    ratio = dry_gas_ratio(floats(inlet_c), inlet_rh_percent, floats(gas_c), 100.0, air_pressure_kpa)
    return float_or_array(brought * ratio, inlet_c)


def water_l_per_day(flow_l_per_min: Number, humidity_mg_per_l: Number, inlet_mg_per_l: float = 0.0) -> Number:
    """Return the water that a flow of gas takes from the chamber in a day.

    Args:
        flow_l_per_min: gas leaving the chamber [L/min], 0 to 400, any shape.
        humidity_mg_per_l: water in each litre of it [mg/L], 0 or more.
        inlet_mg_per_l: water already in it on arrival [mg/L], 0 for dry medical gas.

    Returns:
        Water [L/day], at 1 mL a gram; 0 where the gas arrives with more than it leaves with.

    Raises:
        OutOfRange: the flow or a humidity lies beyond its range.

    Source: flow · 1440 min · humidity (computed).

    >>> round(water_l_per_day(10.0, 44.0), 3), round(water_l_per_day(10.0, 44.0, 9.71), 3)
    (0.634, 0.494)
    """
    require_between(floats(flow_l_per_min), *FLOW_RANGE_L_PER_MIN, says=flow_says())
    for humidity in (floats(humidity_mg_per_l), floats(inlet_mg_per_l)):
        require_between(humidity, 0.0, 200.0, says=_carried_says())
    taken = np.maximum(floats(humidity_mg_per_l) - inlet_mg_per_l, 0.0)
    return float_or_array(floats(flow_l_per_min) * taken * _LITRES_PER_MG_A_MINUTE, flow_l_per_min)


def _vapour_kpa(temperature_c: Number, rh_percent: float) -> Number:
    values = floats(temperature_c)
    require_between(values, *GAS_RANGE_C, says=_temperature_says())
    require_humidity(rh_percent)
    return float_or_array(floats(saturation_pressure_kpa(values)) * (rh_percent / 100.0), temperature_c)


def _temperature_says() -> str:
    return _(
        "Gas temperature {value} °C is outside {low} to {high} °C. "
        "Check that the unit is °C; below 0.01 °C there is frost, not dew."
    )


def require_humidity(rh_percent: float) -> None:
    """Raise OutOfRange where a relative humidity [%] is not 0 to 100."""
    says = _(
        "Relative humidity {value} % is outside {low} to {high} %. Give it in percent; 0 is dry medical gas."
    )
    require_between(floats(rh_percent), 0.0, 100.0, says=says)


def flow_says() -> str:
    """Return what is said of a flow of gas that no patient is given."""
    return _(
        "A gas flow of {value} L/min is outside {low} to {high} L/min. Check that it is in litres a minute."
    )


def _carried_says() -> str:
    return _(
        "A humidity of {value} mg/L is outside {low} to {high} mg/L. "
        "Check that it is milligrams of water in a litre of gas."
    )
