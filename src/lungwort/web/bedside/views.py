"""The bedside: what is connected and due, what waits, and joining the next set-up."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from lungwort.errors import LungwortError
from lungwort.language import _
from lungwort.protocol.document import Protocol
from lungwort.records.life.known import in_force
from lungwort.records.life.permissions import AUDITOR, LEAD, MAY, TECHNICAL, WARD
from lungwort.records.states.kinds import PartState, SetUpState
from lungwort.records.states.view import View
from lungwort.web.access import for_roles
from lungwort.web.bedside.duties import Due, duties_due
from lungwort.web.bedside.joining import choices, join_these
from lungwort.web.frame.recording import witness_of


@for_roles(WARD, TECHNICAL, LEAD, AUDITOR)
@require_http_methods(["GET", "POST"])
def bedside(request: HttpRequest) -> HttpResponse:
    """Show what is connected and what waits; join what was ticked or typed."""
    asked: Any = request
    if request.method == "POST":
        event = join_these(witness_of(request), request.POST.getlist("part"), request.POST.get("typed", ""))
        code = next(thing.code for thing in event.things if thing.part == "set_up")
        messages.success(request, _("Joined as set-up {code}. Now check it before use.").format(code=code))
        return redirect("set_up", code=code)
    view = asked.book.view()
    named = _set_up_named(view, request)
    if named:
        return redirect("set_up", code=named)
    set_ups = [s for status in ("joined", "checked", "in use") for s in view.states(SetUpState, status)]
    ready = list(view.states(PartState, "ready"))
    shown = {
        "in_use": _with_next_duty(view, set_ups),
        "waiting": [s for s in set_ups if s.status != "in use"],
        "choices": choices(ready),
        "typed": request.GET.get("part", ""),
        "may_join": bool(set(MAY["set_up.joined"]) & set(asked.person.roles)),
    }
    return render(request, "bedside/bedside.html", shown)


def _set_up_named(view: View, request: HttpRequest) -> str:
    """Return the set-up that the address names, or that the part it names belongs to; "" where there is none."""
    part = view.state(PartState, request.GET.get("part", "")) if "part" in request.GET else None
    return request.GET.get("set_up", "") or (part.set_up if part else "")


def _with_next_duty(view: View, set_ups: list[SetUpState]) -> list[tuple[SetUpState, Due | None]]:
    """Return what is in use with the duty due next on each, the most urgent first."""
    first: dict[str, Due] = {}
    for due in duties_due(view, protocol_or_none(view), set_ups, list(view.states(PartState, "in use"))):
        first.setdefault(due.set_up.code, due)
    in_use = {s.code: s for s in set_ups if s.status == "in use"}
    return [(in_use[code], first.get(code)) for code in dict.fromkeys([*first, *in_use])]


def protocol_or_none(view: View) -> Protocol | None:
    """Return the protocol in force, if there is one."""
    try:
        return in_force(view)
    except LungwortError:
        return None
