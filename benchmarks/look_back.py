"""Looking back and appending in histories of 1e6 and 1e7 events, measured side by side. Run: make bench-records.

The larger history takes some 20 GB and half an hour to make; `--events 1000000 100000` measures smaller ones.
"""

from __future__ import annotations

import argparse
import os
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from random import Random
from typing import NamedTuple

from bulk_history import PLACE, fill

from lungwort.records.chain.append import append
from lungwort.records.chain.event import Draft, Thing
from lungwort.records.connect import connect
from lungwort.records.look_back.ask import look_back
from lungwort.records.look_back.question import failed_cycle
from lungwort.records.stores.store import Store

LOOKS, APPENDS = 400, 300


def now() -> datetime:
    """Return the time."""
    return datetime.now(UTC)


def main() -> None:
    """Print every figure with what is asked of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--events", type=int, nargs=2, default=[1_000_000, 10_000_000])
    parser.add_argument("--folder", type=Path, help="keep the histories here, and use those that are there")
    asked = parser.parse_args()
    folder = asked.folder or Path(tempfile.mkdtemp())
    found = [_history(folder / f"{count}.db", count) for count in asked.events]
    small, large = (_looks(store, failed) for store, failed in found)
    for count, times in zip(asked.events, (small, large), strict=True):
        show(
            f"look-back from a failed cycle among {count:.0e} events, p95",
            f"{p95(times) * 1e3:.2f} ms",
            p95(times) <= 0.01,
            "at most 10 ms",
        )
    growth = p95(large) / p95(small)
    show("  growth", f"{growth:.2f}", growth <= 1.5, "at most 1.5")
    rates = [_rates(store, folder / "bare.db") for store, _failed in found]
    for count, rate in zip(asked.events, rates, strict=True):
        what = f"append to {count:.0e} events / bare insert of the same row under the same keys, both synchronised"
        show(what, f"{rate.own / rate.keyed:.2f}", rate.own / rate.keyed >= 0.4, "at least 0.4")
        print(f"  [{rate.own:.0f} and {rate.keyed:.0f} a second; {rate.plain:.0f} for a row without keys]")
    print(f"  append in the large / in the small history: {rates[1].own / rates[0].own:.2f}")


def show(what: str, found: str, met: bool, asked: str) -> None:
    """Print a figure and whether it is as asked."""
    print(f"{what}: {found} ({asked}: {'met' if met else 'NOT met'})")


def _history(path: Path, count: int) -> tuple[Store, list[str]]:
    names = path.with_suffix(".failed")
    if not names.exists():
        begun = time.perf_counter()
        failed = fill(path, count)
        names.write_text("\n".join(failed), "ascii")
        print(
            f"made {count} events in {time.perf_counter() - begun:.0f} s, {path.stat().st_size / 1e9:.1f} GB",
            file=sys.stderr,
        )
    return connect(path), names.read_text("ascii").split()


def _looks(store: Store, failed: list[str]) -> list[float]:
    """Return the time of each look-back from a failed cycle, at random over the whole history, its answer checked."""
    times = []
    for cycle in Random(7).sample(failed[:-1], min(LOOKS, len(failed) - 1)):
        begun = time.perf_counter()
        found = look_back(store.view(PLACE, now), failed_cycle(cycle))
        times.append(time.perf_counter() - begun)
        number = cycle.partition("-")[2]
        assert {f"R-{number}-0", f"R-{number}-1"} <= {e.patient for e in found.exposures}, cycle
    return times


def p95(times: list[float]) -> float:
    """Return the 95th percentile."""
    return statistics.quantiles(times, n=20)[-1]


class Rates(NamedTuple):
    """How many a second: events appended, bare rows under an event's keys, bare rows with a number only."""

    own: float
    keyed: float
    plain: float


def _rates(store: Store, bare: Path) -> Rates:
    """Return rates taken in turns, each write waited for until the disk has it."""
    with closing(sqlite3.connect(bare, isolation_level=None)) as raw:
        for statement in (*PRAGMAS, *TABLES):
            raw.execute(statement)
        times: list[list[float]] = [[], [], []]
        for number in range(APPENDS):
            event = append(store, PLACE, _draft(number), now, os.urandom)
            row = event.columns()
            works = (
                partial(append, store, PLACE, _draft(number), now, os.urandom),
                partial(raw.execute, f"INSERT INTO keyed VALUES ({MARKS})", row),
                partial(raw.execute, f"INSERT INTO plain VALUES (NULL, {MARKS})", row),
            )
            for work, taken in zip(works, times, strict=True):
                taken.append(_timed(work))
    return Rates(*(1 / statistics.median(taken) for taken in times))


PRAGMAS = ("PRAGMA journal_mode=WAL", "PRAGMA synchronous=FULL", "PRAGMA fullfsync=ON")
COLUMNS = (
    "id TEXT PRIMARY KEY, place, sequence, happened_at, recorded_at, who, what, payload, previous_hash, hash"
)
TABLES = (
    f"CREATE TABLE IF NOT EXISTS keyed ({COLUMNS}, UNIQUE (place, sequence))",
    f"CREATE TABLE IF NOT EXISTS plain (number INTEGER PRIMARY KEY, {COLUMNS.replace(' TEXT PRIMARY KEY', '')})",
)
MARKS = ", ".join("?" * 10)


def _draft(number: int) -> Draft:
    return Draft(now(), "T-01", "part.washed", {}, (Thing(f"P-{number % 60:02}0-0", "part"),))


def _timed(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


if __name__ == "__main__":
    main()
