"""Water in gas, against psychrolib and CoolProp's humid air, and against its own properties."""

import math

import numpy as np
import psychrolib
import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import OutOfRange
from lungwort.science.humidity import (
    MODEL_MARGIN,
    brought_in_mg_per_l,
    condensate_mg_per_l,
    dry_gas_ratio,
    humidity_mg_per_l,
    saturation_mg_per_l,
    simple_condensate_mg_per_l,
    water_l_per_day,
)

psychrolib.SetUnitSystem(psychrolib.SI)
TEMPERATURES = st.floats(0.01, 60.0)
HUMIDITIES = st.floats(0.0, 100.0)
PRESSURES = st.floats(40.0, 110.0)
FLOWS = st.floats(0.0, 120.0)


def psychrolib_mg_per_l(temperature_c: float, rh_percent: float, pressure_kpa: float) -> float:
    """Return grams of water in a cubic metre by psychrolib: humidity ratio over specific volume."""
    ratio = psychrolib.GetHumRatioFromRelHum(temperature_c, rh_percent / 100.0, 1000.0 * pressure_kpa)
    return 1000.0 * ratio / psychrolib.GetMoistAirVolume(temperature_c, ratio, 1000.0 * pressure_kpa)


def coolprop_mg_per_l(temperature_c: float, pressure_kpa: float) -> float:
    """Return grams of water in a cubic metre of real saturated air by CoolProp."""
    state = ("T", temperature_c + 273.15, "P", 1000.0 * pressure_kpa, "R", 1.0)
    return 1000.0 * HAPropsSI("W", *state) / HAPropsSI("Vda", *state)


@given(st.floats(0.01, 45.0), HUMIDITIES, PRESSURES)
def test_humidity_agrees_with_psychrolib(temperature_c, rh_percent, pressure_kpa):
    """psychrolib gives the same within 0.1 mg/L over 0.01 to 45 °C at any humidity and pressure."""
    expected = psychrolib_mg_per_l(temperature_c, rh_percent, pressure_kpa)
    assert humidity_mg_per_l(temperature_c, rh_percent) == pytest.approx(expected, rel=0.0, abs=0.1)


@pytest.mark.parametrize("temperature_c", np.linspace(0.01, 45.0, 46))
def test_humidity_agrees_with_the_scientific_formulation(temperature_c):
    """Vapour of CoolProp's IAPWS-95 pressure as an ideal gas agrees within 0.02 mg/L."""
    pressure_pa = PropsSI("P", "T", temperature_c + 273.15, "Q", 1.0, "HEOS::Water")
    expected = 1000.0 * pressure_pa / (461.526 * (temperature_c + 273.15))
    assert saturation_mg_per_l(temperature_c) == pytest.approx(expected, rel=0.0, abs=0.02)


@pytest.mark.parametrize("temperature_c", np.linspace(0.01, 20.0, 21))
def test_real_air_agrees_within_a_tenth_in_the_cool(temperature_c):
    """CoolProp's humid air, which is no ideal gas, agrees within 0.1 mg/L up to 20 °C."""
    assert saturation_mg_per_l(temperature_c) == pytest.approx(
        coolprop_mg_per_l(temperature_c, 101.325), abs=0.1
    )


@pytest.mark.parametrize("pressure_kpa", [70.0, 101.325])
@pytest.mark.parametrize("temperature_c", np.linspace(0.01, 45.0, 16))
def test_real_air_holds_a_little_more_and_the_margin_covers_it(temperature_c, pressure_kpa):
    """CoolProp's humid air holds 0.3 to 0.6 % more than an ideal gas, and MODEL_MARGIN leaves 1 % for hot water."""
    excess = coolprop_mg_per_l(temperature_c, pressure_kpa) / saturation_mg_per_l(temperature_c)
    assert 1.003 < excess < 1.006
    assert excess * 1.01 < MODEL_MARGIN


@given(TEMPERATURES, TEMPERATURES)
def test_warmer_gas_holds_more(one_c, other_c):
    """Saturation rises with temperature."""
    low, high = sorted((one_c, other_c))
    assert saturation_mg_per_l(low) <= saturation_mg_per_l(high) * (1.0 + 1e-12)


@given(TEMPERATURES, TEMPERATURES, HUMIDITIES, PRESSURES)
def test_water_is_conserved_along_a_limb(gas_c, wall_c, rh_percent, pressure_kpa):
    """What a litre brings is what it sheds and what its dry gas still carries at the end."""
    brought = humidity_mg_per_l(gas_c, rh_percent)
    shed = condensate_mg_per_l(gas_c, wall_c, pressure_kpa, rh_percent)
    assert 0.0 <= shed <= brought
    if shed > 0.0:
        left_litres = dry_gas_ratio(wall_c, 100.0, gas_c, rh_percent, pressure_kpa)
        assert shed + left_litres * saturation_mg_per_l(wall_c) == pytest.approx(brought, rel=1e-9)


@given(TEMPERATURES, TEMPERATURES, HUMIDITIES, PRESSURES)
def test_condensate_agrees_with_psychrolib(gas_c, wall_c, rh_percent, pressure_kpa):
    """Humidity ratio lost, over psychrolib's specific volume, is the condensate within 0.1 mg/L."""
    pascal = 1000.0 * pressure_kpa
    ratio = psychrolib.GetHumRatioFromRelHum(gas_c, rh_percent / 100.0, pascal)
    lost = max(ratio - psychrolib.GetSatHumRatio(wall_c, pascal), 0.0)
    expected = 1000.0 * lost / psychrolib.GetMoistAirVolume(gas_c, ratio, pascal)
    assert condensate_mg_per_l(gas_c, wall_c, pressure_kpa, rh_percent) == pytest.approx(
        expected, rel=0.0, abs=0.1
    )


@given(TEMPERATURES, TEMPERATURES, TEMPERATURES, PRESSURES)
def test_a_cooler_wall_sheds_no_less(gas_c, one_c, other_c, pressure_kpa):
    """Condensate falls as the wall gets warmer, on both bases."""
    low, high = sorted((one_c, other_c))
    for sheds in (condensate_mg_per_l, simple_condensate_mg_per_l):
        assert sheds(gas_c, high, pressure_kpa) <= sheds(gas_c, low, pressure_kpa) + 1e-9


@given(TEMPERATURES, TEMPERATURES, PRESSURES)
def test_the_simple_difference_never_reports_more(gas_c, wall_c, pressure_kpa):
    """Gas shrinks as it cools, so the simple difference is the smaller basis."""
    shed = condensate_mg_per_l(gas_c, wall_c, pressure_kpa)
    assert simple_condensate_mg_per_l(gas_c, wall_c, pressure_kpa) <= shed + 1e-9


@given(TEMPERATURES, TEMPERATURES, PRESSURES, PRESSURES)
def test_thinner_air_sheds_no_less(gas_c, wall_c, one_kpa, other_kpa):
    """Altitude enters the dry-gas basis: the thinner the air, the more condenses of each litre."""
    low, high = sorted((one_kpa, other_kpa))
    assert condensate_mg_per_l(gas_c, wall_c, low) >= condensate_mg_per_l(gas_c, wall_c, high) - 1e-9


def test_altitude_enters_one_basis_only():
    """At 70 kPa a litre sheds more by dry-gas mass, and the same by simple difference."""
    assert condensate_mg_per_l(37.0, 24.0, 70.0) > condensate_mg_per_l(37.0, 24.0, 101.325) + 0.2
    low, high = (simple_condensate_mg_per_l(37.0, 24.0, kpa) for kpa in (70.0, 101.325))
    assert low == high


@pytest.mark.parametrize("sheds", [condensate_mg_per_l, simple_condensate_mg_per_l])
def test_a_wall_as_warm_as_the_gas_sheds_nothing(sheds):
    """A heated limb condenses only what exceeds saturation at its wall."""
    assert sheds(37.0, 37.0, 101.325) == pytest.approx(0.0, abs=1e-9)
    assert sheds(37.0, 40.0, 101.325) == 0.0
    assert sheds(37.0, 36.0, 101.325) > 2.0


def test_dry_gas_sheds_nothing_and_carries_nothing():
    """0 % relative humidity is dry medical gas."""
    assert humidity_mg_per_l(37.0, 0.0) == 0.0
    assert condensate_mg_per_l(37.0, 5.0, 101.325, rh_percent=0.0) == 0.0
    assert brought_in_mg_per_l(22.0, 0.0, 37.0, 101.325) == 0.0


@given(TEMPERATURES, HUMIDITIES, TEMPERATURES, HUMIDITIES, PRESSURES)
def test_litres_at_one_state_and_back_are_the_same_litres(one_c, one_rh, other_c, other_rh, pressure_kpa):
    """The two ratios undo each other."""
    there = dry_gas_ratio(one_c, one_rh, other_c, other_rh, pressure_kpa)
    back = dry_gas_ratio(other_c, other_rh, one_c, one_rh, pressure_kpa)
    assert there * back == pytest.approx(1.0, rel=1e-12)


@given(FLOWS, FLOWS, st.floats(0.0, 100.0), st.floats(0.0, 100.0))
def test_water_use_adds_up_over_flows_and_falls_with_inlet_humidity(one, other, humidity, inlet):
    """Half the flow takes half the water, and damp inlet gas never takes more than dry."""
    whole = water_l_per_day(one, humidity)
    assert water_l_per_day(one / 2.0, humidity) * 2.0 == pytest.approx(whole)
    assert 0.0 <= water_l_per_day(one, humidity, inlet) <= whole
    low, high = sorted((one, other))
    assert water_l_per_day(low, humidity) <= water_l_per_day(high, humidity)


def test_a_number_gives_a_number_and_a_list_gives_an_array():
    """Shapes and kinds are kept, and a missing temperature stays missing."""
    assert type(saturation_mg_per_l(37.0)) is float
    assert type(condensate_mg_per_l(37.0, 24.0, 101.325)) is float
    several = condensate_mg_per_l(np.array([37.0, math.nan, 39.0]), 24.0, 101.325)
    expected = [condensate_mg_per_l(37.0, 24.0, 101.325), math.nan, condensate_mg_per_l(39.0, 24.0, 101.325)]
    np.testing.assert_allclose(several, expected)
    assert condensate_mg_per_l(37.0, np.array([24.0, 28.0]), 101.325).shape == (2,)


@pytest.mark.parametrize(
    "ask",
    [
        lambda t: saturation_mg_per_l(t),
        lambda t: condensate_mg_per_l(t, 24.0, 101.325),
        lambda t: condensate_mg_per_l(37.0, t, 101.325),
        lambda t: dry_gas_ratio(t, 50.0, 37.0, 100.0, 101.325),
        lambda t: brought_in_mg_per_l(22.0, 50.0, t, 101.325),
    ],
)
@pytest.mark.parametrize(("celsius", "shown"), [(0.0, "0"), (-5.0, "−5"), (60.1, "60.1"), (310.15, "310.15")])
def test_a_temperature_beyond_the_range_is_refused(ask, celsius, shown):
    """Frost, steam and kelvin: the message names the value, 0.01 to 60 °C and the remedy."""
    with pytest.raises(OutOfRange, match=rf"Gas temperature {shown} °C.* 0.01 to 60 °C.*unit is °C"):
        ask(celsius)


def test_the_ends_of_the_range_are_included():
    """0.01 and 60 °C are answered."""
    assert saturation_mg_per_l(0.01) == pytest.approx(4.852, abs=0.0005)
    assert saturation_mg_per_l(60.0) == pytest.approx(129.7, abs=0.1)


@pytest.mark.parametrize("rh_percent", [-0.1, 100.1, math.inf])
def test_a_relative_humidity_beyond_0_to_100_is_refused(rh_percent):
    """The message names the value, the range and what 0 means."""
    with pytest.raises(OutOfRange, match=r"Relative humidity .* is outside 0 to 100 %.*dry medical gas"):
        humidity_mg_per_l(37.0, rh_percent)
    with pytest.raises(OutOfRange, match="Relative humidity"):
        dry_gas_ratio(37.0, rh_percent, 24.0, 0.0, 101.325)


@pytest.mark.parametrize("pressure_kpa", [0.0, 39.9, 110.1, 1013.0])
def test_an_air_pressure_nobody_lives_in_is_refused(pressure_kpa):
    """Also by the simple difference, which does not need it."""
    for sheds in (condensate_mg_per_l, simple_condensate_mg_per_l):
        with pytest.raises(OutOfRange, match=r"Air pressure .* is outside 40 to 110 kPa.*not reduced"):
            sheds(37.0, 24.0, pressure_kpa)


@pytest.mark.parametrize(("flow", "humidity", "inlet"), [(-1.0, 44.0, 0.0), (500.0, 44.0, 0.0)])
def test_a_flow_in_another_unit_is_refused(flow, humidity, inlet):
    """500 is millilitres, and the message asks for litres a minute."""
    with pytest.raises(OutOfRange, match=r"outside 0 to 400 L/min.*litres a minute"):
        water_l_per_day(flow, humidity, inlet)


@pytest.mark.parametrize(("humidity", "inlet"), [(-1.0, 0.0), (44.0, -1.0), (43900.0, 0.0)])
def test_a_humidity_in_another_unit_is_refused(humidity, inlet):
    """The message asks for milligrams in a litre."""
    with pytest.raises(OutOfRange, match=r"outside 0 to 200 mg/L.*milligrams"):
        water_l_per_day(10.0, humidity, inlet)
