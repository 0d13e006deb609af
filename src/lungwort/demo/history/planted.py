"""The planted failure: late in a history a cycle that passed by its log turns out bad by its indicator.

Which week's indicator it is depends on who had met the load by then, so that there is somebody to be found.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from lungwort.demo.history.agenda import Process
from lungwort.demo.history.ledger import FREED, exposed, since_last_negative
from lungwort.demo.history.staff import LEADS
from lungwort.demo.history.unit import Unit
from lungwort.records.life import judging, parts, supplies

LATE = timedelta(days=42)
A_PATIENT_LESS = timedelta(days=21)
"""The nearer the end, the fewer patients who met the load are enough."""

A_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Planted:
    """What is true of the planted failure by the simulation's own ledger.

    `patients` met a part of its load before the part's next proved cycle; `doubted` are its equipment's cycles from
    its last negative indicator to the next good sign, `since_last_negative` the patients who met their loads.
    """

    cycle: str
    equipment: str
    parts: tuple[str, ...]
    patients: tuple[str, ...]
    doubted: tuple[str, ...]
    since_last_negative: tuple[str, ...]


def turns_out_bad(unit: Unit, cycle: str) -> bool:
    """Tell whether this is the week's indicator that turns out positive."""
    left = unit.last_day - unit.agenda.now
    return _may_turn_bad(unit, cycle) and (left < A_DAY or _met(unit, cycle) > left // A_PATIENT_LESS)


def stays_in_incubator(unit: Unit, cycle: str) -> bool:
    """Tell whether an indicator is read a day later, since the end is near and nobody met its load yet."""
    near = A_DAY < unit.last_day - unit.agenda.now < A_PATIENT_LESS
    return near and _may_turn_bad(unit, cycle) and not _met(unit, cycle)


def _may_turn_bad(unit: Unit, cycle: str) -> bool:
    late = unit.last_day - unit.agenda.now < min(LATE, (unit.last_day - unit.agenda.began) / 2)
    return late and not unit.doubted_cycle and unit.ledger.outcomes[cycle] == "passed"


def _met(unit: Unit, cycle: str) -> int:
    return len(exposed(unit.ledger, [cycle]))


def answered(unit: Unit, cycle: str) -> Process:
    """Judge the cycle again, hold what may be touched and the autoclave; two days later free the autoclave."""
    unit.doubted_cycle = cycle
    verdict = judging.judge(unit.on_duty("technician"), cycle)
    unit.ledger.outcomes[cycle] = str(verdict.data["outcome"])
    name, code = _equipment(unit, cycle)
    supplies.hold_equipment(unit.on_duty("technician"), code, "biological indicator positive")
    unit.held.add(name)
    recalled = _recalled(unit, code, cycle)
    yield unit.agenda.until(10.0) + timedelta(days=1)
    if recalled:
        parts.lift_quarantine(unit.witness(LEADS[0]), recalled, "will be treated again")
        unit.stock.soil(recalled)
    found = "door seal changed; leak test and air removal test passed"
    supplies.free_equipment(unit.on_duty("engineer"), code, found)
    put_back(unit, name, code)


def put_back(unit: Unit, name: str, code: str) -> None:
    """Note that equipment is back in service, and that its next load carries an indicator."""
    unit.ledger.runs[code].append(FREED)
    unit.held.discard(name)
    unit.indicator_due = min(unit.indicator_due, unit.agenda.day)


def _equipment(unit: Unit, cycle: str) -> tuple[str, str]:
    found = ((name, code) for name, code in unit.equipment.items() if cycle in unit.ledger.runs[code])
    return next(found)


def _recalled(unit: Unit, equipment: str, cycle: str) -> list[str]:
    """Take from the shelf what the records hold already, and have the rest held that is in doubt; return that rest."""
    ledger, shelf = unit.ledger, unit.stock.shelf
    doubted = since_last_negative(ledger, equipment, cycle)
    ready = [code for codes in shelf.values() for code in codes if ledger.last_cycle(code) in doubted]
    own = [code for code in ready if ledger.last_cycle(code) == cycle]
    rest = [code for code in ready if code not in own]
    unit.stock.unshelve(ready)
    unit.stock.soil(own)
    if rest:
        parts.quarantine(unit.witness(LEADS[0]), rest, "treated since the last negative indicator")
    return rest


def planted_truth(unit: Unit) -> Planted | None:
    """Return what is true of the planted failure; None where the history was too short for one."""
    cycle, ledger = unit.doubted_cycle, unit.ledger
    if not cycle:
        return None
    _name, equipment = _equipment(unit, cycle)
    doubted = since_last_negative(ledger, equipment, cycle)
    load, met = ledger.loads[cycle], exposed(ledger, [cycle])
    return Planted(cycle, equipment, load, met, doubted, exposed(ledger, doubted))
