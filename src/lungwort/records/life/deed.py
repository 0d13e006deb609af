"""Doing: a deed is checked against its rules inside the transaction that records it, or refused with every reason."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any

from lungwort.errors import LungwortError
from lungwort.language import _
from lungwort.records.chain.event import Attachment, Draft, Event, Thing
from lungwort.records.chain.identity import moment_of, moment_text
from lungwort.records.chain.keeping import press
from lungwort.records.life.as_of import AsOf
from lungwort.records.life.permissions import LEAD, MAY, deed_words, role_words
from lungwort.records.life.reasons import Reason, Refused, time_words
from lungwort.records.life.witness import Witness
from lungwort.records.states.kinds import KINDS, PersonState, PlaceState, State
from lungwort.records.states.view import View

JUST_NOW = timedelta(minutes=5)
"""What happened longer ago than this was entered afterwards, and needs the reason why. Ours, no source."""


@dataclass(frozen=True)
class Proposal:
    """What would be recorded, and every reason against it; `happened_at` only where the witness does not say it."""

    things: tuple[Thing, ...]
    data: Mapping[str, Any] = field(default_factory=dict)
    reasons: tuple[Reason, ...] = ()
    happened_at: datetime | None = None


Plan = Callable[[View], Proposal]
"""From a place as it stood when the deed happened to what would be recorded; pure, it may be asked again."""


def do(
    witness: Witness, what: str, plan: Plan, evidence: Iterable[Attachment] = (), *, decides: bool = False
) -> Event:
    """Record a deed if no rule speaks against it.

    What happened and is entered afterwards is recorded even against the rules, marked with each rule it broke, since
    refusing it would only hide it; a decision, such as a release, is refused all the same.

    Args:
        witness: who records, and when it happened.
        what: the kind of deed, a key of `MAY`.
        plan: says what would be recorded and what speaks against it; asked inside the transaction.
        evidence: files to be kept with it.
        decides: it is a decision.

    Returns:
        The event; where the witness's word `once` was recorded with already, that event again.

    Raises:
        Refused: with every reason and its next step; nothing was recorded.
        UnusableEvent, UnusableRecords, RecordsBusy: as `append`.
    """
    pressed, book = tuple(press(attachment) for attachment in evidence), witness.book

    def decide(view: View) -> Draft:
        _stop_if_recorded(view, witness, what)
        proposal = proposed(view, witness, what, plan)
        _refuse_unless_allowed(proposal, forgiving=not decides and _long_ago(view, witness))
        when = proposal.happened_at or witness.when or view.now
        once = (Thing(witness.once, "once"),) if witness.once else ()
        things = (*proposal.things, *once)
        return Draft(when, witness.who, what, _marked(witness, proposal), things, pressed)

    try:
        return book.store.record(book.place, decide, book.clock, book.rng)
    except _RecordedAlreadyError as already:
        return already.event


class _RecordedAlreadyError(LungwortError):
    """A deed came twice; `event` is the one that stands."""

    def __init__(self, event: Event) -> None:
        self.event = event
        super().__init__(event.id)


def _stop_if_recorded(view: View, witness: Witness, what: str) -> None:
    """Stop where a deed with the witness's word was recorded; refuse the word where that was another deed."""
    for fact in view.facts("once", witness.once) if witness.once else ():
        if fact.event.who == witness.who and what in (fact.what, fact.event.what):
            raise _RecordedAlreadyError(fact.event)
        says = _("the word {word} belongs to another deed").format(word=witness.once)
        raise Refused([Reason("once", says, _("send the deed with a new word"), firm=True)])


def proposed(view: View, witness: Witness, what: str, plan: Plan) -> Proposal:
    """Return what a deed would record, with every reason against it, the ones about its witness first."""
    about = tuple(_about_witness(view, witness, what))
    then = AsOf(view, moment_text(witness.when)) if witness.when and witness.late else view
    try:
        proposal = plan(then)
    except Refused as refused:
        raise Refused(dict.fromkeys((*about, *refused.reasons))) from refused
    if not witness.late and proposal.happened_at is None:
        latest = _latest(view, proposal.things)
        about += tuple(_overtaken(view, witness, latest))
        now = witness.when or view.now
        proposal = replace(proposal, happened_at=max(now, moment_of(latest.at)) if latest.at else now)
    return replace(proposal, reasons=tuple(dict.fromkeys((*about, *proposal.reasons))))


def gathered(*rules: Iterator[Reason]) -> tuple[Reason, ...]:
    """Return the reasons of several rules; one that cannot go on gives the reason why."""
    found: list[Reason] = []
    for rule in rules:
        try:
            found.extend(rule)
        except Refused as refused:
            found.extend(refused.reasons)
    return tuple(dict.fromkeys(found))


def _refuse_unless_allowed(proposal: Proposal, forgiving: bool) -> None:
    if any(reason.firm or not forgiving for reason in proposal.reasons):
        raise Refused(proposal.reasons)


def _marked(witness: Witness, proposal: Proposal) -> dict[str, Any]:
    """Return what is recorded, marked as late and with the rules it broke."""
    late = {"late": witness.late} if witness.late else {}
    against = [f"{reason.rule}: {reason.says}" for reason in proposal.reasons]
    return {**proposal.data, **late, **({"against": against} if against else {})}


def _about_witness(view: View, witness: Witness, what: str) -> Iterator[Reason]:
    yield from _when(view, witness)
    if what != "place.opened":
        yield from _place_is_open(view)
        yield from permitted(view, witness.who, what)


# ---- when it happened ----


def _long_ago(view: View, witness: Witness) -> bool:
    """Return whether a witness tells of the past; what happens just now is stopped rather than told."""
    return bool(witness.late) and witness.when is not None and witness.when < view.now - JUST_NOW


def _when(view: View, witness: Witness) -> Iterator[Reason]:
    if witness.late and (witness.when is None or len(witness.late.strip()) < 3):
        says = _("when it happened, or why it is entered afterwards, is not said")
        yield Reason("when", says, _("give the time, and the reason in a few words"), firm=True)
    if witness.when is None:
        return
    when = moment_text(witness.when)
    if witness.when > view.now:
        says = _("{when} is still to come").format(when=time_words(when))
        yield Reason("when", says, _("give the time at which it happened, or set the clock"), firm=True)
    if not witness.late and witness.when < view.now - JUST_NOW:
        says = _("{when} is more than {minutes} minutes ago").format(
            when=time_words(when), minutes=JUST_NOW.seconds // 60
        )
        yield Reason("when", says, _("say why it is entered afterwards, such as a power cut"), firm=True)


def _latest(view: View, things: Iterable[Thing]) -> State:
    """Return the state of a thing that changed last, as recorded so far; one of no time where none is known."""
    states = (view.state(KINDS[thing.part], thing.code) for thing in things if thing.part in KINDS)
    return max((state for state in states if state), key=lambda state: state.at, default=State(""))


def _overtaken(view: View, witness: Witness, latest: State) -> Iterator[Reason]:
    """Yield why something cannot have happened just now: something later is recorded of the same thing.

    Clocks of several machines differ a little; what is recorded just now then counts as just after.
    """
    now = moment_text(witness.when or view.now)
    words = {"code": latest.code, "at": time_words(latest.at), "now": time_words(now)}
    if witness.when is not None and now < latest.at:
        says = _("something is recorded of {code} at {at}, which is after {now}").format(**words)
        next_step = _("give a later time, or say why it is entered afterwards, such as a power cut")
        yield Reason("when", says, next_step, firm=True)
    elif latest.at > moment_text(view.now + JUST_NOW):
        says = _("something is recorded of {code} at {at}, but the clock here shows {now}").format(**words)
        yield Reason("when", says, _("set the clock of this machine, or correct that entry"), firm=True)


# ---- who records ----


def _place_is_open(view: View) -> Iterator[Reason]:
    if view.state(PlaceState, view.place) is None:
        says = _("nothing was ever recorded for a place called {place!r}").format(place=view.place)
        yield Reason("place", says, _("check its name, or open the place first"), firm=True)


def permitted(view: View, who: str, what: str) -> Iterator[Reason]:
    """Yield why somebody may not record a kind of deed: unknown, gone, or without a role that may."""
    person = view.state(PersonState, who)
    if person is None or person.status != "active":
        text = _("{who} is not known here") if person is None else _("{who} no longer works here")
        next_step = _("record under your own code; an administrator enrols people")
        yield Reason("person", text.format(who=who), next_step, firm=True)
        return
    roles = MAY.get(what, (LEAD,))
    if roles and not set(roles) & set(person.roles):
        says = _("{who} has no role that may record this: {what}").format(who=who, what=deed_words(what))
        next_step = _("ask somebody of: {roles}").format(roles=", ".join(map(role_words, roles)))
        yield Reason("permission", says, next_step, firm=True)
