"""From what a label says, and how long and how warm the stock stood, to the recipe for a wanted strength."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lungwort.errors import OutOfRange
from lungwort.evidence.strengths import Liquid, Powder, Strength, Tablet
from lungwort.language import _, number
from lungwort.science import chlorine, dilution, measures
from lungwort.science.dilution import LiquidRecipe, TabletRecipe
from lungwort.science.measures import MeasuredRecipe

WEAKEST_CHECKED_MG_PER_L = 50_000.0
"""Below this no check of the decay formula is known to us."""

History = Sequence[tuple[float, float]]
"""Pairs of store temperature [°C] and time [s]."""


@dataclass(frozen=True)
class Measures:
    """What a ward measures with: a cup and the smallest measure in L, a scoop in g; rounding below only if asked."""

    cup_l: float | None = None
    scoop_g: float | None = None
    smallest_l: float = 0.005
    allow_below: bool = False


@dataclass(frozen=True)
class Store:
    """How a stock was kept: its history so far, how long the recipe is to hold, and how warm it is kept till then.

    `decays` says that a model of its decay exists; `known` that its age was given.
    """

    history: tuple[tuple[float, float], ...] = ()
    keep_s: float = 0.0
    keep_c: float | None = None
    decays: bool = True
    known: bool = False

    @property
    def whole_history(self) -> tuple[tuple[float, float], ...]:
        """The history until the end of the time for which the recipe is to hold."""
        if self.keep_s == 0.0 or self.keep_c is None:
            return self.history
        return (*self.history, (self.keep_c, self.keep_s))


@dataclass(frozen=True)
class Stock:
    """Strength of a liquid stock [mg/L]: by its label; best estimate and cautious end when the recipe is used."""

    label_mg_per_l: float
    best_mg_per_l: float
    cautious_mg_per_l: float
    half_life_s: float | None = None
    shelf_life_s: float | None = None


@dataclass(frozen=True)
class LiquidPlan:
    """Recipes from a liquid stock; strengths of the mixture in mg/L; shortfalls as shares of the target."""

    stock: Stock
    target_mg_per_l: float
    parts_of_water: float
    recipes: tuple[LiquidRecipe, ...]
    in_cups: tuple[MeasuredRecipe, ...]
    two_steps: tuple[LiquidRecipe, LiquidRecipe] | None
    two_steps_in_cups: tuple[MeasuredRecipe, MeasuredRecipe] | None
    best_mg_per_l: float
    at_most_mg_per_l: float
    label_recipe: LiquidRecipe
    label_shortfall_best: float
    label_shortfall_cautious: float
    says: tuple[str, ...]


@dataclass(frozen=True)
class PowderPlan:
    """Recipe from a powder: grams a litre and in all; what the room it takes in water may cost; whole scoops."""

    target_mg_per_l: float
    volume_l: float
    g_per_l: float
    grams: float
    weakest_in_water_mg_per_l: float
    scoops: int | None
    scoops_mg_per_l: float | None
    says: tuple[str, ...]


@dataclass(frozen=True)
class TabletPlan:
    """Recipe from tablets: whole tablets for the volume, and the volume that one tablet makes."""

    target_mg_per_l: float
    recipe: TabletRecipe
    litres_a_tablet: float
    says: tuple[str, ...]


Plan = LiquidPlan | PowderPlan | TabletPlan


def plan_mix(
    stock: Strength,
    target: Liquid,
    volume_l: float,
    store: Store | None = None,
    ward: Measures | None = None,
) -> Plan:
    """Return the recipe for a strength from a stock, at the cautious end of what the stock still has.

    Args:
        stock: the stock as its label says.
        target: the strength wanted.
        volume_l: volume [L]: of the mixture where made up to it, of the water where added to it.
        store: how the stock was kept; nothing known where None.
        ward: what the ward measures with.

    Returns:
        A plan for a liquid, a powder or tablets; what was assumed is in `says`.

    Raises:
        OutOfRange: the stock cannot be shown to be as strong as the target, or a number is beyond its range.

    >>> from lungwort.evidence.strengths import Liquid
    >>> plan = plan_mix(Liquid("5 %", 50_000.0, 50_000.0), Liquid("0.5 %", 5000.0, 5000.0), 10.0)
    >>> plan.parts_of_water, plan.recipes[0].stock_l
    (9.0, 1.0)
    """
    store, ward = store or Store(), ward or Measures()
    if isinstance(stock, Powder):
        return _powder_plan(stock, target, volume_l, ward)
    if isinstance(stock, Tablet):
        return _tablet_plan(stock, target, volume_l, ward)
    return _liquid_plan(stock, target, volume_l, store, ward)


def stock_now(label: Liquid, store: Store, target_mg_per_l: float) -> Stock:
    """Return what a liquid stock has left, best and at the cautious end, and how long it will do for a target.

    The cautious end takes the low reading of the label and every half-life shortened to six tenths.

    Source: `lungwort.science.chlorine`. Where no decay is modelled or no age known, the label's own numbers.

    >>> from lungwort.evidence.strengths import Liquid
    >>> warm = Store(history=((32.0, 180 * 86_400.0),), keep_c=32.0, known=True)
    >>> now = stock_now(Liquid("5.25 % NaOCl w/w", 54_007.0, 51_956.0), warm, 1000.0)
    >>> round(now.best_mg_per_l, -2), round(now.cautious_mg_per_l, -2)
    (34800.0, 27800.0)
    """
    best, low = label.strength_mg_per_l, label.low_mg_per_l
    if not (store.decays and store.known):
        return Stock(best, best, low)
    starts = (low, best)  # a stronger start ends weaker after long enough, so both are tried
    short = chlorine.HALF_LIFE_SHORTENED_TO
    best_left = chlorine.strength_after_mg_per_l(best, store.whole_history)
    low_left = min(chlorine.strength_after_mg_per_l(s, store.whole_history, short) for s in starts)
    if store.keep_c is None:
        return Stock(best, best_left, low_left)
    shelf_life_s = min(_shelf_life_s(s, target_mg_per_l, store.keep_c, store.history) for s in starts)
    return Stock(best, best_left, low_left, chlorine.half_life_s(best, store.keep_c), shelf_life_s)


def _shelf_life_s(start: float, target: float, keep_c: float, history: History) -> float:
    if start <= target:
        return 0.0
    return chlorine.time_until_s(start, target, keep_c, history, chlorine.HALF_LIFE_SHORTENED_TO)


def _liquid_plan(label: Liquid, target: Liquid, volume_l: float, store: Store, ward: Measures) -> LiquidPlan:
    wanted = target.strength_mg_per_l
    stock = stock_now(label, store, wanted)
    _require_strong_enough(stock, wanted)
    usable = stock.cautious_mg_per_l
    recipes = _recipes(usable, wanted, volume_l)
    in_cups = _in_cups(recipes, usable, ward)
    label_recipe = dilution.make_up_to(stock.label_mg_per_l, wanted, volume_l)
    return LiquidPlan(
        stock=stock,
        target_mg_per_l=wanted,
        parts_of_water=dilution.parts_of_water(usable, wanted),
        recipes=recipes,
        in_cups=in_cups,
        two_steps=_two_steps(recipes[0], usable, ward),
        two_steps_in_cups=_two_steps_in_cups(in_cups, usable, wanted),
        best_mg_per_l=wanted * stock.best_mg_per_l / usable,
        at_most_mg_per_l=wanted * stock.label_mg_per_l / usable,
        label_recipe=label_recipe,
        label_shortfall_best=1.0 - stock.best_mg_per_l / stock.label_mg_per_l,
        label_shortfall_cautious=1.0 - usable / stock.label_mg_per_l,
        says=_once(label.says, target.says, _store_says(label, store)),
    )


def _recipes(usable: float, wanted: float, volume_l: float) -> tuple[LiquidRecipe, ...]:
    """Return both named recipes; only the one where the stock is used as it is."""
    made_up = dilution.make_up_to(usable, wanted, volume_l)
    if dilution.parts_of_water(usable, wanted) == 0.0:
        return (made_up,)
    return (made_up, dilution.add_to(usable, wanted, volume_l))


def _in_cups(recipes: tuple[LiquidRecipe, ...], usable: float, ward: Measures) -> tuple[MeasuredRecipe, ...]:
    if ward.cup_l is None:
        return ()
    cup_l, below = ward.cup_l, ward.allow_below
    return tuple(measures.in_whole_measures(recipe, usable, cup_l, below) for recipe in recipes)


def _two_steps(
    recipe: LiquidRecipe, usable: float, ward: Measures
) -> tuple[LiquidRecipe, LiquidRecipe] | None:
    if ward.cup_l is not None or recipe.stock_l * (1.0 + 1e-9) >= ward.smallest_l:
        return None
    return measures.two_steps(usable, recipe.strength_mg_per_l, recipe.volume_l, ward.smallest_l)


def _two_steps_in_cups(
    in_cups: tuple[MeasuredRecipe, ...], usable: float, wanted: float
) -> tuple[MeasuredRecipe, MeasuredRecipe] | None:
    """Return two steps in whole cups where one is far off and two are nearer."""
    if not in_cups or abs(in_cups[0].error) <= measures.FAR_OFF:
        return None
    one = in_cups[0]
    pair = measures.two_steps_in_measures(usable, wanted, one.recipe.volume_l, one.measure_l)
    return pair if pair is not None and pair[1].error < abs(one.error) else None


def _require_strong_enough(stock: Stock, wanted: float) -> None:
    if stock.cautious_mg_per_l * (1.0 + 1e-9) >= wanted:
        return
    if stock.label_mg_per_l < wanted:
        says = _(
            "the stock has {label} mg/L by its label, which is weaker than the {target} mg/L wanted: no dilution "
            "makes it stronger. Take a stronger stock or a weaker target"
        )
    else:
        says = _(
            "the stock had {label} mg/L when made and now has {best} mg/L by the best estimate, {cautious} at the "
            "cautious end: it cannot be shown to reach {target} mg/L. Take a fresher stock, or measure this one"
        )
    numbers = {
        "label": stock.label_mg_per_l,
        "best": stock.best_mg_per_l,
        "cautious": stock.cautious_mg_per_l,
    }
    shown = {name: number(value, 0) for name, value in numbers.items()}
    raise OutOfRange(says.format(target=number(wanted, 0), **shown))


def _store_says(label: Liquid, store: Store) -> tuple[str, ...]:
    if not store.decays:
        return (_not_modelled(),)
    if not store.known:
        return (
            _(
                "The age of the stock was not given, so the label's strength is taken: this holds for fresh stock "
                "only. Bleach weakens; give --age and --stored-at, or the strength measured today."
            ),
        )
    said = [
        _(
            "Decay: second order after AWWA / Water Research Foundation 2009 (from memory), best estimate; the "
            "cautious end takes every half-life shortened to 60 %. Light, metal and an open bottle are not in it."
        )
    ]
    if store.keep_s > 0.0 and store.keep_c is not None:
        text = _("The recipe holds for {days} days from now, with the stock kept at {warm} °C till then.")
        said.append(text.format(days=number(store.keep_s / 86_400.0, 0), warm=number(store.keep_c, 0)))
    if label.strength_mg_per_l < WEAKEST_CHECKED_MG_PER_L:
        text = _(
            "No check of the decay formula is known for bleach below 5 %: measure this stock if you can."
        )
        said.append(text)
    return tuple(said)


def _once(*sentences: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(sentence for group in sentences for sentence in group))


def _not_modelled() -> str:
    return _(
        "The decay of this stock is not modelled: how much it has lost since it was made is not shown. The label's "
        "strength is taken; keep to its date, and test the mixture with a strip."
    )


def _powder_plan(powder: Powder, target: Liquid, volume_l: float, ward: Measures) -> PowderPlan:
    wanted = target.strength_mg_per_l
    per_litre = dilution.powder_g_per_l(powder.share, wanted)
    grams = per_litre * volume_l
    weakest, _strongest = dilution.powder_in_water_mg_per_l(powder.share, grams, volume_l)
    scoops = scoops_strength = None
    if ward.scoop_g is not None:
        scoops = dilution.whole_count(grams / ward.scoop_g, ward.allow_below)
        scoops_strength = 1000.0 * powder.share * scoops * ward.scoop_g / volume_l
    said = _once(powder.says, target.says, (_not_modelled(),))
    return PowderPlan(wanted, volume_l, per_litre, grams, weakest, scoops, scoops_strength, said)


def _tablet_plan(tablet: Tablet, target: Liquid, volume_l: float, ward: Measures) -> TabletPlan:
    wanted = target.strength_mg_per_l
    recipe = dilution.tablets_in(tablet.active_g, wanted, volume_l, ward.allow_below)
    one = dilution.tablet_volume_l(tablet.active_g, wanted)
    return TabletPlan(wanted, recipe, one, _once(tablet.says, target.says, (_not_modelled(),)))
