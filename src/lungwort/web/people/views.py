"""The list of people, and enrolling."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from lungwort.language import _
from lungwort.records.life import people as deeds
from lungwort.records.life.permissions import MAY, ROLES
from lungwort.records.states.kinds import PersonState
from lungwort.records.states.view import View
from lungwort.web.access import for_everybody
from lungwort.web.frame.recording import witness_of
from lungwort.web.people.forms import Enrolling
from lungwort.web.people.trainings import Row, row_of

A_PAGE = 50


@for_everybody
@require_http_methods(["GET", "POST"])
def people(request: HttpRequest) -> HttpResponse:
    """List the people with roles and trainings; enrol another."""
    asked: Any = request
    form = Enrolling(request.POST or None)
    if request.method == "POST" and form.is_valid():
        code = form.cleaned_data["code"].strip()
        deeds.enrol(witness_of(request), code, form.cleaned_data["roles"])
        messages.success(request, _("Enrolled: {code}. Give a PIN next.").format(code=code))
        return redirect("person", code=code)
    rows = _asked_for(asked.book.view(), request.GET.get("q", ""), request.GET.get("role", ""))
    shown = {
        "page": Paginator(rows, A_PAGE).get_page(request.GET.get("page")),
        "pressing": [row for row in rows if row.pressing],
        "q": request.GET.get("q", ""),
        "role": request.GET.get("role", ""),
        "roles": ROLES,
        "form": form if set(MAY["person.enrolled"]) & set(asked.person.roles) else None,
    }
    return render(request, "people/people.html", shown, status=400 if form.errors else 200)


def _asked_for(view: View, text: str, role: str) -> list[Row]:
    """Return the people whose code or training holds a text and who have a role; those who left come last."""
    today, sought = timezone.localdate(), text.strip().lower()
    found = [
        row_of(person, today)
        for person in view.states(PersonState)
        if sought in f"{person.code} {' '.join(person.trainings)}".lower() and role in ("", *person.roles)
    ]
    return sorted(found, key=lambda row: (row.person.status != "active", row.person.code))
