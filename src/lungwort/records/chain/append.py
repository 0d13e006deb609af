"""Recording what happened: a draft as it stands, or what is decided from the place as it stands."""

from __future__ import annotations

from lungwort.records.chain.event import Draft, Event
from lungwort.records.chain.identity import Clock, RandomBytes
from lungwort.records.stores.store import Store


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
    >>> from lungwort.records.stores.memory import MemoryStore
    >>> at = datetime(2026, 11, 25, 14, tzinfo=UTC)
    >>> append(MemoryStore(), "Hill", Draft(at, "Ada", "cycle.ended"), lambda: at, Random(1).randbytes).sequence
    1
    """
    return store.append(place, draft, clock, rng, after_sequence)
