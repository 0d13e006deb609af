"""The heat of each treat step: against its criteria, the level its part needs, and what the place allows."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from math import ceil

from lungwort.language import _, number
from lungwort.library.agents import Agent, Level
from lungwort.library.catalogue import find_criterion
from lungwort.library.criteria import Criterion, measured_criteria
from lungwort.library.loading import Basis
from lungwort.protocol.document import Protocol
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.kinds import Kind, Step
from lungwort.protocol.lines import Path
from lungwort.protocol.magnitudes import FIT_K, air_in_doubt, bath_doubt
from lungwort.protocol.planned import (
    Heat,
    Standing,
    heat_of,
    proving,
    reaches,
    standing,
    uses_for,
)
from lungwort.protocol.rule import rule, steps_of
from lungwort.science.atmosphere import boiling_point_c
from lungwort.wording import figure

NEEDED_LEVEL = {"semi-critical": Level.HIGH, "critical": Level.STERILANT}
NEEDED_SOURCE = "CDC 2008 disinfection guideline, after Spaulding"
WEATHER_K = 0.5  # 3 kPa of weather at 121 °C (IAPWS-IF97, computed)
BELOW_BOILING_K = 1.0
GRAVITY, PRE_VACUUM = "gravity", ("pre-vacuum", "dynamic air removal")
Treat = tuple[Path, Step, Heat | None]


@rule(
    "heat",
    "The heat of each treat step meets the criteria that prove it, and reaches the level its part needs.",
)
def heat(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield what each planned heat misses, and each kind that no treat step brings to its level."""
    adopted = tuple(find_criterion(name) for name in sorted(protocol.adopted))
    for k, kind in enumerate(protocol.kinds):
        treats = _treats(protocol, k, kind)
        for at, step, planned in treats:
            if planned is not None:
                yield from _missed(at, step, planned)
                yield from _by_gauge(step, planned)
                yield from _others(protocol, at, kind, step, planned, adopted)
            yield from _removal(protocol, at, step)
        yield from _level(protocol, k, kind, treats)


def _treats(protocol: Protocol, k: int, kind: Kind) -> list[Treat]:
    found = []
    for s, step in enumerate(kind.steps):
        if step.do == "treat":
            at: Path = ("kind", k, "step", s)
            found.append((at, step, heat_of(protocol, at, step)))
    return found


# ---- against the criteria that prove it ----


def _missed(at: Path, step: Step, planned: Heat) -> Iterator[Finding]:
    """Yield an error for each criterion that the planned heat misses; a hold too short is the rule of minimums'."""
    for criterion in proving(step):
        found = standing(criterion, planned.temperature_c, planned.hold_min)
        if found is None or found.met or found.fault == "too short":
            continue
        path = planned.hold_path if found.fault == "too little" else planned.temperature_path
        says = _("{temperature} °C for {hold} min does not meet {criterion}: {fault}.").format(
            temperature=figure(planned.temperature_c, 1),
            hold=figure(planned.hold_min, 1),
            criterion=criterion.name,
            fault=_(found.fault),
        )
        yield _finding(Severity.ERROR, path, says, _mend(found, planned), found)


def _mend(found: Standing, planned: Heat) -> str:
    if found.fault == "too little":
        text = _("At {at} °C it takes {minutes} min; or make it hotter.")
        minutes = number(ceil((found.needed_min or 0.0) * 10 - 1e-6) / 10)
        return text.format(at=figure(planned.temperature_c, 1), minutes=minutes)
    if found.fault == "too hot":
        return _("Name the criterion of that temperature, or choose {high} °C at most.").format(
            high=number(found.limit.at_most, 0)
        )
    low = found.limit.at_least if found.limit.rule == "hold" else found.limit.floor_c
    return _("Choose {low} °C or more, or a criterion that this heat meets.").format(low=number(low, 0))


def _finding(severity: Severity, path: Path, says: str, remedy: str, found: Standing) -> Finding:
    limit = found.limit
    return Finding("heat", severity, path, says, remedy, limit.source, limit.basis, found.computed)


def _by_gauge(step: Step, planned: Heat) -> Iterator[Finding]:
    """Yield a warning where a programme meets its criterion as named, and not as its gauge says."""
    gauge_c = planned.gauge_c
    if gauge_c is None or abs(gauge_c - planned.temperature_c) > FIT_K:
        return  # the rule of pressure speaks of it
    for criterion in proving(step):
        named = standing(criterion, planned.temperature_c, planned.hold_min)
        shown = standing(criterion, gauge_c + WEATHER_K, planned.hold_min)
        if named is None or shown is None or not named.met or shown.met:
            continue
        says = _(
            "By its gauge the steam is at {gauge} °C, not {named} °C, and so misses {criterion}."
        ).format(gauge=number(gauge_c), named=figure(planned.temperature_c, 1), criterion=criterion.name)
        remedy = _(
            "Set the pressure that {named} °C needs here; `lungwort prove` shows what a cycle reached."
        )
        words = remedy.format(named=figure(planned.temperature_c, 1))
        yield _finding(Severity.WARNING, planned.pressure_path, says, words, shown)


def _removal(protocol: Protocol, at: Path, step: Step) -> Iterator[Finding]:
    """Yield a warning where a criterion for vacuum stands for an autoclave that lets the air sink out."""
    autoclave = protocol.autoclave(step.equipment) if step.process == "steam" else None
    if autoclave is None or autoclave.removal != GRAVITY:
        return
    for criterion in proving(step):
        if not any(words in criterion.scope for words in PRE_VACUUM):
            continue
        says = _("{criterion} is for autoclaves that draw the air out; {autoclave} lets it sink out.").format(
            criterion=criterion.name, autoclave=autoclave.name
        )
        remedy = _(
            "Adopt a criterion for gravity displacement, or show by test that no air stays in the part."
        )
        source = _("scope of {criterion}: {scope}").format(criterion=criterion.name, scope=criterion.scope)
        yield Finding("heat", Severity.WARNING, (*at, "proved_by"), says, remedy, source, criterion.basis)


# ---- under the other rule sets ----


def _others(
    protocol: Protocol, at: Path, kind: Kind, step: Step, planned: Heat, adopted: tuple[Criterion, ...]
) -> Iterator[Finding]:
    """Yield a note for each other rule set that a heat misses, where it meets the one that proves it."""
    own = [standing(c, planned.temperature_c, planned.hold_min) for c in proving(step)]
    if not own or not all(found is not None and found.met for found in own):
        return
    names = ", ".join(found.criterion.name for found in own if found)
    for criterion in _compared(kind, step, adopted):
        found = standing(criterion, planned.temperature_c, planned.hold_min)
        if found is None or found.met or not _of_this_heat(found, planned):
            continue
        yield _note(at, planned, names, found, criterion.name in protocol.adopted)


def _note(at: Path, planned: Heat, names: str, found: Standing, is_adopted: bool) -> Finding:
    text = _("{temperature} °C for {hold} min meets {own}, but not {other} ({tradition}{adopted}).")
    says = text.format(
        temperature=figure(planned.temperature_c, 1),
        hold=figure(planned.hold_min, 1),
        own=names,
        other=found.criterion.name,
        tradition=found.criterion.tradition,
        adopted=_(", adopted here") if is_adopted else "",
    )
    remedy = _("Traditions disagree: the hospital decides which one counts; every certificate names it.")
    return _finding(Severity.NOTE, (*at, "proved_by"), says, remedy, found)


def _compared(kind: Kind, step: Step, adopted: tuple[Criterion, ...]) -> list[Criterion]:
    """The rule sets worth comparing: those adopted, and for a semi-critical part in water the usual A0 as well."""
    process = step.process
    chosen = {c.name: c for c in adopted if c.process == process and c.use == "routine"}
    if process == "hot water" and kind.contact == "semi-critical":
        chosen.update({c.name: c for c in measured_criteria() if c.name == "A0-600"})
    return [c for name, c in chosen.items() if name not in step.proved_by]


def _of_this_heat(found: Standing, planned: Heat) -> bool:
    """Whether a criterion speaks of heat of this kind: any in water; in steam its own temperature, or a lethality."""
    low = found.limit.at_least or 0.0
    if found.criterion.process != "steam" or found.limit.rule != "hold":
        return True
    return low <= planned.temperature_c < low + 3


# ---- against the level the part needs ----


def _level(protocol: Protocol, k: int, kind: Kind, treats: list[Treat]) -> Iterator[Finding]:
    """Yield an error where no treat step reaches the level that the kind's contact asks for."""
    needed = NEEDED_LEVEL.get(kind.contact)
    if needed is None or not kind.steps or kind.reuse == "single patient":
        return
    reached = [_reached(protocol, step, planned) for _at, step, planned in treats]
    if None in reached:
        return  # another rule doubts what is planned
    order = list(Level)
    best = max((level for level in reached if level), key=order.index, default=None)
    if best is None or order.index(best) < order.index(needed):
        yield _too_low(("kind", k), kind, needed, best, treats)


def _reached(protocol: Protocol, step: Step, planned: Heat | None) -> Level | None:
    """The level that a step's own criteria stand for; without any, what its plan would reach."""
    own = [reaches(criterion) for criterion in proving(step)]
    if own:
        return max(own, key=list(Level).index)
    if step.process in ("soak", "wipe"):
        stock = protocol.stock(step.stock)
        return None if stock is None else _by_agent(stock.described, step)
    if planned is None:
        return None
    every = (standing(c, planned.temperature_c, planned.hold_min) for c in _routine(step))
    met = [reaches(found.criterion) for found in every if found is not None and found.met]
    return max(met, key=list(Level).index, default=Level.LOW)


def _by_agent(agent: Agent, step: Step) -> Level:
    return max((use.level for use in uses_for(agent, step)), key=list(Level).index, default=Level.LOW)


def _routine(step: Step) -> list[Criterion]:
    return [c for c in measured_criteria() if c.process == step.process and c.use == "routine"]


def _too_low(at: Path, kind: Kind, needed: Level, best: Level | None, treats: list[Treat]) -> Finding:
    path: Path = (*at, "contact")
    says = _("A {contact} part needs {needed} level, and no step treats it.")
    if treats:
        step_at, step, _planned = treats[-1]
        path = (*step_at, "proved_by") if step.proved_by else step_at
        says = _("A {contact} part needs {needed} level; what is planned is shown to reach {best} only.")
    words = says.format(contact=_(kind.contact), needed=_words(needed), best=_words(best or Level.LOW))
    if needed is Level.STERILANT:
        remedy = _("Use steam, or a sterilant for its full time, proved by a criterion of that level.")
    else:
        remedy = _(
            "Use steam, hot water of A0 600 or more, or a high-level disinfectant, proved by its criterion."
        )
    return Finding("heat", Severity.ERROR, path, words, remedy, NEEDED_SOURCE, Basis.FROM_MEMORY)


def _words(level: Level) -> str:
    return _("sterilization") if level is Level.STERILANT else _(str(level))


# ---- what the place allows ----


@rule(
    "water",
    "Water can reach the temperature asked of it: below its boiling point here, and within its bath's reach.",
)
def water(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield an error for each hot-water step whose temperature the place or the bath does not allow."""
    boiling_c = float(boiling_point_c(protocol.place.air_pressure_kpa))
    sure_of_air = not air_in_doubt(protocol)
    for k, _kind, s, step in steps_of(protocol):
        at: Path = ("kind", k, "step", s)
        planned = heat_of(protocol, at, step) if step.process == "hot water" else None
        if planned is None:
            continue
        bath = protocol.bath(step.equipment)
        reach_c = bath.highest_c if bath and bath_doubt(bath.highest_c) is None else float("inf")
        if sure_of_air and planned.temperature_c > min(boiling_c - BELOW_BOILING_K, reach_c) == boiling_c - 1:
            yield _boils(planned, protocol, boiling_c)
        elif planned.temperature_c > reach_c:
            yield _beyond(planned, bath.name if bath else "", reach_c)


def _boils(planned: Heat, protocol: Protocol, boiling_c: float) -> Finding:
    says = _("Water cannot be held at {at} °C here: it boils at {boiling} °C.").format(
        at=figure(planned.temperature_c, 1), boiling=number(boiling_c)
    )
    remedy = _("Choose {most} °C at most, and hold it longer.").format(
        most=number(int((boiling_c - BELOW_BOILING_K) * 2) / 2)
    )
    computed = _("air {air} kPa; water boils at {boiling} °C; {margin} K kept below it").format(
        air=number(protocol.place.air_pressure_kpa),
        boiling=number(boiling_c),
        margin=number(BELOW_BOILING_K, 0),
    )
    source = "IAPWS-IF97 region 4; ISO 2533"
    path = planned.temperature_path
    return Finding("water", Severity.ERROR, path, says, remedy, source, Basis.COMPUTED, computed)


def _beyond(planned: Heat, bath: str, reach_c: float) -> Finding:
    says = _("{bath} reaches {reach} °C at most, and {at} °C is asked of it.").format(
        bath=bath, reach=figure(reach_c, 1), at=figure(planned.temperature_c, 1)
    )
    remedy = _("Choose {reach} °C at most and hold it longer, or another bath.").format(
        reach=figure(reach_c, 1)
    )
    source = _("highest_c of {bath} in this document").format(bath=bath)
    path = planned.temperature_path
    return Finding("water", Severity.ERROR, path, says, remedy, source, Basis.COMPUTED)
