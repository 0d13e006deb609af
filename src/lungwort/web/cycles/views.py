"""The cycles that are open and those that were judged; one cycle, what may be done with it, what its evidence shows."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from heapq import nlargest
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from lungwort.language import _
from lungwort.records.chain.event import Event
from lungwort.records.life import cycles as deeds
from lungwort.records.life.judging import Judgement, judge, judged
from lungwort.records.life.permissions import MAY
from lungwort.records.life.reasons import Refused
from lungwort.records.life.witness import Witness
from lungwort.records.states.kinds import BatchState, CycleState, EquipmentState, PartState
from lungwort.records.states.view import View
from lungwort.web.access import for_everybody, for_roles
from lungwort.web.cycles.shown import outcome_says, shown, slug
from lungwort.web.frame.recording import witness_of
from lungwort.web.turnaround.journey import next_step, open_cycles, protocol_of

A_PAGE = 50
Do = Callable[[Witness, str, str], Event]


@dataclass(frozen=True)
class Row:
    """A cycle in the list."""

    cycle: CycleState
    status: str
    with_what: str
    slug: str
    word: str


@require_GET
@for_everybody
def cycles(request: HttpRequest) -> HttpResponse:
    """Show what is loading, running, or ended and not judged; then what was judged, the newest first."""
    asked: Any = request
    view: View = asked.book.view()
    before, outcome = request.GET.get("before", "~"), request.GET.get("outcome", "")
    past = (
        c for c in view.states(CycleState, "judged") if c.ended_at < before and outcome in ("", c.outcome)
    )
    page = nlargest(A_PAGE + 1, past, key=lambda c: c.ended_at)
    names = _names(view)
    shown_here = {
        "open": [_row(c, names) for c in open_cycles(view).values()],
        "judged": [_row(c, names) for c in page[:A_PAGE]],
        "before": page[A_PAGE - 1].ended_at if len(page) > A_PAGE else "",
        "outcome": outcome,
        "outcomes": [(o, outcome_says(o)) for o in ("passed", "failed", "not shown")],
        "may_load": _may(asked.person.roles, "cycle.loaded"),
    }
    return render(request, "cycles/cycles.html", shown_here)


def _names(view: View) -> dict[str, str]:
    """Return the protocol's names of equipment and chemicals by their codes here."""
    names = {e.code: e.name for e in view.states(EquipmentState)}
    return names | {b.code: b.stock for b in view.states(BatchState)}


def _row(cycle: CycleState, names: dict[str, str]) -> Row:
    treated_by = cycle.equipment or cycle.batch
    with_what = ", ".join(text for text in (names.get(treated_by, treated_by), cycle.setting) if text)
    return Row(cycle, cycle_status(cycle.status), with_what, slug(cycle.outcome), outcome_says(cycle.outcome))


def cycle_status(status: str) -> str:
    """Return the status of a cycle in words."""
    words = {
        "loading": _("being loaded"),
        "running": _("running"),
        "ended": _("ended, not judged"),
        "judged": _("judged"),
        "abandoned": _("abandoned"),
    }
    return words.get(status, status)


def _may(roles: tuple[str, ...], deed: str) -> bool:
    return bool(set(roles) & set(MAY[deed]))


def found_cycle(view: View, code: str) -> CycleState:
    """Return a cycle as it is now; no such page where none is known."""
    state = view.state(CycleState, code)
    if state is None:
        raise Http404
    return state


# ---- one cycle ----


@require_GET
@for_everybody
def cycle(request: HttpRequest, code: str) -> HttpResponse:
    """Show a cycle: what it is now, whether it may go on, what to do next, and what its evidence shows."""
    asked: Any = request
    view: View = asked.book.view()
    state = found_cycle(view, code)
    judgement, reasons = _judgement(view, state)
    roles = asked.person.roles
    shown_here = {
        "cycle": state,
        "row": _row(state, _names(view)),
        "judgement": judgement,
        "preview": outcome_says(judgement.outcome) if judgement else "",
        "preview_slug": slug(judgement.outcome) if judgement else "",
        "verdicts": shown(judgement.verdicts) if judgement else (),
        "against": reasons,
        "evidence": list(_evidence(view, code)),
        "parts": _parts(view, state),
        "may_run": _may(roles, "cycle.started"),
        "may_attach": _may(roles, "cycle.evidence_attached"),
        "stale": bool(judgement and state.outcome and judgement.outcome != state.outcome),
    }
    return render(request, "cycles/cycle.html", shown_here)


def _judgement(view: View, state: CycleState) -> tuple[Judgement | None, tuple[Any, ...]]:
    if state.status not in ("ended", "judged"):
        return None, ()
    try:
        return judged(view, state), ()
    except Refused as refused:
        return None, refused.reasons


@dataclass(frozen=True)
class Piece:
    """A piece of evidence as it was attached."""

    word: str
    names: str
    result: str
    note: str
    at: str
    who: str


def _evidence(view: View, code: str) -> Iterator[Piece]:
    for fact in view.facts("cycle", code):
        if fact.what == "cycle.evidence_attached":
            names = ", ".join(f.get("given_name", f["file_name"]) for f in fact.event.content["evidence"])
            kind, result, note = (str(fact.data.get(key, "")) for key in ("kind", "result", "note"))
            yield Piece(kind_words(kind), names, _result(result), note, fact.at, fact.event.who)


def _result(result: str) -> str:
    return {"positive": _("positive"), "negative": _("negative")}.get(result, result)


def kind_words(kind: str) -> str:
    """Return a kind of evidence in words."""
    words = {
        "log": _("log"),
        "hand": _("readings by hand"),
        "strip": _("soak and strips"),
        "weight": _("weights"),
        "biological": _("biological indicator"),
        "chemical": _("chemical indicator"),
    }
    return words.get(kind, kind)


def _parts(view: View, state: CycleState) -> list[tuple[PartState, Any]]:
    protocol, opened = protocol_of(view), open_cycles(view)
    found = [part for code in state.parts if (part := view.state(PartState, code)) is not None]
    return [(part, next_step(protocol, opened, part)) for part in found]


# ---- its deeds ----


@require_POST
@for_roles(*MAY["cycle.started"])
def record(request: HttpRequest, code: str, action: str) -> HttpResponse:
    """Record the start or the end of a cycle, that its load was given up, or its verdict."""
    asked: Any = request
    named: dict[str, tuple[Do, str]] = {
        "start": (lambda witness, cycle, _why: deeds.start(witness, cycle), _("Cycle {cycle} has begun.")),
        "end": (lambda witness, cycle, _why: deeds.end(witness, cycle), _("Cycle {cycle} has ended.")),
        "abandon": (deeds.abandon, _("Load {cycle} was given up.")),
        "judge": (
            lambda witness, cycle, _why: judge(witness, cycle),
            _("Cycle {cycle} was judged: {outcome}."),
        ),
    }
    if action not in named:
        raise Http404
    do, says = named[action]
    event = do(witness_of(request), code, request.POST.get("reason", ""))
    outcome = outcome_says(str(event.data.get("outcome", ""))).lower()
    messages.success(asked, says.format(cycle=code, outcome=outcome))
    return redirect("cycle", code)
