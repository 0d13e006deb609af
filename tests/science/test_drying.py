"""Water left by weight, and the least air, time and heat that carry it off."""

import math

import psychrolib
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lungwort.errors import OutOfRange
from lungwort.science.drying import (
    WaterLeft,
    drying_air,
    drying_need,
    dryness,
    require_forced_flow,
    still_lumen_g_per_day,
    water_left_g,
)
from lungwort.science.moist_air import humidity_ratio, saturated_humidity_ratio, volume_m3_per_kg
from lungwort.science.steam import saturation_temperature_c

psychrolib.SetUnitSystem(psychrolib.SI)
ROOMS = st.floats(20.0, 45.0)
HUMIDITIES = st.floats(5.0, 95.0)
HEATING = st.floats(1.0, 60.0)
PRESSURES = st.floats(54.0, 105.0)
AIR = drying_air(25.0, 60.0, 60.0, 101.325)


def test_weight_against_dry_weight_is_bounded_by_step_and_error():
    """Two weighings, each within half a step and the error."""
    assert water_left_g(1250.0, 1200.0, 1.0) == WaterLeft(50.0, 49.0, 51.0)
    assert water_left_g(1250.0, 1200.0, 1.0, error_g=2.0) == WaterLeft(50.0, 45.0, 55.0)
    assert water_left_g(1200.0, 1200.0, 1.0) == WaterLeft(0.0, 0.0, 1.0)
    assert water_left_g(1199.5, 1200.0, 1.0) == WaterLeft(-0.5, 0.0, 0.5)


@given(
    st.floats(100.0, 2000.0),
    st.floats(0.0, 100.0),
    st.sampled_from([0.1, 1.0, 5.0]),
    st.floats(0.0, 3.0),
    st.floats(-1.0, 1.0),
    st.floats(-1.0, 1.0),
)
def test_the_bounds_hold_the_true_water_whatever_the_scale_did(dry, water, step, error, one, other):
    """A scale that errs within its error and rounds to its step never puts the truth outside the bounds."""
    shown_wet = round((dry + water + one * error) / step) * step
    shown_dry = round((dry + other * error) / step) * step
    left = water_left_g(shown_wet, shown_dry, step, error)
    assert left.low_g - 1e-6 <= water <= left.high_g + 1e-6


@pytest.mark.parametrize(
    ("water", "limit", "outcome"),
    [
        (WaterLeft(0.0, 0.0, 1.0), 1.0, "passed"),
        (WaterLeft(0.0, 0.0, 1.0), 0.9, "not shown"),
        (WaterLeft(2.0, 1.0, 3.0), 1.0, "not shown"),
        (WaterLeft(2.1, 1.1, 3.1), 1.0, "failed"),
    ],
)
def test_dryness_needs_the_whole_range_on_one_side(water, limit, outcome):
    """Near zero a coarse scale shows nothing."""
    assert dryness(water, limit) == outcome


@pytest.mark.parametrize("limit_g", [0.0, -1.0, math.nan, math.inf])
def test_a_limit_must_be_above_zero(limit_g):
    """No scale can show that there is no water at all."""
    with pytest.raises(OutOfRange, match=r"The limit is .* g. Give a number above 0"):
        dryness(WaterLeft(0.0, 0.0, 1.0), limit_g)


@pytest.mark.parametrize(
    ("wet", "dry", "step", "error", "message"),
    [
        (1190.0, 1200.0, 1.0, 0.0, r"10.00 g less than when dry, more than the scale's 1.00 g.*same part"),
        (0.0, 1200.0, 1.0, 0.0, r"weight now is 0 g"),
        (1200.0, math.nan, 1.0, 0.0, r"dry weight is –"),
        (1200.0, 1200.0, 0.0, 0.0, r"scale's step is 0 g"),
        (1200.0, 1200.0, 1.0, -1.0, r"scale's error is −1 g. Give 0 or more"),
    ],
)
def test_weights_that_cannot_be_are_refused(wet, dry, step, error, message):
    """The message names the weight and what to check."""
    with pytest.raises(OutOfRange, match=message):
        water_left_g(wet, dry, step, error)


@given(ROOMS, HUMIDITIES, HEATING, PRESSURES)
def test_capacity_agrees_with_psychrolib(room_c, rh_percent, heating_k, pressure_kpa):
    """Within 0.05 g/m³, by psychrolib's own wet bulb, humidity ratios and volume."""
    pascal, heated_c = 1000.0 * pressure_kpa, room_c + heating_k
    assume(heated_c < saturation_temperature_c(pressure_kpa))  # above it psychrolib's search goes astray
    water = psychrolib.GetHumRatioFromRelHum(room_c, rh_percent / 100.0, pascal)
    wet_c = psychrolib.GetTWetBulbFromHumRatio(heated_c, water, pascal)
    assume(wet_c > 0.1)
    taken_up = psychrolib.GetSatHumRatio(wet_c, pascal) - water
    expected = 1000.0 * taken_up / psychrolib.GetMoistAirVolume(heated_c, water, pascal)
    air = drying_air(room_c, rh_percent, heated_c, pressure_kpa)
    assert air.capacity_g_per_m3 == pytest.approx(expected, rel=0.0, abs=0.05)


@given(ROOMS, HUMIDITIES, HEATING, PRESSURES, st.floats(0.1, 500.0))
def test_water_and_dry_air_are_conserved(room_c, rh_percent, heating_k, pressure_kpa, water_g):
    """The least air, leaving saturated at the wet bulb, carries what it brought and exactly the water."""
    air = drying_air(room_c, rh_percent, room_c + heating_k, pressure_kpa)
    need = drying_need(water_g, air, flow_m3_per_h=20.0)
    brought = humidity_ratio(room_c, rh_percent, pressure_kpa)
    dry_air_kg = need.room_m3 / volume_m3_per_kg(room_c, brought, pressure_kpa)
    leaving = saturated_humidity_ratio(air.wet_bulb_c, pressure_kpa)
    assert 1000.0 * dry_air_kg * (leaving - brought) == pytest.approx(water_g, rel=1e-9)


@given(ROOMS, HUMIDITIES, HEATING, PRESSURES)
def test_energy_is_conserved(room_c, rh_percent, heating_k, pressure_kpa):
    """The heater's heat and the water's own enthalpy are what the leaving air has gained (psychrolib's enthalpy)."""
    air = drying_air(room_c, rh_percent, room_c + heating_k, pressure_kpa)
    need = drying_need(100.0, air, flow_m3_per_h=20.0)
    brought = humidity_ratio(room_c, rh_percent, pressure_kpa)
    leaving = saturated_humidity_ratio(air.wet_bulb_c, pressure_kpa)
    dry_air_kg = need.room_m3 / volume_m3_per_kg(room_c, brought, pressure_kpa)
    gained = psychrolib.GetMoistAirEnthalpy(air.wet_bulb_c, leaving) - psychrolib.GetMoistAirEnthalpy(
        room_c, brought
    )
    water_brings_kj = 4.186 * air.wet_bulb_c * (leaving - brought)
    expected_kj = dry_air_kg * (gained / 1000.0 - water_brings_kj)
    assert need.heating_kj == pytest.approx(expected_kj, rel=1e-3, abs=1e-3 * need.evaporation_kj)


@given(ROOMS, HUMIDITIES, HUMIDITIES, HEATING, HEATING)
def test_hotter_and_drier_air_carries_more(room_c, one_rh, other_rh, one_k, other_k):
    """Capacity rises with heat and falls with the room's humidity."""
    (dry, damp), (warm, hot) = sorted((one_rh, other_rh)), sorted((one_k, other_k))
    capacity = drying_air(room_c, damp, room_c + warm, 101.325).capacity_g_per_m3
    assert drying_air(room_c, damp, room_c + hot, 101.325).capacity_g_per_m3 >= capacity - 1e-9
    assert drying_air(room_c, dry, room_c + warm, 101.325).capacity_g_per_m3 >= capacity - 1e-9


def test_thin_air_carries_a_quarter_less_at_3000_m():
    """At 70.1 kPa a cubic metre at 60 °C carries 10.3 g where it carries 13.8 g at the sea."""
    high = drying_air(25.0, 60.0, 60.0, 70.1)
    assert high.capacity_g_per_m3 / AIR.capacity_g_per_m3 == pytest.approx(0.75, abs=0.01)


def test_a_hundred_grams_of_water():
    """7.3 m³ at 25 °C, 60 %, heated to 60 °C (100 / 13.75), and 65 to 68 Wh (2358 to 2434 kJ/kg)."""
    need = drying_need(100.0, AIR, flow_m3_per_h=20.0)
    assert need.heated_m3 == pytest.approx(7.3, abs=0.05)
    assert need.at_least_s == pytest.approx(3600.0 * need.heated_m3 / 20.0)
    assert 65.0 < need.evaporation_kj / 3.6 < 68.0
    assert need.room_m3 == pytest.approx(need.heated_m3 * 298.15 / 333.15)


@given(st.floats(0.0, 500.0), st.floats(0.1, 200.0), st.floats(0.05, 1.0))
def test_less_uptake_or_less_flow_takes_longer(water_g, flow, uptake):
    """Time is in proportion to water, and in inverse proportion to flow and uptake."""
    whole = drying_need(water_g, AIR, flow)
    assert drying_need(water_g, AIR, flow, uptake).at_least_s == pytest.approx(whole.at_least_s / uptake)
    assert drying_need(water_g, AIR, 2.0 * flow).at_least_s == pytest.approx(whole.at_least_s / 2.0)
    assert drying_need(2.0 * water_g, AIR, flow).at_least_s == pytest.approx(2.0 * whole.at_least_s)


@pytest.mark.parametrize(
    ("water", "flow", "uptake", "message"),
    [
        (-1.0, 20.0, 1.0, r"water to carry off is −1 g"),
        (100.0, 0.0, 1.0, r"air flow is 0 m³/h. Give a number above 0"),
        (100.0, 20.0, 0.0, r"capacity used is 0.00. Give more than 0 and at most 1"),
        (100.0, 20.0, 1.1, r"capacity used is 1.10"),
        (100.0, 20.0, math.nan, r"capacity used is –"),
    ],
)
def test_needs_that_cannot_be_are_refused(water, flow, uptake, message):
    """The message names the value and what is allowed."""
    with pytest.raises(OutOfRange, match=message):
        drying_need(water, AIR, flow, uptake)


def test_full_air_is_refused():
    """Saturated air that is not heated carries nothing."""
    with pytest.raises(OutOfRange, match=r"25.0 °C and 100.0 % heated to 25.0 °C is full.*Heat it further"):
        drying_need(100.0, drying_air(25.0, 100.0, 25.0, 101.325), 20.0)


def test_air_is_not_heated_to_less_than_it_has():
    """Cooling is not heating."""
    with pytest.raises(OutOfRange, match=r"25.0 °C cannot be heated to 20.0 °C"):
        drying_air(25.0, 60.0, 20.0, 101.325)


@pytest.mark.parametrize(("through_flow", "state"), [(False, "No air is forced"), (None, "Nobody says")])
def test_a_lumen_without_flow_is_refused_with_what_to_do(through_flow, state):
    """Force air through, hang, check by weight."""
    with pytest.raises(
        OutOfRange, match=rf"{state}.*Force filtered air through it, hang it.*check it by weight"
    ):
        require_forced_flow(has_lumen=True, through_flow=through_flow)


def test_a_lumen_with_flow_and_a_plain_surface_are_reckoned():
    """Nothing is refused there."""
    require_forced_flow(has_lumen=True, through_flow=True)
    require_forced_flow(has_lumen=False, through_flow=None)
    require_forced_flow(has_lumen=False, through_flow=False)


def test_a_still_tube_takes_months():
    """A 22 mm tube of 1.5 m loses 0.02 g a day: 4 · 2.5e-5 · 3.80e-4 m² · 9.2 g/m³ / 1.5 m · 86400 s."""
    assert still_lumen_g_per_day(22.0, 1.5, 25.0, 60.0) == pytest.approx(0.0202, abs=0.0002)
    assert 5.0 / still_lumen_g_per_day(22.0, 1.5, 25.0, 60.0) > 200.0


@given(st.floats(1.0, 50.0), st.floats(0.1, 3.0), st.floats(0.0, 100.0))
def test_a_longer_or_damper_lumen_dries_more_slowly(bore_mm, length_m, rh_percent):
    """The rate falls with length and damp, and is nothing in saturated air."""
    rate = still_lumen_g_per_day(bore_mm, length_m, 25.0, rh_percent)
    assert still_lumen_g_per_day(bore_mm, 2.0 * length_m, 25.0, rh_percent) == pytest.approx(rate / 2.0)
    assert still_lumen_g_per_day(bore_mm, length_m, 25.0, 100.0) == 0.0 <= rate


@pytest.mark.parametrize(("bore", "length", "name"), [(0.0, 1.5, "bore"), (22.0, 0.0, "length")])
def test_a_lumen_has_a_bore_and_a_length(bore, length, name):
    """Nothing is divided by nothing."""
    with pytest.raises(OutOfRange, match=rf"The {name} is 0 m"):
        still_lumen_g_per_day(bore, length, 25.0, 60.0)
