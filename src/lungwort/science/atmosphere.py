"""Atmosphere: the air pressure of a place and the temperature at which water boils there."""

from __future__ import annotations

import numpy as np

from lungwort.errors import OutOfRange
from lungwort.language import _, number
from lungwort.science.arrays import FloatArray, Number, floats, require_between, same_kind
from lungwort.science.constants import STANDARD_PRESSURE_KPA
from lungwort.science.steam import saturation_temperature_c

ALTITUDE_RANGE_M = (-2000.0, 11000.0)
"""The lowest layer of the standard atmosphere, in which temperature falls evenly."""
BAROMETER_RANGE_KPA = (40.0, 110.0)
"""Air pressures met where people live, with a wide margin (common practice)."""

# ISO 2533:1975, constants of the standard atmosphere (from memory; results agree with published ones).
_SEA_LEVEL_K = 288.15
_LAPSE_K_PER_M = 0.0065
_EARTH_RADIUS_M = 6356766.0
_EXPONENT = 9.80665 / (0.0065 * 287.05287)


def _pressure(geopotential_m: FloatArray) -> FloatArray:
    return floats(
        STANDARD_PRESSURE_KPA * (1.0 - geopotential_m * (_LAPSE_K_PER_M / _SEA_LEVEL_K)) ** _EXPONENT
    )


def air_pressure_at_geopotential_kpa(geopotential_m: Number) -> Number:
    """Return the standard air pressure at a geopotential altitude.

    Args:
        geopotential_m: geopotential altitude [m], any shape, -2000 to 11000; NaN gives NaN.

    Returns:
        Air pressure [kPa], same shape. Weather moves it by about 3 kPa either way.

    Raises:
        OutOfRange: an altitude lies beyond that range.

    Source: ISO 2533:1975, pressure in the layer of constant lapse rate.

    >>> round(air_pressure_at_geopotential_kpa(3000.0), 3)
    70.109
    """
    values = floats(geopotential_m)
    require_between(values, *ALTITUDE_RANGE_M, says=_altitude_says())
    return same_kind(_pressure(values), geopotential_m)


def air_pressure_kpa(altitude_m: Number) -> Number:
    """Return the standard air pressure at an altitude as read from a map.

    Args:
        altitude_m: altitude above sea level [m], any shape, -2000 to 11000; NaN gives NaN.

    Returns:
        Air pressure [kPa], same shape. Weather moves it by about 3 kPa either way.

    Raises:
        OutOfRange: an altitude lies beyond that range.

    Source: ISO 2533:1975, with geopotential altitude H = r h / (r + h), r = 6356766 m.

    >>> round(air_pressure_kpa(2355.0), 2)
    76.06
    """
    values = floats(altitude_m)
    require_between(values, *ALTITUDE_RANGE_M, says=_altitude_says())
    return same_kind(_pressure(_EARTH_RADIUS_M * values / (_EARTH_RADIUS_M + values)), altitude_m)


def boiling_point_c(air_pressure_kpa: Number) -> Number:
    """Return the temperature at which water boils in an open vessel.

    Args:
        air_pressure_kpa: air pressure at the place [kPa], any shape; NaN gives NaN.

    Returns:
        Temperature [°C], same shape.

    Raises:
        OutOfRange: a pressure lies beyond 0.611212 to 22064 kPa.

    Source: IAPWS-IF97, region 4, equation 31.

    >>> round(boiling_point_c(70.121), 2)
    89.98
    """
    return saturation_temperature_c(air_pressure_kpa)


def air_pressure_here_kpa(altitude_m: float | None = None, barometer_kpa: float | None = None) -> float:
    """Return the air pressure to reckon with at a place; a barometer overrules the altitude.

    Args:
        altitude_m: altitude above sea level [m], -2000 to 11000.
        barometer_kpa: air pressure measured at the place [kPa], 40 to 110, not reduced to sea level.

    Returns:
        Air pressure [kPa].

    Raises:
        OutOfRange: neither is given, or the one used lies beyond its range.

    Source: ISO 2533:1975 where only the altitude is known.

    >>> air_pressure_here_kpa(altitude_m=2300.0, barometer_kpa=77.1)
    77.1
    """
    if barometer_kpa is not None:
        return _barometer(float(barometer_kpa))
    if altitude_m is None or np.isnan(altitude_m):
        raise OutOfRange(
            _(
                "The air pressure of the place is not known. "
                "Give the altitude in metres, or better a barometer reading in kPa."
            )
        )
    return air_pressure_kpa(float(altitude_m))


def require_air_pressure(air_pressure_kpa: float) -> None:
    """Raise OutOfRange where an air pressure [kPa] is not 40 to 110: no hospital has it."""
    says = _(
        "Air pressure {value} kPa is outside {low} to {high} kPa. "
        "Give the absolute pressure of the air at the place, not reduced to sea level."
    )
    require_between(floats(air_pressure_kpa), *BAROMETER_RANGE_KPA, says=says)


def _barometer(barometer_kpa: float) -> float:
    low, high = BAROMETER_RANGE_KPA
    if low <= barometer_kpa <= high:
        return barometer_kpa
    says = _("Barometer reading {value} kPa is outside {low} to {high} kPa. {hint}")
    hint = _barometer_hint(barometer_kpa)
    raise OutOfRange(says.format(value=number(barometer_kpa), low=number(low), high=number(high), hint=hint))


def _barometer_hint(value: float) -> str:
    """Name the unit in which the reading would be an air pressure."""
    low, high = BAROMETER_RANGE_KPA
    divisors = ((7.500617, "mmHg"), (10.0, "hPa (mbar)"), (1000.0, "Pa"), (0.2952998, "inHg"), (0.01, "bar"))
    units = [(unit, value / per) for per, unit in divisors if low <= value / per <= high]
    if not units:
        return _("Give the pressure at the place itself, in kPa.")
    each = _("{unit}, which is {kpa} kPa")
    readings = _(" or ").join(each.format(unit=unit, kpa=number(kpa)) for unit, kpa in units)
    return _("Perhaps it is in {readings}; give it in kPa.").format(readings=readings)


def _altitude_says() -> str:
    return _(
        "Altitude {value} m is outside {low} to {high} m, the standard atmosphere's lowest layer. "
        "Check the unit, or give a barometer reading in kPa."
    )
