"""Typing readings as the bath runs, with a live answer to how many more minutes."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from lungwort.errors import OutOfRange
from lungwort.evidence.verdict import HeatVerdict
from lungwort.language import _
from lungwort.records.chain.event import Attachment
from lungwort.records.life import cycles as deeds
from lungwort.records.states.kinds import CycleState
from lungwort.records.states.view import View
from lungwort.typed import typed_number
from lungwort.web.access import for_deed
from lungwort.web.cycles.live import answer, keep_lines, line_of, lines_of
from lungwort.web.cycles.shown import shown_one
from lungwort.web.cycles.views import found_cycle
from lungwort.web.frame.recording import witness_of

MOST_READINGS = 120
"""Every two minutes for four hours; more would not fit where they are kept."""

READABLE_C = (0.0, 150.0)
AHEAD = timedelta(hours=1)


@for_deed("cycle.evidence_attached")
def readings(request: HttpRequest, code: str) -> HttpResponse:
    """Show the readings so far and what they show; add one, take one away, or attach them all."""
    asked: Any = request
    view: View = asked.book.view()
    state = found_cycle(view, code)
    if request.method != "POST":
        return _page(request, view, state)
    told = request.POST.get("do", "add")
    if told == "attach":
        return _attach(request, state)
    lines = lines_of(request, code)
    if told.startswith("drop "):
        return _kept(code, [line for line in lines if line != told.removeprefix("drop ")])
    try:
        line = _typed(request)
    except OutOfRange as error:
        return _page(request, view, state, str(error))
    lines = [*(old for old in lines if old[:16] != line[:16]), line]
    if len(lines) > MOST_READINGS:
        return _page(
            request,
            view,
            state,
            _("{most} readings are kept at most: attach them").format(most=MOST_READINGS),
        )
    return _kept(code, lines)


def _kept(code: str, lines: list[str]) -> HttpResponse:
    response = redirect("cycle_readings", code)
    keep_lines(response, code, sorted(lines))
    return response


def _page(request: HttpRequest, view: View, state: CycleState, wrong: str = "") -> HttpResponse:
    lines = lines_of(request, state.code)
    found = answer(view, state, lines) if len(lines) > 1 else None
    verdict: HeatVerdict | None = found[0] if found else None
    shown = {
        "cycle": state,
        "lines": list(reversed(lines)),
        "answer": found[1] if found else None,
        "verdict": shown_one(verdict) if verdict else None,
        "wrong": wrong,
        "typed": request.POST,
        "now": timezone.localtime(view.now).strftime("%H:%M"),
        "may_attach": state.status in ("running", "ended", "judged") and len(lines) > 1,
    }
    return render(request, "cycles/readings.html", shown, status=400 if wrong else 200)


def _typed(request: HttpRequest) -> str:
    """Return the reading that was typed as a line; OutOfRange says what is wrong with it."""
    text = request.POST.get("temperature_c", "").strip()
    temperature_c = _number(text)
    if temperature_c is None or not READABLE_C[0] <= temperature_c <= READABLE_C[1]:
        says = _("{text!r} is no temperature of a bath; give °C between {low} and {high}, such as 84.5")
        raise OutOfRange(says.format(text=text, low=int(READABLE_C[0]), high=int(READABLE_C[1])))
    return line_of(_moment(request), temperature_c)


def _number(text: str) -> float | None:
    try:
        return typed_number(text)
    except ValueError:
        return None


def _moment(request: HttpRequest) -> datetime:
    """Return when it was read: a time of today, or of yesterday where today it would lie ahead."""
    asked: Any = request
    now, text = timezone.localtime(asked.book.clock()), request.POST.get("time", "").strip()
    try:
        clock = datetime.strptime(text, "%H:%M")
    except ValueError as error:
        raise OutOfRange(
            _("{text!r} is no time; give hour and minute, such as 14:05").format(text=text)
        ) from error
    moment = now.replace(hour=clock.hour, minute=clock.minute, second=0, microsecond=0)
    return moment - timedelta(days=1) if moment > now + AHEAD else moment


def _attach(request: HttpRequest, state: CycleState) -> HttpResponse:
    """Attach the readings as evidence; then they are no longer kept here."""
    code, lines = state.code, lines_of(request, state.code)
    file = Attachment(_("readings") + f"-{code}.txt", "\n".join(lines).encode())
    deeds.attach(witness_of(request), code, "hand", [file], note=request.POST.get("note", "").strip())
    messages.success(request, _("{count} readings are attached.").format(count=len(lines)))
    response = redirect("cycle", code)
    keep_lines(response, code, [])
    return response
