"""Steam: saturation pressure and temperature, gauge and absolute pressure, air in steam, superheat."""

from __future__ import annotations

import numpy as np

from lungwort.language import _
from lungwort.science.arrays import FloatArray, Number, floats, in_blocks, require_between, same_kind
from lungwort.science.constants import ZERO_C_K

TEMPERATURE_RANGE_C = (0.0, 373.946)
"""273.15 K to the critical temperature of water, 647.096 K."""
PRESSURE_RANGE_KPA = (0.611212, 22064.001)
"""Saturation pressure at 0 °C to the critical pressure of water, rounded outwards."""

# IAPWS-IF97 (release R7-97), table 34: coefficients of the saturation equation; pressure in MPa.
_N1, _N2, _N3 = 0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2
_N4, _N5, _N6 = 0.12020824702470e5, -0.32325550322333e7, 0.14915108613530e2
_N7, _N8, _N9 = -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849
_N10 = 0.65017534844798e3


def _pressure(temperature_c: FloatArray, filled: FloatArray) -> None:
    """Equation 30: p = (2 C / (-B + sqrt(B² - 4 A C)))⁴ MPa."""
    kelvin = temperature_c + ZERO_C_K
    theta = kelvin + _N9 / (kelvin - _N10)
    a = (theta + _N1) * theta + _N2
    b = (_N3 * theta + _N4) * theta + _N5
    c = (_N6 * theta + _N7) * theta + _N8
    root = (c + c) / (np.sqrt(b * b - 4.0 * a * c) - b)
    root *= root
    np.multiply(root, root, out=filled)
    filled *= 1000.0


def _temperature(pressure_kpa: FloatArray, filled: FloatArray) -> None:
    """Equation 31: T = (n10 + D - sqrt((n10 + D)² - 4 (n9 + n10 D))) / 2 K."""
    square = np.sqrt(pressure_kpa * 0.001)
    beta = np.sqrt(square)
    e = square + _N3 * beta
    e += _N6
    f = _N1 * square
    f += _N4 * beta
    f += _N7
    g = _N2 * square
    g += _N5 * beta
    g += _N8
    e *= g
    e *= -4.0
    e += f * f
    np.sqrt(e, out=e)
    e += f
    g *= -2.0
    g /= e
    f = g - _N10  # (n10 + D)² - 4 n10 D = (n10 - D)²: one product fewer and no cancellation
    f *= f
    f -= 4.0 * _N9
    np.sqrt(f, out=f)
    g += _N10
    g -= f
    np.multiply(g, 0.5, out=filled)
    filled -= ZERO_C_K


def saturation_pressure_kpa(temperature_c: Number) -> Number:
    """Return the absolute pressure at which water boils at a temperature.

    Args:
        temperature_c: temperature [°C], any shape, 0 to 373.946 (273.15 to 647.096 K); NaN gives NaN.

    Returns:
        Absolute pressure [kPa], same shape.

    Raises:
        OutOfRange: a temperature lies beyond that range.

    Source: IAPWS-IF97, region 4, equation 30 with table 34.

    >>> round(saturation_pressure_kpa(134.0), 2)
    304.2
    """
    values = floats(temperature_c)
    require_between(values, *TEMPERATURE_RANGE_C, says=_temperature_says())
    return same_kind(in_blocks(_pressure, values), temperature_c)


def saturation_temperature_c(pressure_kpa: Number) -> Number:
    """Return the temperature at which water boils under an absolute pressure.

    Args:
        pressure_kpa: absolute pressure [kPa], any shape, 0.611212 to 22064.001; NaN gives NaN.

    Returns:
        Temperature [°C], same shape.

    Raises:
        OutOfRange: a pressure lies beyond that range.

    Source: IAPWS-IF97, region 4, equation 31 with table 34.

    >>> round(saturation_temperature_c(205.04), 2)
    121.0
    """
    values = floats(pressure_kpa)
    require_between(values, *PRESSURE_RANGE_KPA, says=_pressure_says())
    return same_kind(in_blocks(_temperature, values), pressure_kpa)


def absolute_kpa(gauge_kpa: Number, air_pressure_kpa: float) -> Number:
    """Return absolute pressure from what a gauge shows and the air pressure of the place.

    Args:
        gauge_kpa: gauge pressure [kPa], any shape, negative under vacuum; NaN gives NaN.
        air_pressure_kpa: air pressure at the place [kPa].

    Returns:
        Absolute pressure [kPa], same shape. The sum is not checked here; the steam functions refuse
        what no steam can have.

    Source: definition of gauge pressure.

    >>> round(absolute_kpa(103.7, 76.062), 3)
    179.762
    """
    return same_kind(floats(gauge_kpa) + air_pressure_kpa, gauge_kpa)


def gauge_kpa(pressure_kpa: Number, air_pressure_kpa: float) -> Number:
    """Return what a gauge shows for an absolute pressure at a place.

    Args:
        pressure_kpa: absolute pressure [kPa], any shape; NaN gives NaN.
        air_pressure_kpa: air pressure at the place [kPa].

    Returns:
        Gauge pressure [kPa], same shape, negative under vacuum.

    Source: definition of gauge pressure.

    >>> round(gauge_kpa(304.2, 101.325), 3)
    202.875
    """
    return same_kind(floats(pressure_kpa) - air_pressure_kpa, pressure_kpa)


def air_fraction(temperature_c: Number, pressure_kpa: Number) -> Number:
    """Return the share of air in a well-mixed chamber that is cooler than its pressure would have it.

    Args:
        temperature_c: temperature [°C], 0 to 373.946; NaN gives NaN.
        pressure_kpa: absolute pressure [kPa], same shape, above 0; NaN gives NaN.

    Returns:
        Mole fraction of air, 0 to 1; 0 where the temperature is at or above saturation. A lagging
        sensor looks the same as trapped air.

    Raises:
        OutOfRange: a temperature or a pressure lies beyond its range.

    Source: Dalton's law, 1 - p_sat(T) / p, with IAPWS-IF97 for p_sat.

    >>> round(air_fraction(118.0, 205.0), 4)
    0.0907
    """
    pressure = floats(pressure_kpa)
    require_between(pressure, *PRESSURE_RANGE_KPA, says=_pressure_says())
    steam_share = floats(saturation_pressure_kpa(floats(temperature_c))) / pressure
    return same_kind(np.maximum(1.0 - steam_share, 0.0), temperature_c)


def superheat_k(temperature_c: Number, pressure_kpa: Number) -> Number:
    """Return how far a temperature lies above (or, negative, below) saturation at its pressure.

    Args:
        temperature_c: temperature [°C]; NaN gives NaN.
        pressure_kpa: absolute pressure [kPa], same shape, 0.611212 to 22064.001; NaN gives NaN.

    Returns:
        Signed difference [K], same shape: above 0 is superheat, below 0 is air or a lagging sensor.

    Raises:
        OutOfRange: a pressure lies beyond its range.

    Source: definition, with IAPWS-IF97 equation 31.

    >>> round(superheat_k(136.0, 304.2), 2)
    2.0
    """
    return same_kind(floats(temperature_c) - saturation_temperature_c(floats(pressure_kpa)), temperature_c)


def _temperature_says() -> str:
    return _(
        "Temperature {value} °C is outside {low} to {high} °C, where the steam equation holds. "
        "Check that the unit is °C, or leave such readings out."
    )


def _pressure_says() -> str:
    return _(
        "Absolute pressure {value} kPa is outside {low} to {high} kPa, where the steam equation holds. "
        "Check the unit, and whether the pressure is gauge or absolute."
    )
