"""What goes wrong in the reprocessing room, and what people do about it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from lungwort.demo.history import enrolments, planted
from lungwort.demo.history.agenda import Process
from lungwort.demo.history.evidence import Fault
from lungwort.demo.history.staff import LEADS, STORE
from lungwort.demo.history.unit import Unit, refused
from lungwort.records.life import cycles, parts, releases, supplies

FEW = 3
"""With fewer of a kind ready, an exception is thought of."""

WHY_EXCEPTED = (
    "no other one in the house; the printout of the autoclave was good, its logger was set too slow"
)
LAST_DAY = "cycles failed on the last day"
DEFECTS = ("crack at a cuff", "sticky and clouded", "connector loose", "surface pitted")


def steam_fault(unit: Unit) -> Fault:
    """Draw what goes wrong with a steam cycle, most often nothing; the first on the last day leaves something held."""
    if unit.agenda.now > unit.last_day and not unit.counts[LAST_DAY]:
        unit.counts[LAST_DAY] += 1
        return "air left"
    drawn, rates = unit.chance.random(), unit.rates
    faults: tuple[tuple[Fault, float], ...] = (
        ("air left", rates.air_left),
        ("hold cut short", rates.hold_cut_short),
        ("logged too seldom", rates.logged_too_seldom),
    )
    for fault, chance in faults:
        if drawn < chance:
            return fault
        drawn -= chance
    return ""


# ---- a cycle that was not proved ----


def after_unproved(unit: Unit, process: str, cycle: str, load: Sequence[str], outcome: str) -> None:
    """Answer a cycle that did not pass: its parts go back to the basket, but for one that cannot wait."""
    if unit.happens(unit.rates.released_too_soon):
        refused(unit, "proof", lambda: releases.release(unit.on_duty("technician"), list(load)))
    if process == "soak" and outcome == "failed":
        _bleach_found_weak(unit)
    unit.stock.soil(load)
    scarce = [part for part in load if len(unit.stock.shelf[unit.stock.kinds[part]]) < FEW]
    if outcome == "not shown" and scarce and unit.happens(unit.rates.exception_wanted):
        _except(unit, scarce[0])


def _bleach_found_weak(unit: Unit) -> None:
    supplies.hold_batch(unit.on_duty("technician"), unit.batches["Bleach"], "weaker than its label")
    unit.counts["batches held"] += 1
    enrolments.batch(unit, "Bleach")


def helped_out(unit: Unit, kind: str) -> bool:
    """Release one of a kind by exception where only its proof is wanting; tell whether there was one."""
    for part in unit.stock.basket[kind]:
        if unit.ledger.outcomes.get(unit.doubt.get(part, "")) == "not shown":
            _except(unit, part)
            return True
    return False


def _except(unit: Unit, part: str) -> None:
    first, second = (unit.witness(code) for code in LEADS)
    parts.dry(unit.on_duty("technician"), [part])
    refused(
        unit,
        "two people",
        lambda: releases.release_by_exception(first, first.who, [part], WHY_EXCEPTED),
    )
    releases.release_by_exception(first, second.who, [part], WHY_EXCEPTED)
    unit.counts["exceptions"] += 1
    unit.stock.basket[unit.stock.kinds[part]].remove(part)
    unit.stock.shelve([part])


# ---- the autoclave ----


def breaks_down(unit: Unit, cycle: str, load: Sequence[str], name: str) -> None:
    """Let the autoclave break just before a cycle: it is held, the load given up; an engineer mends it."""
    code, technician = unit.equipment[name], unit.on_duty("technician")
    supplies.hold_equipment(technician, code, "vacuum pump does not draw")
    refused(unit, "equipment", lambda: cycles.start(technician, cycle))
    cycles.abandon(technician, cycle, "autoclave out of service")
    unit.stock.soil(load)
    unit.held.add(name)
    unit.counts["autoclave out of service"] += 1
    unit.agenda.begin(_mended(unit, name, code), timedelta(days=unit.chance.uniform(0.6, 2.0)))


def _mended(unit: Unit, name: str, code: str) -> Process:
    yield unit.agenda.until(15.0)
    supplies.free_equipment(unit.on_duty("engineer"), code, "pump mended; vacuum test passed")
    planted.put_back(unit, name, code)


# ---- parts ----


def found_defective(unit: Unit, part: str, checks: Sequence[str] = ("look",)) -> None:
    """Record a defect on a part, which holds it; some days later it is mended, or withdrawn and replaced."""
    defect = unit.chance.choice(DEFECTS)
    parts.inspect(unit.on_duty("technician"), [part], checks, defect=defect)
    unit.doubt.pop(part, None)
    unit.counts["defects"] += 1
    unit.agenda.begin(_mended_or_replaced(unit, part), timedelta(days=unit.chance.uniform(0.5, 3.0)))


def _mended_or_replaced(unit: Unit, part: str) -> Process:
    yield unit.agenda.until(11.0)
    if unit.happens(unit.rates.repairable):
        parts.repair(unit.on_duty("engineer"), [part], "mended with the maker's spare")
        unit.stock.soil([part])
        unit.counts["repairs"] += 1
    else:
        replaced(unit, part, "beyond repair")


def replaced(unit: Unit, part: str, why: str) -> None:
    """Withdraw a part and enrol a new one of its kind, which begins its first turnaround."""
    parts.withdraw(unit.witness(STORE), [part], why)
    unit.counts["withdrawn"] += 1
    unit.stock.soil([enrolments.part(unit, unit.stock.kinds[part])])
