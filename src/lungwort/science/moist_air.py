"""Moist air: humidity ratio, wet bulb, volume and heat, near atmospheric pressure."""

from __future__ import annotations

import numpy as np

from lungwort.errors import OutOfRange
from lungwort.language import _
from lungwort.science.arrays import FloatArray, Number, float_or_array, floats, require_between
from lungwort.science.atmosphere import require_air_pressure
from lungwort.science.constants import ZERO_C_K
from lungwort.science.humidity import require_humidity
from lungwort.science.steam import saturation_pressure_kpa, saturation_temperature_c

ROOM_RANGE_C = (0.01, 60.0)
"""Air that the fan draws in; frost is left out."""
HEATED_RANGE_C = (0.01, 120.0)
"""Air that meets the part: far above what any part of a circuit bears, and below steam."""
WATER_TO_AIR = 0.621945
"""Ratio of the molar masses of water and dry air (ASHRAE Handbook, Fundamentals, psychrometrics; from memory)."""
_DRY_AIR_KJ_PER_KG_K = 0.287042


def humidity_ratio(temperature_c: Number, rh_percent: float, air_pressure_kpa: float) -> Number:
    """Return the mass of water vapour for each mass of dry air.

    Args:
        temperature_c: temperature of the air [°C], 0.01 to 60, any shape; NaN gives NaN.
        rh_percent: relative humidity [%], 0 to 100.
        air_pressure_kpa: air pressure at the place [kPa], 40 to 110.

    Returns:
        Humidity ratio [kg/kg], same shape.

    Raises:
        OutOfRange: a value lies beyond its range.

    Source: Dalton's law, 0.621945 e / (p - e), with p_sat of IAPWS-IF97 (computed).

    >>> round(1000.0 * humidity_ratio(25.0, 60.0, 101.325), 1)
    11.9
    """
    values = floats(temperature_c)
    require_between(values, *ROOM_RANGE_C, says=_room_says())
    require_humidity(rh_percent)
    require_air_pressure(air_pressure_kpa)
    vapour = floats(saturation_pressure_kpa(values)) * (rh_percent / 100.0)
    return float_or_array(_ratio(vapour, air_pressure_kpa), temperature_c)


def saturated_humidity_ratio(temperature_c: Number, air_pressure_kpa: float) -> Number:
    """Return the most water vapour that a mass of dry air can hold.

    Args:
        temperature_c: temperature of the air [°C], 0 to below boiling at that pressure, any shape; NaN gives NaN.
            At and above boiling the formula has no meaning; callers stay below, as `wet_bulb_c` does.
        air_pressure_kpa: air pressure at the place [kPa], 40 to 110.

    Returns:
        Humidity ratio of saturated air [kg/kg], same shape.

    Raises:
        OutOfRange: the temperature lies beyond the range of the steam equation.

    Source: as for `humidity_ratio`, which see.

    >>> round(1000.0 * saturated_humidity_ratio(28.7, 101.325), 1)
    25.2
    """
    vapour = floats(saturation_pressure_kpa(floats(temperature_c)))
    return float_or_array(_ratio(vapour, air_pressure_kpa), temperature_c)


def wet_bulb_c(temperature_c: Number, humidity_ratio: Number, air_pressure_kpa: float) -> Number:
    """Return the temperature to which air cools while it takes up water until it is saturated.

    Args:
        temperature_c: temperature of the air [°C], 0.01 to 120, any shape.
        humidity_ratio: of the air [kg/kg], 0 or more, same shape or one number; no more than saturated air has.
        air_pressure_kpa: air pressure at the place [kPa], 40 to 110.

    Returns:
        Thermodynamic wet-bulb temperature [°C], same shape.

    Raises:
        OutOfRange: a value lies beyond its range, the air has more water than it can hold, or the wet bulb
            lies below 0.01 °C, where there is ice.

    Source: energy balance of adiabatic saturation, ASHRAE Handbook, Fundamentals, psychrometrics, equation 33
    (number from memory), solved by bisection; checked against psychrolib.

    >>> round(wet_bulb_c(60.0, humidity_ratio(25.0, 60.0, 101.325), 101.325), 1)
    28.7
    """
    values, water = np.broadcast_arrays(floats(temperature_c), floats(humidity_ratio))
    require_between(values, *HEATED_RANGE_C, says=_heated_says())
    require_air_pressure(air_pressure_kpa)
    boiling_c = float(saturation_temperature_c(air_pressure_kpa))
    high = np.minimum(values, boiling_c - 1e-6)
    low = np.full(values.shape, ROOM_RANGE_C[0])
    _require_wet_bulb_within(values, water, low, high, air_pressure_kpa)
    for _step in range(60):
        middle = 0.5 * (low + high)
        too_low = _ratio_at_wet_bulb(values, middle, air_pressure_kpa) < water
        low, high = np.where(too_low, middle, low), np.where(too_low, high, middle)
    return float_or_array(0.5 * (low + high), temperature_c)


def relative_humidity_percent(
    temperature_c: Number, humidity_ratio: Number, air_pressure_kpa: float
) -> Number:
    """Return the relative humidity of air that holds a given share of water.

    Args:
        temperature_c: temperature of the air [°C], any shape; NaN gives NaN.
        humidity_ratio: of the air [kg/kg], 0 or more, same shape or one number.
        air_pressure_kpa: air pressure at the place [kPa].

    Returns:
        Relative humidity [%], same shape; above 100 where the air holds more than it can.

    Raises:
        OutOfRange: the temperature lies beyond the range of the steam equation.

    Source: definition, e = p W / (0.621945 + W), against p_sat of IAPWS-IF97 (computed).

    >>> round(relative_humidity_percent(60.0, humidity_ratio(25.0, 60.0, 101.325), 101.325), 1)
    9.5
    """
    water = floats(humidity_ratio)
    vapour = air_pressure_kpa * water / (WATER_TO_AIR + water)
    return float_or_array(
        floats(100.0 * vapour / saturation_pressure_kpa(floats(temperature_c))), temperature_c
    )


def volume_m3_per_kg(temperature_c: Number, humidity_ratio: Number, air_pressure_kpa: float) -> Number:
    """Return the volume of moist air that holds one kilogram of dry air.

    Args:
        temperature_c: temperature of the air [°C], any shape; NaN gives NaN.
        humidity_ratio: of the air [kg/kg], 0 or more, same shape or one number.
        air_pressure_kpa: air pressure at the place [kPa], above 0. None of the three is checked here.

    Returns:
        Volume [m³ per kg of dry air], same shape.

    Source: ideal gas, 0.287042 T (1 + W / 0.621945) / p, ASHRAE Handbook, Fundamentals (from memory).

    >>> round(volume_m3_per_kg(20.0, 0.0, 101.325), 4)
    0.8305
    """
    kelvin = floats(temperature_c) + ZERO_C_K
    moist = _DRY_AIR_KJ_PER_KG_K * kelvin * (1.0 + floats(humidity_ratio) / WATER_TO_AIR) / air_pressure_kpa
    return float_or_array(floats(moist), temperature_c)


def latent_heat_kj_per_kg(temperature_c: Number) -> Number:
    """Return the heat that evaporates a kilogram of water.

    Args:
        temperature_c: temperature of the water [°C], 0 to 80, any shape; not checked here.

    Returns:
        Heat [kJ/kg], same shape.

    Source: 2501 - 2.326 T, as in the wet-bulb balance (from memory); within 0.3 % of CoolProp, 0 to 80 °C.

    >>> round(latent_heat_kj_per_kg(60.0))
    2361
    """
    return float_or_array(2501.0 - 2.326 * floats(temperature_c), temperature_c)


def _ratio(vapour_kpa: FloatArray, air_pressure_kpa: float) -> FloatArray:
    return floats(WATER_TO_AIR * vapour_kpa / (air_pressure_kpa - vapour_kpa))


def _ratio_at_wet_bulb(temperature_c: FloatArray, wet_c: FloatArray, air_pressure_kpa: float) -> FloatArray:
    """Return the humidity ratio of air that has this wet bulb (equation 33)."""
    saturated = _ratio(floats(saturation_pressure_kpa(wet_c)), air_pressure_kpa)
    taken_up = (2501.0 - 2.326 * wet_c) * saturated - 1.006 * (temperature_c - wet_c)
    return floats(taken_up / (2501.0 + 1.86 * temperature_c - 4.186 * wet_c))


def _require_wet_bulb_within(
    temperature_c: FloatArray, water: FloatArray, low: FloatArray, high: FloatArray, air_pressure_kpa: float
) -> None:
    if np.any(water < 0.0) or np.any(
        water > _ratio_at_wet_bulb(temperature_c, high, air_pressure_kpa) * 1.000001
    ):
        raise OutOfRange(
            _(
                "The air holds less than no water, or more than air of its temperature can. "
                "Check its temperature and relative humidity."
            )
        )
    if np.any(water < _ratio_at_wet_bulb(temperature_c, low, air_pressure_kpa)):
        raise OutOfRange(
            _(
                "Air so cold and dry has its wet bulb below 0.01 °C, where water freezes. "
                "Warm the air, or wait for a warmer room."
            )
        )


def _room_says() -> str:
    return _(
        "Air of {value} °C is outside {low} to {high} °C for a room. "
        "Check that the unit is °C, and give the air that the fan draws in."
    )


def _heated_says() -> str:
    return _("Heated air of {value} °C is outside {low} to {high} °C. Check that the unit is °C.")
