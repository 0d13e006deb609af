"""The first days: the place is opened, people and things are enrolled, and everything goes through its turnaround."""

from __future__ import annotations

from datetime import timedelta

from lungwort.demo.history import enrolments, machines, routine
from lungwort.demo.history.admissions import admissions
from lungwort.demo.history.reprocessing import room_days
from lungwort.demo.history.slips import power_cuts, wrong_lots, wrong_parts, wrong_set_ups
from lungwort.demo.history.staff import ADMINISTRATOR, AUDITOR, LEADS, STORE
from lungwort.demo.history.treatments import programmes
from lungwort.demo.history.unit import MACHINE, PACKETS, Unit, code_of
from lungwort.records.life import people, protocols, supplies

ROLES = {
    "technician": ["reprocessing"],
    "nurse": ["ward"],
    "engineer": ["technical"],
    "infection control": ["infection control lead"],
}
SOURCE = "National guideline, 2024 (invented)"
CALIBRATED_FOR = timedelta(days=220)
READY_AFTER = timedelta(days=2)


def open_unit(unit: Unit) -> None:
    """Open the place, enrol everybody and everything, and begin all that goes on from now."""
    people.open_place(unit.witness(LEADS[0]))
    _enrol_people(unit)
    unit.agenda.begin(routine.versions(unit))
    unit.agenda.run_until(unit.agenda.now)
    _adopt(unit)
    _train_people(unit)
    _enrol_things(unit)
    for process in (room_days(unit), machines.months(unit), power_cuts(unit)):
        unit.agenda.begin(process)
    for process in (wrong_parts(unit), wrong_set_ups(unit), wrong_lots(unit), admissions(unit)):
        unit.agenda.begin(process, READY_AFTER)


def _enrol_people(unit: Unit) -> None:
    first = unit.witness(LEADS[0])
    for role, codes in unit.staff.by_role.items():
        for code in codes:
            if code != first.who:
                people.enrol(first, code, ROLES[role])
    people.enrol(first, STORE, ["store"])
    people.enrol(first, ADMINISTRATOR, ["administrator"])
    people.enrol(first, AUDITOR, ["auditor"])


def _adopt(unit: Unit) -> None:
    named = (name for way in programmes(unit.protocol) for name in way.step.proved_by)
    for name in dict.fromkeys(named):
        protocols.adopt(unit.witness(LEADS[0]), name, SOURCE)


def _train_people(unit: Unit) -> None:
    """Train everybody; one technician's renewal will be forgotten, in a year or sooner."""
    forgetful = unit.staff.by_role["technician"][1]
    for role, codes in unit.staff.by_role.items():
        for code in codes:
            counts_for = unit.chance.randint(120, 365)
            course = routine.trainings(unit, code, role, counts_for, code == forgetful)
            unit.agenda.begin(course)
    unit.agenda.run_until(unit.agenda.now)


# ---- things ----


def _enrol_things(unit: Unit) -> None:
    for stock, days in routine.BATCH_DAYS.items():
        enrolments.batch(unit, stock)
        unit.agenda.begin(routine.batches(unit, stock), timedelta(days=days * unit.chance.random()))
    _enrol_equipment(unit)
    for _n in range(unit.size.sets[MACHINE]):
        machine = enrolments.part(unit, MACHINE)
        unit.calibrated[machine] = unit.agenda.now
        unit.agenda.begin(machines.turnaround(unit, machine))
        unit.agenda.begin(machines.calibrations(unit, machine))
    for kind in PACKETS:
        enrolments.box_of_packets(unit, kind)
    for kind, number in unit.size.sets.items():
        for _n in range(number if kind != MACHINE else 0):
            unit.stock.soil([enrolments.part(unit, kind, unit.chance.randrange(25))])


def _enrol_equipment(unit: Unit) -> None:
    protocol, engineer = unit.protocol, unit.on_duty("engineer")
    due = (unit.agenda.now + CALIBRATED_FOR).date()
    listed = (protocol.autoclaves, protocol.baths, protocol.scales)
    for name in (item.name for items in listed for item in items):
        unit.equipment[name] = code_of(supplies.enrol_equipment(engineer, name), "equipment")
    for meter in protocol.thermometers:
        enrolled = supplies.enrol_equipment(engineer, meter.name, calibration_due=due)
        unit.equipment[meter.name] = code_of(enrolled, "equipment")
        unit.agenda.begin(routine.calibrations(unit, meter.name, CALIBRATED_FOR))
