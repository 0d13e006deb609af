"""Forecasts of chamber and trap: best and cautious figures, and intervals that never round up."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import OutOfRange
from lungwort.science.atmosphere import air_pressure_kpa
from lungwort.science.humidifier import (
    HIGH_PLACE_KPA,
    PATIENTS,
    SAFE_FILL,
    TARGET_HIGH,
    TARGET_LOW,
    Circuit,
    Patient,
    Stated,
    chamber_flows_l_per_min,
    forecast,
    interval_h,
    rounded_down_h,
)
from lungwort.science.humidity import saturation_mg_per_l

WARD = Circuit(minute_volume_l_per_min=10.0, gas_c=37.0, room_c=24.0, air_pressure_kpa=101.325)
CIRCUITS = st.builds(
    Circuit,
    minute_volume_l_per_min=st.floats(0.1, 60.0),
    gas_c=st.floats(20.0, 60.0),
    room_c=st.floats(5.0, 45.0),
    air_pressure_kpa=st.none() | st.floats(54.0, 105.0),
    bias_flow_l_per_min=st.floats(0.0, 20.0),
    inlet_c=st.none() | st.floats(5.0, 45.0),
    inlet_rh_percent=st.floats(0.0, 100.0),
    volume_at=st.sampled_from([None, "gas", "room", "standard"]),
)


def test_the_ward_s_circuit():
    """10 L/min at 37 °C into 24 °C: 0.632 L/day, and 22.1 or 23.7 mg/L of condensate (see tests/published)."""
    figures = forecast(WARD)
    assert figures.chamber_gross_l_per_day == pytest.approx(0.632, abs=0.0005)
    assert figures.condensate_simple_mg_per_l == pytest.approx(22.1, abs=0.05)
    assert figures.condensate_mg_per_l == pytest.approx(23.7, abs=0.05)
    assert figures.condensate_ml_per_h == pytest.approx(10.0 * 60.0 * figures.condensate_mg_per_l / 1000.0)
    assert figures.limb_end_mg_per_l == saturation_mg_per_l(24.0)


@given(CIRCUITS)
def test_cautious_figures_are_never_below_the_best(circuit):
    """Whatever is unstated costs water, never saves it, and the net use lies between nothing and the gross."""
    figures = forecast(circuit)
    assert figures.flow_most_l_per_min >= figures.flow_l_per_min
    assert figures.condensate_most_ml_per_h >= figures.condensate_ml_per_h
    assert figures.condensate_ml_per_h >= figures.condensate_simple_ml_per_h - 1e-9
    assert figures.chamber_most_l_per_day >= figures.chamber_net_l_per_day
    assert 0.0 <= figures.chamber_net_l_per_day <= figures.chamber_gross_l_per_day


@given(CIRCUITS)
def test_a_limb_never_sheds_more_than_the_gas_brings(circuit):
    """Water is conserved: condensate an hour is at most the chamber's gross use an hour."""
    figures = forecast(circuit)
    assert figures.condensate_ml_per_h <= figures.chamber_gross_l_per_day * 1000.0 / 24.0 + 1e-9


@given(CIRCUITS, st.floats(0.0, 20.0))
def test_a_warmer_wall_sheds_no_more(circuit, warmer_k):
    """A heated limb never sheds more than a plain one."""
    heated = replace(circuit, wall_c=min(circuit.room_c + warmer_k, 60.0))
    assert forecast(heated).condensate_most_ml_per_h <= forecast(circuit).condensate_most_ml_per_h + 1e-9


@given(CIRCUITS.filter(lambda c: c.air_pressure_kpa is not None))
def test_an_unstated_place_is_taken_no_lower_than_a_stated_one(circuit):
    """Up to 5,000 m the cautious figures of an unstated place cover every stated one."""
    stated, unstated = forecast(circuit), forecast(replace(circuit, air_pressure_kpa=None))
    assert unstated.condensate_most_ml_per_h >= stated.condensate_most_ml_per_h * (1.0 - 1e-9)
    assert unstated.chamber_most_l_per_day >= stated.chamber_most_l_per_day * (1.0 - 1e-9) - 1e-9


def test_the_unstated_place_is_at_5000_m():
    """HIGH_PLACE_KPA is the standard atmosphere there, to half a kPa."""
    assert pytest.approx(HIGH_PLACE_KPA, abs=0.5) == air_pressure_kpa(5000.0)


def test_an_unstated_litre_is_best_as_it_stands_and_cautiously_dry_at_room_temperature():
    """A dry litre at 24 °C is 1.113 L of warm wet gas: (310.15 / 297.15) · 101.325 / (101.325 - 6.28)."""
    best, most = chamber_flows_l_per_min(WARD)
    assert best == 10.0
    assert most == pytest.approx(10.0 * 310.15 / 297.15 * 101.325 / (101.325 - 6.2818), rel=1e-4)


def test_a_stated_litre_gives_one_flow():
    """Gas litres stay, room litres grow by 11 %, standard ones by 310.15 / 273.15 and the vapour's share."""
    assert chamber_flows_l_per_min(replace(WARD, volume_at="gas")) == (10.0, 10.0)
    room, room_most = chamber_flows_l_per_min(replace(WARD, volume_at="room"))
    assert room == room_most == pytest.approx(11.13, abs=0.005)
    standard, _most = chamber_flows_l_per_min(replace(WARD, volume_at="standard"))
    assert standard == pytest.approx(10.0 * 310.15 / 273.15 * 101.325 / (101.325 - 6.2818), rel=1e-4)


def test_standard_litres_are_many_more_in_thin_air():
    """At 70 kPa a standard litre is 1.135 · 101.325 / (70 - 6.28) = 1.806 L of warm wet gas."""
    circuit = replace(WARD, air_pressure_kpa=70.0, volume_at="standard")
    assert chamber_flows_l_per_min(circuit)[0] == pytest.approx(18.06, abs=0.01)


def test_gas_past_the_patient_counts_in_full():
    """1 L/min breathed and 8 past it use as much as 9 L/min."""
    newborn = replace(WARD, minute_volume_l_per_min=1.0, bias_flow_l_per_min=8.0)
    nine = replace(WARD, minute_volume_l_per_min=9.0)
    assert forecast(newborn) == forecast(nine)


def test_a_heated_limb_sheds_only_what_its_wall_cannot_hold():
    """A wall as warm as the gas sheds nothing, one a degree cooler a little."""
    assert forecast(replace(WARD, wall_c=38.0)).condensate_most_ml_per_h == 0.0
    assert forecast(replace(WARD, wall_c=38.0)).limb_end_mg_per_l == saturation_mg_per_l(37.0)
    assert 1.0 < forecast(replace(WARD, wall_c=36.0)).condensate_ml_per_h < 2.0


def test_a_heated_wall_colder_than_the_room_is_refused():
    """The message names both temperatures."""
    with pytest.raises(OutOfRange, match=r"wall of 20.0 °C is colder than the room, 24.0 °C.*plain limb"):
        forecast(replace(WARD, wall_c=20.0))


@pytest.mark.parametrize(
    ("minute_volume", "bias_flow", "message"),
    [
        (0.0, 8.0, r"0 L/min is no breathing"),
        (-1.0, 0.0, r"gas flow of −1 L/min"),
        (10.0, -1.0, r"gas flow of −1 L/min"),
        (500.0, 0.0, r"gas flow of 500 L/min is outside 0 to 120"),
        (100.0, 30.0, r"gas flow of 130 L/min"),
    ],
)
def test_a_flow_nobody_breathes_is_refused(minute_volume, bias_flow, message):
    """Each part and the sum are checked."""
    circuit = replace(WARD, minute_volume_l_per_min=minute_volume, bias_flow_l_per_min=bias_flow)
    with pytest.raises(OutOfRange, match=message):
        forecast(circuit)


def test_a_trap_of_60_ml_at_two_thirds():
    """40 mL at 13.27 mL/h take 3.01 h; without water there is no end."""
    assert interval_h(60.0, 13.27, SAFE_FILL.value) == pytest.approx(3.014, abs=0.001)
    assert interval_h(60.0, 0.0) == math.inf


@pytest.mark.parametrize(
    ("volume", "rate", "share", "message"),
    [
        (0.0, 10.0, 1.0, r"A volume of 0 mL cannot be.*at most 10000 mL"),
        (math.nan, 10.0, 1.0, "A volume of"),
        (20_000.0, 10.0, 1.0, "A volume of 20000 mL"),
        (60.0, -1.0, 1.0, r"A rate of −1 mL/h cannot be"),
        (60.0, math.nan, 1.0, "A rate of"),
        (60.0, 10.0, 0.0, "A share of the volume of 0"),
        (60.0, 10.0, 1.1, "A share of the volume of 1.1"),
    ],
)
def test_nonsense_volumes_rates_and_shares_are_refused(volume, rate, share, message):
    """The message names the value and what is allowed."""
    with pytest.raises(OutOfRange, match=message):
        interval_h(volume, rate, share)


@given(st.floats(0.0, 1000.0), st.floats(0.0, 1000.0))
def test_intervals_are_rounded_down_and_keep_their_order(one, other):
    """No rounded interval is longer than the true one or a day, and a longer one stays no shorter."""
    low, high = sorted((one, other))
    assert 0.0 <= rounded_down_h(low) <= min(low, 24.0) + 1e-12
    assert rounded_down_h(low) <= rounded_down_h(high)
    assert rounded_down_h(low) > min(low, 24.0) * 0.5 or low < 10.0 / 60.0


@pytest.mark.parametrize(
    ("hours", "rounded"), [(24.9, 24.0), (math.inf, 24.0), (4.0, 4.0), (3.99, 3.5), (1.0, 1.0), (0.5, 0.5)]
)
def test_steps_of_rounding(hours, rounded):
    """Whole hours from 4, half hours from 1, five minutes below, a day at most."""
    assert rounded_down_h(hours) == rounded


@pytest.mark.parametrize("patient", PATIENTS.values(), ids=lambda patient: patient.name)
def test_examples_are_marked_as_what_they_are(patient: Patient):
    """Every example setting names its basis, and can be forecast."""
    assert patient.basis in {"common practice", "from memory"}
    circuit = Circuit(patient.minute_volume_l_per_min, patient.gas_c, 24.0, None, patient.bias_flow_l_per_min)
    assert forecast(circuit).chamber_most_l_per_day > 0.1


@pytest.mark.parametrize("stated", [SAFE_FILL, TARGET_LOW, TARGET_HIGH])
def test_every_figure_that_is_not_computed_has_a_source_and_a_basis(stated: Stated):
    """No bare number."""
    assert stated.source
    assert stated.basis in {"common practice", "from memory"}
