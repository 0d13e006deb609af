"""Air pressure and boiling point of a place, against an independent standard atmosphere."""

import math

import numpy as np
import pytest
from ambiance import Atmosphere
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import OutOfRange
from lungwort.science.atmosphere import (
    air_pressure_at_geopotential_kpa,
    air_pressure_here_kpa,
    air_pressure_kpa,
    boiling_point_c,
)

ALTITUDES = st.floats(-2000.0, 11000.0)


def test_air_pressure_agrees_with_an_independent_standard_atmosphere():
    """The package ambiance (ICAO atmosphere, geometric altitude) gives the same to 1 in a million."""
    altitude_m = np.linspace(-2000.0, 11000.0, 2601)
    np.testing.assert_allclose(
        1000.0 * air_pressure_kpa(altitude_m), Atmosphere(altitude_m).pressure, rtol=1e-6
    )


def test_geopotential_altitude_agrees_with_an_independent_conversion():
    """Pressure at ambiance's geopotential altitude is its pressure at the geometric one."""
    geometric_m = np.linspace(-1900.0, 10900.0, 129)
    geopotential_m = Atmosphere(geometric_m).H
    pressure = 1000.0 * air_pressure_at_geopotential_kpa(geopotential_m)
    np.testing.assert_allclose(pressure, Atmosphere(geometric_m).pressure, rtol=1e-6)


def test_sea_level_is_the_standard_atmosphere():
    """At sea level both altitudes give 101.325 kPa, and water boils at 99.97 °C."""
    assert air_pressure_kpa(0.0) == air_pressure_at_geopotential_kpa(0.0) == 101.325
    assert boiling_point_c(101.325) == pytest.approx(99.97, abs=0.005)


def test_a_number_gives_a_number_and_a_list_gives_an_array():
    """Shapes and kinds are kept, and a missing altitude stays missing."""
    assert type(air_pressure_kpa(1500.0)) is float
    several = air_pressure_kpa([[0.0, math.nan], [1500.0, 3000.0]])
    assert several.shape == (2, 2)
    assert np.isnan(several).tolist() == [[False, True], [False, False]]
    assert air_pressure_kpa([]).size == 0


@given(ALTITUDES, ALTITUDES)
def test_pressure_and_boiling_point_fall_with_altitude(one_m, other_m):
    """The higher of two places has no more air pressure and boils no hotter."""
    low_m, high_m = sorted((one_m, other_m))
    low, high = air_pressure_kpa(low_m), air_pressure_kpa(high_m)
    assert high <= low
    assert boiling_point_c(high) <= boiling_point_c(low) + 1e-9


@given(ALTITUDES)
def test_geometric_altitude_never_gives_less_pressure_than_geopotential(altitude_m):
    """Gravity weakens upwards, so the same figure read from a map means slightly more air above."""
    assert air_pressure_kpa(altitude_m) >= air_pressure_at_geopotential_kpa(altitude_m)


@pytest.mark.parametrize("pressure", [air_pressure_kpa, air_pressure_at_geopotential_kpa])
def test_the_ends_of_the_altitude_range_are_included(pressure):
    """Both ends are answered; 11000 m geopotential has 22.632 kPa (ISO 2533, from memory)."""
    assert pressure(-2000.0) > 120.0
    assert pressure(11000.0) == pytest.approx(22.632, abs=0.1)
    assert air_pressure_at_geopotential_kpa(11000.0) == pytest.approx(22.632, abs=0.0005)


@pytest.mark.parametrize("pressure", [air_pressure_kpa, air_pressure_at_geopotential_kpa])
@pytest.mark.parametrize(
    ("altitude_m", "shown"), [(-2000.1, "−2000.1"), (11000.1, "11000.1"), (math.inf, "Altitude")]
)
def test_an_altitude_beyond_the_range_is_refused(pressure, altitude_m, shown):
    """The message names the value, the range and the remedy."""
    with pytest.raises(OutOfRange, match=rf"{shown}.* −2000 to 11000 m.*barometer reading in kPa"):
        pressure([0.0, altitude_m])


def test_a_barometer_overrules_the_altitude():
    """Where both are given the barometer is taken as it is."""
    assert air_pressure_here_kpa(altitude_m=2300.0, barometer_kpa=77.1) == 77.1
    assert air_pressure_here_kpa(barometer_kpa=40.0) == 40.0
    assert air_pressure_here_kpa(barometer_kpa=110.0) == 110.0


def test_without_a_barometer_the_altitude_is_taken():
    """The altitude alone gives the standard pressure, and zero is an altitude like any other."""
    assert air_pressure_here_kpa(altitude_m=2300.0) == air_pressure_kpa(2300.0)
    assert air_pressure_here_kpa(altitude_m=0) == 101.325


@pytest.mark.parametrize("altitude_m", [None, math.nan])
def test_a_place_about_which_nothing_is_known_is_refused(altitude_m):
    """Neither altitude nor barometer: the message asks for one of them."""
    with pytest.raises(OutOfRange, match=r"not known.*altitude in metres, or better a barometer"):
        air_pressure_here_kpa(altitude_m=altitude_m)


@pytest.mark.parametrize(
    ("reading", "hint"),
    [
        (1013.0, r"hPa \(mbar\), which is 101.3 kPa"),
        (570.0, r"mmHg, which is 76.0 kPa or hPa \(mbar\), which is 57.0 kPa"),
        (76062.0, "in Pa, which is 76.1 kPa"),
        (29.92, "inHg, which is 101.3 kPa"),
        (0.845, "in bar, which is 84.5 kPa"),
        (39.9, "pressure at the place itself"),
        (110.1, "pressure at the place itself"),
        (-5.0, "pressure at the place itself"),
        (math.nan, "pressure at the place itself"),
    ],
)
def test_a_barometer_reading_in_another_unit_is_refused_with_a_hint(reading, hint):
    """The message names the value, 40 to 110 kPa, and the unit it seems to be in."""
    with pytest.raises(OutOfRange, match=rf"outside 40(.0)? to 110(.0)? kPa.*{hint}"):
        air_pressure_here_kpa(altitude_m=2300.0, barometer_kpa=reading)
