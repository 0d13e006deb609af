"""A fixed cast: Hill Hospital and Valley Clinic, Ada who reprocesses, a clock that moves on, seeded chance."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from random import Random

from lungwort.records.chain.append import append
from lungwort.records.chain.event import Attachment, Draft, Event, Thing
from lungwort.records.chain.identity import moment_of
from lungwort.records.stores.store import Store

HILL, VALLEY = "Hill Hospital", "Valley Clinic"
START = datetime(2026, 11, 25, 6, 0, tzinfo=UTC)
AUTOCLAVE = Thing("A-1", "equipment")


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
    things = (AUTOCLAVE, Thing(f"Y-{number}", "cycle"), *(Thing(code, "part") for code in codes))
    evidence = () if log is None else (Attachment(f"cycle-{number}.csv", log),)
    at, told = START + timedelta(minutes=number), {"number": number, "process": "steam"}
    return Draft(at, "Ada", "cycle.ended", told, things, evidence)


def struck(event: Event) -> Draft:
    """Return a draft: an event is struck, it never was so."""
    return Draft(START, "Ada", "event.struck", {"event": event.id, "why": "a slip"}, event.things)


def corrected(event: Event, *things: Thing) -> Draft:
    """Return a draft: an event was so, but with other things."""
    told = {"event": event.id, "why": "a slip", "what": event.what, "data": event.data}
    return Draft(moment_of(event.happened_at), "Ada", "event.corrected", told, things)


class Writer:
    """Somebody who records, with clock and chance of their own."""

    def __init__(self, store: Store, place: str = HILL, seed: int = 77) -> None:
        self.store, self.place = store, place
        self.clock, self.rng = ticking(), Random(seed).randbytes

    def write(self, draft: Draft, after_sequence: int | None = None) -> Event:
        """Record a draft."""
        return append(self.store, self.place, draft, self.clock, self.rng, after_sequence=after_sequence)


def history(store: Store, place: str = HILL, count: int = 20, seed: int = 1) -> list[Event]:
    """Record `count` events, washing and cycles in turn, every second cycle with a log; return them.

    The seventh strikes the fifth, the ninth corrects the fourth, and so on by eights; who washes enters it late.
    """
    writer, chance, written = Writer(store, place, seed), Random(seed), list[Event]()
    for number in range(count):
        log = chance.randbytes(60) * 3 if number % 4 == 1 else None
        draft = washed(f"C-{number % 5}")
        if number % 2:
            draft = cycle(number, (f"C-{number % 5}", "C-9"), log)
        elif number % 8 == 6:
            draft = struck(written[number - 2])
        elif number % 8 == 0 and number:
            draft = corrected(written[number - 5], Thing(f"Y-{number - 5}", "cycle"), Thing("C-1", "part"))
        written.append(writer.write(draft))
    return written
