"""Attaching evidence: a log, a soak with its strips, an indicator; what cannot be read is said before it is kept."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from lungwort.errors import LungwortError
from lungwort.language import _
from lungwort.records.chain.event import Attachment
from lungwort.records.life import cycles as deeds
from lungwort.records.life.judging import shown_by
from lungwort.records.states.kinds import CycleState
from lungwort.records.states.view import View
from lungwort.web.access import for_deed
from lungwort.web.cycles.forms import IndicatorForm, LogForm, StripForm
from lungwort.web.cycles.views import found_cycle
from lungwort.web.frame.recording import witness_of

FORMS: dict[str, type[forms.Form]] = {"log": LogForm, "strip": StripForm, "indicator": IndicatorForm}
OPEN_DETAILS = ("unit", "pressure_kind", "date_order", "time_unit", "leave_out", "sensor")


@for_deed("cycle.evidence_attached")
def attach(request: HttpRequest, code: str, kind: str) -> HttpResponse:
    """Ask for a piece of evidence, and attach it to the cycle."""
    asked: Any = request
    view: View = asked.book.view()
    if kind not in FORMS:
        raise Http404
    state = found_cycle(view, code)
    posted = request.method == "POST"
    form = FORMS[kind](request.POST, request.FILES) if posted else FORMS[kind]()
    if posted and form.is_valid() and _attached(request, view, state, form):
        return redirect("cycle", code)
    shown = {"form": form, "cycle": state, "kind": kind, "details": OPEN_DETAILS, "open": posted}
    return render(request, "cycles/evidence.html", shown, status=400 if posted else 200)


def _attached(request: HttpRequest, view: View, state: CycleState, form: forms.Form) -> bool:
    """Attach what a form tells; where it cannot be read, say so in the form and attach nothing."""
    told = form.cleaned_data
    witness, code = witness_of(request), state.code
    if isinstance(form, IndicatorForm):
        deeds.attach(witness, code, told["kind"], result=told["result"], note=told["note"])
        messages.success(request, _("The indicator is attached."))
        return True
    kind = "log" if isinstance(form, LogForm) else "strip"
    file, declared = _file(form, code)
    try:
        shown_by(view, state, kind, file.content, file.file_name, declared)
    except LungwortError as error:
        form.add_error(None, str(error))
        return False
    note = told.get("note", "")
    deeds.attach(witness, code, kind, [file], note=note, declared=declared or None)
    messages.success(request, _("{file} is attached.").format(file=file.file_name))
    return True


def _file(form: forms.Form, code: str) -> tuple[Attachment, dict[str, Any]]:
    """Return what is to be kept, and what is declared of it."""
    if isinstance(form, LogForm):
        file = form.cleaned_data["file"]
        return Attachment(file.name or "log", file.read()), form.declared
    lines = form.lines if isinstance(form, StripForm) else []
    return Attachment(_("soak") + f"-{code}.txt", "\n".join(lines).encode()), {}
