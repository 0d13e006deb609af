"""What comes round by the calendar: trainings, calibrations, batches, a new version of the protocol every year."""

from __future__ import annotations

from datetime import timedelta

from lungwort.demo.history import enrolments
from lungwort.demo.history.agenda import Process
from lungwort.demo.history.document import protocol_published
from lungwort.demo.history.staff import LEADS, STORE
from lungwort.demo.history.unit import Unit, refused
from lungwort.protocol.reading import parse_protocol
from lungwort.records.life import parts, people, protocols, supplies

A_YEAR = timedelta(days=365)
IN_TIME = timedelta(days=14)
BATCH_DAYS = {"Bleach": 14, "Alcohol": 60}


# ---- people ----


def trainings(unit: Unit, person: str, role: str, first_days: int, forgotten: bool) -> Process:
    """Train somebody, then again before that lapses, unless it is forgotten: then somebody else works until it is done.

    Args:
        unit: where.
        person: who is trained.
        role: for which of the protocol's roles.
        first_days: how long the first training counts.
        forgotten: whether the first renewal is.
    """
    counts_for = timedelta(days=first_days)
    while True:
        _train(unit, person, role, counts_for)
        yield max(counts_for - IN_TIME, timedelta(days=1))
        if forgotten:
            yield from _lapsed(unit, person, role)
        counts_for = A_YEAR
        forgotten = role == "technician" and unit.happens(unit.rates.renewal_forgotten)


def _train(unit: Unit, person: str, role: str, counts_for: timedelta) -> None:
    assessor = next(lead for lead in LEADS if lead != person)
    last_day = (unit.agenda.now + counts_for).date()
    people.train(unit.witness(assessor), person, role, passed=True, expires_on=last_day)


def _lapsed(unit: Unit, person: str, role: str) -> Process:
    """Let a training lapse: the first part the person would wash is refused, colleagues work until it is renewed."""
    yield IN_TIME + timedelta(days=1)
    unit.staff.away.add(person)
    unit.counts["trainings lapsed"] += 1
    while not any(unit.stock.basket.values()):
        yield timedelta(hours=3)
    dirty = [code for codes in unit.stock.basket.values() for code in codes]
    refused(unit, "training", lambda: parts.take_apart(unit.witness(person), dirty[:1]))
    yield timedelta(days=unit.chance.uniform(1, 4))
    unit.staff.away.discard(person)


# ---- things ----


def batches(unit: Unit, stock: str) -> Process:
    """Begin a new batch of a chemical every so often; the old one is used up."""
    while True:
        yield timedelta(days=BATCH_DAYS[stock])
        while unit.room_busy:
            yield timedelta(minutes=30)
        supplies.use_up_batch(unit.witness(STORE), unit.batches[stock])
        enrolments.batch(unit, stock)


def calibrations(unit: Unit, name: str, first: timedelta) -> Process:
    """Have an instrument calibrated a fortnight before that lapses."""
    yield first - IN_TIME
    while True:
        due = (unit.agenda.now + A_YEAR).date()
        supplies.calibrate(unit.on_duty("engineer"), unit.equipment[name], due)
        yield A_YEAR - IN_TIME


# ---- the protocol ----


def versions(unit: Unit) -> Process:
    """Publish the protocol, and a new version of it every year."""
    number = 1
    while True:
        publish(unit, f"{unit.agenda.now.year}-{number}")
        yield A_YEAR
        number += 1


def publish(unit: Unit, version: str) -> None:
    """Publish a version of the protocol; it is in force from now on."""
    text = protocol_published(unit.agenda.now.date(), version, unit.size.sets)
    protocols.publish(unit.witness(LEADS[0]), text)
    unit.document = parse_protocol(text).protocol
