"""Folding a place anew from its first event: the corrections and states that its projections must hold."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field

from lungwort.errors import UnusableEvent
from lungwort.records.chain.event import Event
from lungwort.records.states.fact import STRUCK, Fact, fact_of
from lungwort.records.states.fold import fold, fold_all
from lungwort.records.states.kinds import KINDS, State
from lungwort.records.states.project import touched
from lungwort.records.stores.store import Store

Key = tuple[str, str]
"""Kind and code of a thing."""


@dataclass
class Folding:
    """A place folded event by event in order of sequence; it holds as much as there are things and corrections.

    A thing with a late entry or a correction is set aside and folded at the end, in order of happening.
    """

    store: Store
    place: str
    corrections: dict[str, str] = field(default_factory=dict)
    _states: dict[Key, State | None] = field(default_factory=dict)
    _aside: set[Key] = field(default_factory=set)

    def take(self, event: Event) -> None:
        """Go on by the next event."""
        fact = fact_of(event)
        if fact.corrects:
            self._correct(fact)
        for thing in fact.things:
            key = (thing.part, thing.code)
            if thing.part in KINDS and key not in self._aside:
                self._fold(key, fact)

    def _fold(self, key: Key, fact: Fact) -> None:
        before = self._states.get(key)
        if before is not None and fact.at < before.at:
            self._set_aside([key])
        else:
            with suppress(UnusableEvent):
                self._states[key] = fold(*key, before, fact)

    def _correct(self, fact: Fact) -> None:
        """Enter a correction, unless it corrects nothing or what was corrected before: none such is ever recorded."""
        corrected = self._event(fact.corrects)
        stands = fact.corrects not in self.corrections
        if corrected is not None and stands and corrected.sequence < fact.event.sequence:
            self.corrections[fact.corrects] = fact.event.id
            self._set_aside((t.part, t.code) for t in touched(self._event, fact) if t.part in KINDS)

    def _event(self, identifier: str) -> Event | None:
        return self.store.event(self.place, identifier)

    def _set_aside(self, keys: Iterable[Key]) -> None:
        for key in keys:
            self._aside.add(key)
            self._states.pop(key, None)

    def states(self) -> Iterator[State]:
        """Yield the state of every thing of which something is known."""
        for state in self._states.values():
            if state is not None:
                yield state
        for key in sorted(self._aside):
            state = fold_all(*key, self._standing(key))
            if state is not None:
                yield state

    def _standing(self, key: Key) -> Iterator[Fact]:
        for event in self.store.about(self.place, *key):
            if event.what != STRUCK and event.id not in self.corrections:
                yield fact_of(event)
