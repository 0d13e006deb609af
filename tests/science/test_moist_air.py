"""Moist air, against psychrolib and CoolProp and against its own properties."""

import math

import numpy as np
import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import assume, given
from hypothesis import strategies as st

from lungwort.errors import OutOfRange
from lungwort.science.moist_air import (
    humidity_ratio,
    latent_heat_kj_per_kg,
    relative_humidity_percent,
    saturated_humidity_ratio,
    volume_m3_per_kg,
    wet_bulb_c,
)
from lungwort.science.steam import saturation_temperature_c

psychrolib.SetUnitSystem(psychrolib.SI)
ROOMS = st.floats(5.0, 60.0)
HEATING = st.floats(0.0, 60.0)
HUMIDITIES = st.floats(1.0, 100.0)
PRESSURES = st.floats(54.0, 105.0)


@given(st.floats(0.01, 60.0), st.floats(0.0, 100.0), PRESSURES)
def test_humidity_ratio_and_volume_agree_with_psychrolib(room_c, rh_percent, pressure_kpa):
    """Within 0.1 %, and with the same gas constants."""
    expected = psychrolib.GetHumRatioFromRelHum(room_c, rh_percent / 100.0, 1000.0 * pressure_kpa)
    water = humidity_ratio(room_c, rh_percent, pressure_kpa)
    assert max(water, 1e-7) == pytest.approx(expected, rel=1e-3, abs=1e-7)  # psychrolib's least is 1e-7
    volume = psychrolib.GetMoistAirVolume(room_c, expected, 1000.0 * pressure_kpa)
    assert volume_m3_per_kg(room_c, water, pressure_kpa) == pytest.approx(volume, rel=1e-3)


@given(ROOMS, HUMIDITIES, HEATING, PRESSURES)
def test_wet_bulb_agrees_with_psychrolib(room_c, rh_percent, heating_k, pressure_kpa):
    """Within 0.02 K, wherever psychrolib has liquid water and the air is below the boiling point of the place."""
    water, heated_c = humidity_ratio(room_c, rh_percent, pressure_kpa), room_c + heating_k
    assume(heated_c < saturation_temperature_c(pressure_kpa))  # above it psychrolib's search goes astray
    expected = psychrolib.GetTWetBulbFromHumRatio(heated_c, water, 1000.0 * pressure_kpa)
    assume(expected > 0.1)
    assert wet_bulb_c(heated_c, water, pressure_kpa) == pytest.approx(expected, rel=0.0, abs=0.02)


@given(st.floats(20.0, 60.0), HUMIDITIES, HEATING, PRESSURES)
def test_psychrolib_gets_the_humidity_back_from_the_wet_bulb(room_c, rh_percent, heating_k, pressure_kpa):
    """Its own balance, which needs no search, gives the humidity ratio within 0.1 %, above boiling too."""
    water, heated_c = humidity_ratio(room_c, rh_percent, pressure_kpa), room_c + heating_k
    wet_c = wet_bulb_c(heated_c, water, pressure_kpa)
    back = psychrolib.GetHumRatioFromTWetBulb(heated_c, wet_c, 1000.0 * pressure_kpa)
    assert back == pytest.approx(water, rel=1e-3, abs=1e-5)


@given(ROOMS, HUMIDITIES, HEATING, PRESSURES)
def test_relative_humidity_undoes_the_humidity_ratio(room_c, rh_percent, heating_k, pressure_kpa):
    """Unheated air keeps its relative humidity, and heating lowers it."""
    water = humidity_ratio(room_c, rh_percent, pressure_kpa)
    assert relative_humidity_percent(room_c, water, pressure_kpa) == pytest.approx(rh_percent)
    assert relative_humidity_percent(room_c + heating_k, water, pressure_kpa) <= rh_percent * (1.0 + 1e-9)


@given(st.floats(20.0, 60.0), HUMIDITIES, HEATING, PRESSURES)
def test_the_wet_bulb_lies_below_the_air_and_gains_from_heat_and_damp(
    room_c, rh_percent, heating_k, pressure_kpa
):
    """No wet part gets warmer than the air, and both heat and damp raise it."""
    water = humidity_ratio(room_c, rh_percent, pressure_kpa)
    wet_c = wet_bulb_c(room_c, water, pressure_kpa)
    heated_wet_c = wet_bulb_c(room_c + heating_k, water, pressure_kpa)
    assert wet_c - 1e-9 <= heated_wet_c <= room_c + heating_k + 1e-9
    assert wet_bulb_c(room_c, 0.5 * water, pressure_kpa) <= wet_c + 1e-9


@given(st.floats(0.02, 60.0), PRESSURES)
def test_saturated_air_is_its_own_wet_bulb(room_c, pressure_kpa):
    """Air at 100 % cools no further."""
    water = humidity_ratio(room_c, 100.0, pressure_kpa)
    assert water == saturated_humidity_ratio(room_c, pressure_kpa)
    assert wet_bulb_c(room_c, water, pressure_kpa) == pytest.approx(room_c, abs=1e-4)


def test_arrays_keep_their_shape():
    """A row of temperatures or of humidity ratios gives a row."""
    water = humidity_ratio(np.array([20.0, 25.0]), 50.0, 101.325)
    assert wet_bulb_c(60.0, water, 101.325).shape == (2,)
    assert wet_bulb_c(np.array([60.0, 70.0]), 0.007, 101.325).shape == (2,)
    assert type(wet_bulb_c(60.0, 0.007, 101.325)) is float
    assert math.isnan(humidity_ratio(math.nan, 50.0, 101.325))


@pytest.mark.parametrize("temperature_c", [0.01, 20.0, 40.0, 60.0, 80.0])
def test_latent_heat_agrees_with_coolprop(temperature_c):
    """Within 0.3 % of IAPWS-95; at 60 °C 2358 kJ/kg."""
    kelvin = temperature_c + 273.15
    steam, water = (PropsSI("H", "T", kelvin, "Q", quality, "HEOS::Water") for quality in (1.0, 0.0))
    assert latent_heat_kj_per_kg(temperature_c) == pytest.approx((steam - water) / 1000.0, rel=3e-3)


@pytest.mark.parametrize(
    ("temperature_c", "water", "pressure_kpa", "message"),
    [
        (120.1, 0.01, 101.325, r"Heated air of 120.1 °C is outside 0.01 to 120 °C"),
        (20.0, 0.02, 101.325, r"more than air of its temperature can.*relative humidity"),
        (20.0, -0.001, 101.325, r"less than no water"),
        (5.0, 0.0, 101.325, r"wet bulb below 0.01 °C, where water freezes"),
        (20.0, 0.005, 1013.0, r"Air pressure 1013 kPa is outside 40 to 110 kPa"),
    ],
)
def test_air_that_cannot_be_has_no_wet_bulb(temperature_c, water, pressure_kpa, message):
    """The message says which value and what to do."""
    with pytest.raises(OutOfRange, match=message):
        wet_bulb_c(temperature_c, water, pressure_kpa)


@pytest.mark.parametrize(
    ("room_c", "rh_percent", "pressure_kpa", "message"),
    [
        (0.0, 50.0, 101.325, r"Air of 0 °C is outside 0.01 to 60 °C for a room"),
        (77.0, 50.0, 101.325, r"Air of 77 °C.*unit is °C"),
        (20.0, 101.0, 101.325, r"Relative humidity 101 %"),
        (20.0, 50.0, 30.0, r"Air pressure 30 kPa"),
    ],
)
def test_a_room_that_cannot_be_is_refused(room_c, rh_percent, pressure_kpa, message):
    """The message names the value and the range."""
    with pytest.raises(OutOfRange, match=message):
        humidity_ratio(room_c, rh_percent, pressure_kpa)
