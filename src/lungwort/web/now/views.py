"""What matters at this moment, for the person who is signed in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from lungwort.errors import LungwortError
from lungwort.language import _
from lungwort.protocol.document import Protocol
from lungwort.records.life.held import hold_words
from lungwort.records.life.known import in_force
from lungwort.records.states.kinds import CycleState, PartState, SetUpState
from lungwort.records.states.view import View
from lungwort.web.access import for_everybody
from lungwort.web.bedside.duties import Due, duties_due

UNDER_WAY = ("soiled", "washed", "treated", "drying")
MOST = 60
"""Most entries of a list on this page; the list of things has all."""


@for_everybody
def now(request: HttpRequest) -> HttpResponse:
    """Show what is ready, in use with duties due, under way, held; and what to do next."""
    asked: Any = request
    view = asked.book.view()
    parts = [part for part in view.states(PartState) if part.status != "withdrawn"]
    set_ups = [s for status in ("joined", "checked", "in use") for s in view.states(SetUpState, status)]
    cycles = [c for status in ("loading", "running", "ended") for c in view.states(CycleState, status)]
    duties = duties_due(view, _protocol(view), set_ups, parts)
    shown = {
        "ready": _by_kind(p for p in parts if p.status == "ready" and not p.set_up),
        "waiting": [s for s in set_ups if s.status != "in use"],
        "in_use": [s for s in set_ups if s.status == "in use"],
        "duties": duties[:MOST],
        "held": [(p, [hold_words(h) for h in p.held]) for p in parts if p.status == "quarantined"][:MOST],
        "under_way": sorted(Counter(p.status for p in parts if p.status in UNDER_WAY).items()),
        "cycles": cycles[:MOST],
        "next": next_thing(asked.person.roles, parts, set_ups, cycles, duties),
    }
    return render(request, "now/now.html", shown)


def _protocol(view: View) -> Protocol | None:
    try:
        return in_force(view)
    except LungwortError:
        return None


def _by_kind(parts: Iterable[PartState]) -> list[tuple[str, list[PartState]]]:
    found: dict[str, list[PartState]] = {}
    for part in parts:
        found.setdefault(part.of_kind, []).append(part)
    return sorted(found.items())


def next_thing(
    roles: Sequence[str],
    parts: Sequence[PartState],
    set_ups: Sequence[SetUpState],
    cycles: Sequence[CycleState],
    duties: Sequence[Due],
) -> str:
    """Return the one thing to do next for somebody of these roles, as a sentence."""
    if "ward" in roles and duties and duties[0].late:
        text = _("Do this now on {set_up}: {duty}")
        return text.format(set_up=duties[0].set_up.code, duty=duties[0].duty)
    if "reprocessing" in roles:
        unjudged = [c.code for c in cycles if c.status == "ended"]
        if unjudged:
            return _("Attach the evidence of cycle {cycle} and judge it.").format(cycle=unjudged[0])
        soiled = sum(p.status == "soiled" and not p.machine for p in parts)
        if soiled:
            return _("Take apart and wash what is soiled: {count} parts wait.").format(count=soiled)
    held = [p.code for p in parts if p.status == "quarantined"]
    if "infection control lead" in roles and held:
        return _("Look at what is held, {code} first: why, and what frees it.").format(code=held[0])
    waiting = [s.code for s in set_ups if s.status == "joined"]
    if "ward" in roles and waiting:
        return _("Check set-up {set_up} before use.").format(set_up=waiting[0])
    return _("Nothing waits for you that these records know of.")
