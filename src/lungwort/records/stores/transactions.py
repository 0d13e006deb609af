"""Transactions of a database in which records are written: begun at once, kept as a whole or not at all."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Any
from weakref import WeakKeyDictionary

from django.db import Error, connections

from lungwort.records.stores.driver import Cursor
from lungwort.records.stores.failures import passes_by_waiting
from lungwort.records.stores.writing import Writing

_BEGIN = {"sqlite": "BEGIN IMMEDIATE", "postgresql": "BEGIN ISOLATION LEVEL READ COMMITTED"}
_OPEN: WeakKeyDictionary[Any, Writing] = WeakKeyDictionary()
"""The transaction that is open on a connection; Django gives every thread connections of its own."""


def open_writing(alias: str) -> Writing | None:
    """Return the transaction that this thread has open on a database, if it has one."""
    return _OPEN.get(connections[alias])


@contextmanager
def writing(alias: str) -> Iterator[Writing]:
    """Open a transaction: ended is written and synchronised; where it fails, nothing of it is kept."""
    connection = connections[alias]
    if connection.in_atomic_block:
        raise RuntimeError("records are written in a transaction of their own, not in one of Django's")
    try:
        connection.ensure_connection()
        cursor = Cursor(connection)
        cursor.run(_BEGIN[cursor.vendor])
        try:
            with entered(connection, cursor) as opened:
                yield opened
            cursor.run("COMMIT")
        except BaseException:
            with suppress(Error):
                cursor.run("ROLLBACK")
            raise
    except Error as error:
        _drop_broken(connection, error)
        raise


@contextmanager
def entered(connection: Any, cursor: Cursor) -> Iterator[Writing]:
    """Let whatever is recorded by this thread go into a transaction that is begun, and is ended by whoever began it."""
    opened = _OPEN[connection] = Writing(cursor)
    try:
        yield opened
    finally:
        del _OPEN[connection]
    if opened.broken is not None:
        raise opened.broken


@contextmanager
def part_of(opened: Writing) -> Iterator[None]:
    """Open a part of an open transaction; where it fails, what it wrote is undone and what it took is read anew."""
    broken_before = opened.broken
    opened.cursor.run("SAVEPOINT part")
    try:
        yield
    except BaseException:
        opened.taken.clear()
        opened.cursor.run("ROLLBACK TO SAVEPOINT part")
        opened.cursor.run("RELEASE SAVEPOINT part")
        opened.broken = broken_before
        raise
    opened.cursor.run("RELEASE SAVEPOINT part")


def _drop_broken(connection: Any, error: Error) -> None:
    """Let go of a connection after a failure that waiting does not mend, so that the next write opens a new one."""
    if not passes_by_waiting(error):
        with suppress(Error):
            connection.close()
