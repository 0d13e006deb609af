"""A day in the reprocessing room: from the basket of dirty parts to the shelf."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from datetime import timedelta

from lungwort.demo.history import mishaps
from lungwort.demo.history.agenda import Process, minutes
from lungwort.demo.history.treatments import loads_of, programmes, treat
from lungwort.demo.history.unit import Unit
from lungwort.protocol.kinds import Kind
from lungwort.records.life import parts, releases

BEGINS_AT, LATEST_AT = 7.5, 16


def room_days(unit: Unit) -> Process:
    """Work through the basket every morning; after a power cut later in the day, or not at all."""
    while True:
        yield unit.agenda.until(BEGINS_AT)
        yield from unit.power()
        if unit.agenda.now.hour < LATEST_AT:
            unit.room_busy = True
            yield from _session(unit)
            unit.room_busy = False


def _session(unit: Unit) -> Process:
    ways = [way for way in programmes(unit.protocol) if way.with_what not in unit.held]
    dirty = _without_worn(unit, unit.stock.empty_basket([kind for way in ways for kind in way.kinds]))
    if not dirty:
        return
    clean = yield from _cleaned(unit, dirty)
    for way in ways:
        mine = [part for part in clean if unit.stock.kinds[part] in way.kinds]
        for number, load in enumerate(loads_of(mine, way.process), 1):
            if way.with_what in unit.held:
                unit.stock.soil(load)
            elif (yield from treat(unit, way, load, number)):
                unit.agenda.begin(_finished(unit, load))


def _without_worn(unit: Unit, codes: Sequence[str]) -> list[str]:
    """Return parts without those treated as often as their maker allows; these are replaced."""
    worn = [code for code in codes if unit.stock.treatments[code] >= _most(unit.kind(unit.stock.kinds[code]))]
    for code in worn:
        mishaps.replaced(unit, code, "treated as often as its maker allows")
    return [code for code in codes if code not in worn]


def _most(kind: Kind) -> float:
    return min((m.cycles_at_most for m in kind.makers if m.cycles_at_most is not None), default=float("inf"))


# ---- before the treatment ----


def _cleaned(unit: Unit, dirty: Sequence[str]) -> Generator[timedelta, None, list[str]]:
    """Take parts apart, wash, dry and look at them; return those without a defect."""
    technician = unit.on_duty("technician")
    parts.take_apart(technician, dirty)
    yield minutes(10)
    parts.wash(technician, dirty)
    for part in dirty:
        unit.doubt.pop(part, None)
    yield minutes(35)
    if early := [part for part in dirty if _dried_early(unit.kind(unit.stock.kinds[part]))]:
        parts.dry(technician, early)
    bad = [part for part in dirty if unit.happens(unit.rates.part_defect)]
    for part in bad:
        mishaps.found_defective(unit, part)
    good = [part for part in dirty if part not in bad]
    if good:
        parts.inspect(technician, good, ["look"])
    yield minutes(10)
    return good


def _dried_early(kind: Kind) -> bool:
    done = [step.do for step in kind.steps]
    return "dry" in done[: done.index("treat")]


# ---- after the treatment ----


def _finished(unit: Unit, load: Sequence[str]) -> Process:
    """Dry parts, assemble, test and release them, and put them on the shelf."""
    yield minutes(60)
    yield from unit.power()
    technician = unit.on_duty("technician")
    parts.dry(technician, load)
    by_engineer = [part for part in load if _tester(unit.kind(unit.stock.kinds[part])) == "engineer"]
    own = [part for part in load if part not in by_engineer]
    yield minutes(15)
    if own:
        parts.inspect(technician, own, ["assemble", "test"])
    if by_engineer:
        parts.inspect(technician, by_engineer, ["assemble"])
        yield minutes(60)
        parts.inspect(unit.on_duty("engineer"), by_engineer, ["test"])
    yield minutes(5)
    releases.release(technician, load)
    unit.stock.shelve(load)


def _tester(kind: Kind) -> str:
    return next((step.by for step in kind.steps if step.do == "test"), "")
