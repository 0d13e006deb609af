"""From label, age and warmth to a recipe."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import OutOfRange
from lungwort.evidence.mixing import Measures, Store, plan_mix, stock_now
from lungwort.evidence.strengths import Liquid, Powder, Tablet
from lungwort.science.chlorine import HALF_LIFE_SHORTENED_TO, strength_after_mg_per_l
from lungwort.science.dilution import Way, mixed_mg_per_l

DAY_S = 86_400.0


def liquid(strength, low=None):
    """Return a liquid strength in mg/L."""
    return Liquid(f"{strength} mg/L", strength, strength if low is None else low)


def kept(days, celsius, **more):
    """Return a store of so many days at a temperature."""
    return Store(history=((celsius, days * DAY_S),), keep_c=celsius, known=True, **more)


@given(
    st.floats(20_000.0, 150_000.0),
    st.floats(0.9, 1.0),
    st.floats(0.0, 400.0),
    st.floats(0.0, 40.0),
    st.floats(0.001, 0.9),
)
def test_the_recipe_reaches_the_target_at_the_cautious_end(label, low, days, celsius, share):
    """Every start the label allows, with the half-life shortened, makes the target or more by either recipe."""
    store = kept(days, celsius)
    stock = stock_now(liquid(label, label * low), store, 100.0)
    target = stock.cautious_mg_per_l * share
    plan = plan_mix(liquid(label, label * low), liquid(target), 10.0, store, Measures(smallest_l=1e-6))
    for start in (label, label * low):
        left = strength_after_mg_per_l(start, store.history, HALF_LIFE_SHORTENED_TO)
        for recipe in plan.recipes:
            assert mixed_mg_per_l(left, recipe.stock_l, recipe.water_l) >= target * (1.0 - 1e-9)
    assert target <= plan.best_mg_per_l * (1.0 + 1e-9)
    assert plan.best_mg_per_l <= plan.at_most_mg_per_l * (1.0 + 1e-9)


@given(st.floats(20_000.0, 150_000.0), st.floats(0.0, 200.0), st.floats(0.0, 35.0))
def test_the_shortfall_of_the_label_recipe_is_what_it_would_make(label, days, celsius):
    """Mixing the label's recipe from what is left makes the target less the shortfall."""
    plan = plan_mix(liquid(label), liquid(500.0), 10.0, kept(days, celsius))
    recipe = plan.label_recipe
    made = mixed_mg_per_l(plan.stock.best_mg_per_l, recipe.stock_l, recipe.water_l)
    assert 1.0 - made / 500.0 == pytest.approx(plan.label_shortfall_best, abs=1e-9)
    made = mixed_mg_per_l(plan.stock.cautious_mg_per_l, recipe.stock_l, recipe.water_l)
    assert 1.0 - made / 500.0 == pytest.approx(plan.label_shortfall_cautious, abs=1e-9)


def test_fresh_five_per_cent_to_half_a_per_cent_is_one_and_nine():
    """CDC's rule; 1 L made up to 10 L, or 1.11 L added to 10 L."""
    plan = plan_mix(liquid(50_000.0), liquid(5000.0), 10.0)
    assert plan.parts_of_water == 9.0
    assert [r.way for r in plan.recipes] == [Way.MADE_UP_TO, Way.ADDED_TO]
    assert [round(r.stock_l, 3) for r in plan.recipes] == [1.0, 1.111]
    assert plan.label_shortfall_best == plan.label_shortfall_cautious == 0.0
    assert any("age of the stock was not given" in sentence for sentence in plan.says)


def test_half_a_year_at_32_degrees():
    """5.25 % NaOCl w/w (54.0 g/L): 54.007/(1 + k2·C0·t) = 34.8 g/L, worked out by hand with k2 = 4.65e-8 L/(mol s)."""
    # k2(32 °C, I = 1.62) = 10^(0.1492·1.6233)·2.083e10·305.15·e^(-1.018e5/(8.314·305.15))·e^(-56.5/8.314) = 4.65e-8
    # k2·C0·t = 4.65e-8 · 0.76166 · 180·86400 = 0.551; 54.007 / 1.551 = 34.8
    stock = stock_now(liquid(54_007.0), kept(180.0, 32.0), 1000.0)
    assert stock.best_mg_per_l / 1000.0 == pytest.approx(34.8, abs=0.05)
    # the cautious end: 54.007 / (1 + 0.551 / 0.6) = 28.2
    assert stock.cautious_mg_per_l / 1000.0 == pytest.approx(28.2, abs=0.05)


def test_a_recipe_that_is_to_hold_takes_the_strength_at_its_end():
    """30 days more at the same warmth is 120 days; the shelf life still counts from now."""
    held = stock_now(liquid(100_000.0), kept(90.0, 30.0, keep_s=30 * DAY_S), 5000.0)
    later = stock_now(liquid(100_000.0), kept(120.0, 30.0), 5000.0)
    assert held.cautious_mg_per_l == pytest.approx(later.cautious_mg_per_l)
    assert held.shelf_life_s == pytest.approx(later.shelf_life_s + 30 * DAY_S)


@given(st.floats(30_000.0, 150_000.0), st.floats(0.1, 0.9), st.floats(5.0, 40.0))
def test_at_the_end_of_its_shelf_life_the_stock_is_just_strong_enough(label, share, celsius):
    """The cautious end then equals the target; a day later no recipe is given."""
    target = label * share
    left_s = stock_now(liquid(label), kept(0.0, celsius), target).shelf_life_s
    assert stock_now(liquid(label), kept(left_s / DAY_S, celsius), target).cautious_mg_per_l == pytest.approx(
        target
    )
    with pytest.raises(OutOfRange, match="cannot be shown to reach"):
        plan_mix(liquid(label), liquid(target), 1.0, kept(left_s * 1.001 / DAY_S + 1.0, celsius))


def test_a_weak_bleach_is_said_to_be_unchecked():
    """No check of the formula below 5 %."""
    plan = plan_mix(liquid(38_000.0), liquid(1000.0), 10.0, kept(30.0, 25.0))
    assert any("below 5 %: measure this stock" in sentence for sentence in plan.says)


def test_a_stock_weaker_by_its_label_is_refused_at_once():
    """0.5 % cannot make 1 %."""
    with pytest.raises(
        OutOfRange, match="5000 mg/L by its label, which is weaker than the 10000 mg/L wanted"
    ):
        plan_mix(liquid(5000.0), liquid(10_000.0), 1.0)


def test_other_agents_do_not_decay_here_and_it_is_said():
    """Not modelled is not shown, never unchanged."""
    plan = plan_mix(liquid(50_000.0), liquid(2000.0), 5.0, kept(60.0, 25.0, decays=False))
    assert plan.stock.cautious_mg_per_l == 50_000.0
    assert plan.stock.half_life_s is None
    assert any("not modelled: how much it has lost" in sentence for sentence in plan.says)


def test_a_little_stock_is_measured_in_two_steps():
    """5 mg/L in 10 L takes 1 mL of 5 %, below the smallest measure; with a cup whole cups are used instead."""
    plan = plan_mix(liquid(50_000.0), liquid(5.0), 10.0)
    first, second = plan.two_steps
    assert (round(first.stock_l, 4), round(second.stock_l, 4)) == (0.005, 0.01)
    with_cup = plan_mix(liquid(50_000.0), liquid(100.0), 10.0, ward=Measures(cup_l=0.05))
    assert with_cup.two_steps is None
    assert [step.measures for step in with_cup.two_steps_in_cups] == [1, 4]
    near = plan_mix(liquid(50_000.0), liquid(1000.0), 10.0, ward=Measures(cup_l=0.05))
    assert near.two_steps_in_cups is None


def test_a_stock_of_the_target_strength_has_one_recipe():
    """Use it as it is."""
    plan = plan_mix(liquid(5000.0), liquid(5000.0), 2.0)
    assert len(plan.recipes) == 1
    assert plan.recipes[0].water_l == 0.0


def test_powder_in_scoops():
    """70 % to 0.5 %: 7.14 g a litre (CDC's rule); ten scoops of 15 g for 20 L, 5 % too strong."""
    plan = plan_mix(Powder("70 %", 0.70), liquid(5000.0), 20.0, ward=Measures(scoop_g=15.0))
    assert plan.g_per_l == pytest.approx(7.14, abs=0.005)
    assert plan.scoops == 10
    assert plan.scoops_mg_per_l == pytest.approx(5250.0)
    assert plan.weakest_in_water_mg_per_l < 5000.0


def test_tablets():
    """2.5 g tablets: four for 10 L of 1000 mg/L, 2.5 L each."""
    plan = plan_mix(Tablet("2.5 g/tablet", 2.5), liquid(1000.0), 10.0)
    assert plan.recipe.tablets == 4
    assert plan.litres_a_tablet == 2.5
