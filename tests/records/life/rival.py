"""Somebody at a ward's own machine, who wants the same parts and set-ups as seven others at the same time."""

import json
import os
import sys
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from time import sleep

from lungwort.records.connect import connect
from lungwort.records.life import set_ups
from lungwort.records.life.reasons import Refused
from lungwort.records.life.witness import Book
from lungwort.records.stores.store import Store

WHERE = "ICU"


def compete(
    store: Store, place: str, who: int, plan: dict[str, Sequence[str]], begin: datetime
) -> list[list[str]]:
    """Try to connect one's own patient to every set-up, and to join every part; return what was won and what refused.

    Every refusal has its reasons and next steps; anything else that comes up is let through.
    """
    chance = Random(who)
    passed = iter(range(10_000))
    book = Book(store, place, lambda: begin + timedelta(seconds=next(passed)), os.urandom)
    nurse, told, reasons = book.witness("N-01"), [], []
    wanted = [("connect", code) for code in plan["set_ups"]] + [("join", code) for code in plan["parts"]]
    chance.shuffle(wanted)
    for what, code in wanted:
        try:
            if what == "connect":
                set_ups.connect(nurse, code, f"P-{who}-{code}", WHERE)
            else:
                set_ups.join(nurse, plan["machines"][who], [code])
            told.append([what, code, "won"])
        except Refused as refused:
            reasons += refused.reasons
            told.append([what, code, refused.reasons[0].rule])
    assert all(reason.says and reason.next_step for reason in reasons)
    return told


def main(database: str, place: str, who: str, plan: str, gate: str) -> None:
    """Wait until the gate opens, compete, and say what came of it."""
    store = connect(database)
    while not Path(gate).exists():
        sleep(0.01)
    found = compete(store, place, int(who), json.loads(plan), datetime(2026, 11, 21, tzinfo=UTC))
    sys.stdout.write(json.dumps(found))


if __name__ == "__main__":
    main(*sys.argv[1:])
