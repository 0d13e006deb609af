"""What a treat step is planned to do: its heat, its soak, and how its plan stands to a criterion."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Literal

from lungwort.evidence.strengths import Liquid
from lungwort.language import _, number
from lungwort.library.agents import Agent, Level, Use, all_agents
from lungwort.library.catalogue import find_criterion
from lungwort.library.criteria import Criterion, Limit
from lungwort.library.soaks import NO_SOAK, soak_name
from lungwort.protocol.document import Protocol
from lungwort.protocol.kinds import Step
from lungwort.protocol.lines import Path
from lungwort.protocol.magnitudes import (
    air_in_doubt,
    setting_doubts,
    steam_c,
    step_doubts,
    strength_written,
)
from lungwort.science.atmosphere import air_pressure_here_kpa
from lungwort.science.lethality import lethal_rate
from lungwort.wording import figure

CRITERION_PROCESS = {"steam": "steam", "hot water": "hot water", "soak": "chemical"}
WATER_LEVELS = {"A0-600": Level.HIGH, "A0-3000": Level.HIGH, "hot-water-70C-30min": Level.HIGH}
"""What hot water reaches by criterion (ISO 15883-1, CDC 2008; from memory); those not listed count as low."""
BARELY = 1e-9
HOTTEST_C = 200.0
Fault = Literal["", "too cold", "too hot", "too short", "too little"]


@dataclass(frozen=True)
class Heat:
    """The heat of a treat step: temperature and hold as planned, and where in the document each stands.

    `gauge_c` is what an autoclave's pressure means here; None for water, and where another rule doubts it.
    """

    temperature_c: float
    hold_min: float
    temperature_path: Path
    hold_path: Path
    gauge_c: float | None = None
    pressure_path: Path = ()


@dataclass(frozen=True)
class Standing:
    """How a planned heat stands to a criterion: the limit, what is at fault (empty where met), what it takes.

    `reached` is the lethality in the limit's unit, for limits of that sort.
    """

    criterion: Criterion
    limit: Limit
    temperature_c: float
    hold_min: float
    fault: Fault
    needed_min: float | None = None
    reached: float = 0.0

    @property
    def met(self) -> bool:
        """Whether the plan meets the criterion, with instruments that do not err."""
        return self.fault == ""

    @property
    def computed(self) -> str:
        """The computation in words."""
        return _band_words(self) if self.limit.rule == "hold" else _lethal_words(self)


def proving(step: Step) -> tuple[Criterion, ...]:
    """Return the criteria in `proved_by` that speak of the step's own process."""
    wanted = CRITERION_PROCESS.get(step.process or "")
    return tuple(c for c in map(find_criterion, step.proved_by) if c.process == wanted)


def heat_of(protocol: Protocol, at: Path, step: Step) -> Heat | None:
    """Return the heat of the step at path `at`; None for other steps, and where units or references speak of it."""
    if step_doubts(protocol, step):
        return None
    if step.process == "steam":
        return _steam(protocol, at, step)
    if step.process != "hot water" or step.temperature_c is None or step.hold_min is None:
        return None
    return Heat(step.temperature_c, step.hold_min, (*at, "temperature_c"), (*at, "hold_min"))


def _steam(protocol: Protocol, at: Path, step: Step) -> Heat | None:
    for a, autoclave in enumerate(protocol.autoclaves):
        for s, setting in enumerate(autoclave.settings):
            if (autoclave.name, setting.name) != (step.equipment, step.setting):
                continue
            air_kpa = _air_kpa(protocol.place.altitude_m, protocol.place.barometer_kpa)
            doubted = {doubt.key for doubt in setting_doubts(autoclave, setting, air_kpa)}
            if doubted & {"temperature_c", "hold_min"}:
                return None
            place: Path = ("autoclave", a, "setting", s)
            unsure = "pressure" in doubted or air_in_doubt(protocol)
            gauge_c = None if unsure else steam_c(autoclave.absolute_kpa(setting, air_kpa))
            paths = ((*at, "setting"), (*place, "hold_min"))
            return Heat(setting.temperature_c, setting.hold_min, *paths, gauge_c, (*place, "pressure"))
    return None


@lru_cache(maxsize=64)
def _air_kpa(altitude_m: float | None, barometer_kpa: float | None) -> float:
    return air_pressure_here_kpa(altitude_m, barometer_kpa)


def standing(criterion: Criterion, temperature_c: float, hold_min: float) -> Standing | None:
    """Return how a planned heat stands to a criterion of heat; None where the criterion has no limit on heat."""
    hold = criterion.limit("hold")
    if hold is not None:
        return _held(criterion, hold, temperature_c, hold_min)
    lethality = criterion.limit("a0") or criterion.limit("f0")
    return None if lethality is None else _lethal(criterion, lethality, temperature_c, hold_min)


def _held(criterion: Criterion, limit: Limit, temperature_c: float, hold_min: float) -> Standing:
    low, high, asked_min = limit.at_least or 0.0, limit.at_most, (limit.for_s or 0.0) / 60
    fault: Fault = ""
    if temperature_c < low - BARELY:
        fault = "too cold"
    elif high is not None and temperature_c > high + BARELY:
        fault = "too hot"
    elif hold_min < asked_min * (1 - BARELY):
        fault = "too short"
    return Standing(criterion, limit, temperature_c, hold_min, fault, asked_min)


def _lethal(criterion: Criterion, limit: Limit, temperature_c: float, hold_min: float) -> Standing:
    reference_c, asked = limit.reference_c or 0.0, limit.at_least or 0.0
    if temperature_c < (limit.floor_c or 0.0):
        return Standing(criterion, limit, temperature_c, hold_min, "too cold")
    unit_s = _unit_s(limit)
    rate = float(lethal_rate(min(temperature_c, HOTTEST_C), reference_c))
    reached = hold_min * 60 / unit_s * rate
    fault: Fault = "" if reached >= asked * (1 - BARELY) else "too little"
    return Standing(criterion, limit, temperature_c, hold_min, fault, asked * unit_s / rate / 60, reached)


def _unit_s(limit: Limit) -> float:
    return 1.0 if limit.rule == "a0" else 60.0


def _band_words(found: Standing) -> str:
    limit = found.limit
    band = _("{low} °C or more").format(low=number(limit.at_least, 0))
    if limit.at_most is not None:
        band = _("{low} to {high} °C").format(low=number(limit.at_least, 0), high=number(limit.at_most, 0))
    return _("planned {at} °C for {hold} min; asked {band} for {asked} min").format(
        at=figure(found.temperature_c, 1),
        hold=figure(found.hold_min, 1),
        band=band,
        asked=figure(found.needed_min or 0.0, 1),
    )


def _lethal_words(found: Standing) -> str:
    limit, at = found.limit, figure(found.temperature_c, 1)
    name, asked = ("A0" if limit.rule == "a0" else "F0"), number(limit.at_least, 0)
    if found.fault == "too cold":
        text = _("{name} counts from {floor} °C; planned {at} °C, so {name} is 0 of {asked}")
        return text.format(name=name, floor=number(limit.floor_c, 0), at=at, asked=asked)
    text = _("{name} = {hold} {unit} · 10^(({at} − {reference}) / 10) = {reached}; {asked} asked")
    return text.format(
        name=name,
        hold=figure(found.hold_min * 60 / _unit_s(limit), 1),
        unit=limit.unit,
        at=at,
        reference=figure(limit.reference_c or 0.0, 1),
        reached=number(found.reached, 0 if found.reached >= 100 else 1),
        asked=asked,
    )


@cache
def _uses() -> dict[str, tuple[Agent, Use]]:
    return {soak_name(agent, use): (agent, use) for agent in all_agents() for use in agent.uses}


def use_of(criterion: Criterion) -> tuple[Agent, Use] | None:
    """Return the agent and the use that a soak criterion speaks of; None for a criterion of another process."""
    return _uses().get(criterion.name)


def uses_for(agent: Agent, step: Step) -> tuple[Use, ...]:
    """Return the uses of an agent that are of the step's own way: wiped, or immersed."""
    if step.process == "wipe":
        return tuple(use for use in agent.uses if use.name.startswith("wiping"))
    return tuple(use for use in agent.uses if not use.name.startswith(NO_SOAK))


def reaches(criterion: Criterion) -> Level:
    """Return how far a cycle goes that meets a criterion.

    >>> from lungwort.library.catalogue import find_criterion
    >>> str(reaches(find_criterion("A0-600"))), str(reaches(find_criterion("A0-60")))
    ('high', 'low')
    """
    if criterion.process == "steam":
        return Level.STERILANT
    found = use_of(criterion)
    return found[1].level if found else WATER_LEVELS.get(criterion.name, Level.LOW)


def strength_asked(protocol: Protocol, step: Step) -> Liquid | None:
    """Return the strength a soak asks for; None where stock or strength is not there or cannot be read."""
    stock = protocol.stock(step.stock)
    if stock is None or step.strength is None:
        return None
    found = strength_written(step.strength, stock.agent, "target")
    return found if isinstance(found, Liquid) else None
