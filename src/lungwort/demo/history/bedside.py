"""At the bedside: a set-up is joined, checked, connected; duties are done; the patient is disconnected."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from datetime import datetime, timedelta
from functools import partial
from typing import NamedTuple

from lungwort.demo.history import enrolments, machines, mishaps
from lungwort.demo.history.agenda import Process
from lungwort.demo.history.unit import MACHINE, PACKETS, POWER_CUT, InUse, Unit, code_of, refused
from lungwort.records.life import parts, set_ups

BATTERY = "Battery holds its charge"
SHORT_DAYS = 3


def stay(unit: Unit, patient: str, ward: str, kinds: Sequence[str], days: float) -> Process:
    """Let a patient be ventilated for some days; now and then the set-up is changed for another meanwhile."""
    yield from unit.power()
    leaves = unit.agenda.now + timedelta(days=days)
    set_up = _prepared(unit, kinds)
    if set_up is None:
        unit.counts["turned away: nothing ready"] += 1
        return
    _connect(unit, set_up, patient, ward)
    if days > SHORT_DAYS and unit.happens(unit.rates.set_up_changed):
        yield from _watched(unit, set_up.code, unit.agenda.now + timedelta(days=days / 2))
        set_up = yield from _changed(unit, set_up, patient, ward, kinds)
    yield from _watched(unit, set_up.code, leaves)
    yield from _disconnected(unit, set_up.code)


def _changed(
    unit: Unit, old: Ready, patient: str, ward: str, kinds: Sequence[str]
) -> Generator[timedelta, None, Ready]:
    """Change the set-up of a patient if another can be made ready; return the one that is used from now on."""
    yield from unit.power()
    new = _prepared(unit, kinds)
    if new is None:
        return old
    yield from _disconnected(unit, old.code)
    _connect(unit, new, patient, ward)
    unit.counts["set-ups changed"] += 1
    return new


# ---- joined, checked, connected ----


class Ready(NamedTuple):
    """A set-up that was joined and checked."""

    code: str
    machine: str
    parts: tuple[str, ...]


def _prepared(unit: Unit, kinds: Sequence[str]) -> Ready | None:
    """Join and check a set-up of what is ready; None where something is missing or no machine is fit."""
    for kind in PACKETS:
        if not unit.stock.shelf[kind]:
            enrolments.box_of_packets(unit, kind)
    if not all(mishaps.helped_out(unit, kind) for kind in unit.stock.missing(kinds)):
        return None
    chosen = unit.stock.take(kinds, unit.chance)
    found = _checked(unit, chosen)
    if found is None:
        unit.stock.shelve(chosen)
    return found


def _connect(unit: Unit, ready: Ready, patient: str, ward: str) -> None:
    set_ups.connect(unit.on_duty("nurse"), ready.code, patient, ward)
    unit.ledger.use(ready.parts, patient)
    unit.in_use[ready.code] = InUse(patient, ward, ready.machine, ready.parts)
    unit.counts["set-ups connected"] += 1


def _checked(unit: Unit, chosen: Sequence[str]) -> Ready | None:
    """Join parts with the first machine that is fit, and check; None where no machine is."""
    for machine in list(unit.stock.shelf[MACHINE]):
        unit.stock.unshelve([machine])
        if _overdue(unit, machine):
            refused(unit, "duty", partial(set_ups.join, unit.on_duty("nurse"), machine, chosen))
            unit.agenda.begin(_served(unit, machine))
            continue
        set_up = code_of(set_ups.join(unit.on_duty("nurse"), machine, chosen), "set_up")
        checks = _checks(unit, [machine, *chosen])
        if not unit.happens(unit.rates.check_fails):
            set_ups.check(unit.on_duty("nurse"), set_up, checks)
            return Ready(set_up, machine, tuple(chosen))
        _check_failed(unit, set_up, machine, checks)
    return None


def _check_failed(unit: Unit, set_up: str, machine: str, checks: Sequence[str]) -> None:
    nurse = unit.on_duty("nurse")
    set_ups.check(nurse, set_up, [what for what in checks if what != BATTERY], failed=[BATTERY])
    refused(unit, "check", lambda: set_ups.connect(nurse, set_up, "R-0001", "ICU"))
    set_ups.part_company(nurse, set_up)
    parts.inspect(nurse, [machine], ["look"], defect="battery does not hold its charge")
    unit.counts["checks failed"] += 1
    unit.agenda.begin(machines.repaired(unit, machine))


def _checks(unit: Unit, codes: Sequence[str]) -> list[str]:
    kinds = [unit.kind(unit.stock.kinds[code]) for code in codes]
    return list(dict.fromkeys(c.what for kind in kinds for c in kind.checks if c.when == "before use"))


def _overdue(unit: Unit, machine: str) -> bool:
    return unit.agenda.now > unit.calibrated[machine] + timedelta(days=machines.CALIBRATED_EVERY_DAYS)


def _served(unit: Unit, machine: str) -> Process:
    """Let an engineer do what was overdue on a machine that nobody may use meanwhile."""
    yield unit.agenda.until(9.0)
    machines.calibrate(unit, machine)
    unit.stock.shelve([machine])


# ---- in use ----


def _watched(unit: Unit, set_up: str, until: datetime) -> Process:
    """Do some of the round's duties until a moment."""
    duties = _duties(unit, set_up)
    apart_h = 24.0 / unit.size.duties_per_day if unit.size.duties_per_day > 0 else 1e6
    while unit.agenda.now < until:
        wait = timedelta(hours=apart_h * unit.chance.uniform(0.6, 1.4))
        yield min(wait, max(until - unit.agenda.now, timedelta()))
        if unit.agenda.now < until:
            _do_duty(unit, set_up, unit.chance.choice(duties))


def _duties(unit: Unit, set_up: str) -> list[str]:
    used = unit.in_use[set_up]
    kinds = [unit.kind(unit.stock.kinds[code]) for code in (used.machine, *used.parts)]
    return [duty.what for kind in kinds for duty in kind.duties if duty.every_h is not None]


def _do_duty(unit: Unit, set_up: str, duty: str) -> None:
    """Record a duty; while the power is off it is written on paper."""
    nurse = unit.on_duty("nurse")
    if unit.power_back is None:
        set_ups.do_duty(nurse, set_up, duty)
    else:
        later = nurse.afterwards(unit.agenda.now, POWER_CUT)
        unit.paper.append(lambda: set_ups.do_duty(later, set_up, duty))


def _disconnected(unit: Unit, set_up: str) -> Process:
    """Disconnect; while the power is off that is entered later. Then every part goes its way."""
    nurse = unit.on_duty("nurse")
    if unit.power_back is not None:
        nurse = nurse.afterwards(unit.agenda.now, POWER_CUT)
        yield from unit.power()
    set_ups.disconnect(nurse, set_up)
    unit.counts["entered late"] += bool(nurse.late)
    used = unit.in_use.pop(set_up)
    unit.stock.soil(code for code in used.parts if unit.stock.kinds[code] not in PACKETS)
    unit.agenda.begin(machines.turnaround(unit, used.machine))
