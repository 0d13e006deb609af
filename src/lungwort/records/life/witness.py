"""A witness: who records, into which place's book, and when it happened where that was not just now."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from lungwort.records.chain.identity import Clock, RandomBytes
from lungwort.records.states.view import View
from lungwort.records.stores.store import Store


@dataclass(frozen=True)
class Book:
    """The records of one place, with the clock and the random bytes that recording needs."""

    store: Store
    place: str
    clock: Clock
    rng: RandomBytes

    def view(self) -> View:
        """Return the place as it stands, to be read."""
        return self.store.view(self.place, self.clock)

    def witness(self, who: str) -> Witness:
        """Return a person who records here, by code."""
        return Witness(self, who)


@dataclass(frozen=True)
class Witness:
    """Who records; `when` it happened, None for now, and why it is entered afterwards (`late`).

    `once` is a word of the sender's own: a deed that was recorded with it already is not recorded again.
    """

    book: Book
    who: str
    when: datetime | None = None
    late: str = ""
    once: str = ""

    def just_once(self, word: str) -> Witness:
        """Return the witness of a deed that may be sent twice over a weak network, and is recorded once."""
        return replace(self, once=word)

    def afterwards(self, when: datetime, why: str) -> Witness:
        """Return the witness of something that happened earlier, such as what was on paper during a power cut."""
        return replace(self, when=when, late=why)
