"""A place as it stood at an earlier moment, for what is entered afterwards."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from lungwort.records.chain.event import Event
from lungwort.records.chain.identity import moment_of
from lungwort.records.states.fact import Fact
from lungwort.records.states.fold import fold_all
from lungwort.records.states.kinds import State
from lungwort.records.states.view import EARLIEST, LATEST, S, View


@dataclass(frozen=True)
class AsOf:
    """A view of a place up to a moment: facts that happened later are left out, states folded without them."""

    view: View
    moment: str

    @property
    def place(self) -> str:
        """Its code."""
        return self.view.place

    @property
    def now(self) -> datetime:
        """The moment."""
        return moment_of(self.moment)

    def state(self, shape: type[S], code: str) -> S | None:
        """Return what a thing was at the moment."""
        latest = self.view.state(shape, code)
        if latest is None or latest.at <= self.moment:
            return latest
        folded: State | None = fold_all(shape.kind, code, self.facts(shape.kind, code))
        return folded if isinstance(folded, shape) else None

    def states(self, shape: type[S], status: str | None = None) -> Iterator[S]:
        """Yield every thing of a kind as it was, or those of one status."""
        for latest in self.view.states(shape):
            then = self.state(shape, latest.code)
            if then is not None and status in (None, then.status):
                yield then

    def facts(
        self, kind: str, code: str, since: str = EARLIEST, until: str = LATEST, newest_first: bool = False
    ) -> Iterator[Fact]:
        """Yield the facts about a thing up to the moment."""
        return self.view.facts(kind, code, since, min(until, self.moment), newest_first)

    def event(self, identifier: str) -> Event | None:
        """Return an event by its identifier."""
        return self.view.event(identifier)

    def corrected_by(self, identifier: str) -> str | None:
        """Return the event that corrects or strikes an event."""
        return self.view.corrected_by(identifier)

    def evidence(self, sha256: str) -> bytes:
        """Return a file of evidence by its digest."""
        return self.view.evidence(sha256)


def as_it_stands(view: View) -> View:
    """Return a place as it stands now, whatever the moment of the view: for what must be so once and for all."""
    return as_it_stands(view.view) if isinstance(view, AsOf) else view
