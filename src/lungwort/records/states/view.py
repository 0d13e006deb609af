"""What whoever decides may see of a place: states, the facts behind them, evidence."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Protocol, TypeVar

from lungwort.records.chain.event import Event
from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import State

S = TypeVar("S", bound=State)

EARLIEST, LATEST = "", "~"
"""Before and after every moment written as text."""


class View(Protocol):
    """A place as it stands, at the moment `now`; inside a decision nobody can change it meanwhile."""

    @property
    def place(self) -> str:
        """Its code."""

    @property
    def now(self) -> datetime:
        """The time, by the recording machine's clock."""

    def state(self, shape: type[S], code: str) -> S | None:
        """Return what a thing is now; None where nothing is known of it."""

    def states(self, shape: type[S], status: str | None = None) -> Iterator[S]:
        """Yield every thing of a kind, or those of one status, in order of code."""

    def facts(
        self, kind: str, code: str, since: str = EARLIEST, until: str = LATEST, newest_first: bool = False
    ) -> Iterator[Fact]:
        """Yield the facts about a thing that happened from `since` up to and with `until`, in order of happening.

        What was corrected or struck is left out; its correction stands in its place.
        """

    def event(self, identifier: str) -> Event | None:
        """Return an event of the place by its identifier."""

    def corrected_by(self, identifier: str) -> str | None:
        """Return the event that corrects or strikes an event; None where it stands."""

    def evidence(self, sha256: str) -> bytes:
        """Return a file of evidence by its digest."""
