"""What a rule is: a small function that looks at the protocol on a day and yields findings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from lungwort.protocol.document import Protocol
from lungwort.protocol.finding import Finding
from lungwort.protocol.kinds import Kind, Step

Find = Callable[[Protocol, date], Iterable[Finding]]


@dataclass(frozen=True)
class Rule:
    """A rule by its name, what it says in one sentence (for docs/lookup), and the function that finds."""

    name: str
    about: str
    find: Find


def rule(name: str, about: str) -> Callable[[Find], Rule]:
    """Turn a function into a rule; `about` is one sentence for the list of rules."""
    return lambda find: Rule(name, about, find)


def steps_of(protocol: Protocol) -> Iterator[tuple[int, Kind, int, Step]]:
    """Yield every step with its kind, and the places of both in the document."""
    for k, kind in enumerate(protocol.kinds):
        for s, step in enumerate(kind.steps):
            yield k, kind, s, step
