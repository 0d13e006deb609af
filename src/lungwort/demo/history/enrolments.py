"""Enrolling things: parts, packets, machines, batches of chemicals."""

from __future__ import annotations

from datetime import timedelta

from lungwort.demo.history.staff import STORE
from lungwort.demo.history.unit import MACHINE, Unit, code_of
from lungwort.records.chain.event import Event
from lungwort.records.life import parts, supplies

BOX = 12
PACKETS_KEEP_DAYS = 700
BATCH_KEEPS_DAYS = {"Bleach": 30, "Alcohol": 180}


def part(unit: Unit, kind: str, treatments: int = 0) -> str:
    """Enrol a part or a machine, with the treatments it went through before; return its code."""
    by = unit.on_duty("engineer") if kind == MACHINE else unit.witness(STORE)
    serial = f"{kind[:2].upper()}{unit.chance.randrange(10**6):06}" if kind == MACHINE else ""
    code = code_of(parts.enrol(by, kind, serial=serial, cycles=treatments), "part")
    unit.stock.kinds[code] = kind
    unit.stock.treatments[code] = treatments
    return code


def box_of_packets(unit: Unit, kind: str) -> None:
    """Enrol a box of single-patient parts in their packets, which are ready as they come."""
    last_day = (unit.agenda.now + timedelta(days=PACKETS_KEEP_DAYS)).date()
    for _n in range(BOX):
        code = code_of(parts.enrol(unit.witness(STORE), kind, expires_on=last_day), "part")
        unit.stock.kinds[code] = kind
        unit.stock.shelve([code])


def batch(unit: Unit, stock: str) -> Event:
    """Enrol a new batch of a chemical, which is used from now on."""
    today = unit.agenda.now.date()
    last_day = today + timedelta(days=BATCH_KEEPS_DAYS[stock])
    lot = f"{stock[0]}{unit.chance.randrange(1000):03}"
    enrolled = supplies.enrol_batch(
        unit.witness(STORE), stock, lot=lot, made_on=today - timedelta(days=2), expires_on=last_day
    )
    unit.batches[stock] = code_of(enrolled, "batch")
    return enrolled
