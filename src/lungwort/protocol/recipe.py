"""How a step's solution is made from the stock in store, as old as it is on a day."""

from __future__ import annotations

import math
from datetime import date

from lungwort.errors import LungwortError
from lungwort.evidence.mixing import LiquidPlan, Plan, PowderPlan, Store, TabletPlan, plan_mix
from lungwort.evidence.strengths import Liquid, Strength, parse_strength, substance_of
from lungwort.language import _, number
from lungwort.protocol.document import Protocol
from lungwort.protocol.equipment import Stock
from lungwort.protocol.kinds import Step
from lungwort.wording import figure, volume_words

BUCKET_L = 10.0
DAY_S = 86_400.0
_USED_AS_IT_IS = 0.01  # a label this near to the strength wanted: no water is added


def recipe_words(protocol: Protocol, step: Step, today: date, litres: float = BUCKET_L) -> str:
    """Say how a step's solution is made; where no recipe can be shown, say so and why."""
    stock = protocol.stock(step.stock)
    if stock is None or step.strength is None:
        return _("No recipe: the stock {name!r} is not in the document.").format(name=step.stock)
    try:
        return _recipe(protocol, stock, step.strength, today, litres)
    except LungwortError as error:
        return _("No recipe: {why}.").format(why=str(error).rstrip("."))


def _recipe(protocol: Protocol, stock: Stock, strength: str, today: date, litres: float) -> str:
    substance = substance_of(stock.described)
    label, wanted = (
        parse_strength(stock.strength, substance),
        parse_strength(strength, substance, kind="target"),
    )
    assert isinstance(wanted, Liquid)  # parse_strength refuses any other form as a target
    if _as_it_is(label, wanted):
        return _("Use {stock} as it is, undiluted.").format(stock=stock.name)
    plan = plan_mix(label, wanted, litres, _store(protocol, stock, label, today))
    return _plan_words(plan, stock, litres)


def _as_it_is(label: Strength, wanted: Liquid) -> bool:
    if not isinstance(label, Liquid):
        return False
    return (
        abs(label.strength_mg_per_l - wanted.strength_mg_per_l) <= _USED_AS_IT_IS * wanted.strength_mg_per_l
    )


def _store(protocol: Protocol, stock: Stock, label: Strength, today: date) -> Store:
    """Return how the stock was kept until today: at the store's warmest, so that no recipe is too weak."""
    decays = stock.agent == "hypochlorite" and isinstance(label, Liquid)
    if stock.made_on is None or not decays:
        return Store(decays=decays)
    age_s = max((today - stock.made_on).days, 0) * DAY_S
    return Store(((protocol.place.store.highest_c, age_s),), decays=True, known=True)


def _plan_words(plan: Plan, stock: Stock, litres: float) -> str:
    if isinstance(plan, LiquidPlan):
        return _liquid_words(plan, stock, litres)
    if isinstance(plan, PowderPlan):
        text = _("For {litres} L: {grams} g of {stock} into all the water.")
        return text.format(litres=figure(litres), grams=number(plan.grams, 0), stock=stock.name)
    return _tablet_words(plan, stock)


def _liquid_words(plan: LiquidPlan, stock: Stock, litres: float) -> str:
    made = plan.recipes[0]
    text = _("For {litres} L: {stock_volume} of {stock}, and water up to the mark.").format(
        litres=figure(litres),
        stock_volume=volume_words(math.ceil(made.stock_l * 1000 - 1e-6) / 1000),
        stock=stock.name,
    )
    left = _("It is taken to have {left} g/L left of the {label} g/L on its label.").format(
        left=number(plan.stock.cautious_mg_per_l / 1000), label=number(plan.stock.label_mg_per_l / 1000)
    )
    unknown = "" if stock.made_on else " " + _("Nobody wrote when it was made: check with a strip.")
    return f"{text} {left}{unknown}"


def _tablet_words(plan: TabletPlan, stock: Stock) -> str:
    text = _("{count} tablets of {stock} into {litres} L of water.")
    return text.format(count=plan.recipe.tablets, stock=stock.name, litres=figure(plan.recipe.volume_l))
