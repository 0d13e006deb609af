"""Deeds on people: a place is opened, people are enrolled, given roles, trained and assessed, and leave."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from lungwort.language import _
from lungwort.records.chain.event import Event, Thing
from lungwort.records.life.as_of import as_it_stands
from lungwort.records.life.deed import Proposal, do, gathered
from lungwort.records.life.known import in_force, known
from lungwort.records.life.permissions import ADMINISTRATOR, LEAD, ROLES
from lungwort.records.life.reasons import Reason
from lungwort.records.life.witness import Witness
from lungwort.records.states.kinds import PersonState, PlaceState
from lungwort.records.states.view import View


def open_place(witness: Witness) -> Event:
    """Open a place for recording; whoever opens it is its first administrator and infection control lead.

    A place is opened once, so that a mistyped name never begins records of its own.
    """

    def plan(view: View) -> Proposal:
        things = (Thing(view.place, "place"), Thing(witness.who, "person"))
        return Proposal(things, {"roles": [ADMINISTRATOR, LEAD]}, gathered(_not_open(view)))

    return do(witness, "place.opened", plan, decides=True)


def _not_open(view: View) -> Iterator[Reason]:
    if as_it_stands(view).state(PlaceState, view.place) is not None:
        says = _("{place} is open already").format(place=view.place)
        yield Reason("place", says, _("record there, or give another name"), firm=True)


def enrol(witness: Witness, person: str, roles: Sequence[str]) -> Event:
    """Enrol a person by a code, never by name, with the roles that say what they may record."""

    def plan(view: View) -> Proposal:
        return Proposal(
            _person(person), {"roles": sorted(set(roles))}, gathered(_new(view, person), _roles(roles))
        )

    return do(witness, "person.enrolled", plan, decides=True)


def give_roles(witness: Witness, person: str, roles: Sequence[str]) -> Event:
    """Give a person other roles in place of those they had."""

    def plan(view: View) -> Proposal:
        known(view, PersonState, person)
        keeps = one_administrator(view, person) if ADMINISTRATOR not in roles else iter(())
        return Proposal(_person(person), {"roles": sorted(set(roles))}, gathered(_roles(roles), keeps))

    return do(witness, "person.roles_given", plan, decides=True)


def leave(witness: Witness, person: str) -> Event:
    """Record that a person no longer works here; what they recorded stays."""

    def plan(view: View) -> Proposal:
        known(view, PersonState, person)
        return Proposal(_person(person), {}, gathered(one_administrator(view, person)))

    return do(witness, "person.left", plan, decides=True)


def train(witness: Witness, person: str, role: str, *, passed: bool, expires_on: date) -> Event:
    """Record a training and its assessment.

    Args:
        witness: who assessed; never the person.
        person: who was trained.
        role: the protocol's role, whose steps the person may then do.
        passed: whether the assessment was passed; a failed one ends the training there was.
        expires_on: the last day on which it counts.
    """

    def plan(view: View) -> Proposal:
        known(view, PersonState, person)
        told = {"role": role, "passed": passed, "expires_on": expires_on.isoformat()}
        reasons = gathered(_other(witness.who, person), _role_known(view, role), _to_come(view, expires_on))
        return Proposal(_person(person), told, reasons)

    return do(witness, "person.trained", plan, decides=True)


def _person(code: str) -> tuple[Thing, ...]:
    return (Thing(code, "person"),)


def _new(view: View, code: str) -> Iterator[Reason]:
    if as_it_stands(view).state(PersonState, code) is not None:
        says = _("{code} is enrolled already").format(code=code)
        yield Reason(
            "code", says, _("give a code that nobody had before; change roles by giving roles"), firm=True
        )


def _roles(roles: Sequence[str]) -> Iterator[Reason]:
    wrong = [role for role in roles if role not in ROLES]
    if wrong or not roles:
        says = _("no role is named")
        if wrong:
            says = _("{roles} is no role").format(roles=", ".join(wrong))
        yield Reason(
            "role", says, _("give one or more of: {roles}").format(roles=", ".join(ROLES)), firm=True
        )


def one_administrator(view: View, person: str) -> Iterator[Reason]:
    """Yield that somebody is the only administrator, without whom nobody could be enrolled."""
    active = [p.code for p in view.states(PersonState, "active") if ADMINISTRATOR in p.roles]
    if active == [person]:
        says = _("{code} is the only administrator").format(code=person)
        yield Reason("role", says, _("enrol another administrator first"), firm=True)


def _other(assessor: str, person: str) -> Iterator[Reason]:
    if assessor == person:
        says = _("{code} cannot assess their own training").format(code=person)
        yield Reason("two people", says, _("let another infection control lead assess it"), firm=True)


def _role_known(view: View, role: str) -> Iterator[Reason]:
    roles = [r.name for r in in_force(view).roles]
    if role not in roles:
        says = _("the protocol in force has no role {role!r}").format(role=role)
        yield Reason("role", says, _("give one of: {roles}").format(roles="; ".join(roles)), firm=True)


def _to_come(view: View, day: date) -> Iterator[Reason]:
    if day < view.now.date():
        says = _("{day} is past").format(day=day.isoformat())
        yield Reason("day", says, _("give the last day on which the training counts"), firm=True)
