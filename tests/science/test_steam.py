"""Saturated steam, against CoolProp over the whole range and against its own properties."""

import math

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import OutOfRange
from lungwort.science.arrays import BLOCK
from lungwort.science.steam import (
    PRESSURE_RANGE_KPA,
    TEMPERATURE_RANGE_C,
    absolute_kpa,
    air_fraction,
    gauge_kpa,
    saturation_pressure_kpa,
    saturation_temperature_c,
    superheat_k,
)

TEMPERATURES = st.floats(*TEMPERATURE_RANGE_C)
PRESSURES = st.floats(0.6113, 22064.0)


def test_saturation_pressure_agrees_with_coolprop_over_the_whole_range():
    """CoolProp's IF97 gives the same from 273.15 to 647.096 K, to rounding."""
    kelvin = np.linspace(273.15, 647.096, 20_001)
    kelvin[-1] = 647.096
    expected = PropsSI("P", "T", kelvin, "Q", 0.0, "IF97::Water") / 1000.0
    np.testing.assert_allclose(saturation_pressure_kpa(kelvin - 273.15), expected, rtol=1e-13)


def test_saturation_temperature_agrees_with_coolprop_over_the_whole_range():
    """CoolProp's IF97 gives the same from 0.6113 to 22064 kPa, to a millionth of a kelvin."""
    pressure = np.geomspace(0.611213, 22064.0, 20_001)
    expected = PropsSI("T", "P", pressure * 1000.0, "Q", 0.0, "IF97::Water") - 273.15
    np.testing.assert_allclose(saturation_temperature_c(pressure), expected, rtol=0.0, atol=1e-6)


def test_saturation_pressure_agrees_with_the_scientific_formulation():
    """IAPWS-95, another equation altogether, lies within 0.02 % from the triple point to 374 °C."""
    kelvin = np.linspace(273.16, 647.0, 1001)
    expected = PropsSI("P", "T", kelvin, "Q", 0.0, "HEOS::Water") / 1000.0
    np.testing.assert_allclose(saturation_pressure_kpa(kelvin - 273.15), expected, rtol=2e-4)


@given(TEMPERATURES)
def test_from_temperature_to_pressure_and_back(temperature_c):
    """The two equations undo each other over the whole range, ends included."""
    back = saturation_temperature_c(saturation_pressure_kpa(temperature_c))
    assert back == pytest.approx(temperature_c, rel=0.0, abs=1e-8)


@given(PRESSURES)
def test_from_pressure_to_temperature_and_back(pressure_kpa):
    """The two equations undo each other the other way round."""
    back = saturation_pressure_kpa(saturation_temperature_c(pressure_kpa))
    assert back == pytest.approx(pressure_kpa, rel=1e-9)


@given(TEMPERATURES, TEMPERATURES)
def test_hotter_steam_has_a_higher_pressure(one_c, other_c):
    """Saturation pressure rises with temperature."""
    low, high = sorted((one_c, other_c))
    assert saturation_pressure_kpa(low) <= saturation_pressure_kpa(high) * (1.0 + 1e-12)


def test_a_fine_grid_rises_strictly_both_ways():
    """Over 100,000 steps neither equation ever stands still or turns back."""
    assert np.all(np.diff(saturation_pressure_kpa(np.linspace(*TEMPERATURE_RANGE_C, 100_001))) > 0.0)
    assert np.all(np.diff(saturation_temperature_c(np.geomspace(*PRESSURE_RANGE_KPA, 100_001))) > 0.0)


def test_the_ends_of_the_range_are_included():
    """273.15 K and the critical point are answered; pressures there as in the release (from memory)."""
    assert saturation_pressure_kpa(0.0) == pytest.approx(0.611213, abs=5e-7)
    assert saturation_pressure_kpa(373.946) == pytest.approx(22064.0, abs=0.5)
    assert saturation_temperature_c(0.611213) == pytest.approx(0.0, abs=1e-4)
    assert saturation_temperature_c(22064.0) == pytest.approx(373.946, abs=5e-4)


@pytest.mark.parametrize(("beyond", "shown"), [(-0.001, "−0.001"), (373.947, "373.947"), (math.inf, "–")])
def test_a_temperature_beyond_the_range_is_refused(beyond, shown):
    """One such reading among good ones is enough; the message names it, the range and the remedy."""
    with pytest.raises(OutOfRange, match=rf"Temperature {shown} °C.*0 to 373.946 °C.*unit is °C"):
        saturation_pressure_kpa([121.0, math.nan, beyond])


@pytest.mark.parametrize("beyond", [0.6112, 0.0, -3.0, 22065.0, math.inf, -math.inf])
@pytest.mark.parametrize("of", [saturation_temperature_c, lambda p: superheat_k([120.0] * 3, p)])
def test_a_pressure_beyond_the_range_is_refused(of, beyond):
    """A gauge pressure taken for absolute is named as the likely slip."""
    with pytest.raises(OutOfRange, match=r"Absolute pressure .* 0.611 to 22064.001 kPa.*gauge or absolute"):
        of([200.0, math.nan, beyond])


def test_air_fraction_refuses_what_no_steam_can_have():
    """Neither a pressure of 0 nor a frozen temperature gives an air fraction."""
    with pytest.raises(OutOfRange, match=r"Absolute pressure 0 kPa"):
        air_fraction(121.0, 0.0)
    with pytest.raises(OutOfRange, match=r"Temperature −5 °C"):
        air_fraction(-5.0, 100.0)


def test_missing_readings_stay_missing():
    """NaN in temperature or pressure gives NaN, and its neighbours are answered."""
    temperature, pressure = [121.0, math.nan, 121.0], [205.0, 205.0, math.nan]
    for result in (air_fraction(temperature, pressure), superheat_k(temperature, pressure)):
        assert np.isnan(result).tolist() == [False, True, True]
    assert math.isnan(saturation_pressure_kpa(math.nan))
    assert np.isnan(saturation_temperature_c([math.nan, math.nan])).all()


def test_a_number_gives_a_number_and_shapes_are_kept():
    """Scalars give floats; lists, whole numbers and empty arrays give float64 arrays of their shape."""
    assert type(saturation_pressure_kpa(121)) is float
    assert type(air_fraction(118.0, 205.0)) is float
    assert type(absolute_kpa(103.7, 101.3)) is float
    assert saturation_temperature_c([100, 200]).dtype == np.float64
    assert saturation_temperature_c(np.full((2, 3, 4), 200.0)).shape == (2, 3, 4)
    assert saturation_temperature_c([]).shape == (0,)


def test_long_and_strided_arrays_are_answered_reading_by_reading():
    """Working in blocks changes nothing, whatever length and memory order; the argument stays untouched."""
    pressure = np.geomspace(1.0, 400.0, 2 * (BLOCK + 7)).reshape(2, -1).T
    before = pressure.copy()
    answered = saturation_temperature_c(pressure)
    for row, column in ((0, 0), (BLOCK - 1, 1), (BLOCK, 0), (BLOCK + 6, 1)):
        assert answered[row, column] == saturation_temperature_c(float(pressure[row, column]))
    assert np.array_equal(pressure, before)


@given(st.floats(-100.0, 400.0), st.floats(50.0, 110.0))
def test_gauge_and_absolute_undo_each_other(gauge, air_kpa):
    """What a gauge shows and absolute pressure differ by the air pressure of the place."""
    assert gauge_kpa(absolute_kpa(gauge, air_kpa), air_kpa) == pytest.approx(gauge, abs=1e-9)


@given(st.floats(20.0, 150.0), st.floats(0.0, 0.95))
def test_air_let_in_is_air_found(temperature_c, share):
    """Steam mixed with a known share of air at the same temperature gives that share back (Dalton)."""
    pressure = saturation_pressure_kpa(temperature_c) / (1.0 - share)
    assert air_fraction(temperature_c, pressure) == pytest.approx(share, abs=1e-9)


@given(st.floats(20.0, 150.0), st.floats(0.0, 50.0))
def test_superheated_steam_holds_no_air(temperature_c, above_k):
    """Above saturation the air fraction is 0, and the superheat is what was added."""
    pressure = saturation_pressure_kpa(temperature_c)
    hotter = temperature_c + above_k + 1e-6
    assert air_fraction(hotter, pressure) == 0.0
    assert superheat_k(hotter, pressure) == pytest.approx(above_k, abs=1e-5)


def test_superheat_below_saturation_is_negative():
    """118 °C under the pressure of 121 °C lies 3 K below saturation."""
    assert superheat_k(118.0, saturation_pressure_kpa(121.0)) == pytest.approx(-3.0, abs=1e-8)
