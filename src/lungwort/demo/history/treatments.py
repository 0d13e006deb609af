"""Treatments: which kinds go into one load, and one load through its cycle up to the verdict."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from lungwort.demo.history import evidence, indicators, mishaps
from lungwort.demo.history.agenda import minutes
from lungwort.demo.history.unit import TREATED, Unit, code_of
from lungwort.protocol.document import Protocol
from lungwort.protocol.kinds import Kind, Step
from lungwort.records.life import cycles, judging

Process = Literal["steam", "hot water", "soak"]
MOST_PARTS = {"steam": 12, "hot water": 8, "soak": 8}
STRENGTH_AS_MADE = (1090.0, 1180.0)
STRENGTH_WEAK = (640.0, 860.0)
"""mg/L by titration, of a solution meant to have 1000."""


@dataclass(frozen=True)
class Programme:
    """One way to treat, by the protocol's words; `with_what` is the equipment or the stock."""

    process: Process
    with_what: str
    setting: str
    kinds: tuple[str, ...]
    step: Step


def programmes(protocol: Protocol) -> tuple[Programme, ...]:
    """Return the ways in which the protocol treats the kinds in use here, the shortest first."""
    found: dict[tuple[str, str, str], list[tuple[Kind, Step]]] = {}
    for kind in (k for k in protocol.kinds if k.name in TREATED):
        for step in (s for s in kind.steps if s.do == "treat"):
            key = (step.process or "", step.equipment or step.stock or "", step.setting or "")
            found.setdefault(key, []).append((kind, step))
    made = [_programme(key, pairs) for key, pairs in found.items()]
    return tuple(sorted(made, key=lambda programme: (programme.step.minutes, programme.setting)))


def _programme(key: tuple[str, str, str], pairs: Sequence[tuple[Kind, Step]]) -> Programme:
    process, with_what, setting = key
    kinds = tuple(kind.name for kind, _step in pairs)
    return Programme(process, with_what, setting, kinds, pairs[0][1])  # type: ignore[arg-type]  # never a wipe


# ---- one load ----


def treat(
    unit: Unit, programme: Programme, parts: Sequence[str], load: int = 1
) -> Generator[timedelta, None, bool]:
    """Put parts in a load, run its cycle, attach its evidence, judge it; return whether it passed.

    `load` counts the loads of one solution. Where the autoclave breaks, the load is given up and nothing passed.
    """
    technician = unit.on_duty("technician")
    equipment, batch = _equipment(unit, programme), _batch(unit, programme)
    loaded = cycles.load(
        technician, parts, programme.process, equipment=equipment, setting=programme.setting, batch=batch
    )
    cycle = code_of(loaded, "cycle")
    if equipment and programme.process == "steam" and unit.happens(unit.rates.autoclave_breaks):
        mishaps.breaks_down(unit, cycle, parts, programme.with_what)
        return False
    yield minutes(2)
    cycles.start(technician, cycle)
    began = unit.agenda.now
    yield minutes(_lasts_min(programme))
    cycles.end(technician, cycle)
    _note(unit, cycle, parts, equipment)
    yield minutes(3)
    _attach(unit, programme, cycle, began, load)
    return _judge(unit, programme, cycle, parts)


def _equipment(unit: Unit, programme: Programme) -> str:
    return "" if programme.process == "soak" else unit.equipment[programme.with_what]


def _batch(unit: Unit, programme: Programme) -> str:
    return unit.batches[programme.with_what] if programme.process == "soak" else ""


def _lasts_min(programme: Programme) -> float:
    step = programme.step
    if programme.process == "steam":
        return 20.0 if programme.setting.startswith("134") else 38.0
    return (step.hold_min or step.contact_min or 20.0) + 6.0


def _note(unit: Unit, cycle: str, parts: Sequence[str], equipment: str) -> None:
    unit.ledger.treat(cycle, parts, equipment)
    unit.counts["cycles"] += 1
    for part in parts:
        unit.stock.treatments[part] += 1


def _judge(unit: Unit, programme: Programme, cycle: str, parts: Sequence[str]) -> bool:
    outcome = str(judging.judge(unit.on_duty("technician"), cycle).data["outcome"])
    unit.ledger.outcomes[cycle] = outcome
    unit.counts[f"cycles: {outcome}"] += 1
    if outcome == "passed":
        for part in parts:
            unit.doubt.pop(part, None)
        indicators.may_carry(unit, programme.process, cycle)
        return True
    unit.doubt |= dict.fromkeys(parts, cycle)
    mishaps.after_unproved(unit, programme.process, cycle, parts, outcome)
    return False


# ---- its evidence ----


def _attach(unit: Unit, programme: Programme, cycle: str, began: datetime, load: int) -> None:
    kind, name, content = _EVIDENCE[programme.process](unit, programme, began, load)
    declared = {"pressure_error_kpa": evidence.PRESSURE_ERROR_KPA} if kind == "log" else None
    file = evidence.attached(cycle, name, content)
    cycles.attach(unit.on_duty("technician"), cycle, kind, [file], declared=declared)


def _log(unit: Unit, programme: Programme, began: datetime, load: int) -> tuple[str, str, bytes]:
    autoclave = next(a for a in unit.protocol.autoclaves if a.name == programme.with_what)
    setting = autoclave.setting(programme.setting)
    assert setting is not None
    fault = mishaps.steam_fault(unit)
    return "log", "log.csv", evidence.steam_log(setting, fault, began, unit.chance, unit.noise)


def _by_hand(unit: Unit, programme: Programme, began: datetime, load: int) -> tuple[str, str, bytes]:
    often, step = not unit.happens(unit.rates.bath_read_too_seldom), programme.step
    assert step.temperature_c is not None
    assert step.hold_min is not None
    content = evidence.bath_lines(step.temperature_c, step.hold_min, often, began, unit.chance)
    return "hand", "bath.txt", content


def _strip(unit: Unit, programme: Programme, began: datetime, load: int) -> tuple[str, str, bytes]:
    weak = unit.happens(unit.rates.bleach_weak)
    strength = unit.chance.uniform(*(STRENGTH_WEAK if weak else STRENGTH_AS_MADE))
    content = evidence.soak_lines(programme.step.contact_min or 20.0, strength, load, began, unit.chance)
    return "strip", "soak.txt", content


_EVIDENCE: dict[str, Callable[[Unit, Programme, datetime, int], tuple[str, str, bytes]]] = {
    "steam": _log,
    "hot water": _by_hand,
    "soak": _strip,
}


def loads_of(parts: Iterable[str], process: Process) -> list[list[str]]:
    """Return parts in loads as large as a process takes."""
    listed, most = list(parts), MOST_PARTS[process]
    return [listed[at : at + most] for at in range(0, len(listed), most)]
