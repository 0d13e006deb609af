"""Records in a database, SQLite or PostgreSQL: the one place that speaks SQL to read them.

Since nothing is ever changed, reading page by page is consistent without holding the database.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db import connections

from lungwort.errors import UnusableRecords
from lungwort.records.append import append_to
from lungwort.records.event import Draft, Event
from lungwort.records.failures import telling
from lungwort.records.identity import Clock, RandomBytes
from lungwort.records.keeping import no_such_evidence, opened
from lungwort.records.preparing import Head
from lungwort.records.store import Played, Stored

PAGE = 500
COLUMNS = "id, place, sequence, happened_at, recorded_at, who, what, payload, previous_hash, hash"
_E_COLUMNS = ", ".join(f"e.{column}" for column in COLUMNS.split(", "))


def plain(row: Sequence[Any]) -> tuple[Any, ...]:
    """Return a row with identifiers as 32 hexadecimal digits, whatever the database calls them."""
    return tuple(value.hex if isinstance(value, UUID) else value for value in row)


def lenient(raw: bytes) -> str:
    """Return text even where somebody broke its encoding; `verify` then finds it."""
    return raw.decode("utf-8", "surrogateescape")


@dataclass(frozen=True)
class DatabaseStore:
    """Records in one database, by Django's name for it; `where` names it in messages."""

    alias: str
    where: str
    wait_s: float

    # ---- append ----

    def append(
        self, place: str, draft: Draft, clock: Clock, rng: RandomBytes, after_sequence: int | None = None
    ) -> Event:
        """Record a draft as the next event of a place; returned means written and synchronised."""
        return append_to(
            self.alias, self.where, self.wait_s, place, draft, clock, rng, after_sequence=after_sequence
        )

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
            f"SELECT {COLUMNS} FROM records_event WHERE place = %s AND sequence > %s "
            f"ORDER BY sequence LIMIT {PAGE}"
        )
        while page := self.rows(query, [place, after_sequence]):
            yield from (Event(*row) for row in page)
            after_sequence = page[-1][2]

    def things(self, code: str) -> Iterator[Played]:
        """Yield the parts a thing played, in order of recording."""
        query = (
            f"SELECT t.part, {_E_COLUMNS} FROM records_event_thing t JOIN records_event e ON e.id = t.event_id "
            f"WHERE t.code = %s AND (t.event_id, t.part) > (%s, %s) ORDER BY t.event_id, t.part LIMIT {PAGE}"
        )
        last = ["0" * 32, ""]
        while page := self.rows(query, [code, *last]):
            yield from (Played(part, Event(*columns)) for part, *columns in page)
            last = [page[-1][1], page[-1][0]]

    def evidence(self, sha256: str) -> bytes:
        """Return a file of evidence by its digest."""
        found = self.kept(sha256)
        if found is None:
            raise UnusableRecords(no_such_evidence(sha256))
        return opened(sha256, bytes(found[0]))

    # ---- read as stored, to verify ----

    @contextmanager
    def snapshot(self) -> Iterator[None]:
        """Hold still what is read, while others go on writing; read even text whose encoding is broken."""
        connection = connections[self.alias]
        with telling(self.where):
            connection.ensure_connection()
        sqlite = connection.vendor == "sqlite"
        begin = "BEGIN DEFERRED" if sqlite else "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY"
        inside = connection.in_atomic_block
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
            f"SELECT {COLUMNS} FROM records_event WHERE place = %s AND (sequence, id) > (%s, %s) "
            f"ORDER BY sequence, id LIMIT {PAGE}"
        )
        last: list[object] = [-(2**62), "0" * 32]
        while page := self.rows(query, [place, *last]):
            things = self._things_of([row[0] for row in page])
            yield from (Stored(row, tuple(things[row[0]])) for row in page)
            last = [page[-1][2], page[-1][0]]

    def _things_of(self, ids: Sequence[object]) -> dict[object, list[tuple[object, object]]]:
        marks = ", ".join(["%s"] * len(ids))
        query = f"SELECT event_id, code, part FROM records_event_thing WHERE event_id IN ({marks})"
        found: dict[object, list[tuple[object, object]]] = defaultdict(list)
        for event_id, code, part in self.rows(query, ids):
            found[event_id].append((code, part))
        return found

    def kept(self, sha256: str) -> tuple[Any, object, object] | None:
        """Return kept bytes, size and file name of a file of evidence, as stored."""
        found = self.rows("SELECT kept, size, file_name FROM records_evidence WHERE sha256 = %s", [sha256])
        return (found[0][0], found[0][1], found[0][2]) if found else None

    def kept_digests(self) -> Iterator[object]:
        """Yield the digest of every file of evidence."""
        for row in self.rows("SELECT sha256 FROM records_evidence ORDER BY sha256"):
            yield row[0]

    def strays(self) -> Iterator[str]:
        """Yield, as sentences, rows of things without an event, and what SQLite finds wrong in its own file."""
        from lungwort.records.strays import strays_of

        yield from strays_of(self.rows, connections[self.alias].vendor)
