"""A part's life, cut into legs by its exposures to treatment; only the legs asked for are read."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from lungwort.records.states.fact import Fact
from lungwort.records.states.view import EARLIEST, LATEST, View

Order = tuple[str, int]
"""When a fact happened, then its sequence: what facts are sorted by."""

FIRST: Order = (EARLIEST, 0)
LAST: Order = (LATEST, 0)
LOADED, STARTED, ENDED = "cycle.loaded", "cycle.started", "cycle.ended"
WASHED, WIPED = "part.washed", "part.wiped"
CONNECTED, DISCONNECTED = "set_up.connected", "set_up.disconnected"
RELEASED, BY_EXCEPTION, CHECKED = "part.released", "part.released_by_exception", "set_up.checked"


def just_after(moment: str) -> Order:
    """Return what comes after every fact of a moment and before any later one."""
    return moment, sys.maxsize


@dataclass(frozen=True)
class Use:
    """A part on a patient: what led to it in the same leg, and what ended it; None where that is not known."""

    connected: Fact
    disconnected: Fact | None
    before: tuple[Fact, ...] = ()

    @property
    def set_up(self) -> str:
        """The code of the set-up."""
        return self.connected.the("set_up")

    @property
    def patient(self) -> str:
        """The reference of the patient."""
        return self.connected.the("patient")


@dataclass(frozen=True)
class Leg:
    """A part from one exposure to treatment to the next.

    `begin` is None where none was recorded before, `end` where none was since; `facts` lie between them.
    """

    part: str
    begin: Fact | None
    end: Fact | None
    facts: tuple[Fact, ...]

    @property
    def begins(self) -> Order:
        """When it begins."""
        return self.begin.order if self.begin else FIRST

    @cached_property
    def uses(self) -> tuple[Use, ...]:
        """The uses that begin in it, in order."""
        return tuple(_use(self.facts, at) for at, fact in enumerate(self.facts) if fact.what == CONNECTED)

    @cached_property
    def released(self) -> bool:
        """Whether the rules, and not an exception, released the part before anybody used it."""
        first = next((f.what for f in self.facts if f.what in (RELEASED, BY_EXCEPTION, CONNECTED)), "")
        return first == RELEASED


def _use(facts: tuple[Fact, ...], at: int) -> Use:
    connected = facts[at]
    set_up = connected.the("set_up")
    after = (f for f in facts[at:] if f.what == DISCONNECTED and f.the("set_up") == set_up)
    return Use(connected, next(after, None), tuple(_led_to(facts[:at], set_up)))


def _led_to(facts: tuple[Fact, ...], set_up: str) -> Iterator[Fact]:
    """Yield the check of the set-up and the release of the part, the newest first, back to the use before."""
    for fact in reversed(facts):
        if fact.what == CONNECTED:
            return
        if fact.what in (RELEASED, BY_EXCEPTION) or (fact.what == CHECKED and fact.the("set_up") == set_up):
            yield fact


# ---- reading ----


def leg_from(view: View, part: str, begin: Fact | None, in_use: bool = False) -> Leg:
    """Return a part's leg that begins with an exposure; reading stops at the next one.

    A cycle always begins a new leg, a wipe only where the part is on no patient: the next patient gets it unwiped.
    A connection of the same moment as the exposure, recorded before it, counts in the leg before and in this one.

    Args:
        view: the place.
        part: its code.
        begin: the exposure; None for the leg from enrolment.
        in_use: whether a patient was connected at the beginning.
    """
    start, found = begin.order if begin else FIRST, list[Fact]()
    for fact in view.facts("part", part, since=start[0]):
        if fact.order <= start:
            if begin is not None and fact.what == CONNECTED and fact.at == start[0]:
                found.append(fact)  # told to the minute: which of the two came first is not known
            continue
        if fact.what == ENDED or (fact.what == WIPED and not in_use):
            return Leg(part, begin, fact, tuple(found))
        in_use = _in_use(fact, in_use)
        found.append(fact)
    return Leg(part, begin, None, tuple(found))


def _in_use(fact: Fact, before: bool) -> bool:
    return fact.what == CONNECTED or (before and fact.what != DISCONNECTED)


def begin_before(view: View, part: str, before: Order) -> Fact | None:
    """Return the exposure with which the leg began that a part was in just before a moment; None for none."""
    wiped: Fact | None = None  # believed until it shows that the part was on a patient
    for fact in _back_from(view, part, before):
        if fact.what == ENDED or (fact.what == DISCONNECTED and wiped):
            return wiped or fact
        if fact.what == CONNECTED:
            wiped = None
        elif fact.what == WIPED and wiped is None:
            wiped = fact
    return wiped


def use_at(view: View, part: str, moment: Order) -> Fact | None:
    """Return the connection by which a part was on a patient at a moment; None where it was on none."""
    deciding = (CONNECTED, DISCONNECTED, ENDED)
    last = next((f for f in _back_from(view, part, moment) if f.what in deciding), None)
    return last if last is not None and last.what == CONNECTED else None


def _back_from(view: View, part: str, before: Order) -> Iterator[Fact]:
    facts = view.facts("part", part, until=before[0], newest_first=True)
    return (fact for fact in facts if fact.order < before)


def end_of(view: View, use: Use) -> Fact | None:
    """Return what ended a use, asking the set-up where the part's own leg does not tell; None while it goes on."""
    if use.disconnected is not None:
        return use.disconnected
    facts = view.facts("set_up", use.set_up, since=use.connected.at)
    return next((f for f in facts if f.what == DISCONNECTED and f.order > use.connected.order), None)
