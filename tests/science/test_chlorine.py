"""Available chlorine and the decay of bleach, against an outside molar mass and the law's own properties."""

import math

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st
from scipy.constants import Boltzmann, Planck
from scipy.integrate import solve_ivp

from lungwort.errors import OutOfRange
from lungwort.science import chlorine
from lungwort.science.chlorine import (
    ATOMIC_WEIGHTS,
    HALF_LIFE_SHORTENED_TO,
    STORE_RANGE_C,
    STRENGTH_RANGE_MG_PER_L,
    available_from_naocl,
    bleach_density_kg_per_l,
    chlorometric_degrees,
    decay_rate_l_per_mol_s,
    from_degrees_mg_per_l,
    half_life_s,
    ionic_strength_mol_per_l,
    naocl_from_available,
    strength_after_mg_per_l,
    time_until_s,
)

DAY_S = 86_400.0
STRENGTHS = st.floats(1000.0, STRENGTH_RANGE_MG_PER_L[1])
TEMPERATURES = st.floats(*STORE_RANGE_C)
TIMES = st.floats(0.0, 10 * 365 * DAY_S)
HISTORIES = st.lists(st.tuples(TEMPERATURES, TIMES), max_size=5)


def test_molar_mass_of_chlorine_agrees_with_coolprop():
    """CoolProp's molar mass of Cl2 is twice the atomic weight kept here."""
    assert 2.0 * ATOMIC_WEIGHTS["Cl"] == pytest.approx(1000.0 * PropsSI("M", "Chlorine"), abs=0.0005)


def test_a_chlorometric_degree_is_a_litre_of_gas_to_a_quarter_per_cent():
    """Ideal gas at 0 °C and 1 atm: 70.906 / 22.414 = 3.163 g/L, printed as 3.17."""
    ideal = 2.0 * ATOMIC_WEIGHTS["Cl"] / 22.414
    assert pytest.approx(ideal, rel=0.0025) == chlorine.G_PER_L_PER_DEGREE


def test_the_prefactor_is_boltzmann_over_planck_so_the_rate_is_per_second():
    """k_B/h from the SI constants, to the four digits of the formula."""
    assert pytest.approx(Boltzmann / Planck, rel=5e-4) == chlorine._BOLTZMANN_OVER_PLANCK


@given(st.floats(0.0, 1e6))
def test_units_go_there_and_back(value):
    """NaOCl and available chlorine, degrees and mg/L undo each other."""
    assert naocl_from_available(available_from_naocl(value)) == pytest.approx(value)
    assert chlorometric_degrees(from_degrees_mg_per_l(value)) == pytest.approx(value)


def test_conversions_take_arrays():
    """An array comes back as one of the same shape."""
    given_values = np.array([[5.25, 12.5], [1.0, 0.0]])
    assert available_from_naocl(given_values).shape == (2, 2)
    assert half_life_s(50_000.0, np.array([15.0, 25.0])).shape == (2,)


def test_density_rises_with_strength_and_less_so_with_low_salt():
    """Water at 0 %, 1.080 at 5.25 %, 1.170 at 12.5 %; low salt half the rise."""
    percent = np.linspace(0.0, 20.0, 81)
    usual = bleach_density_kg_per_l(percent)
    assert (np.diff(usual) > 0.0).all()
    np.testing.assert_allclose(bleach_density_kg_per_l(percent, low_salt=True), (usual + 0.998) / 2.0)
    assert bleach_density_kg_per_l(12.5) == pytest.approx(1.170)


def test_the_closed_form_solves_the_law():
    """A numerical solution of dC/dt = -k2 C² through three stays agrees; ionic strength as when made."""
    made = 125_000.0
    history = [(20.0, 30 * DAY_S), (38.0, 60 * DAY_S), (5.0, 200 * DAY_S)]
    moles, salt = made / 70_906.0, ionic_strength_mol_per_l(made)
    for celsius, time_s in history:
        rate = decay_rate_l_per_mol_s(celsius, salt)
        law = solve_ivp(lambda t, c, k=rate: -k * c * c, (0.0, time_s), [moles], rtol=1e-10, atol=1e-14)
        moles = float(law.y[0, -1])
    assert strength_after_mg_per_l(made, history) == pytest.approx(moles * 70_906.0, rel=1e-7)


@given(STRENGTHS, HISTORIES, st.sampled_from([1.0, HALF_LIFE_SHORTENED_TO]))
def test_bleach_never_grows_stronger(made, history, shortened_to):
    """Whatever the history, no more is left than was made, and something always is."""
    left = strength_after_mg_per_l(made, history, shortened_to)
    assert 0.0 < left <= made


@given(STRENGTHS, HISTORIES, TEMPERATURES, st.floats(1.0, 10 * 365 * DAY_S))
def test_another_stay_only_weakens_and_order_does_not_matter(made, history, celsius, time_s):
    """More time leaves less; the same stays in another order leave the same."""
    longer = [*history, (celsius, time_s)]
    left = strength_after_mg_per_l(made, longer)
    assert left <= strength_after_mg_per_l(made, history)
    assert strength_after_mg_per_l(made, longer[::-1]) == pytest.approx(left, rel=1e-12)


@given(STRENGTHS, st.floats(0.0, 59.0), st.floats(0.1, 1.0), st.floats(DAY_S, 365 * DAY_S))
def test_a_warmer_store_weakens_more(made, celsius, warmer_k, time_s):
    """The same time a little warmer leaves less."""
    cool = strength_after_mg_per_l(made, [(celsius, time_s)])
    assert strength_after_mg_per_l(made, [(celsius + warmer_k, time_s)]) < cool


@given(STRENGTHS, HISTORIES)
def test_the_cautious_end_is_never_above_the_best_estimate(made, history):
    """Shorter half-lives leave less."""
    cautious = strength_after_mg_per_l(made, history, HALF_LIFE_SHORTENED_TO)
    assert cautious <= strength_after_mg_per_l(made, history)


@given(STRENGTHS, TEMPERATURES)
def test_after_a_half_life_half_is_left_and_the_next_takes_twice_as_long(made, celsius):
    """Second order: C0/2 after t½, C0/4 after 3 t½."""
    half = half_life_s(made, celsius)
    assert strength_after_mg_per_l(made, [(celsius, half)]) == pytest.approx(made / 2.0)
    assert strength_after_mg_per_l(made, [(celsius, 3.0 * half)]) == pytest.approx(made / 4.0)
    assert half_life_s(made, celsius, HALF_LIFE_SHORTENED_TO) == pytest.approx(0.6 * half)


@given(STRENGTHS, st.floats(0.01, 1.0), TEMPERATURES, st.floats(0.0, 0.99))
def test_the_time_left_ends_at_the_weakest_allowed(made, share, celsius, spent):
    """After part of the time is spent, the rest leads exactly to the weakest strength allowed."""
    weakest = made * share
    whole = time_until_s(made, weakest, celsius)
    history = [(celsius, spent * whole)]
    left = time_until_s(made, weakest, celsius, history)
    end = strength_after_mg_per_l(made, [*history, (celsius, left)])
    assert end == pytest.approx(weakest, rel=1e-9)


def test_no_time_is_left_once_bleach_is_weaker():
    """0, not a negative time."""
    assert time_until_s(50_000.0, 49_000.0, 30.0, [(30.0, 365 * DAY_S)]) == 0.0
    assert time_until_s(50_000.0, 60_000.0, 30.0) == 0.0


def test_ten_kelvin_more_is_about_four_times_as_fast():
    """The formula gives 3.9 to 4.1 between 20 and 40 °C (a vendor's rule of thumb says 3.5)."""
    for celsius, factor in ((20.0, 4.10), (30.0, 3.75)):
        ratio = decay_rate_l_per_mol_s(celsius + 10.0, 1.5) / decay_rate_l_per_mol_s(celsius, 1.5)
        assert ratio == pytest.approx(factor, abs=0.05)


@pytest.mark.parametrize("celsius", [90.0, -0.1, 60.1])
def test_a_store_beyond_the_formula_is_refused(celsius):
    """The message names the value, the range and what to do."""
    with pytest.raises(
        OutOfRange, match=rf"{f'{celsius:g}'.replace('-', '−')} °C is outside 0 to 60 °C.*do not use"
    ):
        strength_after_mg_per_l(50_000.0, [(celsius, DAY_S)])


@pytest.mark.parametrize("made", [0.0, -5.0, 200_001.0, math.inf])
def test_a_strength_no_bleach_has_is_refused(made):
    """Nothing, less than nothing, more than 200 g/L."""
    with pytest.raises(OutOfRange, match="not a strength of liquid bleach.*Check the unit"):
        half_life_s(made, 25.0)


def test_a_negative_age_is_refused():
    """Bleach cannot be younger than made."""
    with pytest.raises(OutOfRange, match="An age of −1 s is not possible"):
        strength_after_mg_per_l(50_000.0, [(25.0, -1.0)])


def test_a_density_beyond_the_table_is_refused():
    """No bleach has more than 20 % by weight."""
    with pytest.raises(OutOfRange, match="25 % sodium hypochlorite by weight is outside"):
        bleach_density_kg_per_l(25.0)
