"""What every store of records offers: append and read, nothing to change or remove."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from typing import NamedTuple, Protocol

from lungwort.records.chain.event import Draft, Event
from lungwort.records.chain.identity import Clock, RandomBytes
from lungwort.records.chain.preparing import Head
from lungwort.records.states.kinds import State
from lungwort.records.states.view import LATEST, View

Decide = Callable[[View], Draft]
"""From a place as it stands to what is to be recorded, or a LungwortError that says why nothing is.

Pure: it may be asked again where others were in the way, and it records nothing itself.
"""


class Stored(NamedTuple):
    """An event exactly as the store holds it, not yet believed: ten columns, and the rows of its things.

    A row of a thing: code, part, place, happened_at, sequence.
    """

    columns: tuple[object, ...]
    things: tuple[tuple[object, ...], ...]


class StoredState(NamedTuple):
    """A state exactly as the store holds it, not yet believed."""

    kind: object
    code: object
    status: object
    body: object


class Store(Protocol):
    """Append-only records of one or more places, and what follows from them."""

    # ---- record ----

    def record(self, place: str, decide: Decide, clock: Clock, rng: RandomBytes) -> Event:
        """Ask what is to be recorded while nobody else can, and record it; returned means kept for good."""

    def append(
        self, place: str, draft: Draft, clock: Clock, rng: RandomBytes, after_sequence: int | None = None
    ) -> Event:
        """Record a draft as the next event of a place; returned means kept for good."""

    def together(self) -> AbstractContextManager[None]:
        """Keep all that is recorded inside when the block ends, with one wait for the disk, or nothing of it.

        What is recorded within is kept for good only once the block has ended. Others wait meanwhile.
        """

    # ---- read ----

    def view(self, place: str, clock: Clock) -> View:
        """Return a place as it stands, to be read; it may move on meanwhile."""

    def places(self) -> list[str]:
        """Return the places that have events, sorted."""

    def head(self, place: str) -> Head:
        """Return where the chain of a place ends."""

    def events(self, place: str, after_sequence: int = 0) -> Iterator[Event]:
        """Yield a place's events in order, from the one after `after_sequence`."""

    def event(self, place: str, identifier: str) -> Event | None:
        """Return an event of a place by its identifier."""

    def about(
        self, place: str, kind: str, code: str, until: str = LATEST, newest_first: bool = False
    ) -> Iterator[Event]:
        """Yield every event about a thing up to a moment, corrected or struck ones too, in order of happening."""

    def corrections_of(self, place: str, identifiers: Sequence[str]) -> Mapping[str, Event]:
        """Return, by the identifier of each event that was corrected or struck, the event that did it."""

    def evidence(self, sha256: str) -> bytes:
        """Return a file of evidence by its digest."""

    # ---- read as stored, to verify ----

    def snapshot(self) -> AbstractContextManager[None]:
        """Hold still what is read, while others go on writing."""

    def stored(self, place: str) -> Iterator[Stored]:
        """Yield a place's events as stored, in order of sequence and id."""

    def stored_states(self, place: str) -> Iterator[StoredState]:
        """Yield the state of every thing of a place, as stored."""

    def stored_corrections(self) -> Iterator[tuple[object, object]]:
        """Yield every event that was corrected or struck with the event that did it, as stored."""

    def kept(self, sha256: str) -> tuple[object, object, object] | None:
        """Return kept bytes, size and file name of a file of evidence, as stored."""

    def kept_digests(self) -> Iterator[object]:
        """Yield the digest of every file of evidence."""

    def strays(self) -> Iterator[str]:
        """Yield, as sentences, rows of things that belong to no event, and what the database finds wrong itself."""

    # ---- what follows from the events, made anew ----

    def empty_projections(self) -> None:
        """Forget all states and corrections, and let nobody record until the block `together` ends."""

    def fill_projections(self, place: str, corrections: Mapping[str, str], states: Iterable[State]) -> None:
        """Put in the corrections and states of a place."""
