"""The page that takes a code."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from lungwort.errors import UnreadableCode
from lungwort.records.chain.event import Thing
from lungwort.records.codes.scan import read_scan
from lungwort.records.life.known import kind_words
from lungwort.records.states.kinds import PersonState
from lungwort.records.states.view import View
from lungwort.web.access import for_everybody
from lungwort.web.scan.finding import things_with
from lungwort.web.scan.photo import codes_in
from lungwort.web.things.offers import address_of
from lungwort.web.things.shapes import page_of
from lungwort.web.things.views import unknown


@for_everybody
@require_http_methods(["GET", "HEAD", "POST"])
def scan(request: HttpRequest) -> HttpResponse:
    """Take a code by scanner, keyboard or photo, and go to the thing that bears it."""
    try:
        codes = _codes(request)
        return _answer(request, codes) if codes else render(request, "scan/scan.html")
    except UnreadableCode as error:
        typed = (request.POST.get("code") or request.GET.get("code") or "")[:100]
        shown = {"says": str(error), "typed": typed, "of_photo": bool(request.FILES)}
        return render(request, "scan/scan.html", shown, status=400)


def _codes(request: HttpRequest) -> list[str]:
    photo: Any = request.FILES.get("photo")
    if photo is not None:
        return codes_in(photo, photo.size)
    if request.method == "POST" or "code" in request.GET:
        return [request.POST.get("code") or request.GET.get("code") or " "]
    return []


def _answer(request: HttpRequest, codes: Sequence[str]) -> HttpResponse:
    """Go to the one thing that was meant; where there are several, ask which."""
    asked: Any = request
    view = asked.book.view()
    scanned = [read_scan(code, view.now.date()) for code in codes]
    found = list(dict.fromkeys(thing for one in scanned for thing in things_with(view, one)))
    if len(found) == 1:
        return redirect(page_of(found[0].part, found[0].code))
    if found:
        return render(request, "scan/which.html", {"found": [_choice(thing) for thing in found]})
    person = _person_page(view, asked.person.roles, scanned[0].code)
    return redirect(person) if person else unknown(request, scanned[0].code)


def _person_page(view: View, roles: tuple[str, ...], code: str) -> str:
    """Return the address of a person's page, where the code is a person's and the page is open to these roles."""
    known = view.state(PersonState, code) is not None
    return address_of("person", roles, "code", code) if known else ""


def _choice(thing: Thing) -> tuple[str, str, str]:
    return thing.code, kind_words(thing.part), page_of(thing.part, thing.code)
