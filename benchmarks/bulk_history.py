"""A long history of cycles and uses, written straight into the tables in the very form that `append` writes."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import islice
from pathlib import Path
from random import Random

from lungwort.records.chain.event import Draft, Event, Thing
from lungwort.records.chain.preparing import Head, next_event, prepare
from lungwort.records.connect import connect, disconnect
from lungwort.records.guards import sqlite_guards
from lungwort.records.states.kinds import CycleState, PartState
from lungwort.records.states.written import written
from lungwort.records.stores.tables import EVENTS, STATES, THINGS, Insert

PLACE = "Hill"
START = datetime(2001, 1, 1, tzinfo=UTC)
BETWEEN = timedelta(minutes=1)
GROUPS, SETS, PARTS = 60, 2, 3  # loads in rotation; set-ups a load; parts a set-up, beside its machine
TREATMENTS_A_LIFE = 100  # then a part is replaced, as makers demand
FAILS = 0.01
BATCH = 20_000


@dataclass
class Chain:
    """The end of the chain, and the clock."""

    head: Head
    now: datetime
    chance: Random

    def event(self, who: str, what: str, data: dict[str, object], things: list[Thing]) -> Event:
        """Return the next event."""
        self.now += BETWEEN
        draft = Draft(self.now, who, what, data, tuple(things))
        event = next_event(
            PLACE, self.head, prepare(draft), lambda _sha: None, self.now, self.chance.randbytes
        )
        self.head = Head(event.sequence, event.hash)
        return event


def fill(path: Path, count: int, seed: int = 1) -> list[str]:
    """Make a database with so many events of cycles and uses; return the cycles that failed."""
    connect(path, new=True)
    disconnect(path)
    failed: list[str] = []
    with closing(sqlite3.connect(path, isolation_level=None)) as raw:
        _loosen(raw)
        raw.execute("INSERT INTO records_place (code) VALUES (?)", [PLACE])
        told = _rounds(Chain(Head(), START, Random(seed)), failed)
        events = islice((event for one in told for event in one), count)
        while batch := list(islice(events, BATCH)):
            _write(raw, batch)
        _tighten(raw)
    return failed


def _rounds(chain: Chain, failed: list[str]) -> Iterator[list[Event]]:
    """Yield the events of one load after the other: out of use, treated, judged, in use again."""
    for number in range(10**9):
        group, life = number % GROUPS, number // GROUPS // TREATMENTS_A_LIFE
        parts = [f"P-{group:02}{k}-{life}" for k in range(SETS * PARTS)]
        load = [Thing(code, "part") for code in parts]
        bad = chain.chance.random() < FAILS
        cycle = f"C-{number}"
        if bad:
            failed.append(cycle)
        yield [
            *([] if number < GROUPS else _uses(chain, "set_up.disconnected", number - GROUPS)),
            *_treated(chain, cycle, number, load, bad),
            *_uses(chain, "set_up.connected", number),
        ]


def _treated(chain: Chain, cycle: str, number: int, load: list[Thing], bad: bool) -> list[Event]:
    things = [Thing(cycle, "cycle"), Thing(f"E-{number % 3}", "equipment"), *load]
    outcome = "failed" if bad else "passed"
    judged = {"process": "steam", "outcome": outcome, "criteria": {"steam-134C-3min": outcome}, "reasons": []}
    ended = chain.event("T-01", "cycle.ended", {"process": "steam"}, things)
    return [ended, chain.event("T-01", "cycle.judged", judged, things)]


def _uses(chain: Chain, what: str, number: int) -> list[Event]:
    group, life = number % GROUPS, number // GROUPS // TREATMENTS_A_LIFE
    return [
        chain.event(
            "N-04",
            what,
            {},
            [
                Thing(f"S-{number}-{k}", "set_up"),
                *(Thing(f"P-{group:02}{k * PARTS + i}-{life}", "part") for i in range(PARTS)),
                Thing(f"M-{group:02}{k}", "part"),
                Thing(f"R-{number}-{k}", "patient"),
                Thing(f"Ward {number % 4}", "ward"),
            ],
        )
        for k in range(SETS)
    ]


# ---- writing many rows ----


def _loosen(raw: sqlite3.Connection) -> None:
    for pragma in ("journal_mode=OFF", "synchronous=OFF", "cache_size=-400000"):
        raw.execute(f"PRAGMA {pragma}")
    for name, _statement in sqlite_guards():
        raw.execute(f"DROP TRIGGER IF EXISTS {name}")
    raw.execute("DROP INDEX thing_in_time")


def _tighten(raw: sqlite3.Connection) -> None:
    raw.execute(
        "CREATE INDEX thing_in_time ON records_event_thing (place, part, code, happened_at, sequence)"
    )
    for _name, statement in sqlite_guards():
        raw.execute(statement)


def _write(raw: sqlite3.Connection, events: list[Event]) -> None:
    raw.execute("BEGIN")
    raw.executemany(_statement(EVENTS), [event.columns() for event in events])
    rows = [
        (e.id, t["code"], t["part"], e.place, e.happened_at, e.sequence)
        for e in events
        for t in e.content["things"]
    ]
    raw.executemany(_statement(THINGS), rows)
    states = [_cycle_state(event) for event in events if event.what == "cycle.judged"]
    states += _part_states(events)
    raw.executemany(_statement(STATES), states)
    raw.execute("COMMIT")


def _statement(into: Insert) -> str:
    return into.statement().replace("%s", "?")


def _cycle_state(event: Event) -> tuple[str, ...]:
    code, equipment = (
        next(t.code for t in event.things if t.part == kind) for kind in ("cycle", "equipment")
    )
    parts = tuple(sorted(t.code for t in event.things if t.part == "part"))
    state = CycleState(
        code, "judged", event.happened_at, process="steam", equipment=equipment, parts=parts,
        ended_at=event.happened_at, outcome=event.data["outcome"], judged_by=event.who,
    )  # fmt: skip
    return PLACE, "cycle", code, state.status, written(state)


def _part_states(events: list[Event]) -> list[tuple[str, ...]]:
    """Return a state of each part as it was when last connected; enough to say where it is."""
    found: dict[str, tuple[str, ...]] = {}
    for event in events:
        if event.what == "set_up.connected":
            for code in (t.code for t in event.things if t.part == "part"):
                state = PartState(
                    code, "in use", event.happened_at, of_kind="Silicone circuit", machine=code[0] == "M"
                )
                found[code] = (PLACE, "part", code, "in use", written(state))
    return list(found.values())
