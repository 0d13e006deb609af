"""A fact: what an event says happened, a correction taken at its word."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from lungwort.records.chain.event import Event, Thing

CORRECTED, STRUCK = "event.corrected", "event.struck"


@dataclass(frozen=True)
class Fact:
    """What happened to which things; `event` is what recorded it, `corrects` the event it replaces."""

    event: Event
    what: str
    data: Mapping[str, Any]
    things: tuple[Thing, ...]
    corrects: str = ""

    @property
    def at(self) -> str:
        """When it happened: UTC text."""
        return self.event.happened_at

    @property
    def order(self) -> tuple[str, int]:
        """What facts are sorted by: when they happened, then the order in which they were recorded."""
        return self.event.happened_at, self.event.sequence

    @cached_property
    def by_kind(self) -> Mapping[str, tuple[str, ...]]:
        """The codes of its things by kind, sorted."""
        kinds = sorted({thing.part for thing in self.things})
        return {k: tuple(sorted(t.code for t in self.things if t.part == k)) for k in kinds}

    def the(self, kind: str) -> str:
        """Return the code of its only thing of a kind; "" where there is none."""
        return next(iter(self.by_kind.get(kind, ())), "")


def fact_of(event: Event) -> Fact:
    """Return what an event says happened; an event that strikes another says only that.

    A correction has `data` of its own: `event` (which it corrects), `why`, `what` and `data` as they should have been.
    """
    told = event.data
    if event.what == CORRECTED:
        corrects = str(told.get("event", ""))
        return Fact(event, str(told.get("what", "")), told.get("data", {}), event.things, corrects)
    if event.what == STRUCK:
        return Fact(event, STRUCK, told, event.things, str(told.get("event", "")))
    return Fact(event, event.what, told, event.things)
