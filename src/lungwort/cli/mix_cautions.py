"""What stands before any recipe: hazards, protection, what an agent must never meet, and refusals on that ground."""

from __future__ import annotations

from collections.abc import Sequence

from lungwort.errors import OutOfRange
from lungwort.evidence.strengths import Liquid, Powder, Strength, Tablet
from lungwort.language import _, number
from lungwort.library.agents import Agent, Use, find_agent
from lungwort.library.mixtures import all_mixtures, dangerous, mixing_words

HOTTEST_WATER_C = 40.0
"""Hand-warm. No document gives a number for "never hot water": Lungwort's judgement."""
_FLAMES = frozenset(
    (
        "heater",
        "stove",
        "candle",
        "cigarette",
        "lamp",
        "lantern",
        "burner",
        "fire",
        "flame",
        "gas",
        "kerosene",
        "paraffin",
        "oven",
        "hotplate",
        "plate",
    )
)
"""Words for what burns or glows, alone or in a longer name, such as a gas stove."""
_NO_DANGER = ("water", "cold water", "clean water")


class DangerousMixture(OutOfRange):
    """A recipe was asked for under circumstances that hurt people."""


def agent_in_hand(name: str, stock: Strength | None = None) -> Agent:
    """Return the agent by name; a dry stock called hypochlorite is the dry chlorine compound it must be.

    >>> agent_in_hand("bleach", Powder("70 % powder", 0.7)).name
    'calcium hypochlorite'
    """
    agent = find_agent(name)
    if agent.name == "hypochlorite" and isinstance(stock, Powder):
        return find_agent("calcium hypochlorite")
    if agent.name == "hypochlorite" and isinstance(stock, Tablet):
        return find_agent("NaDCC")
    return agent


def refuse_company(agent: Agent, others: Sequence[str]) -> None:
    """Raise where the agent would be mixed with anything but water."""
    for other in others:
        if other.strip().lower() not in _NO_DANGER:
            raise DangerousMixture(mixing_words(agent.name, other))


def refuse_surroundings(agent: Agent, places: Sequence[str]) -> tuple[str, ...]:
    """Raise where the agent must not be used near a thing; return a sentence for each where nothing is known."""
    unknown = []
    for place in places:
        plain = place.strip().lower().replace("-", " ")
        names = ("flame", "heat") if _FLAMES & set(plain.split()) else (place,)
        known = next((s for s in map(agent.surrounding, names) if s is not None), None)
        if known is not None:
            says = _("{agent} near {place}: no. {sentence}")
            raise DangerousMixture(says.format(agent=agent.name, place=place, sentence=known.sentence))
        text = _("{agent} near {place}: nothing is known here against it, which shows nothing.")
        unknown.append(text.format(agent=agent.name, place=place))
    return tuple(unknown)


def refuse_hot_water(agent: Agent, water_c: float) -> None:
    """Raise where the water for mixing is hot, or no water at all."""
    if not 0.0 <= water_c <= 100.0:
        says = _("water of {value} °C is not liquid; give its temperature in °C, best 10 to 25")
        raise OutOfRange(says.format(value=number(water_c, 0)))
    if water_c <= HOTTEST_WATER_C:
        return
    says = _("water of {value} °C is too hot to mix {agent}; at most {most} °C. {why}")
    shown = {"value": number(water_c, 0), "most": number(HOTTEST_WATER_C, 0)}
    raise DangerousMixture(says.format(agent=agent.name, why=_why_not_hot(agent), **shown))


def _why_not_hot(agent: Agent) -> str:
    against = agent.surrounding("hot water") or agent.surrounding("heat")
    danger = dangerous(agent.name, "hot water")
    if against is not None:
        return against.sentence
    return danger.effect if danger else _("Heat drives its vapour into the room: use cool water.")


def never_with(agent: Agent) -> dict[str, str]:
    """Return each family that the agent must never meet, and what comes of it.

    >>> never_with(find_agent("bleach"))["acid"]
    'chlorine'
    """
    worst = {family.name: dangerous(agent.name, family.name) for family in all_mixtures().families}
    return {name: danger.gives for name, danger in worst.items() if danger is not None}


def fitting_uses(agent: Agent, target: Liquid) -> tuple[Use, ...]:
    """Return the strongest uses that the target is strong enough for, and those whose range it lies in.

    A use in per cent (the alcohols) is always returned: its basis is its own, and a person compares.

    >>> [use.name for use in fitting_uses(find_agent("bleach"), Liquid("600 mg/L", 600.0, 600.0))]
    ['immersion, 500 mg/L', 'wiping, 500 mg/L']
    """
    wanted, dust = target.strength_mg_per_l, 1.0 + 1e-9
    fitting = [use for use in agent.uses if use.strength_mg_per_l and use.strength_mg_per_l <= wanted * dust]
    fitting = [use for use in fitting if wanted <= (use.strength_at_most_mg_per_l or wanted) * dust]
    strongest = max((use.strength_mg_per_l or 0.0 for use in fitting), default=0.0)
    ranged = [use for use in fitting if use.strength_at_most_mg_per_l is not None]
    in_percent = [use for use in agent.uses if use.strength_percent is not None]
    chosen = (*(use for use in fitting if use.strength_mg_per_l == strongest), *ranged, *in_percent)
    return tuple(dict.fromkeys(chosen))
