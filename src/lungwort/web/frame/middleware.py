"""Before and after every view: who asks, may they, and what is said where something is refused."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import resolve, reverse
from django.utils.http import urlencode

from lungwort.errors import LungwortError
from lungwort.language import _
from lungwort.records.life.reasons import Refused
from lungwort.records.states.kinds import PersonState
from lungwort.web.access import ANYONE, roles_of
from lungwort.web.frame.books import book_of

SEEN_EVERY_S = 60
"""How often it is noted that a device is in use."""

Respond = Callable[[HttpRequest], HttpResponse]


def bound_uploads(respond: Respond) -> Respond:
    """Refuse a form that is larger than the largest file we take, before any of it is read."""

    def answer(request: HttpRequest) -> HttpResponse:
        length = request.headers.get("Content-Length", "")
        if length.isdigit() and int(length) > settings.LARGEST_UPLOAD_BYTES + ROOM_FOR_FIELDS:
            text = _("what was sent has {size} MB; at most {most} MB are taken: send the part that matters")
            says = text.format(size=int(length) // 1_000_000, most=settings.LARGEST_UPLOAD_BYTES // 1_000_000)
            return render(request, "frame/error.html", {"says": says}, status=413)
        return respond(request)

    return answer


ROOM_FOR_FIELDS = 100_000


class AnswerErrors:
    """Answer what is refused with its reasons, and any other error of ours with its sentence."""

    def __init__(self, respond: Respond) -> None:
        self.respond = respond

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Go on to the view."""
        return self.respond(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """Answer an error that a person can mend."""
        if isinstance(error, Refused):
            return render(request, "frame/refused.html", {"reasons": error.reasons}, status=409)
        if isinstance(error, LungwortError):
            return render(request, "frame/error.html", {"says": str(error)}, status=400)
        return None


def know_the_person(respond: Respond) -> Respond:
    """Give the request its person, witness and book; refuse what the person's roles do not open."""

    def answer(request: HttpRequest) -> HttpResponse:
        _enter(request)
        allowed = roles_of(resolve(request.path_info).func) if _is_page(request) else (ANYONE,)
        if ANYONE in allowed:
            return respond(request)
        asked: Any = request
        if asked.person is None:
            return redirect(f"{reverse('sign_in')}?{urlencode({'next': request.get_full_path()})}")
        if not set(allowed) & set(asked.person.roles):
            return render(request, "frame/not_yours.html", {"roles": allowed}, status=403)
        return respond(request)

    return answer


def _is_page(request: HttpRequest) -> bool:
    from django.urls import Resolver404

    try:
        resolve(request.path_info)
    except Resolver404:
        return False
    return True


def _enter(request: HttpRequest) -> None:
    """Find out who asks; one who was idle for long, or left, is signed out."""
    asked: Any = request
    asked.person = asked.witness = asked.book = None
    account: Any = request.user
    if not account.is_authenticated:
        return
    idle_s = time.time() - request.session.get("seen", 0)
    book = book_of(account.place)
    person = book.view().state(PersonState, account.person)
    if idle_s > settings.LOCK_AFTER_S or person is None or person.status != "active":
        logout(request)
        return
    if idle_s > SEEN_EVERY_S:
        request.session["seen"] = int(time.time())
    asked.book, asked.person, asked.witness = book, person, book.witness(account.person)
