"""A place as it stands in memory."""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections import defaultdict
from collections.abc import Iterator
from copy import copy
from dataclasses import dataclass, field
from datetime import datetime
from typing import cast

from lungwort.records.chain.event import Event, Kept
from lungwort.records.chain.keeping import opened_from
from lungwort.records.chain.outcome import Outcome
from lungwort.records.chain.preparing import Head
from lungwort.records.states.fact import STRUCK, Fact, fact_of
from lungwort.records.states.kinds import State
from lungwort.records.states.view import EARLIEST, LATEST, S

Order = tuple[str, int]


@dataclass
class Shelf:
    """What memory holds of one place: its events, where each is, and what follows from them."""

    events: list[Event] = field(default_factory=list)
    by_id: dict[str, Event] = field(default_factory=dict)
    about: dict[tuple[str, str], list[Order]] = field(default_factory=lambda: defaultdict(list))
    states: dict[str, dict[str, State]] = field(default_factory=lambda: defaultdict(dict))
    corrections: dict[str, str] = field(default_factory=dict)

    def head(self) -> Head:
        """Return where the chain ends."""
        return Head(self.events[-1].sequence, self.events[-1].hash) if self.events else Head()

    def take(self, outcome: Outcome) -> None:
        """Put in what a decision came to."""
        event = outcome.event
        self.events.append(event)
        self.by_id[event.id] = event
        for thing in event.things:
            insort(self.about[thing.part, thing.code], (event.happened_at, event.sequence))
        if outcome.corrects:
            self.corrections[outcome.corrects] = event.id
        for kind, code, state in outcome.changes:
            if state is None:
                self.states[kind].pop(code, None)
            else:
                self.states[kind][code] = state

    def copied(self) -> Shelf:
        """Return a copy that stays as it is."""
        kept = copy(self)
        kept.events, kept.by_id, kept.corrections = [*self.events], {**self.by_id}, {**self.corrections}
        kept.about = defaultdict(list, {key: [*found] for key, found in self.about.items()})
        kept.states = defaultdict(dict, {kind: {**found} for kind, found in self.states.items()})
        return kept


@dataclass(frozen=True)
class MemoryView:
    """A place in memory."""

    place: str
    now: datetime
    shelf: Shelf = field(repr=False)
    files: dict[str, Kept] = field(repr=False)

    def state(self, shape: type[S], code: str) -> S | None:
        """Return what a thing is now."""
        return cast("S | None", self.shelf.states.get(shape.kind, {}).get(code))

    def states(self, shape: type[S], status: str | None = None) -> Iterator[S]:
        """Yield every thing of a kind, or those of one status."""
        for _code, state in sorted(self.shelf.states.get(shape.kind, {}).items()):
            if status in (None, state.status):
                yield cast("S", state)

    def facts(
        self, kind: str, code: str, since: str = EARLIEST, until: str = LATEST, newest_first: bool = False
    ) -> Iterator[Fact]:
        """Yield the facts about a thing in a window."""
        found = self.shelf.about.get((kind, code), [])
        window = found[bisect_left(found, (since, 0)) : bisect_right(found, (until, 2**62))]
        for _at, sequence in reversed(window) if newest_first else window:
            event = self.shelf.events[sequence - 1]
            if event.what != STRUCK and event.id not in self.shelf.corrections:
                yield fact_of(event)

    def event(self, identifier: str) -> Event | None:
        """Return an event by its identifier."""
        return self.shelf.by_id.get(identifier)

    def corrected_by(self, identifier: str) -> str | None:
        """Return the event that corrects or strikes an event."""
        return self.shelf.corrections.get(identifier)

    def evidence(self, sha256: str) -> bytes:
        """Return a file of evidence."""
        return opened_from(self.files.get(sha256), sha256)
