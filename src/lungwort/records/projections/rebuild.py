"""Rebuilding: all states and corrections made anew from the events, to the same bytes."""

from __future__ import annotations

from typing import Any

from lungwort.records.projections.folding import Folding
from lungwort.records.stores.store import Store


def rebuild(store: Store) -> int:
    """Make states and corrections anew from all events of all places, while nobody records; return how many events.

    Raises:
        UnusableRecords, RecordsBusy: the database failed; the states are as they were.
    """
    with store.together():
        return _rebuild(store)


def rebuild_in_migration(connection: Any) -> None:
    """Rebuild inside a migration, whose transaction ends later."""
    from lungwort.records.connect import WAIT_S
    from lungwort.records.stores.database import DatabaseStore
    from lungwort.records.stores.driver import Cursor
    from lungwort.records.stores.transactions import entered

    with entered(connection, Cursor(connection)):
        _rebuild(DatabaseStore(connection.alias, connection.alias, WAIT_S))


def _rebuild(store: Store) -> int:
    store.empty_projections()
    count = 0
    for place in store.places():
        folding = Folding(store, place)
        for event in store.events(place):
            folding.take(event)
            count += 1
        store.fill_projections(place, folding.corrections, folding.states())
    return count
