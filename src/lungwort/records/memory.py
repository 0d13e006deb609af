"""The plainest store: lists in memory, for tests and for trying things out; it is gone when the program ends."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager, nullcontext
from dataclasses import astuple
from threading import Lock

from lungwort.errors import UnusableRecords
from lungwort.language import _
from lungwort.records.event import Draft, Event
from lungwort.records.identity import Clock, RandomBytes
from lungwort.records.keeping import Kept, no_such_evidence, opened
from lungwort.records.preparing import Head, name, next_event, only_new, prepare, refuse_if_moved_on
from lungwort.records.store import Played, Stored


class MemoryStore:
    """Records in memory."""

    def __init__(self) -> None:
        self._events: list[Event] = []
        self._kept: dict[str, Kept] = {}
        self._writing = Lock()

    def append(
        self, place: str, draft: Draft, clock: Clock, rng: RandomBytes, after_sequence: int | None = None
    ) -> Event:
        """Record a draft as the next event of a place."""
        name(place, _("the place"))
        prepared = prepare(draft)
        with self._writing:
            head = self.head(place)
            refuse_if_moved_on(place, head, after_sequence)
            event = next_event(place, head, prepared, self._kept.get, clock(), rng)
            self._kept |= {k.sha256: k for k in only_new(prepared, self._kept.get)}
            self._events.append(event)
        return event

    def places(self) -> list[str]:
        """Return the places that have events, sorted."""
        return sorted({e.place for e in self._events})

    def head(self, place: str) -> Head:
        """Return where the chain of a place ends."""
        last = max(self.events(place), key=lambda e: e.sequence, default=None)
        return Head() if last is None else Head(last.sequence, last.hash)

    def events(self, place: str, after_sequence: int = 0) -> Iterator[Event]:
        """Yield a place's events in order, from the one after `after_sequence`."""
        mine = (e for e in self._events if e.place == place and e.sequence > after_sequence)
        return iter(sorted(mine, key=lambda e: (e.sequence, e.id)))

    def things(self, code: str) -> Iterator[Played]:
        """Yield the parts a thing played, in order of recording."""
        for event in sorted(self._events, key=lambda e: e.id):
            yield from (Played(t.part, event) for t in event.things if t.code == code)

    def evidence(self, sha256: str) -> bytes:
        """Return a file of evidence by its digest."""
        if sha256 not in self._kept:
            raise UnusableRecords(no_such_evidence(sha256))
        return opened(sha256, self._kept[sha256].kept)

    def snapshot(self) -> AbstractContextManager[None]:
        """Hold still what is read."""
        return nullcontext()

    def stored(self, place: str) -> Iterator[Stored]:
        """Yield a place's events as stored."""
        for event in self.events(place):
            yield Stored(astuple(event), tuple((t.code, t.part) for t in event.things))

    def kept(self, sha256: str) -> tuple[object, object, object] | None:
        """Return kept bytes, size and file name of a file of evidence."""
        found = self._kept.get(sha256)
        return None if found is None else (found.kept, found.size, found.file_name)

    def kept_digests(self) -> Iterator[object]:
        """Yield the digest of every file of evidence."""
        return iter(self._kept)

    def strays(self) -> Iterator[str]:
        """Memory has no rows apart from its events."""
        return iter(())
