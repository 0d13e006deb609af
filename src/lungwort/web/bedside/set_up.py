"""One set-up: what it is now, may it be connected, and what comes next."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from lungwort.errors import OutOfRange
from lungwort.language import _
from lungwort.protocol.document import Protocol
from lungwort.records.chain.event import Thing
from lungwort.records.life import set_ups
from lungwort.records.life.gate import may_connect
from lungwort.records.life.permissions import MAY
from lungwort.records.life.witness import Witness
from lungwort.records.states.kinds import PartState, SetUpState
from lungwort.records.states.view import View
from lungwort.records.stores.place_view import PlaceView
from lungwort.web.access import for_everybody
from lungwort.web.bedside.duties import duties_due
from lungwort.web.bedside.views import protocol_or_none
from lungwort.web.frame.recording import witness_of
from lungwort.web.frame.views import not_found
from lungwort.web.things.story import sentence

WAITING = ("joined", "checked")


@for_everybody
@require_http_methods(["GET", "POST"])
def set_up(request: HttpRequest, code: str) -> HttpResponse:
    """Show a set-up; record what is done with it."""
    asked: Any = request
    view: View = asked.book.view()
    found = view.state(SetUpState, code)
    if found is None:
        return not_found(request)
    if request.method == "POST":
        messages.success(request, _do(witness_of(request), code, request.POST))
        return redirect("set_up", code=code)
    return render(request, "bedside/set_up.html", _shown(view, found, asked.person.roles))


def _shown(view: View, found: SetUpState, roles: Sequence[str]) -> dict[str, Any]:
    if isinstance(view, PlaceView):  # in one go
        view.look_at([Thing(one, "part") for one in (found.machine, *found.parts)])
    states = (view.state(PartState, one) for one in (found.machine, *found.parts))
    parts = [part for part in states if part is not None]
    protocol = protocol_or_none(view)
    return {
        "set_up": found,
        "says": status_words(found.status),
        "parts": parts,
        "gate": may_connect(view, found.code) if found.status in WAITING else None,
        "checks": checks_before_use(protocol, parts) if found.status in WAITING else [],
        "duties": duties_due(view, protocol, [found], parts),
        "wards": sorted({s.ward for s in view.states(SetUpState, "in use")} - {""}),
        "may": {deed: bool(set(MAY[f"set_up.{deed}"]) & set(roles)) for deed in DEEDS},
        "story": [(fact, sentence(fact)) for fact in view.facts("set_up", found.code)],
    }


def status_words(status: str) -> str:
    """Say what a set-up is now."""
    words = {
        "joined": _("joined, not yet checked"),
        "checked": _("checked, waits for a patient"),
        "in use": _("in use"),
        "ended": _("no longer in use"),
        "parted": _("dissolved without use"),
    }
    return words.get(status, status)


def checks_before_use(
    protocol: Protocol | None, parts: Sequence[PartState]
) -> list[tuple[str, str, list[str]]]:
    """Return each check before use once, with who owns it and the kinds of part it is for."""
    found: dict[str, tuple[str, list[str]]] = {}
    for name in dict.fromkeys(part.of_kind for part in parts):
        kind = protocol.kind(name) if protocol else None
        for check in kind.checks if kind else ():
            if check.when == "before use":
                found.setdefault(check.what, (check.by, []))[1].append(name)
    return [(what, by, kinds) for what, (by, kinds) in found.items()]


# ---- what is done ----


def _do(witness: Witness, code: str, told: QueryDict) -> str:
    """Record what a form tells; return it as a sentence."""
    deed = told.get("deed", "")
    if deed not in DEEDS:
        says = _("{deed!r} is nothing that is done with a set-up; go back and choose again")
        raise OutOfRange(says.format(deed=deed))
    return DEEDS[deed](witness, code, told)


def _check(witness: Witness, code: str, told: QueryDict) -> str:
    answers = [text.partition(":") for name, text in told.items() if name.startswith("check-")]  # type: ignore[union-attr]
    failed = [what for how, _colon, what in answers if how == "no"]
    set_ups.check(witness, code, [what for how, _colon, what in answers if how == "yes"], failed)
    if failed:
        return _("Recorded: not in order. It cannot be connected until it was mended and checked again.")
    return _("Recorded: every check in order. See below whether it may be connected.")


def _connect(witness: Witness, code: str, told: QueryDict) -> str:
    patient, ward = told.get("patient", "").strip(), told.get("ward", "").strip()
    set_ups.connect(witness, code, patient, ward)
    return _("Recorded: {patient} is connected. The duties by the clock begin now.").format(patient=patient)


def _duty(witness: Witness, code: str, told: QueryDict) -> str:
    set_ups.do_duty(witness, code, told.get("duty", ""))
    return _("Recorded: done: {duty}").format(duty=told.get("duty", ""))


def _disconnect(witness: Witness, code: str, told: QueryDict) -> str:
    set_ups.disconnect(witness, code)
    return _("Recorded: disconnected. Its parts are soiled now: take them apart and wash them.")


def _part(witness: Witness, code: str, told: QueryDict) -> str:
    set_ups.part_company(witness, code)
    return _("Recorded: dissolved without use. Its parts are what they were before.")


DEEDS: Mapping[str, Callable[[Witness, str, QueryDict], str]] = {
    "checked": _check,
    "connected": _connect,
    "duty_done": _duty,
    "disconnected": _disconnect,
    "parted": _part,
}
