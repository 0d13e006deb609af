"""Which status a step needs, and what to do where a part has another."""

from __future__ import annotations

from collections.abc import Iterator

from lungwort.language import _
from lungwort.records.life.reasons import Reason
from lungwort.records.states.kinds import CycleState, PartState
from lungwort.records.states.view import View


def status_words(status: str) -> str:
    """Return a status for people to read.

    >>> status_words("in use")
    'in use'
    """
    names = {
        "in use": _("in use"),
        "soiled": _("soiled"),
        "washed": _("washed"),
        "treated": _("treated, not yet released"),
        "drying": _("drying"),
        "ready": _("ready"),
        "quarantined": _("quarantined"),
        "withdrawn": _("withdrawn"),
        "joined": _("joined, to be checked"),
        "checked": _("checked"),
        "ended": _("ended"),
        "parted": _("dissolved"),
        "loading": _("being loaded"),
        "running": _("running"),
        "judged": _("judged"),
        "abandoned": _("given up"),
        "in service": _("in service"),
        "held": _("held"),
        "in stock": _("in stock"),
        "used up": _("used up"),
        "connected": _("connected"),
        "not connected": _("not connected"),
    }
    return names.get(status, status)


def has_status(part: PartState, *allowed: str) -> Iterator[Reason]:
    """Yield why a part's status does not allow a step."""
    if part.status not in allowed:
        says = _("{code} is {status}").format(code=part.code, status=status_words(part.status))
        yield Reason("status", says, _next_step(part))


def not_joined(part: PartState) -> Iterator[Reason]:
    """Yield why a part cannot be worked on: it belongs to a set-up."""
    if part.set_up:
        says = _("{code} is part of set-up {set_up}").format(code=part.code, set_up=part.set_up)
        yield Reason("joined", says, _("disconnect that set-up, or dissolve it where it was not used"))


def not_in_load(view: View, part: PartState) -> Iterator[Reason]:
    """Yield why a part cannot be worked on: it is in a load whose cycle has not ended."""
    cycle = view.state(CycleState, part.cycle) if part.cycle else None
    if cycle is not None and cycle.status in ("loading", "running"):
        says = _("{code} is in cycle {cycle}, which has not ended").format(code=part.code, cycle=cycle.code)
        yield Reason("load", says, _("end the cycle, or abandon the load"))


def _next_step(part: PartState) -> str:
    steps = {
        "in use": _("disconnect it from the patient first"),
        "soiled": _("take it apart, wash it, treat it"),
        "washed": _("put it in a load, or go on with the next step of its protocol"),
        "treated": _("dry it, look at it, release it"),
        "drying": _("let it dry, record that it is dry"),
        "ready": _("join it into a set-up; or begin at the wash, if it must be treated again"),
        "quarantined": _("see why it is held; only what frees it helps"),
        "withdrawn": _("take another; what is withdrawn never comes back"),
    }
    return steps.get(part.status, _("look at its history"))
