"""What people record wrongly, and how they set it right; and the days without power, entered from paper."""

from __future__ import annotations

from datetime import timedelta

from lungwort.demo.history import enrolments, mishaps
from lungwort.demo.history.agenda import Process
from lungwort.demo.history.staff import STORE
from lungwort.demo.history.unit import Unit
from lungwort.records.life import corrections, parts, set_ups

ALARMS = "Look at alarms and settings"
CUT_AT, CUT_H = 5.5, (8.0, 14.0)
FEWEST_IN_USE = 1
"""A power cut with nobody to be watched tells nothing."""


def power_cuts(unit: Unit) -> Process:
    """Let the power fail on a few days a year; what was written on paper meanwhile is entered when it is back."""
    yield timedelta(days=365 * unit.chance.uniform(0.15, 0.5))
    while True:
        yield unit.agenda.until(CUT_AT)
        if len(unit.in_use) >= FEWEST_IN_USE and not unit.room_busy:
            off = timedelta(hours=unit.chance.uniform(*CUT_H))
            unit.power_back = unit.agenda.now + off
            unit.counts["power cuts"] += 1
            yield off
            _enter_paper(unit)
            yield unit.days(365 / unit.rates.power_cuts_a_year)


def _enter_paper(unit: Unit) -> None:
    for entry in unit.paper:
        entry()
        unit.counts["entered late"] += 1
    unit.paper.clear()
    unit.power_back = None


def wrong_parts(unit: Unit) -> Process:
    """Now and then a technician records a defect on the part beside the broken one, and strikes that."""
    while True:
        yield unit.days(unit.rates.wrong_part_days)
        basket = [code for codes in unit.stock.basket.values() for code in codes]
        if len(basket) > 1 and not unit.room_busy and unit.power_back is None:
            _wrong_part(unit, *unit.chance.sample(basket, 2))


def _wrong_part(unit: Unit, wrong: str, right: str) -> None:
    technician = unit.on_duty("technician")
    event = parts.inspect(technician, [wrong], ["look"], defect="torn")
    corrections.strike(technician, event.id, "read the code of the part beside it")
    unit.counts["struck"] += 1
    unit.stock.basket[unit.stock.kinds[right]].remove(right)
    mishaps.found_defective(unit, right)


def wrong_set_ups(unit: Unit) -> Process:
    """Now and then a nurse records a duty on the neighbour's set-up, strikes that, and records it where it was done."""
    while True:
        yield unit.days(unit.rates.wrong_set_up_days)
        if len(unit.in_use) > 1 and unit.power_back is None:
            wrong, right = unit.chance.sample(sorted(unit.in_use), 2)
            nurse = unit.on_duty("nurse")
            event = set_ups.do_duty(nurse, wrong, ALARMS)
            corrections.strike(nurse, event.id, "it was the patient beside")
            set_ups.do_duty(nurse, right, ALARMS)
            unit.counts["struck"] += 1


def wrong_lots(unit: Unit) -> Process:
    """Now and then the storekeeper copies a lot wrongly, and corrects that."""
    while True:
        yield unit.days(unit.rates.wrong_lot_days)
        event = enrolments.batch(unit, "Bleach")
        told = {**event.data, "lot": f"{event.data['lot']}-2"}
        corrections.correct(unit.witness(STORE), event.id, "two boxes, two lots", data=told)
        unit.counts["corrected"] += 1
