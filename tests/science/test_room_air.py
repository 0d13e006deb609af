"""A vapour in a room: mass balance, limits and units."""

import math

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import OutOfRange
from lungwort.science.room_air import (
    MIXING_FACTOR,
    MIXING_FACTOR_RANGE,
    air_changes_needed_per_h,
    build_up_mg_per_m3,
    mg_per_m3,
    molar_volume_l_per_mol,
    ppm,
    steady_mg_per_m3,
)

EMISSIONS = st.floats(0.0, 1e5)
VOLUMES = st.floats(5.0, 5000.0)
CHANGES = st.floats(0.1, 100.0)
FACTORS = st.floats(1.0, 10.0)
TIMES = st.floats(0.0, 1e5)


def test_molar_volume_is_the_printed_one_to_a_tenth_of_a_percent():
    """24.45 L/mol is printed with exposure limits (from memory); R T / p gives 24.465."""
    assert molar_volume_l_per_mol() == pytest.approx(24.465, abs=0.0005)
    assert molar_volume_l_per_mol() == pytest.approx(24.45, rel=1e-3)


@pytest.mark.parametrize(("temperature_c", "pressure_kpa"), [(0.0, 101.325), (25.0, 101.325), (35.0, 70.0)])
def test_molar_volume_agrees_with_real_air(temperature_c, pressure_kpa):
    """CoolProp's air, which is no ideal gas, agrees within 0.1 %."""
    moles_per_m3 = PropsSI("Dmolar", "T", temperature_c + 273.15, "P", 1000.0 * pressure_kpa, "Air")
    assert molar_volume_l_per_mol(temperature_c, pressure_kpa) == pytest.approx(
        1000.0 / moles_per_m3, rel=1e-3
    )


@pytest.mark.parametrize(
    ("share_ppm", "molar_mass", "milligrams"),
    [(0.5, 70.906, "1.45"), (0.05, 100.12, "0.205")],
)
def test_limits_of_chlorine_and_glutaraldehyde_in_milligrams(share_ppm, molar_mass, milligrams):
    """0.5 ppm chlorine is 0.5 · 70.906 / 24.45 = 1.45 mg/m³, 0.05 ppm glutaraldehyde 0.205 mg/m³ (computed)."""
    decimals = len(milligrams.partition(".")[2])
    assert f"{mg_per_m3(share_ppm, molar_mass):.{decimals}f}" == milligrams


@given(st.floats(0.0, 1e5), st.floats(1.0, 1000.0), st.floats(-20.0, 60.0), st.floats(40.0, 110.0))
def test_ppm_to_milligrams_and_back(share_ppm, molar_mass, temperature_c, pressure_kpa):
    """The two conversions undo each other."""
    milligrams = mg_per_m3(share_ppm, molar_mass, temperature_c, pressure_kpa)
    assert ppm(milligrams, molar_mass, temperature_c, pressure_kpa) == pytest.approx(share_ppm, rel=1e-12)


def test_the_same_ppm_is_less_mass_in_thin_air():
    """At 70 kPa a cubic metre holds 69 % of the moles."""
    assert mg_per_m3(1.0, 34.0, 25.0, 70.0) / mg_per_m3(1.0, 34.0) == pytest.approx(70.0 / 101.325)


@given(EMISSIONS, VOLUMES, st.floats(0.01, 1000.0), FACTORS)
def test_the_air_changes_needed_just_keep_the_limit(emission, volume, limit, factor):
    """The settled concentration at the air changes needed is the limit, neither more nor less."""
    changes = air_changes_needed_per_h(emission, volume, limit, factor)
    if 1e-6 < changes < 200.0:
        assert steady_mg_per_m3(emission, volume, changes, factor) == pytest.approx(limit, rel=1e-9)


@given(EMISSIONS, VOLUMES, CHANGES, FACTORS, TIMES, TIMES)
def test_build_up_rises_towards_the_steady_state(emission, volume, changes, factor, one_s, other_s):
    """From clean air it never falls and never passes the steady state."""
    early, late = sorted((one_s, other_s))
    steady = steady_mg_per_m3(emission, volume, changes, factor)
    first = build_up_mg_per_m3(early, emission, volume, changes, factor)
    second = build_up_mg_per_m3(late, emission, volume, changes, factor)
    assert 0.0 <= first <= second * (1.0 + 1e-9) <= steady * (1.0 + 1e-6)


@given(EMISSIONS, VOLUMES, CHANGES, FACTORS, st.floats(0.0, 100.0), st.floats(0.0, 5e4))
def test_a_build_up_can_be_cut_in_two(emission, volume, changes, factor, start, time_s):
    """Where the first half ends the second begins: nothing is lost between them."""
    half = build_up_mg_per_m3(time_s, emission, volume, changes, factor, start)
    whole = build_up_mg_per_m3(2.0 * time_s, emission, volume, changes, factor, start)
    again = build_up_mg_per_m3(time_s, emission, volume, changes, factor, half)
    assert again == pytest.approx(whole, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("changes", [0.0, 2.0, 12.0])
def test_mass_is_conserved_while_it_builds_up(changes):
    """What was given off is in the room or has left with the air: integrated by Simpson's rule."""
    elapsed_s = np.linspace(0.0, 7200.0, 2001)
    level = build_up_mg_per_m3(elapsed_s, 60.0, 30.0, changes, 1.0)
    step_h = 7200.0 / 2000.0 / 3600.0
    integral = step_h / 3.0 * (level[0] + level[-1] + 4.0 * level[1:-1:2].sum() + 2.0 * level[2:-1:2].sum())
    assert 30.0 * level[-1] + 30.0 * changes * integral == pytest.approx(60.0 * 2.0, rel=1e-9)


def test_without_fresh_air_it_rises_evenly():
    """60 mg an hour into 30 m³ are 2 mg/m³ after an hour, and nothing clears."""
    assert build_up_mg_per_m3(3600.0, 60.0, 30.0, 0.0) == 2.0
    assert build_up_mg_per_m3(3600.0, 0.0, 30.0, 0.0, start_mg_per_m3=1.5) == 1.5


def test_almost_no_fresh_air_is_like_none():
    """The formula does not cancel where it turns into a straight line."""
    almost = build_up_mg_per_m3(3600.0, 60.0, 30.0, 1e-9, 1.0)
    assert almost == pytest.approx(2.0, rel=1e-8)


def test_a_source_that_stops_clears():
    """After three time constants 5 % is left."""
    assert build_up_mg_per_m3(3 * 360.0, 0.0, 30.0, 10.0, 1.0, start_mg_per_m3=1.0) == pytest.approx(
        math.exp(-3.0)
    )


def test_the_mixing_factor_multiplies_the_air_needed():
    """Poor mixing asks for ten times the air of perfect mixing; the one taken unasked lies between."""
    low, high = MIXING_FACTOR_RANGE
    assert low < MIXING_FACTOR < high
    perfect, poor = (air_changes_needed_per_h(60.0, 30.0, 1.0, factor) for factor in (low, high))
    assert poor == pytest.approx(10.0 * perfect)
    assert air_changes_needed_per_h(60.0, 30.0, 1.0) == pytest.approx(MIXING_FACTOR * perfect)


def test_rows_are_kept():
    """A row of emissions or times gives a row, a number a number."""
    assert steady_mg_per_m3(np.array([1.0, 2.0]), 30.0, 10.0).shape == (2,)
    assert build_up_mg_per_m3(np.array([0.0, 60.0, 120.0]), 60.0, 30.0, 0.0).tolist() == [0.0, 1 / 30, 2 / 30]
    assert type(air_changes_needed_per_h(60.0, 30.0, 1.0)) is float


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: mg_per_m3(-1.0, 70.9), r"share of −1 ppm is outside 0 to 1000000 ppm"),
        (lambda: mg_per_m3(1.0, 0.0709), r"molar mass of 0.071 g/mol is outside 1 to 1000"),
        (lambda: ppm(-1.0, 70.9), r"concentration of −1 mg/m³ cannot be"),
        (lambda: mg_per_m3(1.0, 70.9, 298.15), r"Air of 298.15 °C is outside −50 to 100 °C"),
        (
            lambda: mg_per_m3(1.0, 70.9, 25.0, 1013.0),
            r"Air pressure 1013 kPa is outside 40 to 110",
        ),
        (lambda: steady_mg_per_m3(-1.0, 30.0, 10.0), r"emission of −1 mg/h cannot be"),
        (lambda: steady_mg_per_m3(1.0, 0.0, 10.0), r"room of 0 m³.*length times width times height"),
        (lambda: steady_mg_per_m3(1.0, 30.0, 0.0), r"0 air changes.*take the work outside"),
        (lambda: steady_mg_per_m3(1.0, 30.0, 10.0, 0.5), r"mixing factor of 0.5 is outside 1 .*10"),
        (lambda: air_changes_needed_per_h(1.0, 30.0, 0.0), r"limit of 0 mg/m³ cannot be kept"),
        (lambda: build_up_mg_per_m3(-1.0, 1.0, 30.0, 1.0), r"time of −1 s cannot be"),
        (lambda: build_up_mg_per_m3(1.0, 1.0, 30.0, -1.0), r"−1 air changes an hour"),
        (lambda: build_up_mg_per_m3(1.0, 1.0, 30.0, 1.0, 2.0, -1.0), r"concentration of −1 mg/m³"),
    ],
)
def test_what_cannot_be_is_refused(ask, message):
    """The message names the value, what is allowed and the remedy."""
    with pytest.raises(OutOfRange, match=message):
        ask()
