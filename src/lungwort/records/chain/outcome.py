"""From a decision to all that it comes to, not yet written: the event, new files of evidence, states that change."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from lungwort.records.chain.corrections import refuse_unfit_correction
from lungwort.records.chain.event import Event, Kept
from lungwort.records.chain.identity import RandomBytes
from lungwort.records.chain.preparing import Head, Prepared, next_event, only_new
from lungwort.records.states.fact import STRUCK, Fact, fact_of
from lungwort.records.states.kinds import State
from lungwort.records.states.project import changes
from lungwort.records.states.view import EARLIEST, LATEST, S, View

Change = tuple[str, str, State | None]
"""Kind, code and new state of a thing; None where nothing is known of it any more."""


@dataclass(frozen=True)
class Outcome:
    """All that one decision writes; `corrects` is the event it corrects or strikes, "" for none."""

    event: Event
    files: tuple[Kept, ...]
    corrects: str
    changes: tuple[Change, ...]


def outcome_of(
    view: View,
    head: Head,
    prepared: Prepared,
    already: Callable[[str], Kept | None],
    rng: RandomBytes,
) -> Outcome:
    """Return what a prepared draft comes to as the next event of a place.

    Args:
        view: the place before it.
        head: where its chain ends.
        prepared: what is to be recorded.
        already: returns the file of evidence kept under a digest, if there is one.
        rng: random bytes for the identifier.

    Raises:
        UnusableEvent: it cannot be recorded there.
    """
    event = next_event(view.place, head, prepared, already, view.now, rng)
    refuse_unfit_correction(view, event)
    changed = tuple(changes(WithEvent(view, event), event))
    return Outcome(event, tuple(only_new(prepared, already)), fact_of(event).corrects, changed)


@dataclass(frozen=True)
class WithEvent:
    """A view of a place with one event more, not yet written: its facts count, its states are as before it."""

    view: View
    more: Event

    @property
    def place(self) -> str:
        """Its code."""
        return self.view.place

    @property
    def now(self) -> datetime:
        """The time."""
        return self.view.now

    @cached_property
    def _fact(self) -> Fact:
        return fact_of(self.more)

    def state(self, shape: type[S], code: str) -> S | None:
        """Return what a thing was before the event."""
        return self.view.state(shape, code)

    def states(self, shape: type[S], status: str | None = None) -> Iterator[S]:
        """Yield every thing of a kind as before the event."""
        return self.view.states(shape, status)

    def facts(
        self, kind: str, code: str, since: str = EARLIEST, until: str = LATEST, newest_first: bool = False
    ) -> Iterator[Fact]:
        """Yield the facts about a thing, the event among them."""
        stand = self.view.facts(kind, code, since, until, newest_first)
        before = (fact for fact in stand if fact.event.id != self._fact.corrects)
        own = self._fact
        concerns = code in own.by_kind.get(kind, ()) and since <= own.at <= until and own.what != STRUCK
        return heapq.merge(before, [own] if concerns else [], key=_order, reverse=newest_first)

    def event(self, identifier: str) -> Event | None:
        """Return an event by its identifier."""
        return self.more if identifier == self.more.id else self.view.event(identifier)

    def corrected_by(self, identifier: str) -> str | None:
        """Return the event that corrects or strikes an event."""
        return self.more.id if identifier == self._fact.corrects else self.view.corrected_by(identifier)

    def evidence(self, sha256: str) -> bytes:
        """Return a file of evidence kept before the event."""
        return self.view.evidence(sha256)


def _order(fact: Fact) -> tuple[str, int]:
    return fact.order
