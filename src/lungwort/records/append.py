"""Appending: in one transaction the head of a place is taken, the event made, and all of it written, or nothing."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import astuple
from hashlib import sha256 as digest
from typing import Any

from django.db import Error, connections, transaction

from lungwort.language import _
from lungwort.records.event import Draft, Event
from lungwort.records.failures import passes_by_waiting, until_written
from lungwort.records.identity import Clock, RandomBytes
from lungwort.records.keeping import Kept
from lungwort.records.preparing import (
    Head,
    Prepared,
    name,
    next_event,
    only_new,
    prepare,
    refuse_if_moved_on,
)
from lungwort.records.store import Store

_HEAD = "SELECT sequence, hash FROM records_event WHERE place = %s ORDER BY sequence DESC LIMIT 1"
_EVENT = (
    "INSERT INTO records_event (id, place, sequence, happened_at, recorded_at, who, what, payload, previous_hash, hash)"
    " VALUES (%s, %s, %s, %s, %s, %s, %s, %s, %s, %s)"
)
_THING = "INSERT INTO records_event_thing (event_id, code, part) VALUES (%s, %s, %s)"
_EVIDENCE = "INSERT INTO records_evidence (sha256, kept, size, file_name) VALUES (%s, %s, %s, %s)"


def append(
    store: Store,
    place: str,
    draft: Draft,
    clock: Clock,
    rng: RandomBytes,
    *,
    after_sequence: int | None = None,
) -> Event:
    """Record what happened as the next event of a place; once this returns, the event is kept for good.

    Args:
        store: where records are kept.
        place: whose chain it continues.
        draft: what happened.
        clock: gives the time of recording.
        rng: gives random bytes for the identifier, such as `os.urandom`.
        after_sequence: the last sequence the writer saw, where the event depends on it; None where it does not.

    Raises:
        UnusableEvent: the draft is not in the form that records keep.
        RecordsMovedOn: something was recorded since the writer looked.
        RecordsBusy: others were in the way for too long; nothing was written.
        UnusableRecords: the database failed; the message names the remedy.

    >>> from datetime import UTC, datetime
    >>> from random import Random
    >>> from lungwort.records.memory import MemoryStore
    >>> at = datetime(2026, 11, 25, 14, tzinfo=UTC)
    >>> append(MemoryStore(), "Hill", Draft(at, "Ada", "cycle.ended"), lambda: at, Random(1).randbytes).sequence
    1
    """
    return store.append(place, draft, clock, rng, after_sequence)


def append_to(
    alias: str,
    where: str,
    wait_s: float,
    place: str,
    draft: Draft,
    clock: Clock,
    rng: RandomBytes,
    after_sequence: int | None,
) -> Event:
    """Append to the database that Django knows as `alias`; arguments as for `append`."""
    name(place, _("the place"))
    prepared = prepare(draft)

    def write() -> Event:
        try:
            with transaction.atomic(using=alias, durable=True), connections[alias].cursor() as cursor:
                head = _take(cursor, connections[alias].vendor, place)
                refuse_if_moved_on(place, head, after_sequence)
                return _write(cursor, place, head, prepared, clock, rng)
        except Error as error:
            _drop_broken(alias, error)
            raise

    return until_written(write, where, wait_s)


def _drop_broken(alias: str, error: Error) -> None:
    """Let go of a connection after a failure that waiting does not mend, so that the next write opens a new one."""
    if not passes_by_waiting(error):
        with suppress(Error):
            connections[alias].close()


def _take(cursor: Any, vendor: str, place: str) -> Head:
    """Return the head of a place, which nobody else can move until the transaction ends.

    SQLite began with IMMEDIATE and is ours already; on PostgreSQL the row of the place is locked.
    """
    lock = " FOR NO KEY UPDATE" if vendor == "postgresql" else ""
    query = f"SELECT code FROM records_place WHERE code = %s{lock}"
    cursor.execute(query, [place])
    if cursor.fetchone() is None:
        cursor.execute("INSERT INTO records_place (code) VALUES (%s) ON CONFLICT DO NOTHING", [place])
        cursor.execute(query, [place])
    cursor.execute(_HEAD, [place])
    found = cursor.fetchone()
    return Head() if found is None else Head(*found)


def _write(cursor: Any, place: str, head: Head, prepared: Prepared, clock: Clock, rng: RandomBytes) -> Event:
    already = _keeper(cursor)
    event = next_event(place, head, prepared, already, clock(), rng)
    for kept in only_new(prepared, already):
        cursor.execute(_EVIDENCE, [kept.sha256, kept.kept, kept.size, kept.file_name])
    cursor.execute(_EVENT, astuple(event))
    if prepared.things:
        cursor.executemany(_THING, [(event.id, thing.code, thing.part) for thing in prepared.things])
    return event


def _keeper(cursor: Any) -> Callable[[str], Kept | None]:
    """Return what tells whether a file of evidence is kept already, and how."""

    def already(sha256: str) -> Kept | None:
        cursor.execute("SELECT size, file_name, kept FROM records_evidence WHERE sha256 = %s", [sha256])
        found = cursor.fetchone()
        if found is None:
            return None
        kept = bytes(found[2])
        return Kept(sha256, found[0], found[1], kept, digest(kept).hexdigest())

    return already
