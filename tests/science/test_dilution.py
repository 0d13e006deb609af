"""Dilution: conservation of substance, the two recipes, powders, tablets, and what is refused."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import OutOfRange
from lungwort.science.dilution import (
    Way,
    add_to,
    from_percent_w_v_mg_per_l,
    from_percent_w_w_mg_per_l,
    make_up_to,
    mixed_mg_per_l,
    parts_of_water,
    percent_w_v,
    powder_g_per_l,
    powder_in_water_mg_per_l,
    tablet_volume_l,
    tablets_in,
    whole_count,
    whole_up,
)

STOCKS = st.floats(100.0, 200_000.0)
SHARES = st.floats(1e-4, 0.99)
VOLUMES = st.floats(0.01, 1000.0)


@given(st.floats(0.0, 100.0), st.floats(0.7, 1.5))
def test_per_cent_by_weight_is_per_cent_in_volume_times_the_density(percent, density):
    """w/v goes there and back; a litre of density d weighs d kilograms."""
    assert percent_w_v(from_percent_w_v_mg_per_l(percent)) == pytest.approx(percent)
    by_weight = from_percent_w_w_mg_per_l(percent, density)
    assert by_weight == pytest.approx(density * from_percent_w_v_mg_per_l(percent))


@given(STOCKS, SHARES, VOLUMES)
def test_both_recipes_conserve_the_substance(stock, share, volume):
    """What the stock brings is what the mixture holds, whichever way it is mixed."""
    target = stock * share
    for recipe in (make_up_to(stock, target, volume), add_to(stock, target, volume)):
        assert recipe.stock_l * stock == pytest.approx(recipe.volume_l * target)
        assert mixed_mg_per_l(stock, recipe.stock_l, recipe.water_l) == pytest.approx(target)


@given(STOCKS, SHARES, VOLUMES)
def test_made_up_to_ends_at_the_volume_and_added_to_starts_from_it(stock, share, volume):
    """The two ways differ by what the volume means, so added to takes more stock."""
    made, added = make_up_to(stock, stock * share, volume), add_to(stock, stock * share, volume)
    assert made.way is Way.MADE_UP_TO
    assert added.way is Way.ADDED_TO
    assert made.volume_l == pytest.approx(volume)
    assert added.water_l == volume
    assert added.stock_l > made.stock_l


@given(STOCKS, SHARES, VOLUMES)
def test_parts_agree_with_the_added_recipe(stock, share, volume):
    """Parts of water to one of stock are the ratio of the volumes."""
    recipe = add_to(stock, stock * share, volume)
    assert parts_of_water(stock, stock * share) == pytest.approx(recipe.water_l / recipe.stock_l)


def test_a_stock_of_the_target_strength_is_used_as_it_is():
    """No water, and no recipe that adds to water."""
    assert parts_of_water(5000.0, 5000.0) == 0.0
    assert make_up_to(5000.0, 5000.0, 2.0).water_l == 0.0
    with pytest.raises(OutOfRange, match="5000 mg/L is the strength of the stock itself"):
        add_to(5000.0, 5000.0, 2.0)


@pytest.mark.parametrize("recipe", [make_up_to, add_to])
def test_a_stock_weaker_than_the_target_is_refused(recipe):
    """No dilution makes it stronger."""
    with pytest.raises(OutOfRange, match=r"4000 mg/L, which is weaker than the 5000 mg/L wanted"):
        recipe(4000.0, 5000.0, 1.0)


@pytest.mark.parametrize("volume", [0.0, -1.0, math.inf, math.nan])
def test_no_volume_is_refused(volume):
    """0 L, less, endless or unknown."""
    with pytest.raises(OutOfRange, match="cannot be mixed or measured; give one above 0"):
        make_up_to(5000.0, 1000.0, volume)


@pytest.mark.parametrize("target", [0.0, -1.0, math.nan])
def test_no_target_is_refused(target):
    """A strength of nothing needs no recipe."""
    with pytest.raises(OutOfRange, match="nothing to mix; give a strength above 0"):
        make_up_to(5000.0, target, 1.0)


@given(st.floats(0.05, 1.0), st.floats(1.0, 20_000.0), VOLUMES)
def test_powder_conserves_the_substance(share, target, volume):
    """Made up to the volume exactly right; added to water never stronger, weaker by no more than its room."""
    grams = powder_g_per_l(share, target) * volume
    assert grams * share * 1000.0 == pytest.approx(target * volume)
    weakest, strongest = powder_in_water_mg_per_l(share, grams, volume)
    assert strongest == pytest.approx(target)
    assert weakest == pytest.approx(target / (1.0 + target / share / 1e6))


def test_powder_below_one_per_cent_is_right_to_two_per_cent_in_water():
    """The published simplification, grams a litre of water: under 2 % off up to 1 % from powder of 60 % or more."""
    weakest, _strongest = powder_in_water_mg_per_l(0.60, powder_g_per_l(0.60, 10_000.0), 1.0)
    assert 10_000.0 > weakest > 9800.0


@pytest.mark.parametrize("share", [0.0, 1.01, -0.5, math.nan])
def test_a_powder_of_no_possible_share_is_refused(share):
    """Above 0 up to 100 %."""
    with pytest.raises(OutOfRange, match="% is not possible; above 0 up to 100 %"):
        powder_g_per_l(share, 1000.0)


def test_a_target_stronger_than_the_powder_is_refused():
    """35 % powder cannot make 40 %."""
    with pytest.raises(OutOfRange, match="350000 mg/L, which is weaker than the 400000 mg/L wanted"):
        powder_g_per_l(0.35, 400_000.0)


@given(st.floats(0.1, 10.0), st.floats(10.0, 10_000.0), VOLUMES)
def test_whole_tablets_never_make_less_than_the_target(active, target, volume):
    """And one tablet fewer would, unless one is already too much."""
    recipe = tablets_in(active, target, volume)
    assert recipe.strength_mg_per_l >= target * (1.0 - 1e-8)
    assert recipe.error == pytest.approx(recipe.strength_mg_per_l / target - 1.0)
    assert recipe.tablets == 1 or 1000.0 * active * (recipe.tablets - 1) / volume < target


@given(st.floats(0.1, 10.0), st.floats(10.0, 10_000.0), st.integers(1, 50))
def test_the_volume_of_whole_tablets_makes_the_target(active, target, tablets):
    """Tablets over volume is the target."""
    volume = tablet_volume_l(active, target, tablets)
    assert 1000.0 * active * tablets / volume == pytest.approx(target)
    assert tablets_in(active, target, volume).tablets == tablets


def test_tablets_may_round_below_only_if_asked():
    """10 L of 1000 mg/L from 2.4 g tablets: 4.17, so 5, or 4 where too weak is allowed."""
    assert tablets_in(2.4, 1000.0, 10.0).tablets == 5
    below = tablets_in(2.4, 1000.0, 10.0, allow_below=True)
    assert (below.tablets, round(below.error, 3)) == (4, -0.04)


def test_an_empty_tablet_is_refused():
    """No active substance makes nothing."""
    with pytest.raises(OutOfRange, match=r"A tablet with 0.00 g .*give the grams on the label"):
        tablets_in(0.0, 1000.0, 10.0)


@given(st.integers(1, 10_000))
def test_floating_point_dust_adds_no_measure(count):
    """A hair above a whole number is that number; a real excess is not."""
    assert whole_up(count * (1.0 + 1e-12)) == count
    assert whole_up(count + 1e-3) == count + 1


def test_at_least_one_measure():
    """Rounding to the nearest never ends at none."""
    assert whole_count(0.2, allow_below=True) == 1
