"""The biological indicator of the week: it goes with a steam load and is read two days later."""

from __future__ import annotations

from lungwort.demo.history import planted
from lungwort.demo.history.agenda import Process, minutes
from lungwort.demo.history.unit import Unit
from lungwort.records.life import cycles

EVERY_DAYS = 7
INCUBATED_H = 50.0
FEWEST_PARTS = 3


def may_carry(unit: Unit, process: str, cycle: str) -> None:
    """Let a steam load carry the week's indicator, if one is due and the load is not a small one."""
    enough = len(unit.ledger.loads[cycle]) >= FEWEST_PARTS
    if process == "steam" and enough and unit.agenda.day >= unit.indicator_due:
        unit.indicator_due = unit.agenda.day + EVERY_DAYS
        unit.agenda.begin(_read(unit, cycle), minutes(60 * INCUBATED_H))


def _read(unit: Unit, cycle: str) -> Process:
    """Read an indicator when the power is there and nobody is in the middle of a load."""
    yield from unit.power()
    while planted.stays_in_incubator(unit, cycle):
        yield planted.A_DAY
    while unit.room_busy:
        yield minutes(30)
    bad = planted.turns_out_bad(unit, cycle)
    result = "positive" if bad else "negative"
    note = "in the middle of the load; the untreated one beside it grew"
    unit.ledger.indicators[cycle] = result
    unit.counts[f"indicators: {result}"] += 1
    cycles.attach(unit.on_duty("technician"), cycle, "biological", result=result, note=note)
    if bad:
        yield from planted.answered(unit, cycle)
