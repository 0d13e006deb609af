"""The plainest store: lists in memory, for tests and for trying things out; it is gone when the program ends."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from threading import RLock

from lungwort.language import _
from lungwort.records.chain.event import Draft, Event, Kept
from lungwort.records.chain.identity import Clock, RandomBytes
from lungwort.records.chain.keeping import opened_from
from lungwort.records.chain.outcome import outcome_of
from lungwort.records.chain.preparing import Head, Prepared, is_name, name, prepare, refuse_if_moved_on
from lungwort.records.states.kinds import State
from lungwort.records.states.view import LATEST, View
from lungwort.records.states.written import written
from lungwort.records.stores.memory_view import MemoryView, Shelf
from lungwort.records.stores.store import Decide, Stored, StoredState


class MemoryStore:
    """Records in memory."""

    def __init__(self) -> None:
        self._shelves: dict[str, Shelf] = {}
        self._files: dict[str, Kept] = {}
        self._writing = RLock()

    # ---- record ----

    def record(self, place: str, decide: Decide, clock: Clock, rng: RandomBytes) -> Event:
        """Ask what is to be recorded while nobody else can, and record it."""
        return self._record(place, lambda view, _head: prepare(decide(view)), clock, rng)

    def append(
        self, place: str, draft: Draft, clock: Clock, rng: RandomBytes, after_sequence: int | None = None
    ) -> Event:
        """Record a draft as the next event of a place."""
        prepared = prepare(draft)

        def decided(_view: View, head: Head) -> Prepared:
            refuse_if_moved_on(place, head, after_sequence)
            return prepared

        return self._record(place, decided, clock, rng)

    def _record(
        self, place: str, decided: Callable[[View, Head], Prepared], clock: Clock, rng: RandomBytes
    ) -> Event:
        if not is_name(place):
            name(place, _("the place"))
        with self._writing:
            shelf = self._shelf(place)
            view, head = MemoryView(place, clock(), shelf, self._files), shelf.head()
            outcome = outcome_of(view, head, decided(view, head), self._files.get, rng)
            self._files |= {kept.sha256: kept for kept in outcome.files}
            self._shelves[place] = shelf
            shelf.take(outcome)
        return outcome.event

    @contextmanager
    def together(self) -> Iterator[None]:
        """Keep all that is recorded inside, or nothing of it."""
        with self._writing:
            shelves = {place: shelf.copied() for place, shelf in self._shelves.items()}
            files = dict(self._files)
            try:
                yield
            except BaseException:
                self._shelves, self._files = shelves, files
                raise

    # ---- read ----

    def _shelf(self, place: str) -> Shelf:
        return self._shelves.get(place) or Shelf()

    def view(self, place: str, clock: Clock) -> View:
        """Return a place as it stands."""
        return MemoryView(place, clock(), self._shelf(place), self._files)

    def places(self) -> list[str]:
        """Return the places that have events, sorted."""
        return sorted(self._shelves)

    def head(self, place: str) -> Head:
        """Return where the chain of a place ends."""
        return self._shelf(place).head()

    def events(self, place: str, after_sequence: int = 0) -> Iterator[Event]:
        """Yield a place's events in order, from the one after `after_sequence`."""
        return iter(self._shelf(place).events[max(0, after_sequence) :])

    def event(self, place: str, identifier: str) -> Event | None:
        """Return an event of a place by its identifier."""
        return self._shelf(place).by_id.get(identifier)

    def about(
        self, place: str, kind: str, code: str, until: str = LATEST, newest_first: bool = False
    ) -> Iterator[Event]:
        """Yield every event about a thing in order of happening."""
        shelf = self._shelf(place)
        found = [order for order in shelf.about.get((kind, code), []) if order[0] <= until]
        return (shelf.events[sequence - 1] for _at, sequence in found[:: -1 if newest_first else 1])

    def corrections_of(self, place: str, identifiers: Sequence[str]) -> Mapping[str, Event]:
        """Return the events that corrected or struck others, by those."""
        shelf = self._shelf(place)
        found = {each: shelf.corrections[each] for each in identifiers if each in shelf.corrections}
        return {corrected: shelf.by_id[by] for corrected, by in found.items()}

    def evidence(self, sha256: str) -> bytes:
        """Return a file of evidence by its digest."""
        return opened_from(self._files.get(sha256), sha256)

    # ---- read as stored ----

    def snapshot(self) -> AbstractContextManager[None]:
        """Hold still what is read."""
        return nullcontext()

    def stored(self, place: str) -> Iterator[Stored]:
        """Yield a place's events as stored."""
        for event in self.events(place):
            at = (place, event.happened_at, event.sequence)
            yield Stored(event.columns(), tuple((t.code, t.part, *at) for t in event.things))

    def stored_states(self, place: str) -> Iterator[StoredState]:
        """Yield the state of every thing of a place."""
        for kind, states in sorted(self._shelf(place).states.items()):
            for code, state in sorted(states.items()):
                yield StoredState(kind, code, state.status, written(state))

    def stored_corrections(self) -> Iterator[tuple[object, object]]:
        """Yield every event that was corrected or struck with the event that did it."""
        for shelf in self._shelves.values():
            yield from shelf.corrections.items()

    def kept(self, sha256: str) -> tuple[object, object, object] | None:
        """Return kept bytes, size and file name of a file of evidence."""
        found = self._files.get(sha256)
        return None if found is None else (found.kept, found.size, found.file_name)

    def kept_digests(self) -> Iterator[object]:
        """Yield the digest of every file of evidence."""
        return iter(self._files)

    def strays(self) -> Iterator[str]:
        """Memory has no rows apart from its events."""
        return iter(())

    # ---- made anew ----

    def empty_projections(self) -> None:
        """Forget all states and corrections."""
        for shelf in self._shelves.values():
            shelf.states, shelf.corrections = defaultdict(dict), {}

    def fill_projections(self, place: str, corrections: Mapping[str, str], states: Iterable[State]) -> None:
        """Put in the corrections and states of a place."""
        shelf = self._shelf(place)
        shelf.corrections |= corrections
        for state in states:
            shelf.states[state.kind][state.code] = state
