"""A mixing plan on the terminal: hazards first, then what the stock has left, then the recipe."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from typing import Any

from lungwort.cli.layout import say, say_section
from lungwort.cli.mix_cautions import fitting_uses, never_with
from lungwort.evidence.mixing import LiquidPlan, Plan, PowderPlan, TabletPlan
from lungwort.evidence.strengths import Liquid, Strength
from lungwort.language import _, ngettext, number
from lungwort.library.agents import Agent, Use
from lungwort.science.chlorine import chlorometric_degrees
from lungwort.science.dilution import LiquidRecipe, Way, percent_w_v
from lungwort.science.measures import MeasuredRecipe, measured_up
from lungwort.wording import days_words, figure, strength_words, volume_words

TWO_YEARS_S = 730 * 86_400.0


@dataclass(frozen=True)
class Sheet:
    """All that is printed: the agent, what was written, the plan, in how many buckets, and cautions of the place."""

    agent: Agent
    stock: Strength
    target: Liquid
    plan: Plan
    buckets: int = 1
    cautions: tuple[str, ...] = ()


def show(sheet: Sheet) -> None:
    """Print a mixing plan."""
    say(f"{sheet.agent.name}: {sheet.target.written} ← {sheet.stock.written}")
    say("")
    say_section(_("Before you mix"), before_lines(sheet.agent))
    plan = sheet.plan
    if isinstance(plan, LiquidPlan):
        say_section(_("What the stock has"), _stock_lines(plan, sheet.agent))
    say_section(_("Recipe"), [*_bucket_lines(sheet), *recipe_lines(plan)])
    if isinstance(plan, LiquidPlan) and plan.label_shortfall_best > 0.0:
        say_section(_("If you went by the label"), _label_lines(plan))
    say_section(_("Using it"), list(_use_lines(sheet)))
    say_section(_("Assumed"), [*plan.says, *sheet.cautions, _closing()])


def before_lines(agent: Agent) -> list[str]:
    """Return hazards, protection and what the agent must never meet, as sentences."""
    lines = [hazard.sentence for hazard in agent.hazards]
    wear = "; ".join(protection.item for protection in agent.protections)
    lines.append(_("Have ready: {items}.").format(items=wear))
    forbidden = ", ".join(never_with(agent))
    if forbidden:
        lines.append(_("Never with: {families}.").format(families=forbidden))
    lines += [s.sentence for s in agent.surroundings if s.name in ("hot water", "flame", "a little water")]
    return lines


def _stock_lines(plan: LiquidPlan, agent: Agent) -> list[str]:
    stock = plan.stock
    lines = [_label_words(stock.label_mg_per_l, agent)]
    best, cautious = number(stock.best_mg_per_l / 1000), number(stock.cautious_mg_per_l / 1000)
    if stock.best_mg_per_l < stock.label_mg_per_l:
        now = _(
            "Left in it: {best} g/L by the best estimate, {cautious} g/L at the cautious end, which the recipe takes."
        )
        lines.append(now.format(best=best, cautious=cautious))
    elif stock.cautious_mg_per_l < stock.label_mg_per_l:
        now = _("The recipe takes {cautious} g/L, the cautious reading of the label.")
        lines.append(now.format(cautious=cautious))
    return lines + _life_lines(plan)


def _label_words(strength_mg_per_l: float, agent: Agent) -> str:
    grams, percent = number(strength_mg_per_l / 1000), number(percent_w_v(strength_mg_per_l), 2)
    if agent.active_substance != "available chlorine":
        text = _("By its label {g} g/L of {what}, which is {percent} % w/v.")
        return text.format(g=grams, what=agent.active_substance, percent=percent)
    text = _("By its label {g} g/L of available chlorine, which is {percent} % w/v or {degrees} °Chl.")
    return text.format(g=grams, percent=percent, degrees=number(chlorometric_degrees(strength_mg_per_l)))


def _life_lines(plan: LiquidPlan) -> list[str]:
    stock = plan.stock
    if stock.half_life_s is None or stock.shelf_life_s is None:
        return []
    half = _("Fresh, it loses half in {time} at this store temperature (best estimate).")
    lines = [half.format(time=days_words(stock.half_life_s))]
    if stock.shelf_life_s > TWO_YEARS_S:
        lines.append(
            _(
                "It can still be mixed to this strength for more than two years by the formula; measure it long before."
            )
        )
    else:
        left = _("It can still be mixed to this strength for {time} from now, at the cautious end.")
        lines.append(left.format(time=days_words(stock.shelf_life_s, math.floor)))
    return lines


def _bucket_lines(sheet: Sheet) -> list[str]:
    if sheet.buckets == 1:
        return []
    return [_("{count} buckets; for each:").format(count=sheet.buckets)]


def recipe_lines(plan: Plan) -> list[str]:
    """Return the recipe as sentences; amounts are rounded up, water down."""
    if isinstance(plan, PowderPlan):
        return _powder_lines(plan)
    if isinstance(plan, TabletPlan):
        return _tablet_lines(plan)
    lines = [_liquid_line(recipe) for recipe in plan.recipes]
    if plan.two_steps:
        lines = _two_step_lines(*plan.two_steps)
    lines += [_cup_line(cups) for cups in plan.in_cups]
    if plan.two_steps_in_cups:
        lines += _two_steps_in_cups_lines(*plan.two_steps_in_cups)
    if len(plan.recipes) > 1:
        lines.append(parts_words(plan.parts_of_water))
    return [*lines, _strength_line(plan)]


def _liquid_line(recipe: LiquidRecipe) -> str:
    stock = volume_words(measured_up(recipe.stock_l))
    if recipe.way is Way.MADE_UP_TO:
        text = _("Made up to {volume}: {stock} of stock, then water until the whole is {volume}.")
        return text.format(volume=volume_words(recipe.volume_l), stock=stock)
    text = _("Added to water: {stock} of stock into {water} of water, which makes {volume}.")
    volume = volume_words(round(recipe.volume_l, 2))
    return text.format(stock=stock, water=volume_words(recipe.water_l), volume=volume)


def parts_words(parts_of_water: float) -> str:
    """Say the recipe in parts, water rounded down.

    >>> [parts_words(parts).split(" and ")[1] for parts in (1.78, 9.0, 26.8)]
    ['1.7 parts of water.', '9 parts of water.', '26 parts of water.']
    """
    tenths = int(parts_of_water * 10.0 * (1.0 + 1e-9)) / 10.0
    parts = tenths if parts_of_water < 5.0 else float(int(parts_of_water * (1.0 + 1e-9)))
    return _("In parts: 1 part of stock and {parts} parts of water.").format(parts=figure(parts, 1))


def _cup_line(cups: MeasuredRecipe) -> str:
    recipe = cups.recipe
    if recipe.way is Way.MADE_UP_TO:
        text = _("In whole cups, made up: {count} of stock, then water to {volume}: {strength}, {error}.")
    else:
        text = _("In whole cups, added: {count} of stock into {water} of water: {strength}, {error}.")
    shown = {"volume": volume_words(recipe.volume_l), "water": volume_words(recipe.water_l)}
    strength = strength_words(recipe.strength_mg_per_l)
    return text.format(count=_cups(cups), strength=strength, error=_error(cups.error), **shown)


def _cups(cups: MeasuredRecipe) -> str:
    text = ngettext("{count} cup of {cup}", "{count} cups of {cup}", cups.measures)
    return text.format(count=cups.measures, cup=volume_words(cups.measure_l))


def _two_steps_in_cups_lines(first: MeasuredRecipe, second: MeasuredRecipe) -> list[str]:
    why = _("That is far off. Nearer, in two steps of whole cups:")
    one = _("Step 1: {count} of stock, then water until the whole is {volume}.")
    two = _("Step 2: {count} of that, then water until the whole is {volume}: {strength}, {error}.")
    strength, error = strength_words(second.recipe.strength_mg_per_l), _error(second.error)
    volumes = [volume_words(step.recipe.volume_l) for step in (first, second)]
    return [
        why,
        one.format(count=_cups(first), volume=volumes[0]),
        two.format(count=_cups(second), volume=volumes[1], strength=strength, error=error),
    ]


def _error(error: float) -> str:
    if abs(error) < 0.0005:
        return _("right on the target")
    text = _("{percent} % above the target") if error > 0 else _("{percent} % below the target")
    return text.format(percent=number(abs(100.0 * error)))


def _two_step_lines(first: LiquidRecipe, second: LiquidRecipe) -> list[str]:
    why = _("So little stock cannot be measured well; dilute it in two steps.")
    step = _("Step {n}: {stock} of {what}, then water until the whole is {volume}.")
    makes = volume_words(measured_up(first.volume_l))
    stock = volume_words(measured_up(measured_up(first.volume_l) * first.stock_l / first.volume_l))
    one = step.format(n=1, stock=stock, what=_("stock"), volume=makes)
    taken, volume = volume_words(measured_up(second.stock_l)), volume_words(second.volume_l)
    return [why, one, step.format(n=2, stock=taken, what=_("the mixture of step 1"), volume=volume)]


def _strength_line(plan: LiquidPlan) -> str:
    strengths = (plan.target_mg_per_l, plan.best_mg_per_l, plan.at_most_mg_per_l)
    low, best, most = (strength_words(value) for value in strengths)
    if plan.at_most_mg_per_l <= plan.target_mg_per_l * 1.001:
        return _("This makes {low}.").format(low=low)
    text = _("At least {low}; {best} by the best estimate; {most} if the stock is still as its label says.")
    return text.format(low=low, best=best, most=most)


def _powder_lines(plan: PowderPlan) -> list[str]:
    rate = _("{g} g per litre of water.").format(g=number(plan.g_per_l, 2))
    volume, grams = volume_words(plan.volume_l), figure(measured_up(plan.grams), 2)
    made = _("Made up to {volume}: {grams} g of powder, then water until the whole is {volume}.")
    added = _(
        "Added to water: {grams} g of powder into {volume} of water; the room it takes may cost up to {loss} %."
    )
    loss = number(100.0 * (1.0 - plan.weakest_in_water_mg_per_l / plan.target_mg_per_l))
    lines = [
        rate,
        made.format(volume=volume, grams=grams),
        added.format(volume=volume, grams=grams, loss=loss),
    ]
    if plan.scoops is not None and plan.scoops_mg_per_l is not None:
        text = _("In whole scoops: {count}, which makes {strength}, {error}.")
        error = _error(plan.scoops_mg_per_l / plan.target_mg_per_l - 1.0)
        lines.append(
            text.format(count=plan.scoops, strength=strength_words(plan.scoops_mg_per_l), error=error)
        )
    return lines


def _tablet_lines(plan: TabletPlan) -> list[str]:
    recipe = plan.recipe
    text = ngettext("{count} whole tablet in {volume}", "{count} whole tablets in {volume}", recipe.tablets)
    whole = text.format(count=recipe.tablets, volume=volume_words(recipe.volume_l))
    makes = _(": {strength}, {error}.")
    whole += makes.format(strength=strength_words(recipe.strength_mg_per_l), error=_error(recipe.error))
    one = _("One tablet makes {volume} of {target}; break none.")
    litres = volume_words(round(plan.litres_a_tablet, 3))
    return [whole, one.format(volume=litres, target=strength_words(plan.target_mg_per_l))]


def _label_lines(plan: LiquidPlan) -> list[str]:
    strengths = (1.0 - plan.label_shortfall_cautious, 1.0 - plan.label_shortfall_best)
    low, best = (strength_words(plan.target_mg_per_l * share) for share in strengths)
    text = _(
        "A recipe from the label would take {stock} and make {best} by the best estimate, {low} at the cautious "
        "end: it falls short by {short} %, by up to {most} %."
    )
    shares = (plan.label_shortfall_best, plan.label_shortfall_cautious)
    short, most = (number(100.0 * share, 0) for share in shares)
    stock = volume_words(measured_up(plan.label_recipe.stock_l))
    return [text.format(stock=stock, best=best, low=low, short=short, most=most)]


def _use_lines(sheet: Sheet) -> Iterable[str]:
    uses = fitting_uses(sheet.agent, sheet.target)
    if not uses:
        yield _("No use kept here is this weak (or this strong): that it disinfects is not shown.")
    yield from (_use_words(use) for use in uses)
    yield _("Clean first: dirt uses the agent up.")
    yield _(
        "Mix in cool water, the agent into the water; write agent, strength, date and hour on the vessel."
    )
    if sheet.agent.active_substance == "available chlorine":
        yield _("Throw the mixture away at the end of the day, sooner if it is dirty (WHO, from memory).")


def _use_words(use: Use) -> str:
    text = _("{name}: {level} level after {minutes} min wet or under. {note} ({source} [{basis}])")
    minutes = figure(use.contact_s / 60.0, 1)
    said = text.format(
        name=use.name, level=use.level, minutes=minutes, note=use.note, source=use.source, basis=use.basis
    )
    return " ".join(said.split())


def _closing() -> str:
    return _("Amounts are rounded up. The label, the maker's instructions and local codes come first.")


def plan_data(sheet: Sheet) -> dict[str, Any]:
    """Return a plan as plain data for JSON: hazards first, then the plan with its units in the names."""
    kinds: dict[type[Plan], str] = {LiquidPlan: "liquid", PowderPlan: "powder", TabletPlan: "tablet"}
    sentences: Callable[[Iterable[Any]], list[str]] = lambda rows: [row.sentence for row in rows]  # noqa: E731
    return {
        "agent": sheet.agent.name,
        "hazards": sentences(sheet.agent.hazards),
        "protection": [protection.item for protection in sheet.agent.protections],
        "never_with": never_with(sheet.agent),
        "surroundings": sentences(sheet.agent.surroundings),
        "stock_written": sheet.stock.written,
        "target_written": sheet.target.written,
        "kind": kinds[type(sheet.plan)],
        "buckets": sheet.buckets,
        "plan": asdict(sheet.plan),
        "uses": [asdict(use) for use in fitting_uses(sheet.agent, sheet.target)],
        "recipe_words": recipe_lines(sheet.plan),
        "cautions": list(sheet.cautions),
    }
