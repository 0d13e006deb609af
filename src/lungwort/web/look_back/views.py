"""Asking who was exposed, and the report for the committee. Answers name patients: they are sent, never addressed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from lungwort.errors import LungwortError
from lungwort.records.life.permissions import AUDITOR, LEAD
from lungwort.records.look_back.ask import look_back as ask
from lungwort.records.look_back.question import Question
from lungwort.records.look_back.result import LookBack
from lungwort.records.look_back.sections import Entry, Section, sections
from lungwort.records.look_back.words import headline, question_words, summary
from lungwort.web.access import for_roles
from lungwort.web.frame.books import now
from lungwort.web.look_back.forms import Asking, named_in
from lungwort.web.look_back.links import picture_of

MOST = 40
"""Most entries of a section on the page, but what is still out is never cut; the report has all. Ours, no source."""


@dataclass(frozen=True)
class Shown:
    """A section as the page shows it, and how many entries it leaves to the report."""

    heading: str
    entries: tuple[Entry, ...]
    left_out: int


@for_roles(LEAD, AUDITOR)
@never_cache
@require_http_methods(["GET", "POST"])
def look_back(request: HttpRequest) -> HttpResponse:
    """Ask where to begin; answer with who was exposed, what is still out and what to do."""
    asked: Any = request
    form = Asking(request.POST) if request.method == "POST" else Asking(initial=named_in(request.GET.dict()))
    shown: dict[str, Any] = {"form": form}
    if request.method == "POST" and form.is_valid():
        try:
            shown |= _told(ask(asked.book.view(), form.question()))
        except LungwortError as error:
            form.add_error("code", str(error))
    return render(request, "look_back/look_back.html", shown, status=400 if form.errors else 200)


def _told(answer: LookBack) -> dict[str, Any]:
    zone = timezone.get_current_timezone()
    return {
        "answer": answer,
        "headline": headline(answer),
        "question": question_words(answer.question, zone),
        "summary": summary(answer),
        "sections": _shown(answer, sections(answer, zone)),
        "picture": picture_of(answer),
    }


def _shown(answer: LookBack, told: Sequence[Section]) -> list[Shown]:
    whole = told[:1] if answer.still_out else ()
    cut = [Shown(s.heading, s.entries[:MOST], max(0, len(s.entries) - MOST)) for s in told[len(whole) :]]
    return [*(Shown(s.heading, s.entries, 0) for s in whole), *cut]


@for_roles(LEAD, AUDITOR)
@never_cache
@require_POST
def look_back_pdf(request: HttpRequest) -> HttpResponse:
    """Send the report of a look-back for the committee."""
    asked: Any = request
    form = Asking(request.POST)
    if not form.is_valid():
        return render(request, "look_back/look_back.html", {"form": form}, status=400)
    response = HttpResponse(_report(asked.book, form.question()), content_type="application/pdf")
    response["Content-Disposition"] = 'attachment; filename="look-back.pdf"'
    return response


def _report(book: Any, question: Question) -> bytes:
    from lungwort.paper.look_back import look_back_pdf as printed
    from lungwort.records.chain.seal import seal, seal_line
    from lungwort.records.look_back.report import report_data

    made_at = now()
    with book.store.snapshot():
        answer = ask(book.view(), question)
        sealed = seal_line(seal(book.store, book.place))
    return printed(report_data(answer, sealed, made_at, timezone.get_current_timezone()), made_at)
