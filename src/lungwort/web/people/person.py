"""One person: roles, trainings, a new PIN, and leaving."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from lungwort.errors import OutOfRange
from lungwort.language import _
from lungwort.records.life import people as deeds
from lungwort.records.life.deed import permitted
from lungwort.records.life.permissions import MAY, deed_words
from lungwort.records.life.reasons import Refused
from lungwort.records.states.kinds import PersonState
from lungwort.records.states.view import View
from lungwort.web.access import for_everybody
from lungwort.web.accounts.forms import NewPin
from lungwort.web.accounts.models import give_pin
from lungwort.web.bedside.views import protocol_or_none
from lungwort.web.frame.recording import witness_of
from lungwort.web.frame.views import not_found
from lungwort.web.people.forms import Assessing, Roles
from lungwort.web.people.trainings import row_of

PIN_ASKS = "person.enrolled"
"""A PIN is no deed of the records; whoever may enrol may give one."""
ASKS: Mapping[str, str] = {
    "roles": "person.roles_given",
    "pin": PIN_ASKS,
    "train": "person.trained",
    "leave": "person.left",
}
"""By form, the deed for which somebody must have the permission."""


@for_everybody
@require_http_methods(["GET", "POST"])
def person(request: HttpRequest, code: str) -> HttpResponse:
    """Show a person; record what an administrator or an infection control lead decides."""
    asked: Any = request
    view: View = asked.book.view()
    found = view.state(PersonState, code)
    if found is None:
        return not_found(request)
    deed = request.POST.get("deed", "")
    forms = _forms(view, found, deed, request)
    if request.method == "POST":
        if deed not in forms:
            says = _("{deed!r} is nothing that is decided here; go back and choose again")
            raise OutOfRange(says.format(deed=deed))
        if forms[deed].is_valid():
            messages.success(request, DEEDS[deed](Sent(request, code, forms[deed].cleaned_data)))
            return redirect("person", code=code)
    shown = {
        "row": row_of(found, timezone.localdate()),
        "forms": _open_to(forms, found, asked.person),
        "story": [(fact, deed_words(fact.what)) for fact in view.facts("person", code)],
    }
    return render(request, "people/person.html", shown, status=400 if request.method == "POST" else 200)


def _forms(view: View, found: PersonState, deed: str, request: HttpRequest) -> dict[str, Form]:
    """Return every form of the page, the one that was sent with what it tells."""
    protocol = protocol_or_none(view)
    named = [role.name for role in protocol.roles] if protocol else []
    sent = {deed: request.POST}
    return {
        "pin": NewPin(sent.get("pin"), auto_id="pin-%s", label_suffix=""),
        "train": Assessing(named, sent.get("train"), auto_id="train-%s"),
        "roles": Roles(sent.get("roles"), initial={"roles": found.roles}, auto_id="roles-%s"),
        "leave": Form(sent.get("leave")),
    }


def _open_to(forms: dict[str, Form], found: PersonState, who: PersonState) -> dict[str, Form]:
    """Return the forms that somebody may send about a person who still works here."""
    if found.status != "active":
        return {}
    may = {name: bool(set(MAY[ASKS[name]]) & set(who.roles)) for name in forms}
    may["train"] &= who.code != found.code  # nobody assesses their own training
    return {name: form for name, form in forms.items() if may[name]}


# ---- what is decided ----


@dataclass(frozen=True)
class Sent:
    """A form that was sent about a person, and what it tells."""

    request: HttpRequest
    code: str
    told: Mapping[str, Any]


def _roles(sent: Sent) -> str:
    deeds.give_roles(witness_of(sent.request), sent.code, sent.told["roles"])
    return _("Recorded: roles of {code}: {roles}.").format(
        code=sent.code, roles=", ".join(sent.told["roles"])
    )


def _pin(sent: Sent) -> str:
    asked: Any = sent.request
    reasons = tuple(permitted(asked.book.view(), asked.person.code, PIN_ASKS))
    if reasons:
        raise Refused(reasons)
    give_pin(asked.book.place, sent.code, sent.told["pin"])
    return _("{code} signs in with the new PIN from now on.").format(code=sent.code)


def _train(sent: Sent) -> str:
    told = sent.told
    passed, role, until = told["passed"] == "yes", told["role"], told["expires_on"]
    deeds.train(witness_of(sent.request), sent.code, role, passed=passed, expires_on=until)
    if not passed:
        return _("Recorded: not passed. {code} may not do the steps of {role}.").format(
            code=sent.code, role=role
        )
    text = _("Recorded: {code} may do the steps of {role} until {day}.")
    return text.format(code=sent.code, role=role, day=until.isoformat())


def _leave(sent: Sent) -> str:
    deeds.leave(witness_of(sent.request), sent.code)
    return _("Recorded: {code} no longer works here. What {code} recorded stays.").format(code=sent.code)


DEEDS: Mapping[str, Callable[[Sent], str]] = {"roles": _roles, "pin": _pin, "train": _train, "leave": _leave}
