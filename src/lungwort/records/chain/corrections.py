"""Corrections: a new event says what an old one should have said, or that it never was so; both stay visible."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from lungwort.errors import UnusableEvent
from lungwort.language import _
from lungwort.records.chain.event import Event
from lungwort.records.states.fact import CORRECTED, STRUCK
from lungwort.records.states.view import View

_SAYS: Mapping[str, Mapping[str, type]] = {
    CORRECTED: {"event": str, "why": str, "what": str, "data": dict},
    STRUCK: {"event": str, "why": str},
}


def refuse_unfit_correction(view: View, event: Event) -> None:
    """Refuse a correction that corrects nothing, or what is corrected already.

    Args:
        view: the place before the event.
        event: any event; only those that correct or strike are looked at.

    Raises:
        UnusableEvent: it lacks what a correction says; its place has no such event; that one is corrected already, by
            an event that is named; it strikes what struck another.
    """
    if event.what not in _SAYS:
        return
    _refuse_incomplete(event.what, event.data)
    identifier = event.data["event"]
    corrected = view.event(identifier)
    if corrected is None:
        says = _(
            "{place} has no event {id!r} to be corrected; take the identifier from what was recorded there"
        )
        raise UnusableEvent(says.format(place=view.place, id=identifier))
    by = view.corrected_by(identifier)
    if by is not None:
        says = _("event {id} is corrected already by event {by}; correct that one")
        raise UnusableEvent(says.format(id=identifier, by=by))
    if event.what == corrected.what == STRUCK:
        says = _(
            "event {id} struck another, and striking it would not bring that back; correct it by what happened"
        )
        raise UnusableEvent(says.format(id=identifier))


def _refuse_incomplete(what: str, told: Mapping[str, Any]) -> None:
    wrong = [key for key, kind in _SAYS[what].items() if not isinstance(told.get(key), kind)]
    wrong += [key for key in ("event", "why", "what") if told.get(key) == ""]
    if told.get("what") in _SAYS:
        wrong.append("what")
    if wrong:
        says = _("{what} does not say {missing} in the form it needs; give {needed}")
        needed = ", ".join(_SAYS[what])
        raise UnusableEvent(says.format(what=what, missing=", ".join(dict.fromkeys(wrong)), needed=needed))
