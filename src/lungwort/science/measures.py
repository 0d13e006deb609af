"""Measures: recipes in the cups and buckets a ward really has, and two steps where one cannot be measured."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from lungwort.errors import OutOfRange
from lungwort.language import _, number
from lungwort.science.dilution import (
    LiquidRecipe,
    Way,
    make_up_to,
    mixed_mg_per_l,
    require_target,
    require_volume,
    whole_count,
    whole_up,
)

FAR_OFF = 0.10
"""A rounding error for which a second step is worth its trouble: Lungwort's judgement."""
_FIRST_STEPS = (10, 20, 50, 100, 1000)
_ROUNDING = 1e-9


@dataclass(frozen=True)
class MeasuredRecipe:
    """A recipe in whole measures: how many, of what size [L], and by what share the strength is off the target."""

    measures: int
    measure_l: float
    recipe: LiquidRecipe
    error: float


def in_whole_measures(
    recipe: LiquidRecipe, stock_mg_per_l: float, measure_l: float, allow_below: bool = False
) -> MeasuredRecipe:
    """Return a recipe with its stock in whole measures, such as cups of 50 mL.

    Args:
        recipe: the exact recipe.
        stock_mg_per_l: strength of the stock [mg/L].
        measure_l: size of the measure [L], above 0.
        allow_below: take the nearest whole number, which may be too weak; else never fewer than needed.

    Returns:
        At least one measure; made up to the same volume, or added to the same water; with the error of
        rounding as a share of the target (0.02: two per cent too strong).

    Raises:
        OutOfRange: no measure, or the measures do not go into the volume.

    Source: computed.

    >>> in_whole_measures(make_up_to(38_000.0, 1000.0, 10.0), 38_000.0, 0.05).measures
    6
    """
    exact = recipe.stock_l / require_volume(measure_l)
    count = whole_count(exact, allow_below)
    stock_l = count * measure_l
    made_up = recipe.way is Way.MADE_UP_TO
    if made_up and stock_l > recipe.volume_l * (1.0 + _ROUNDING):
        text = _("{count} measures of {measure} mL do not go into {volume} L; take a smaller measure")
        shown = {"measure": number(measure_l * 1000, 0), "volume": number(recipe.volume_l, 2)}
        raise OutOfRange(text.format(count=count, **shown))
    water_l = max(0.0, recipe.volume_l - stock_l) if made_up else recipe.water_l
    strength = mixed_mg_per_l(stock_mg_per_l, stock_l, water_l)
    error = strength / recipe.strength_mg_per_l - 1.0
    return MeasuredRecipe(count, measure_l, LiquidRecipe(recipe.way, stock_l, water_l, strength), error)


def two_steps(
    stock_mg_per_l: float, target_mg_per_l: float, volume_l: float, smallest_l: float
) -> tuple[LiquidRecipe, LiquidRecipe]:
    """Return two dilutions where one would need less stock than can be measured.

    Args:
        stock_mg_per_l: strength of the stock [mg/L].
        target_mg_per_l: strength wanted [mg/L], above 0 and not above the stock's.
        volume_l: volume of the final mixture [L], above 0.
        smallest_l: the smallest volume that can be measured well [L], above 0.

    Returns:
        Two "made up to" recipes. The first dilutes the stock 10, 20, 50, 100 or 1000 times, the least that serves,
        and makes no less than the second takes; neither asks for less than the smallest volume.

    Raises:
        OutOfRange: strengths or volumes as in `make_up_to`, or not even a thousandfold first step serves.

    Source: computed.

    >>> first, second = two_steps(50_000.0, 5.0, 10.0, 0.005)
    >>> first.strength_mg_per_l, round(second.stock_l, 4)
    (5000.0, 0.01)
    """
    require_target(target_mg_per_l, stock_mg_per_l)
    for times in _FIRST_STEPS:
        middle = stock_mg_per_l / times
        needed_l = volume_l * target_mg_per_l / middle
        if needed_l * (1.0 + _ROUNDING) >= require_volume(smallest_l) and middle >= target_mg_per_l:
            first = make_up_to(stock_mg_per_l, middle, max(needed_l, smallest_l * times))
            return first, make_up_to(middle, target_mg_per_l, volume_l)
    text = _(
        "{target} mg/L in {volume} L cannot be measured from this stock with {smallest} mL as the smallest "
        "measure, even in two steps; make a larger volume or take a smaller measure"
    )
    shown = {"target": number(target_mg_per_l, 3), "volume": number(volume_l, 2)}
    raise OutOfRange(text.format(smallest=number(smallest_l * 1000, 1), **shown))


def two_steps_in_measures(
    stock_mg_per_l: float, target_mg_per_l: float, volume_l: float, measure_l: float
) -> tuple[MeasuredRecipe, MeasuredRecipe] | None:
    """Return two dilutions in whole measures, where one alone would be far off.

    Args:
        stock_mg_per_l: strength of the stock [mg/L].
        target_mg_per_l: strength wanted [mg/L], above 0 and not above the stock's.
        volume_l: volume of the final mixture [L], above 0.
        measure_l: size of the measure [L], above 0.

    Returns:
        Two "made up to" recipes. The first dilutes the stock 10, 20, 50, 100 or 1000 times: the least that brings
        the error within a tenth, else the one with the smallest error. Never too weak. None where the first
        dilution would already be too weak, or too much of it would be needed.

    Raises:
        OutOfRange: strengths or volumes as in `make_up_to`.

    Source: computed.

    >>> first, second = two_steps_in_measures(50_000.0, 100.0, 10.0, 0.05)
    >>> first.measures, first.recipe.volume_l, second.measures, round(second.error, 3)
    (1, 0.5, 4, 0.0)
    """
    require_target(target_mg_per_l, stock_mg_per_l)
    tried = [_pair(stock_mg_per_l, target_mg_per_l, volume_l, measure_l, n) for n in _FIRST_STEPS]
    pairs = [pair for pair in tried if pair[1].recipe.stock_l <= volume_l * (1.0 + _ROUNDING)]
    near = [pair for pair in pairs if pair[1].error <= FAR_OFF]
    return near[0] if near else min(pairs, key=lambda pair: pair[1].error, default=None)


def _pair(
    stock_mg_per_l: float, target_mg_per_l: float, volume_l: float, measure_l: float, times: int
) -> tuple[MeasuredRecipe, MeasuredRecipe]:
    """Return one pair: `times` is how far the first step dilutes, and the whole measures it is made up to."""
    middle = stock_mg_per_l / times
    exact_l = require_volume(volume_l) * target_mg_per_l / middle
    count = whole_count(exact_l / require_volume(measure_l))
    cups = whole_up(count / times)
    first = LiquidRecipe(Way.MADE_UP_TO, cups * measure_l, cups * (times - 1) * measure_l, middle)
    water_l = max(0.0, volume_l - count * measure_l)
    strength = mixed_mg_per_l(middle, count * measure_l, water_l)
    second = LiquidRecipe(Way.MADE_UP_TO, count * measure_l, water_l, strength)
    error = strength / target_mg_per_l - 1.0
    return MeasuredRecipe(cups, measure_l, first, 0.0), MeasuredRecipe(count, measure_l, second, error)


def measured_up(value: float) -> float:
    """Return `value` rounded up to three significant digits, so that what is measured is never too little.

    >>> measured_up(276.31), measured_up(7.142857), measured_up(1000.0)
    (277.0, 7.15, 1000.0)
    """
    if value <= 0.0:
        return 0.0
    decimals = 2 - math.floor(math.log10(value))
    return float(np.round(whole_up(value * 10.0**decimals) / 10.0**decimals, max(decimals, 0)))
