"""Soaks: each way to immerse parts in an agent, as a criterion that a soak's record can be judged by."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from lungwort.language import _
from lungwort.library.agents import Agent, Use, all_agents
from lungwort.library.criteria import Criterion, Limit

NO_SOAK = ("wiping", "blood spill")


@cache
def soak_criteria() -> tuple[Criterion, ...]:
    """Return one criterion for each immersion use of each agent: suggestions, none of them adopted by anyone."""
    return tuple(
        soak_criterion(agent, use)
        for agent in all_agents()
        for use in agent.uses
        if not use.name.startswith(NO_SOAK)
    )


def agent_of(criterion: Criterion) -> Agent:
    """Return the agent that a soak criterion speaks of.

    >>> agent_of(soak_criteria()[-1]).name
    'OPA'
    """
    return _agents_by_criterion()[criterion.name]


@cache
def _agents_by_criterion() -> Mapping[str, Agent]:
    return {soak_name(agent, use): agent for agent in all_agents() for use in agent.uses}


def soak_criterion(agent: Agent, use: Use) -> Criterion:
    """Return a use of an agent as a criterion: strength, contact, temperature, age and loads of the solution, rinse.

    >>> from lungwort.library.agents import find_agent
    >>> opa = find_agent("OPA")
    >>> [limit.rule for limit in soak_criterion(opa, opa.uses[0]).limits]
    ['strength', 'contact', 'temperature', 'age', 'rinse']
    """
    title = _("{agent}, {use}: immersed {minutes} min").format(
        agent=agent.name, use=use.name, minutes=f"{use.contact_s / 60:g}"
    )
    return Criterion(
        name=soak_name(agent, use),
        title=title,
        process="chemical",
        tradition=use.tradition,
        scope=_(
            "parts that are clean, bear the agent and are wholly under it; level reached: {level}"
        ).format(level=use.level),
        limits=_limits(agent, use),
    )


def soak_name(agent: Agent, use: Use) -> str:
    """Return the name by which a use of an agent is asked for.

    >>> from lungwort.library.agents import find_agent
    >>> soak_name(find_agent("OPA"), find_agent("OPA").uses[0])
    'OPA-0.55pc-20C'
    """
    words = f"{agent.name} {use.name}".replace(" %", "pc").replace(" °C", "C").replace(" mg/L", "mgL")
    return re.sub(r"[^\w.]+", "-", words).strip("-")


def _limits(agent: Agent, use: Use) -> tuple[Limit, ...]:
    def limit(rule: str, unit: str, at_least: float | None = None, at_most: float | None = None) -> Limit:
        return Limit(f"{soak_name(agent, use)}-{rule}", rule, unit, use.source, use.basis, at_least, at_most)

    found = [limit("strength", "mg/L", use.floor_mg_per_l, use.strength_at_most_mg_per_l)]
    found.append(limit("contact", "s", use.contact_s))
    if use.temperature_c is not None:
        found.append(limit("temperature", "°C", use.temperature_c, use.temperature_at_most_c))
    if use.use_life_days is not None:
        found.append(limit("age", "d", None, use.use_life_days))
    if use.use_life_loads is not None:
        found.append(limit("loads", "", None, use.use_life_loads))
    rinse = agent.rinse
    name = f"{soak_name(agent, use)}-rinse"
    found.append(Limit(name, "rinse", "", rinse.source, rinse.basis, float(rinse.times), note=rinse.water))
    return tuple(found)
