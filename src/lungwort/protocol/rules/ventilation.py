"""Room air where chemicals give off vapour."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from lungwort.language import _, number
from lungwort.library.agents import Agent, ExposureLimit
from lungwort.library.loading import Basis
from lungwort.protocol.document import Protocol
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.lines import Path
from lungwort.protocol.place import Place
from lungwort.protocol.rule import rule, steps_of
from lungwort.protocol.sequence import agent_of, at_step
from lungwort.science.room_air import MIXING_FACTOR, air_changes_needed_per_h

FEWEST_PER_H = 10.0
"""Air changes asked for where there is no extract at the bath (from memory)."""
HARSH = {"glutaraldehyde": Severity.ERROR, "OPA": Severity.ERROR, "peracetic acid": Severity.WARNING}
"""Agents of which that is asked; for peracetic acid practice asks for an extract and gives no number."""
FLOOR_SOURCE = (
    "Practice for aldehydes and peracetic acid: a covered bath under extract, or 10 air changes an hour"
)
SMALLEST_M3 = 1.0


@dataclass(frozen=True)
class _Use:
    """An agent soaked in without extract, at the step that gives off most where that is known."""

    agent: Agent
    limit: ExposureLimit
    path: Path
    evaporation_mg_per_h: float | None


@rule(
    "ventilation",
    "Where a chemical with an exposure limit is used, the room's air is known and is changed enough.",
)
def ventilation(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield findings on agents that are soaked in without extract, one for each agent."""
    uses = _uses(protocol)
    if not uses:
        return
    place = protocol.place
    if place.air_changes_per_h is None:
        yield _unknown_air(uses)
        return
    for use in uses:
        yield from _in_air(use, place, place.air_changes_per_h)


def _uses(protocol: Protocol) -> list[_Use]:
    """Return the agents used without extract, each once."""
    found: dict[str, _Use] = {}
    for k, _kind, s, step in steps_of(protocol):
        agent = None if step.extracted else agent_of(protocol, step)
        if agent is None or (step.process == "wipe" and agent.name not in HARSH):
            continue
        limit, other = _strictest(agent), found.get(agent.name)
        given_off = step.evaporation_mg_per_h
        if limit is not None and (other is None or (given_off or 0.0) > (other.evaporation_mg_per_h or 0.0)):
            key = "stock" if given_off is None else "evaporation_mg_per_h"
            found[agent.name] = _Use(agent, limit, at_step(k, s, key), given_off)
    return list(found.values())


def _strictest(agent: Agent) -> ExposureLimit | None:
    """Return the strictest limit of what people breathe at work; immediate danger and surfaces are other matters."""
    limits = [x for x in agent.exposure_limits if x.kind in ("ceiling", "TWA", "STEL") and x.mg_per_m3]
    return min(limits, key=lambda limit: limit.mg_per_m3 or 0.0, default=None)


def _unknown_air(uses: list[_Use]) -> Finding:
    says = _(
        "{agents} are used here, and nobody wrote how often the air is changed: not shown that it is enough."
    )
    remedy = _("Measure the air changes and write air_changes_per_h; soak in covered baths until then.")
    agents = ", ".join(use.agent.name for use in uses)
    limit = uses[0].limit
    source = f"{limit.body} {limit.kind}: {limit.source}"
    return Finding(
        "ventilation", Severity.WARNING, ("place",), says.format(agents=agents), remedy, source, limit.basis
    )


def _in_air(use: _Use, place: Place, changes_per_h: float) -> Iterator[Finding]:
    computed = _computed(use, place)
    if computed is not None and computed[0] > changes_per_h:
        yield _too_little(use, changes_per_h, *computed)
    elif use.agent.name in HARSH and changes_per_h < FEWEST_PER_H:
        yield _below_floor(use, changes_per_h, computed)
    if use.evaporation_mg_per_h is not None and place.room_m3 is None:
        yield _unknown_room(use)


def _computed(use: _Use, place: Place) -> tuple[float, str] | None:
    """Return the air changes that evaporation asks for and how they were found; None where they cannot be."""
    limit_mg_per_m3 = use.limit.mg_per_m3
    if use.evaporation_mg_per_h is None or limit_mg_per_m3 is None or (place.room_m3 or 0.0) < SMALLEST_M3:
        return None
    room_m3 = place.room_m3 or SMALLEST_M3
    needed = float(air_changes_needed_per_h(use.evaporation_mg_per_h, room_m3, limit_mg_per_m3))
    text = _("{factor} · {emission} mg/h / ({limit} mg/m³ · {room} m³) = {needed} air changes an hour")
    return needed, text.format(
        factor=number(MIXING_FACTOR, 0),
        emission=number(use.evaporation_mg_per_h),
        limit=number(limit_mg_per_m3, 4),
        room=number(room_m3),
        needed=number(needed),
    )


def _too_little(use: _Use, changes_per_h: float, needed: float, computed: str) -> Finding:
    limit = use.limit
    says = _("{agent}: {written} air changes an hour leave its vapour above the limit; {needed} are needed.")
    remedy = _(
        "Cover the bath and draw its air off there (extracted = true), soak less at a time, or use heat."
    )
    return Finding(
        "ventilation",
        Severity.ERROR,
        use.path,
        says.format(agent=use.agent.name, written=number(changes_per_h), needed=number(needed)),
        remedy,
        f"{limit.body} {limit.kind}: {limit.source}",
        limit.basis,
        computed,
    )


def _below_floor(use: _Use, changes_per_h: float, computed: tuple[float, str] | None) -> Finding:
    says = _("{agent} without extract wants at least {fewest} air changes an hour; the place has {written}.")
    remedy = _(
        "Cover the bath and draw its air off there (extracted = true), change the air more, or use heat."
    )
    return Finding(
        "ventilation",
        HARSH[use.agent.name] if computed is None else Severity.WARNING,
        ("place", "air_changes_per_h"),
        says.format(agent=use.agent.name, fewest=number(FEWEST_PER_H, 0), written=number(changes_per_h)),
        remedy,
        FLOOR_SOURCE,
        Basis.FROM_MEMORY,
        "" if computed is None else computed[1],
    )


def _unknown_room(use: _Use) -> Finding:
    says = _(
        "{agent}: what it gives off is known, and the room's size is not: not shown that its air is enough."
    )
    remedy = _("Write room_m3 of the place: length times width times height.")
    source, basis = "Mass balance of one room (docs/why/room_air.md)", Basis.COMPUTED
    text = says.format(agent=use.agent.name)
    return Finding("ventilation", Severity.WARNING, ("place",), text, remedy, source, basis)
