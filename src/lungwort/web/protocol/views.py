"""Reading the protocol: what is in force, its cards, its versions and criteria; and deciding on these."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from lungwort.errors import OutOfRange
from lungwort.language import _
from lungwort.library.catalogue import all_criteria
from lungwort.protocol.card import card_of
from lungwort.records.life import protocols
from lungwort.records.life.permissions import MAY
from lungwort.records.life.witness import Witness
from lungwort.web.access import for_everybody
from lungwort.web.bedside.views import protocol_or_none
from lungwort.web.frame.recording import witness_of
from lungwort.web.frame.views import not_found
from lungwort.web.protocol.forms import Beginning
from lungwort.web.protocol.versions import criteria_of, versions_of


@for_everybody
@require_http_methods(["GET", "POST"])
def protocol(request: HttpRequest) -> HttpResponse:
    """Show the protocol in force, its versions and criteria; record a decision on these."""
    asked: Any = request
    if request.method == "POST":
        messages.success(request, _decide(witness_of(request), request.POST))
        return redirect("protocol")
    view = asked.book.view()
    in_force = protocol_or_none(view)
    shown = {
        "protocol": in_force,
        "versions": versions_of(view),
        "criteria": criteria_of(view, in_force),
        "names": [criterion.name for criterion in all_criteria()],
        "may_decide": bool(set(MAY["protocol.published"]) & set(asked.person.roles)),
        "beginning": None if in_force else Beginning(),
    }
    return render(request, "protocol/protocol.html", shown)


@for_everybody
@require_safe
def protocol_card(request: HttpRequest, kind: str) -> HttpResponse:
    """Show the card of a kind of part, its recipes as the stock stands today."""
    asked: Any = request
    in_force = protocol_or_none(asked.book.view())
    described = in_force.kind(kind) if in_force else None
    if in_force is None or described is None:
        return not_found(request)
    card = card_of(in_force, described, timezone.localdate())
    return render(request, "protocol/card.html", {"card": card, "protocol": in_force})


# ---- what is decided ----


def _decide(witness: Witness, told: QueryDict) -> str:
    """Record what a form decides; return it as a sentence."""
    deed = told.get("deed", "")
    if deed not in DECISIONS:
        says = _("{deed!r} is nothing that is decided here; go back and choose again")
        raise OutOfRange(says.format(deed=deed))
    return DECISIONS[deed](witness, told)


def _withdraw(witness: Witness, told: QueryDict) -> str:
    version = told.get("version", "")
    protocols.withdraw(witness, version, told.get("reason", ""))
    return _("Recorded: version {version} is withdrawn. What it treated opens no gate.").format(
        version=version
    )


def _adopt(witness: Witness, told: QueryDict) -> str:
    criterion = told.get("criterion", "")
    protocols.adopt(witness, criterion, told.get("source", ""))
    return _("Recorded: {criterion} is adopted. From now on it opens gates.").format(criterion=criterion)


def _drop(witness: Witness, told: QueryDict) -> str:
    criterion = told.get("criterion", "")
    protocols.drop(witness, criterion, told.get("reason", ""))
    return _("Recorded: {criterion} is dropped. It opens no gate any more.").format(criterion=criterion)


DECISIONS: Mapping[str, Callable[[Witness, QueryDict], str]] = {
    "withdraw": _withdraw,
    "adopt": _adopt,
    "drop": _drop,
}
