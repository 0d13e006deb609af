"""Tolerances of sensors: shapes, ranges and refusals; the figures themselves stand in tests/published."""

import math

import numpy as np
import pytest

from lungwort.errors import OutOfRange, UnknownName
from lungwort.science.uncertainty import pt100_tolerance_k, thermocouple_tolerance_k


def test_tolerances_keep_shapes_and_missing_readings():
    """An array gives an array, a number a number, NaN stays NaN."""
    several = pt100_tolerance_k([0.0, math.nan, -100.0], "A")
    np.testing.assert_array_equal(several, [0.15, math.nan, 0.35])
    assert type(pt100_tolerance_k(20, "B")) is float
    assert thermocouple_tolerance_k([0.0, 200.0], "T", 1).tolist() == [0.5, 0.8]


@pytest.mark.parametrize(
    ("tolerance_class", "low", "high"),
    [("AA", -50.0, 250.0), ("A", -100.0, 450.0), ("B", -196.0, 600.0), ("C", -196.0, 600.0)],
)
def test_a_pt100_is_refused_beyond_the_range_of_its_class(tolerance_class, low, high):
    """Both ends are included, and a tenth of a degree beyond is not."""
    assert np.all(pt100_tolerance_k([low, high], tolerance_class) > 0.0)
    for beyond in (low - 0.1, high + 0.1):
        with pytest.raises(
            OutOfRange, match=f"{beyond:g} °C is outside {low:g} to {high:g}.*calibration".replace("-", "−")
        ):
            pt100_tolerance_k(beyond, tolerance_class)


@pytest.mark.parametrize(
    ("kind", "low", "high"),
    [
        ("T", -40.0, 350.0),
        ("K", -40.0, 1000.0),
        ("J", -40.0, 750.0),
        ("N", -40.0, 1000.0),
        ("E", -40.0, 800.0),
    ],
)
def test_a_thermocouple_is_refused_beyond_the_range_of_its_class(kind, low, high):
    """Both ends are included, and a tenth of a degree beyond is not."""
    assert np.all(thermocouple_tolerance_k([low, high], kind, 1) > 0.0)
    for beyond in (low - 0.1, high + 0.1):
        with pytest.raises(
            OutOfRange, match=f"{beyond:g} °C is outside {low:g} to {high:g}.*calibration".replace("-", "−")
        ):
            thermocouple_tolerance_k(beyond, kind, 1)


def test_an_unknown_sensor_is_refused_with_the_known_ones():
    """The message lists what may be given."""
    with pytest.raises(UnknownName, match=r"class D is unknown. Give one of AA, A, B, C"):
        pt100_tolerance_k(20.0, "D")
    with pytest.raises(UnknownName, match=r"Thermocouple K 3 is unknown. Give one of T 1, T 2, K 1"):
        thermocouple_tolerance_k(20.0, "K", 3)
