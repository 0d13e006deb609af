"""Corrections: a new event that refers to the old; both stay visible, and states are folded anew."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any

from lungwort.language import _
from lungwort.records.chain.event import Event, Thing
from lungwort.records.chain.identity import moment_of
from lungwort.records.life.as_of import as_it_stands
from lungwort.records.life.correctable import can_be_corrected, can_be_struck
from lungwort.records.life.deed import Proposal, do, gathered, permitted
from lungwort.records.life.parts import said
from lungwort.records.life.permissions import LEAD
from lungwort.records.life.reasons import Reason, Refused
from lungwort.records.life.witness import Witness
from lungwort.records.states.fact import CORRECTED, STRUCK, Fact, fact_of
from lungwort.records.states.kinds import PersonState
from lungwort.records.states.view import View


def strike(witness: Witness, event: str, why: str) -> Event:
    """Say that what an event tells never happened; it stays visible, and counts no more.

    Args:
        witness: who recorded it, or the infection control lead.
        event: its identifier.
        why: in a few words.
    """

    def plan(then: View) -> Proposal:
        view = as_it_stands(then)
        old = _standing(view, event)
        fact = fact_of(old)
        reasons = gathered(said(why), _may_correct(view, witness.who, fact), can_be_struck(view, fact))
        return Proposal(fact.things, {"event": event, "why": why}, reasons, moment_of(old.happened_at))

    return do(witness, STRUCK, plan, decides=True)


def correct(
    witness: Witness,
    event: str,
    why: str,
    *,
    data: Mapping[str, Any] | None = None,
    things: Sequence[Thing] | None = None,
    happened_at: datetime | None = None,
) -> Event:
    """Say how it was instead of what an event tells; the old one stays visible, and the new one counts.

    Args:
        witness: who recorded it, or the infection control lead.
        event: its identifier.
        why: in a few words.
        data: what should have been said, whole; as it was where not given.
        things: the things that really took part, whole; as they were where not given.
        happened_at: when it really happened; as it was where not given.
    """

    def plan(then: View) -> Proposal:
        view = as_it_stands(then)
        old = _standing(view, event)
        fact = fact_of(old)
        told = dict(fact.data if data is None else data)
        took_part = fact.things if things is None else _took_part(fact, things)
        reasons = gathered(
            said(why),
            _may_correct(view, witness.who, fact),
            can_be_corrected(view, fact, told, took_part, happened_at),
        )
        whole = {"event": event, "why": why, "what": fact.what, "data": told}
        return Proposal(took_part, whole, reasons, happened_at or moment_of(old.happened_at))

    return do(witness, CORRECTED, plan, decides=True)


def _took_part(fact: Fact, things: Sequence[Thing]) -> tuple[Thing, ...]:
    """Return the things given, each once, with the word by which the deed was sent."""
    return tuple(dict.fromkeys((*things, *(thing for thing in fact.things if thing.part == "once"))))


def _standing(view: View, event: str) -> Event:
    old = view.event(event)
    if old is None:
        says = _("{place} has no event {id}").format(place=view.place, id=event)
        raise Refused([Reason("event", says, _("take the identifier from the history"), firm=True)])
    by = view.corrected_by(event)
    if by is not None:
        says = _("event {id} was corrected or struck already, by event {by}").format(id=event, by=by)
        raise Refused([Reason("event", says, _("correct that one, if it is wrong"), firm=True)])
    if old.what == STRUCK:
        says = _("event {id} struck another, which cannot be brought back").format(id=event)
        raise Refused([Reason("event", says, _("record afterwards what happened"), firm=True)])
    return old


def _may_correct(view: View, who: str, fact: Fact) -> Iterator[Reason]:
    """Yield why somebody may not correct an event: neither theirs, nor are they the infection control lead.

    The lead may correct what others recorded, but gives nobody a role.
    """
    person = view.state(PersonState, who)
    lead = person is not None and LEAD in person.roles
    if fact.event.who != who and not lead:
        says = _("event {id} was recorded by {who}").format(id=fact.event.id, who=fact.event.who)
        next_step = _("ask them, or the infection control lead, to correct it")
        yield Reason("permission", says, next_step, firm=True)
    if not lead or fact.what.startswith("person."):
        yield from permitted(view, who, fact.what)
