"""Whole cups, two steps and rounding up."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lungwort.errors import OutOfRange
from lungwort.science.dilution import add_to, make_up_to, mixed_mg_per_l
from lungwort.science.measures import in_whole_measures, measured_up, two_steps, two_steps_in_measures

STOCKS = st.floats(10_000.0, 150_000.0)
SHARES = st.floats(0.001, 0.9)
VOLUMES = st.floats(1.0, 100.0)


@given(STOCKS, SHARES, VOLUMES, st.floats(0.01, 0.09), st.sampled_from([make_up_to, add_to]))
def test_whole_measures_never_make_less_than_the_target(stock, share, volume, cup, way):
    """Enough cups, one fewer would be too few, and the strength is what they really make."""
    exact = way(stock, stock * share, volume)
    cups = in_whole_measures(exact, stock, cup)
    recipe = cups.recipe
    assert recipe.strength_mg_per_l >= exact.strength_mg_per_l * (1.0 - 1e-8)
    assert (cups.measures - 1) * cup < exact.stock_l
    assert recipe.stock_l == pytest.approx(cups.measures * cup)
    assert mixed_mg_per_l(stock, recipe.stock_l, recipe.water_l) == pytest.approx(recipe.strength_mg_per_l)
    assert cups.error == pytest.approx(recipe.strength_mg_per_l / exact.strength_mg_per_l - 1.0)


def test_whole_measures_round_below_only_if_asked():
    """38 g/L to 1000 mg/L in 10 L is 5.26 cups of 50 mL: 6 are 14 % over, 5 are 5 % under."""
    exact = make_up_to(38_000.0, 1000.0, 10.0)
    assert round(in_whole_measures(exact, 38_000.0, 0.05).error, 2) == 0.14
    below = in_whole_measures(exact, 38_000.0, 0.05, allow_below=True)
    assert (below.measures, round(below.error, 2)) == (5, -0.05)


def test_measures_that_overflow_the_vessel_are_refused():
    """Two cups of 3 L do not go into 5 L."""
    with pytest.raises(
        OutOfRange, match="2 measures of 3000 mL do not go into 5.00 L; take a smaller measure"
    ):
        in_whole_measures(make_up_to(10_000.0, 9000.0, 5.0), 10_000.0, 3.0)


@given(STOCKS, st.floats(1e-5, 0.01), VOLUMES, st.floats(0.001, 0.05))
def test_two_steps_make_the_target_from_measurable_volumes(stock, share, volume, smallest):
    """Both steps conserve the substance, the first makes enough for the second, none asks for less than measurable."""
    assume(volume * share * 1000.0 >= smallest)
    first, second = two_steps(stock, stock * share, volume, smallest)
    assert min(first.stock_l, second.stock_l) >= smallest * (1.0 - 1e-8)
    assert first.volume_l >= second.stock_l * (1.0 - 1e-9)
    assert mixed_mg_per_l(stock, first.stock_l, first.water_l) == pytest.approx(first.strength_mg_per_l)
    final = mixed_mg_per_l(first.strength_mg_per_l, second.stock_l, second.water_l)
    assert final == pytest.approx(stock * share)
    assert second.volume_l == pytest.approx(volume)


def test_what_even_two_steps_cannot_measure_is_refused():
    """A litre of a hundredth of a milligram from strong bleach with a 50 mL cup."""
    with pytest.raises(OutOfRange, match="even in two steps; make a larger volume or take a smaller measure"):
        two_steps(100_000.0, 0.01, 1.0, 0.05)


def test_a_first_step_weaker_than_the_target_is_never_proposed():
    """Half of strong bleach in 2 mL: even a tenfold first step is too weak for it."""
    with pytest.raises(OutOfRange, match="5000.000 mg/L in 0.00 L cannot be measured"):
        two_steps(10_000.0, 5000.0, 0.002, 0.005)


@given(STOCKS, st.floats(1e-5, 0.1), VOLUMES, st.floats(0.01, 0.09))
def test_two_steps_in_whole_measures_are_never_too_weak(stock, share, volume, cup):
    """Whole cups in both steps, the first enough for the second; the final strength is what the cups make."""
    target = stock * share
    pair = two_steps_in_measures(stock, target, volume, cup)
    assume(pair is not None)
    first, second = pair
    assert second.recipe.strength_mg_per_l >= target * (1.0 - 1e-8)
    assert first.recipe.volume_l >= second.recipe.stock_l * (1.0 - 1e-9)
    ratio = first.recipe.volume_l / first.recipe.stock_l
    assert stock / ratio == pytest.approx(first.recipe.strength_mg_per_l)
    middle = first.recipe.strength_mg_per_l
    made = mixed_mg_per_l(middle, second.recipe.stock_l, second.recipe.water_l)
    assert made == pytest.approx(second.recipe.strength_mg_per_l)


def test_there_are_no_two_steps_where_the_first_is_too_weak_already():
    """Half the stock's strength cannot come from a tenth of it."""
    assert two_steps_in_measures(10_000.0, 5000.0, 1.0, 0.09) is None


def test_two_steps_come_nearer_than_one():
    """5 % to 100 mg/L in 10 L: one 50 mL cup makes 2.5 times that, four of a tenfold dilution are right."""
    one = in_whole_measures(make_up_to(50_000.0, 100.0, 10.0), 50_000.0, 0.05)
    _first, second = two_steps_in_measures(50_000.0, 100.0, 10.0, 0.05)
    assert one.error == pytest.approx(1.5)
    assert second.error == pytest.approx(0.0, abs=1e-9)


@given(st.floats(1e-3, 1e6))
def test_what_is_measured_is_never_too_little(value):
    """Rounded up, by less than a hundredth, to three significant digits."""
    measured = measured_up(value)
    assert value * (1.0 - 2e-9) <= measured <= value * 1.0101
    assert float(f"{measured:.3g}") == pytest.approx(measured, rel=1e-12)
    assert not math.isclose(measured, 0.0)
