"""Simulated time: a clock, and an agenda of what goes on at once in the hospital and when each goes on."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta
from heapq import heappop, heappush
from itertools import count

Process = Generator[timedelta, None, None]
"""Something that goes on for a while: it acts, yields how long it waits, acts again."""

A_LOOK = timedelta(seconds=2)


def minutes(number: float) -> timedelta:
    """Return a time to wait.

    >>> minutes(90)
    datetime.timedelta(seconds=5400)
    """
    return timedelta(minutes=number)


@dataclass
class Agenda:
    """Simulated time since `began`; every look at the clock takes 2 s, so that no two deeds happen at once."""

    began: datetime
    now: datetime
    _waiting: list[tuple[datetime, int, Process]] = field(default_factory=list)
    _order: count[int] = field(default_factory=count)

    @property
    def day(self) -> int:
        """Whole days since the beginning."""
        return (self.now - self.began).days

    def clock(self) -> datetime:
        """Return the time for a recording."""
        self.now += A_LOOK
        return self.now

    def until(self, hour: float) -> timedelta:
        """Return how long it is to the next time the clock shows an hour."""
        midnight = datetime.combine(self.now.date(), time(), self.now.tzinfo)
        then = midnight + timedelta(hours=hour)
        return (then if then > self.now else then + timedelta(days=1)) - self.now

    def begin(self, process: Process, after: timedelta = timedelta()) -> None:
        """Let a process begin after a while."""
        heappush(self._waiting, (self.now + after, next(self._order), process))

    def run_until(self, moment: datetime) -> None:
        """Let everything go on up to a moment, each in its turn."""
        while self._waiting and self._waiting[0][0] <= moment:
            due, _order, process = heappop(self._waiting)
            self.now = max(self.now, due)
            wait = next(process, None)
            if wait is not None:
                self.begin(process, wait)
        self.now = max(self.now, moment)
