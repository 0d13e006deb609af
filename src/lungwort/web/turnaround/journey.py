"""What comes next for a part on its way from one patient to the next, by the protocol of its kind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lungwort.errors import LungwortError
from lungwort.language import _
from lungwort.protocol.document import Protocol
from lungwort.protocol.kinds import Kind, Step
from lungwort.records.life.held import held_back
from lungwort.records.life.known import in_force
from lungwort.records.life.turnaround import marks, whole
from lungwort.records.states.kinds import CycleState, PartState
from lungwort.records.states.parts import CLEARED_BY_WASHING
from lungwort.records.states.view import View

OPEN = ("loading", "running", "ended")
"""Statuses of a cycle of which something is still to be done."""


@dataclass(frozen=True)
class Next:
    """What comes next: the action that does it ("" where none here does), in words, and the cycle it waits for."""

    action: str
    says: str
    cycle: str = ""


def protocol_of(view: View) -> Protocol | None:
    """Return the protocol in force; None where there is none."""
    try:
        return in_force(view)
    except LungwortError:
        return None


def open_cycles(view: View) -> dict[str, CycleState]:
    """Return the cycles that are loading, running, or ended and not judged, by code."""
    return {cycle.code: cycle for status in OPEN for cycle in view.states(CycleState, status)}


def next_step(protocol: Protocol | None, cycles: Mapping[str, CycleState], part: PartState) -> Next:
    """Return what comes next for a part.

    Args:
        protocol: in force; None where there is none.
        cycles: those that are open, by code.
        part: as it is now.
    """
    kind = protocol.kind(part.of_kind) if protocol else None
    if kind is None:
        return Next("", _("The protocol in force says nothing of its kind: ask the infection control lead."))
    cycle = cycles.get(part.cycle)
    if cycle is not None and cycle.status in ("loading", "running"):
        return Next("", _("It is in cycle {cycle}: end that first.").format(cycle=cycle.code), cycle.code)
    return _waits(part) or _held(part) or _step(kind, part, cycle)


def _waits(part: PartState) -> Next | None:
    """Return what comes next where no step of a turnaround does."""
    words = {
        "in use": _("It is on a patient: disconnect it first."),
        "ready": _("It is ready to be joined into a set-up."),
        "withdrawn": _("It is withdrawn for ever: take another."),
    }
    if part.status in words:
        return Next("", words[part.status])
    if part.single_patient:
        return Next("", _("It is for a single patient: throw it away."))
    return None


def _held(part: PartState) -> Next | None:
    """Return what frees a part that is held; a failed cycle is answered by washing and treating anew."""
    if part.status != "quarantined":
        return None
    says = " ".join(f"{reason.says}: {reason.next_step}." for reason in held_back(part))
    by_washing = all(entry.startswith(CLEARED_BY_WASHING) for entry in part.held)
    return Next("wash" if by_washing and part.held else "", says)


def _step(kind: Kind, part: PartState, cycle: CycleState | None) -> Next:
    steps = whole(kind)
    step = next((s for n, s in enumerate(steps) if not _done(steps, n, part)), None)
    if step is not None:
        return Next(action_for(step), step_says(step))
    if cycle is not None:
        says = _("Every step is done; cycle {cycle} is still to be judged.").format(cycle=cycle.code)
        return Next("", says, cycle.code)
    unproved = [s for s in steps if s.do == "treat" and marks(s) not in part.done]
    if unproved:
        return Next("", _("Its cycle was not passed: it is treated again from the wash."))
    return Next("release", _("Every step is done: release it."))


def _done(steps: tuple[Step, ...], place: int, part: PartState) -> bool:
    """Return whether a step was done, after the treatment where the protocol puts it there."""
    step, done = steps[place], part.done
    if step.do == "treat":
        return f"expose {step.process}" in done
    last = max((n for n, s in enumerate(steps) if s.do == "treat"), default=len(steps))
    exposed = max((n for n, mark in enumerate(done) if mark.startswith("expose")), default=-1)
    return step.do in done and (place < last or done.index(step.do) > exposed)


def action_for(step: Step) -> str:
    """Return the action by which a step of the protocol is recorded."""
    if step.do == "treat":
        return "wipe" if step.process == "wipe" else "load"
    return {"take apart": "take-apart", "wash": "wash", "dry": "dry"}.get(step.do, "inspect")


def step_says(step: Step) -> str:
    """Return a step as what is to be done next."""
    words = {
        "take apart": _("Take it apart."),
        "wash": _("Wash it."),
        "dry": _("Dry it."),
        "look": _("Look it over."),
        "assemble": _("Assemble it."),
        "test": _("Test it."),
        "wipe": _("Wipe it with disinfectant."),
        "steam": _("Put it in a load for steam."),
        "hot water": _("Put it in a load for hot water."),
        "soak": _("Put it in a load to soak."),
    }
    return words[step.process or step.do]
