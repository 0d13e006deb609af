"""The walk from leg to leg: breadth first, so that each leg is reached by its shortest path, and each once."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from lungwort.records.chain.event import Thing
from lungwort.records.look_back.legs import ENDED, FIRST, LAST, Leg, Order, Use
from lungwort.records.look_back.reading import Reading, is_good
from lungwort.records.look_back.result import Direction, Link, Path
from lungwort.records.states.fact import Fact

MOST_LEGS = 5000
"""Where more legs would be reached the walk stops and says so. Ours, no source: more patients than a list can help."""


@dataclass(frozen=True)
class Reached:
    """A leg that was touched, by which path; uses count that began after one moment and before another."""

    leg: Leg
    direction: Direction
    path: Path
    after: Order = FIRST
    before: Order = LAST

    @property
    def key(self) -> tuple[object, ...]:
        """What makes it the same leg, reached again."""
        return self.leg.part, self.leg.begins, self.direction, self.after, self.before

    @property
    def uses(self) -> Iterator[Use]:
        """The uses that count."""
        return (use for use in self.leg.uses if self.after < use.connected.order < self.before)


@dataclass(frozen=True)
class Walked:
    """The legs reached, the nearest first; `cut` where there were more than were asked for."""

    reached: tuple[Reached, ...]
    cut: bool = False


def walk(reading: Reading, starts: Iterable[Reached], shares: bool, most_legs: int = MOST_LEGS) -> Walked:
    """Return every leg reached from the first ones until good evidence is met.

    Args:
        reading: the place, and what is doubted.
        starts: where to begin.
        shares: go on to the other parts of a load that did not pass, too.
        most_legs: stop after so many.
    """
    queue, found = deque(starts), dict[tuple[object, ...], Reached]()
    while queue and len(found) < most_legs:
        here = queue.popleft()
        if here.key not in found:
            found[here.key] = here
            queue.extend((_later if here.direction == "forward" else _earlier)(reading, here, shares))
    return Walked(tuple(found.values()), any(left.key not in found for left in queue))


def _later(reading: Reading, here: Reached, shares: bool) -> Iterator[Reached]:
    """Yield the legs that the end of a leg begins, unless it was good treatment."""
    end, own = here.leg.end, here.leg.part
    if end is None or is_good(reading, own, end):
        return
    for part in in_load(reading, end, own, shares):
        yield Reached(reading.leg(part, end), "forward", (*here.path, *through(end, own, part)))


def _earlier(reading: Reading, here: Reached, shares: bool) -> Iterator[Reached]:
    """Yield the legs that ended where a leg began, unless it began with good treatment."""
    begin, own = here.leg.begin, here.leg.part
    if begin is None or is_good(reading, own, begin):
        return
    for part in in_load(reading, begin, own, shares):
        before, path = reading.leg_before(part, begin), (*here.path, *through(begin, own, part))
        yield Reached(before, "backward", path, before=begin.order)


def in_load(reading: Reading, exposure: Fact, own: str, shares: bool) -> tuple[str, ...]:
    """Return the parts that an exposure ties together: a cycle its whole load, where that is asked for; a wipe none."""
    return parts_in(reading, exposure) if shares and exposure.what == ENDED else (own,)


def parts_in(reading: Reading, exposure: Fact) -> tuple[str, ...]:
    """Return the parts of an exposure; those that were loaded count, even where the end does not name them."""
    loaded = reading.cycle(exposure.the("cycle")) if exposure.the("cycle") else None
    return tuple(sorted({*exposure.by_kind.get("part", ()), *(loaded.parts if loaded else ())}))


def through(exposure: Fact, start: str, end: str) -> Path:
    """Return the links from one part through an exposure to another, or to itself."""
    first, last = Thing(start, "part"), Thing(end, "part")
    if exposure.what != ENDED:
        return (link(first, last, exposure),)
    cycle = Thing(exposure.the("cycle"), "cycle")
    return link(first, cycle, exposure), link(cycle, last, exposure)


def link(start: Thing, end: Thing, fact: Fact) -> Link:
    """Return the link that a fact makes between two things."""
    return Link(start, end, fact.event.id, fact.at)
