"""Writing in one transaction of a database: a place is taken, the decision made, and all that it comes to written."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from hashlib import sha256 as digest
from itertools import islice
from typing import Any

from lungwort.errors import LungwortError
from lungwort.records.chain.event import Event, Kept
from lungwort.records.chain.identity import Clock, RandomBytes
from lungwort.records.chain.outcome import Outcome, outcome_of
from lungwort.records.chain.preparing import Head, Prepared
from lungwort.records.states.kinds import State
from lungwort.records.states.view import View
from lungwort.records.states.written import written
from lungwort.records.stores.driver import Cursor
from lungwort.records.stores.place_view import PlaceView, States, kept_file
from lungwort.records.stores.tables import CORRECTIONS, DROP_STATE, EVENTS, FILES, STATES, THINGS, Insert

Decided = Callable[[View, Head], Prepared]
"""From a place and its head to what is to be recorded, its form checked."""

_HEAD = "SELECT sequence, hash FROM records_event WHERE place = %s ORDER BY sequence DESC LIMIT 1"
_LOCK = "SELECT code FROM records_place WHERE code = %s FOR NO KEY UPDATE"
_ENTER_PLACE = "INSERT INTO records_place (code) VALUES (%s) ON CONFLICT DO NOTHING"
_AT_ONCE = 1_000


@dataclass
class Taken:
    """A place that nobody else can move while the transaction lasts: its head, and the states read so far."""

    head: Head
    states: States = field(default_factory=dict)


@dataclass
class Writing:
    """One transaction: its cursor, and the places it has taken."""

    cursor: Cursor
    taken: dict[str, Taken] = field(default_factory=dict)
    broken: BaseException | None = None

    def record(self, place: str, decided: Decided, clock: Clock, rng: RandomBytes) -> Event:
        """Take a place, ask what is to be recorded, and write it with all that follows from it.

        Whatever is refused leaves nothing; any other failure may, so it breaks the whole transaction.
        """
        if self.broken is not None:
            raise self.broken
        try:
            return self._record(place, decided, clock, rng)
        except LungwortError:
            raise
        except BaseException as error:
            self.broken = error
            raise

    def _record(self, place: str, decided: Decided, clock: Clock, rng: RandomBytes) -> Event:
        taken = self._take(place)
        view = PlaceView(place, clock(), self.cursor.rows, taken.states)
        prepared = decided(view, taken.head)
        view.look_at(prepared.things)
        outcome = outcome_of(view, taken.head, prepared, self._already, rng)
        self._write(place, prepared, outcome)
        taken.head = Head(outcome.event.sequence, outcome.event.hash)
        taken.states |= {(kind, code): state for kind, code, state in outcome.changes}
        return outcome.event

    def _take(self, place: str) -> Taken:
        """Take a place with its head, which nobody else can move until the transaction ends.

        SQLite began with IMMEDIATE and is ours already; on PostgreSQL the row of the place is locked.
        """
        if place not in self.taken:
            if self.cursor.vendor == "postgresql":
                self._lock(place)
            found = self.cursor.rows(_HEAD, [place])
            if not found:
                self.cursor.run(_ENTER_PLACE, [place])
            self.taken[place] = Taken(Head(*found[0]) if found else Head())
        return self.taken[place]

    def _lock(self, place: str) -> None:
        if not self.cursor.rows(_LOCK, [place]):
            self.cursor.run(_ENTER_PLACE, [place])
            self.cursor.run(_LOCK, [place])

    def _already(self, sha256: str) -> Kept | None:
        found = kept_file(self.cursor.rows, sha256)
        if found is None:
            return None
        kept = bytes(found[0])
        return Kept(sha256, found[1], found[2], kept, digest(kept).hexdigest())

    def _write(self, place: str, prepared: Prepared, outcome: Outcome) -> None:
        event, cursor = outcome.event, self.cursor
        at = (place, event.happened_at, event.sequence)
        states = [state for _kind, _code, state in outcome.changes if state is not None]
        cursor.insert(FILES, [(kept.sha256, kept.kept, kept.size, kept.file_name) for kept in outcome.files])
        cursor.insert(EVENTS, [event.columns()])
        cursor.insert(THINGS, [(event.id, thing.code, thing.part, *at) for thing in prepared.things])
        cursor.insert(CORRECTIONS, [(outcome.corrects, event.id)] if outcome.corrects else [])
        cursor.insert(STATES, [_state_row(place, state) for state in states])
        for kind, code, state in outcome.changes:
            if state is None:
                cursor.run(DROP_STATE, [place, kind, code])

    # ---- projections made anew ----

    def empty_projections(self) -> None:
        """Forget all states and corrections; on PostgreSQL nobody else can record until the transaction ends."""
        if self.cursor.vendor == "postgresql":
            self.cursor.run("LOCK TABLE records_place IN EXCLUSIVE MODE")
        for table in ("records_state", "records_correction"):
            self.cursor.run(f"DELETE FROM {table}")
        self.taken.clear()

    def fill_projections(self, place: str, corrections: Mapping[str, str], states: Iterable[State]) -> None:
        """Put in the corrections and states of a place."""
        self._fill(CORRECTIONS, iter(corrections.items()))
        self._fill(STATES, (_state_row(place, state) for state in states))

    def _fill(self, into: Insert, rows: Iterator[tuple[Any, ...]]) -> None:
        while some := list(islice(rows, _AT_ONCE)):
            self.cursor.insert(into, some)


def _state_row(place: str, state: State) -> tuple[str, ...]:
    return place, state.kind, state.code, state.status, written(state)
