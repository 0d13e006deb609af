"""A machine between two patients: wiped by the nurse, tested by the engineer; and its duties by the calendar."""

from __future__ import annotations

from datetime import timedelta

from lungwort.demo.history.agenda import Process, minutes
from lungwort.demo.history.staff import LEADS
from lungwort.demo.history.unit import Unit
from lungwort.records.life import parts, releases

CALIBRATION = "Check calibration and battery"
MONTH = "Read the month's cycles, strips and failures, and answer them"
CALIBRATED_EVERY_DAYS, READ_EVERY_DAYS, LATE_BY_DAYS = 180, 30, 5
FIRST_HOUR, LAST_HOUR = 8, 16


def turnaround(unit: Unit, machine: str) -> Process:
    """Bring a machine from one patient to ready for the next."""
    yield minutes(unit.chance.uniform(30, 120))
    yield from unit.power()
    nurse = unit.on_duty("nurse")
    parts.take_apart(nurse, [machine])
    parts.wash(nurse, [machine])
    parts.wipe(nurse, [machine], batch=unit.batches["Alcohol"])
    parts.dry(nurse, [machine])
    if unit.happens(unit.rates.machine_defect):
        parts.inspect(nurse, [machine], ["look"], defect="cable frayed")
        yield from repaired(unit, machine)
        return
    parts.inspect(nurse, [machine], ["look"])
    yield _to_working_hours(unit)
    yield from unit.power()
    parts.inspect(unit.on_duty("engineer"), [machine], ["assemble", "test"])
    releases.release(unit.on_duty("nurse"), [machine])
    unit.stock.shelve([machine])


def repaired(unit: Unit, machine: str) -> Process:
    """Let an engineer repair a machine that is held, then bring it through its turnaround."""
    yield timedelta(days=unit.chance.uniform(0.3, 3.0))
    yield _to_working_hours(unit)
    parts.repair(unit.on_duty("engineer"), [machine], "mended and tested")
    unit.counts["repairs"] += 1
    yield from turnaround(unit, machine)


def _to_working_hours(unit: Unit) -> timedelta:
    working = FIRST_HOUR <= unit.agenda.now.hour < LAST_HOUR
    return minutes(45) if working else unit.agenda.until(FIRST_HOUR + 0.5)


def calibrate(unit: Unit, machine: str) -> None:
    """Record that a machine's calibration and battery were checked."""
    parts.do_duty(unit.on_duty("engineer"), machine, CALIBRATION)
    unit.calibrated[machine] = unit.agenda.now


def calibrations(unit: Unit, machine: str) -> Process:
    """Check a machine's calibration and battery in time, mostly; where it is late somebody may have had it done."""
    yield timedelta(days=unit.chance.uniform(20, CALIBRATED_EVERY_DAYS - 15))
    while True:
        yield unit.agenda.until(FIRST_HOUR + 1)
        calibrate(unit, machine)
        late = unit.happens(unit.rates.duty_late)
        yield timedelta(days=CALIBRATED_EVERY_DAYS + (LATE_BY_DAYS if late else -10))
        while unit.agenda.now - unit.calibrated[machine] < timedelta(days=CALIBRATED_EVERY_DAYS - 20):
            yield timedelta(days=CALIBRATED_EVERY_DAYS - 20)


def months(unit: Unit) -> Process:
    """Let the infection control lead read the month and answer it, machine by machine."""
    while True:
        yield timedelta(days=READ_EVERY_DAYS)
        for machine in unit.calibrated:
            parts.do_duty(unit.witness(LEADS[0]), machine, MONTH)
