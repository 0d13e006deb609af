"""What every store of records offers: append and read, nothing to change or remove."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager
from typing import NamedTuple, Protocol

from lungwort.records.event import Draft, Event
from lungwort.records.identity import Clock, RandomBytes
from lungwort.records.preparing import Head


class Played(NamedTuple):
    """The part a thing played in an event."""

    part: str
    event: Event


class Stored(NamedTuple):
    """An event exactly as the store holds it, not yet believed: ten columns, and the rows of its things."""

    columns: tuple[object, ...]
    things: tuple[tuple[object, object], ...]


class Store(Protocol):
    """Append-only records of one or more places."""

    def append(
        self, place: str, draft: Draft, clock: Clock, rng: RandomBytes, after_sequence: int | None = None
    ) -> Event:
        """Record a draft as the next event of a place; returned means kept for good."""

    def places(self) -> list[str]:
        """Return the places that have events, sorted."""

    def head(self, place: str) -> Head:
        """Return where the chain of a place ends."""

    def events(self, place: str, after_sequence: int = 0) -> Iterator[Event]:
        """Yield a place's events in order, from the one after `after_sequence`."""

    def things(self, code: str) -> Iterator[Played]:
        """Yield the parts a thing played, in order of recording."""

    def evidence(self, sha256: str) -> bytes:
        """Return a file of evidence by its digest."""

    def snapshot(self) -> AbstractContextManager[None]:
        """Hold still what is read, while others go on writing."""

    def stored(self, place: str) -> Iterator[Stored]:
        """Yield a place's events as stored, in order of sequence and id."""

    def kept(self, sha256: str) -> tuple[object, object, object] | None:
        """Return kept bytes, size and file name of a file of evidence, as stored."""

    def kept_digests(self) -> Iterator[object]:
        """Yield the digest of every file of evidence."""

    def strays(self) -> Iterator[str]:
        """Yield, as sentences, rows of things that belong to no event, and what the database finds wrong itself."""
