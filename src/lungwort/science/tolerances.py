"""Tolerances: how far a new sensor of a standard class may be out."""

from __future__ import annotations

import numpy as np

from lungwort.errors import UnknownName
from lungwort.language import _
from lungwort.science.arrays import Number, floats, require_between, same_kind

# Fixed part [K], part per degree, lowest and highest temperature [°C]; both tables from memory.
_PT100 = {  # IEC 60751:2008, tables 2 and 3; ranges of wire-wound sensors
    "AA": (0.10, 0.0017, -50.0, 250.0),
    "A": (0.15, 0.002, -100.0, 450.0),
    "B": (0.30, 0.005, -196.0, 600.0),
    "C": (0.60, 0.01, -196.0, 600.0),
}
_THERMOCOUPLE = {  # IEC 60584-1:2013, table 12
    ("T", 1): (0.5, 0.004, -40.0, 350.0),
    ("T", 2): (1.0, 0.0075, -40.0, 350.0),
    ("K", 1): (1.5, 0.004, -40.0, 1000.0),
    ("K", 2): (2.5, 0.0075, -40.0, 1200.0),
    ("J", 1): (1.5, 0.004, -40.0, 750.0),
    ("J", 2): (2.5, 0.0075, -40.0, 750.0),
    ("N", 1): (1.5, 0.004, -40.0, 1000.0),
    ("N", 2): (2.5, 0.0075, -40.0, 1200.0),
    ("E", 1): (1.5, 0.004, -40.0, 800.0),
    ("E", 2): (2.5, 0.0075, -40.0, 900.0),
}


def pt100_tolerance_k(temperature_c: Number, tolerance_class: str) -> Number:
    """Return how far a platinum resistance sensor may be out when new.

    Args:
        temperature_c: temperature [°C], any shape; NaN gives NaN.
        tolerance_class: "AA", "A", "B" or "C".

    Returns:
        Half width of the tolerance [K], same shape.

    Raises:
        UnknownName: no such class.
        OutOfRange: a temperature lies beyond the range of the class.

    Source: IEC 60751:2008, tables 2 and 3 (from memory).

    >>> round(pt100_tolerance_k(121.0, "A"), 3)
    0.392
    """
    says = _("Pt100 class {name} is unknown. Give one of {known}.")
    if tolerance_class not in _PT100:
        raise UnknownName(says.format(name=tolerance_class, known=", ".join(_PT100)))
    fixed, per_degree, low, high = _PT100[tolerance_class]
    values = floats(temperature_c)
    require_between(values, low, high, says=_tolerance_says())
    return same_kind(fixed + per_degree * np.abs(values), temperature_c)


def thermocouple_tolerance_k(temperature_c: Number, kind: str, tolerance_class: int) -> Number:
    """Return how far a thermocouple may be out when new.

    Args:
        temperature_c: temperature [°C], any shape; NaN gives NaN.
        kind: "T", "K", "J", "N" or "E".
        tolerance_class: 1 or 2.

    Returns:
        Half width of the tolerance [K], same shape.

    Raises:
        UnknownName: no such kind or class.
        OutOfRange: a temperature lies beyond the range of the class.

    Source: IEC 60584-1:2013, table 12 (from memory).

    >>> round(thermocouple_tolerance_k(134.0, "T", 1), 3)
    0.536
    """
    says = _("Thermocouple {name} is unknown. Give one of {known}.")
    if (kind, tolerance_class) not in _THERMOCOUPLE:
        known = ", ".join(f"{letter} {grade}" for letter, grade in _THERMOCOUPLE)
        raise UnknownName(says.format(name=f"{kind} {tolerance_class}", known=known))
    fixed, per_degree, low, high = _THERMOCOUPLE[kind, tolerance_class]
    values = floats(temperature_c)
    require_between(values, low, high, says=_tolerance_says())
    return same_kind(np.maximum(fixed, per_degree * np.abs(values)), temperature_c)


def _tolerance_says() -> str:
    return _(
        "Temperature {value} °C is outside {low} to {high} °C, where the tolerance is defined. "
        "Give the sensor's calibration instead."
    )
