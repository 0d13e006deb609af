"""The curve of a cycle as a picture of its own address, and its certificate."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from lungwort.errors import LungwortError
from lungwort.evidence.verdict import HeatVerdict
from lungwort.records.life.judging import judged
from lungwort.records.states.view import View
from lungwort.web.access import for_everybody
from lungwort.web.cycles.live import lines_of, shown_so_far
from lungwort.web.cycles.views import found_cycle


@require_GET
@for_everybody
def chart(request: HttpRequest, code: str, which: str) -> HttpResponse:
    """Return the curve with its lethality filling up: of the evidence by its number, or of the readings so far."""
    from lungwort.paper.chart import PHONE, chart_svg
    from lungwort.paper.chart import chart as specification

    verdict = _so_far(request, code) if which == "so-far" else _verdict(request, code, which)
    svg = chart_svg(specification(verdict, PHONE if "narrow" in request.GET else None))
    return HttpResponse(svg, content_type="image/svg+xml")


@require_GET
@for_everybody
def certificate(request: HttpRequest, code: str, which: int) -> HttpResponse:
    """Return the certificate of a piece of evidence as PDF."""
    from lungwort.paper.certificate import certificate_pdf

    asked: Any = request
    pdf = certificate_pdf(_verdict(request, code, str(which)), asked.book.clock())
    name = f"{code}-{which + 1}.pdf"
    return HttpResponse(
        pdf, content_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}"'}
    )


def _verdict(request: HttpRequest, code: str, which: str) -> HeatVerdict:
    """Return the verdict on a piece of evidence of heat by its number; no such page where there is none."""
    asked: Any = request
    view: View = asked.book.view()
    state = found_cycle(view, code)
    if not state.ended_at or not which.isdecimal():
        raise Http404
    found = judged(view, state).verdicts
    verdict = found[int(which)] if int(which) < len(found) else None
    if not isinstance(verdict, HeatVerdict):
        raise Http404
    return verdict


def _so_far(request: HttpRequest, code: str) -> HeatVerdict:
    asked: Any = request
    view: View = asked.book.view()
    state = found_cycle(view, code)
    try:
        return shown_so_far(view, state, lines_of(request, code))
    except LungwortError as error:
        raise Http404 from error
