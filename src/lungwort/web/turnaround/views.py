"""The ring with every part on its way, and the actions on those that somebody chose."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from lungwort.errors import UnreadableCode
from lungwort.language import _
from lungwort.protocol.document import Protocol
from lungwort.records.life.gate import may_release
from lungwort.records.life.permissions import MAY
from lungwort.records.life.reasons import Reason, Refused
from lungwort.records.states.kinds import BatchState, PartState
from lungwort.records.states.view import View
from lungwort.web.access import for_everybody, for_roles
from lungwort.web.frame.recording import witness_of
from lungwort.web.turnaround.actions import Action, How, actions, how_to
from lungwort.web.turnaround.chosen import parts_chosen
from lungwort.web.turnaround.journey import Next, next_step, open_cycles, protocol_of
from lungwort.web.turnaround.ring import ring_of

ON_ITS_WAY = ("soiled", "washed", "treated", "drying", "quarantined")
A_PAGE = 50
RECORDERS = tuple(dict.fromkeys(role for action in actions().values() for role in MAY[action.deed]))
CHECKS = ("look", "assemble", "test")


@dataclass(frozen=True)
class Offer:
    """An action offered for some of the chosen parts, with how it is done and what speaks against it."""

    action: Action
    parts: tuple[PartState, ...]
    how: tuple[How, ...]
    reasons: tuple[Reason, ...] = ()
    checks: tuple[str, ...] = ()


@require_GET
@for_everybody
def turnaround(request: HttpRequest) -> HttpResponse:
    """Show the ring, and the parts at one of its steps, or all that are on their way."""
    asked: Any = request
    view: View = asked.book.view()
    parts = [part for part in view.states(PartState) if part.status != "withdrawn"]
    status, kind = request.GET.get("status", ""), request.GET.get("kind", "")
    wanted = (status,) if status else ON_ITS_WAY
    found = [p for p in parts if p.status in wanted and kind in ("", p.of_kind)]
    page, more = _page(found, request.GET.get("after", ""))
    filters = {"status": status, "kind": kind}
    shown = {
        "ring": ring_of(Counter(part.status for part in parts), status),
        "rows": _with_next(view, page),
        "count": len(found),
        "more": urlencode({**filters, "after": more}) if more else "",
        "kinds": sorted({part.of_kind for part in parts}),
        "may_record": bool(set(asked.person.roles) & set(RECORDERS)),
        "may_enrol": bool(set(asked.person.roles) & set(MAY["part.enrolled"])),
        **filters,
    }
    return render(request, "turnaround/turnaround.html", shown)


def _page(parts: Sequence[PartState], after: str) -> tuple[list[PartState], str]:
    """Return a page of parts, sorted by kind, from after a key; and the key of the next page or ""."""
    keyed = sorted((f"{part.of_kind}\t{part.code}", part) for part in parts)
    rest = [(key, part) for key, part in keyed if key > after]
    page = rest[:A_PAGE]
    return [part for _key, part in page], page[-1][0] if len(rest) > A_PAGE else ""


def _with_next(view: View, parts: Iterable[PartState]) -> list[tuple[PartState, Next]]:
    protocol, cycles = protocol_of(view), open_cycles(view)
    return [(part, next_step(protocol, cycles, part)) for part in parts]


# ---- what was chosen ----


@require_GET
@for_everybody
def work(request: HttpRequest) -> HttpResponse:
    """Show the chosen parts and what can be done with them: what comes next first, then every other step."""
    asked: Any = request
    view: View = asked.book.view()
    try:
        parts = parts_chosen(view, request.GET.getlist("part"), request.GET.get("codes", ""))
    except UnreadableCode as error:
        return _not_chosen(request, [str(error)])
    except Refused as refused:
        return _not_chosen(request, [str(reason) for reason in refused.reasons])
    if not parts:
        says = _("No part was chosen: tick some, or type or scan their codes.")
        return _not_chosen(request, [says], 400 if "codes" in request.GET else 200)
    rows = _with_next(view, parts)
    roles = set(asked.person.roles)
    offers = [o for o in _offers(view, rows, asked.person.trainings) if roles & set(MAY[o.action.deed])]
    first = {o.action.name for o in offers if any(n.action == o.action.name for _p, n in rows)}
    shown = {
        "rows": rows,
        "first": [offer for offer in offers if offer.action.name in first],
        "others": [offer for offer in offers if offer.action.name not in first],
        "to_load": [part for part, n in rows if n.action == "load"]
        if roles & set(MAY["cycle.loaded"])
        else [],
        "batches": list(view.states(BatchState, "in stock")),
        "all_checks": CHECKS,
    }
    return render(request, "turnaround/work.html", shown)


def _not_chosen(request: HttpRequest, wrong: Sequence[str], status: int = 400) -> HttpResponse:
    shown = {"wrong": wrong, "typed": request.GET.get("codes", ""), "ticked": request.GET.getlist("part")}
    return render(request, "turnaround/not_chosen.html", shown, status=status)


def _offers(view: View, rows: Sequence[tuple[PartState, Next]], trainings: Iterable[str]) -> list[Offer]:
    """Return every action: on the parts for which it comes next, or on all where it does for none."""
    protocol = protocol_of(view)
    found = []
    for action in actions().values():
        parts = tuple(p for p, n in rows if n.action == action.name) or tuple(p for p, _n in rows)
        how = tuple(_how(view, protocol, parts, action))
        reasons = _against(view, parts) if action.name == "release" else ()
        checks = _checks(protocol, parts, trainings) if action.name == "inspect" else ()
        found.append(Offer(action, parts, how, reasons, checks))
    return found


def _how(view: View, protocol: Protocol | None, parts: Iterable[PartState], action: Action) -> list[How]:
    if protocol is None or not action.does:
        return []
    named = (protocol.kind(name) for name in dict.fromkeys(part.of_kind for part in parts))
    return how_to(view, protocol, [kind for kind in named if kind], action.does)


def _against(view: View, parts: Iterable[PartState]) -> tuple[Reason, ...]:
    return tuple(dict.fromkeys(reason for part in parts for reason in may_release(view, part.code).reasons))


def _checks(
    protocol: Protocol | None, parts: Iterable[PartState], trainings: Iterable[str]
) -> tuple[str, ...]:
    """Return the checks that the parts still need and that the person was trained for; a look where there is none."""
    kinds = [(part, protocol.kind(part.of_kind)) for part in parts] if protocol else []
    needed = {
        step.do
        for part, kind in kinds
        for step in (kind.steps if kind else ())
        if step.do in CHECKS and step.do not in part.done and step.by in trainings
    }
    return tuple(check for check in CHECKS if check in needed) or ("look",)


@require_POST
@for_roles(*RECORDERS)
def record(request: HttpRequest, action: str) -> HttpResponse:
    """Record an action on parts, and show the chosen ones as they are then."""
    named = actions().get(action)
    if named is None:
        raise Http404
    told = request.POST
    parts = told.getlist("part")
    named.record(witness_of(request), parts, told)
    says = _("Recorded for {parts}: {what}.").format(what=named.word.lower(), parts=", ".join(parts))
    messages.success(request, says)
    chosen = told.getlist("chosen") or parts
    return redirect(f"{reverse('turnaround_work')}?{urlencode({'part': chosen}, doseq=True)}")
