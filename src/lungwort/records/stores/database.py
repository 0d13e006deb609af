"""Records in a database, SQLite or PostgreSQL.

Since no event is ever changed, reading events page by page is consistent without holding the database.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from typing import Any

from django.db import connections

from lungwort.language import _
from lungwort.records.chain.event import Draft, Event
from lungwort.records.chain.identity import Clock, RandomBytes
from lungwort.records.chain.preparing import Head, Prepared, is_name, name, prepare, refuse_if_moved_on
from lungwort.records.states.kinds import State
from lungwort.records.states.view import LATEST, View
from lungwort.records.stores.failures import telling, until_written
from lungwort.records.stores.place_view import (
    PlaceView,
    corrections_of,
    event_of,
    events_about,
    evidence_of,
    kept_file,
)
from lungwort.records.stores.store import Decide, Stored, StoredState
from lungwort.records.stores.tables import EVENT, THING, plain
from lungwort.records.stores.transactions import open_writing, part_of, writing
from lungwort.records.stores.writing import Decided, Writing

PAGE = 500


def lenient(raw: bytes) -> str:
    """Return text even where somebody broke its encoding; `verify` then finds it."""
    return raw.decode("utf-8", "surrogateescape")


@dataclass(frozen=True)
class DatabaseStore:
    """Records in one database, by Django's name for it; `where` names it in messages."""

    alias: str
    where: str
    wait_s: float

    # ---- record ----

    def record(self, place: str, decide: Decide, clock: Clock, rng: RandomBytes) -> Event:
        """Ask what is to be recorded while nobody else can, and record it; returned means synchronised."""
        return self._record(place, lambda view, _head: prepare(decide(view)), clock, rng)

    def append(
        self, place: str, draft: Draft, clock: Clock, rng: RandomBytes, after_sequence: int | None = None
    ) -> Event:
        """Record a draft as the next event of a place; returned means written and synchronised."""
        prepared = prepare(draft)

        def decided(_view: View, head: Head) -> Prepared:
            refuse_if_moved_on(place, head, after_sequence)
            return prepared

        return self._record(place, decided, clock, rng)

    def _record(self, place: str, decided: Decided, clock: Clock, rng: RandomBytes) -> Event:
        if not is_name(place):
            name(place, _("the place"))
        opened = open_writing(self.alias)
        if opened is not None:
            alone = (
                nullcontext() if place in opened.taken else part_of(opened)
            )  # a refusal leaves no empty place
            with telling(self.where), alone:
                return opened.record(place, decided, clock, rng)

        def write() -> Event:
            with writing(self.alias) as alone:
                return alone.record(place, decided, clock, rng)

        return until_written(write, self.where, self.wait_s)

    @contextmanager
    def together(self) -> Iterator[None]:
        """Keep all that is recorded inside when the block ends, with one wait for the disk, or nothing of it."""
        opened = open_writing(self.alias)
        with telling(self.where), part_of(opened) if opened else writing(self.alias):
            yield

    # ---- read ----

    def rows(self, query: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        """Return the rows of a query."""
        with telling(self.where), connections[self.alias].cursor() as cursor:
            cursor.execute(query, values)
            return [plain(row) for row in cursor.fetchall()]

    def places(self) -> list[str]:
        """Return the places that have events, sorted."""
        return sorted(str(row[0]) for row in self.rows("SELECT code FROM records_place"))

    def head(self, place: str) -> Head:
        """Return where the chain of a place ends."""
        query = "SELECT sequence, hash FROM records_event WHERE place = %s ORDER BY sequence DESC LIMIT 1"
        found = self.rows(query, [place])
        return Head(*found[0]) if found else Head()

    def events(self, place: str, after_sequence: int = 0) -> Iterator[Event]:
        """Yield a place's events in order, from the one after `after_sequence`."""
        query = (
            f"SELECT {EVENT} FROM records_event WHERE place = %s AND sequence > %s "
            f"ORDER BY sequence LIMIT {PAGE}"
        )
        while page := self.rows(query, [place, after_sequence]):
            yield from (Event(*row) for row in page)
            after_sequence = page[-1][2]

    def event(self, place: str, identifier: str) -> Event | None:
        """Return an event of a place by its identifier."""
        return event_of(self.rows, place, identifier)

    def about(
        self, place: str, kind: str, code: str, until: str = LATEST, newest_first: bool = False
    ) -> Iterator[Event]:
        """Yield every event about a thing in order of happening."""
        return events_about(self.rows, (place, kind, code), until=until, newest_first=newest_first)

    def corrections_of(self, place: str, identifiers: Sequence[str]) -> Mapping[str, Event]:
        """Return the events that corrected or struck others, by those."""
        return corrections_of(self.rows, place, identifiers)

    def view(self, place: str, clock: Clock) -> View:
        """Return a place as it stands, to be read."""
        return PlaceView(place, clock(), self.rows)

    def evidence(self, sha256: str) -> bytes:
        """Return a file of evidence by its digest."""
        return evidence_of(self.rows, sha256)

    # ---- read as stored, to verify ----

    @contextmanager
    def snapshot(self) -> Iterator[None]:
        """Hold still what is read, while others go on writing; read even text whose encoding is broken."""
        connection = connections[self.alias]
        with telling(self.where):
            connection.ensure_connection()
        sqlite = connection.vendor == "sqlite"
        begin = "BEGIN DEFERRED" if sqlite else "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY"
        inside = connection.in_atomic_block or open_writing(self.alias) is not None
        if sqlite:
            connection.connection.text_factory = lenient
        try:
            if not inside:
                self._run(begin)
            yield
        finally:
            if not inside and connection.connection is not None:
                self._run("ROLLBACK")
            if sqlite and connection.connection is not None:
                connection.connection.text_factory = str

    def _run(self, statement: str) -> None:
        with telling(self.where), connections[self.alias].cursor() as cursor:
            cursor.execute(statement)

    def stored(self, place: str) -> Iterator[Stored]:
        """Yield a place's events as stored, in order of sequence and id."""
        query = (
            f"SELECT {EVENT} FROM records_event WHERE place = %s AND (sequence, id) > (%s, %s) "
            f"ORDER BY sequence, id LIMIT {PAGE}"
        )
        last: list[object] = [-(2**62), "0" * 32]
        while page := self.rows(query, [place, *last]):
            things = self._things_of([row[0] for row in page])
            yield from (Stored(row, tuple(things[row[0]])) for row in page)
            last = [page[-1][2], page[-1][0]]

    def _things_of(self, ids: Sequence[object]) -> dict[object, list[tuple[object, ...]]]:
        marks = ", ".join(["%s"] * len(ids))
        query = f"SELECT {THING} FROM records_event_thing WHERE event_id IN ({marks})"
        found: dict[object, list[tuple[object, ...]]] = defaultdict(list)
        for event_id, *told in self.rows(query, ids):
            found[event_id].append(tuple(told))
        return found

    def stored_states(self, place: str) -> Iterator[StoredState]:
        """Yield the state of every thing of a place, as stored."""
        query = (
            "SELECT kind, code, status, body FROM records_state WHERE place = %s AND {onward} "
            f"ORDER BY kind, code LIMIT {PAGE}"
        )
        page = self.rows(query.format(onward="TRUE"), [place])  # a row without kind or code counts too
        while page:
            yield from (StoredState(*row) for row in page)
            page = self.rows(query.format(onward="(kind, code) > (%s, %s)"), [place, *page[-1][:2]])

    def stored_corrections(self) -> Iterator[tuple[object, object]]:
        """Yield every event that was corrected or struck with the event that did it, as stored."""
        yield from (
            (row[0], row[1]) for row in self.rows("SELECT corrected, correcting FROM records_correction")
        )

    def kept(self, sha256: str) -> tuple[Any, object, object] | None:
        """Return kept bytes, size and file name of a file of evidence, as stored."""
        return kept_file(self.rows, sha256)

    def kept_digests(self) -> Iterator[object]:
        """Yield the digest of every file of evidence."""
        for row in self.rows("SELECT sha256 FROM records_evidence ORDER BY sha256"):
            yield row[0]

    def strays(self) -> Iterator[str]:
        """Yield, as sentences, rows of things without an event, and what SQLite finds wrong in its own file."""
        from lungwort.records.strays import strays_of

        yield from strays_of(self.rows, connections[self.alias].vendor)

    # ---- made anew ----

    def empty_projections(self) -> None:
        """Forget all states and corrections, and let nobody record until the block `together` ends."""
        self._inside(lambda opened: opened.empty_projections())

    def fill_projections(self, place: str, corrections: Mapping[str, str], states: Iterable[State]) -> None:
        """Put in the corrections and states of a place."""
        self._inside(lambda opened: opened.fill_projections(place, corrections, states))

    def _inside(self, work: Callable[[Writing], None]) -> None:
        opened = open_writing(self.alias)
        assert opened is not None, "only inside `together`"
        with telling(self.where):
            work(opened)
