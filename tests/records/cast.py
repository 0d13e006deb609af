"""A fixed cast: Hill Hospital and Valley Clinic, Ada who reprocesses, a clock that moves on, seeded chance."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from random import Random

from lungwort.records.append import append
from lungwort.records.event import Attachment, Draft, Event, Thing
from lungwort.records.store import Store

HILL, VALLEY = "Hill Hospital", "Valley Clinic"
START = datetime(2026, 11, 25, 6, 0, tzinfo=UTC)
AUTOCLAVE = Thing("A-1", "autoclave")


def ticking(start: datetime = START, step_s: float = 1.0) -> Callable[[], datetime]:
    """Return a clock that moves on by a step whenever it is read."""
    now = [start]

    def clock() -> datetime:
        now[0] += timedelta(seconds=step_s)
        return now[0]

    return clock


def washed(code: str = "C-7", **data: object) -> Draft:
    """Return a draft: Ada washed a circuit."""
    return Draft(START, "Ada", "part.washed", data, (Thing(code, "part"),))


def cycle(number: int, codes: tuple[str, ...] = ("C-7", "C-8"), log: bytes | None = None) -> Draft:
    """Return a draft: a cycle ended, its load and its log."""
    things = (AUTOCLAVE, *(Thing(code, "load") for code in codes))
    evidence = () if log is None else (Attachment(f"cycle-{number}.csv", log),)
    return Draft(
        START + timedelta(minutes=number), "Ada", "cycle.ended", {"number": number}, things, evidence
    )


class Writer:
    """Somebody who records, with clock and chance of their own."""

    def __init__(self, store: Store, place: str = HILL, seed: int = 77) -> None:
        self.store, self.place = store, place
        self.clock, self.rng = ticking(), Random(seed).randbytes

    def write(self, draft: Draft, after_sequence: int | None = None) -> Event:
        """Record a draft."""
        return append(self.store, self.place, draft, self.clock, self.rng, after_sequence=after_sequence)


def history(store: Store, place: str = HILL, count: int = 20, seed: int = 1) -> list[Event]:
    """Record `count` events, washing and cycles in turn, every second cycle with a log; return them."""
    writer, chance = Writer(store, place, seed), Random(seed)
    drafts = []
    for number in range(count):
        log = chance.randbytes(60) * 3 if number % 4 == 1 else None
        drafts.append(
            cycle(number, (f"C-{number % 5}", "C-9"), log) if number % 2 else washed(f"C-{number % 5}")
        )
    return [writer.write(draft) for draft in drafts]
