"""Pages that record: an order, a correction of an entry, an enrolment."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from lungwort.language import _
from lungwort.records.chain.event import Event
from lungwort.records.life import corrections
from lungwort.records.life.correctable import ONLY_STRUCK
from lungwort.records.life.permissions import MAY, role_words
from lungwort.records.states.fact import Fact, fact_of
from lungwort.records.states.view import View
from lungwort.web.access import for_everybody
from lungwort.web.frame.recording import moment_typed, witness_of
from lungwort.web.things.enrolling import DEEDS, enrolled, first_told, names_of
from lungwort.web.things.forms import AmendForm, EnrolForm, OrderForm
from lungwort.web.things.history import entry, may_amend
from lungwort.web.things.orders import ORDERS, duties_of
from lungwort.web.things.shapes import described
from lungwort.web.things.views import back_to, state_of

READ_OR_SEND = ["GET", "HEAD", "POST"]


@for_everybody
@require_http_methods(READ_OR_SEND)
def order(request: HttpRequest, kind: str, code: str, name: str) -> HttpResponse:
    """Ask what an order needs, then record it."""
    asked: Any = request
    view = asked.book.view()
    state, chosen = state_of(view, kind, code), ORDERS.get(kind, {}).get(name)
    if state is None or chosen is None:
        raise Http404(code)
    form = OrderForm(chosen, duties_of(view, state), request.POST or None)
    if request.method == "POST" and form.is_valid():
        chosen.record(witness_of(request), code, {"reason": "", **form.cleaned_data})
        messages.success(request, chosen.told().format(code=code))
        return back_to(kind, code)
    shown = {
        "form": form,
        "title": chosen.word(),
        "code": code,
        "what": described(state),
        "grave": chosen.grave,
        "back": reverse("thing", args=[kind, code]),
        "not_theirs": _not_theirs(request, chosen.what),
    }
    return render(request, "things/record.html", shown, status=400 if form.errors else 200)


def _not_theirs(request: HttpRequest, deed: str) -> str:
    """Return who may record a deed, where the person may not; "" where they may."""
    person: Any = request.person  # type: ignore[attr-defined]
    return "" if set(MAY[deed]) & set(person.roles) else ", ".join(map(role_words, MAY[deed]))


# ---- corrections ----


@for_everybody
@require_http_methods(READ_OR_SEND)
def amend(request: HttpRequest, kind: str, code: str, event: str) -> HttpResponse:
    """Ask why an entry is wrong and how it should read, then strike or correct it; the old one stays visible."""
    asked: Any = request
    view = asked.book.view()
    old = view.event(event)
    if old is None or state_of(view, kind, code) is None:
        raise Http404(event)
    fact, struck = fact_of(old), _is_struck(request, old)
    form = AmendForm(fact, struck, request.POST or None)
    if request.method == "POST" and form.is_valid():
        _amended(request, fact, struck, form)
        messages.success(request, _told(struck))
        gone = state_of(asked.book.view(), kind, code) is None
        return _to_the_list() if gone else back_to(kind, code)
    shown = {
        "form": form,
        "struck": struck,
        "entry": entry(old, {}, asked.person, (kind, code)),
        "back": reverse("thing", args=[kind, code]),
        "only_struck": fact.what in ONLY_STRUCK,
        "may": may_amend(asked.person, old) and view.corrected_by(event) is None,
    }
    return render(request, "things/amend.html", shown, status=400 if form.errors else 200)


def _is_struck(request: HttpRequest, event: Event) -> bool:
    told = request.POST if request.method == "POST" else request.GET
    return told.get("how") != "correct" or fact_of(event).what in ONLY_STRUCK


def _told(struck: bool) -> str:
    return (
        _("The entry is struck; it stays visible.")
        if struck
        else _("The entry is corrected; both stay visible.")
    )


def _to_the_list() -> HttpResponse:
    from django.shortcuts import redirect

    return redirect("things")


def _amended(request: HttpRequest, fact: Fact, struck: bool, form: AmendForm) -> Event:
    witness = witness_of(request)
    why = form.cleaned_data["said"]
    if struck:
        return corrections.strike(witness, fact.event.id, why)
    happened = form.cleaned_data["happened"].strip()
    return corrections.correct(
        witness,
        fact.event.id,
        why,
        data=form.written(fact),
        happened_at=moment_typed(happened) if happened else None,
    )


# ---- enrolment ----


@for_everybody
@require_http_methods(READ_OR_SEND)
def enrol(request: HttpRequest, what: str) -> HttpResponse:
    """Ask what is enrolled, then record it and go to its page."""
    asked: Any = request
    if what not in DEEDS:
        raise Http404(what)
    view: View = asked.book.view()
    begun = first_told(what, request.GET.get("code", "")[:200])
    form = EnrolForm(what, names_of(view, what), request.POST or None, initial=begun)
    if request.method == "POST" and form.is_valid():
        made = fact_of(enrolled(witness_of(request), what, form.cleaned_data)).the(what)
        messages.success(request, _("{code} is enrolled. Print its label.").format(code=made))
        return back_to(what, made)
    titles = {
        "part": _("Enrol a part or a machine"),
        "equipment": _("Enrol equipment"),
        "batch": _("Enrol a batch"),
    }
    shown = {
        "form": form,
        "title": titles[what],
        "back": reverse("things"),
        "not_theirs": _not_theirs(request, DEEDS[what]),
    }
    return render(request, "things/record.html", shown, status=400 if form.errors else 200)
