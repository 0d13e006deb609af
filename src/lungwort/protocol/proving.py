"""Proving a cycle by the hospital's protocol: the criteria it asks for, and what the evidence shows of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

from lungwort.errors import UnknownName
from lungwort.evidence.circumstances import Circumstances, circumstances_at
from lungwort.evidence.instrument import parse_sensor
from lungwort.evidence.judge import judge
from lungwort.evidence.log import Log
from lungwort.evidence.reading import Declared, read_hand, read_log_bytes
from lungwort.evidence.verdict import HeatVerdict
from lungwort.language import _
from lungwort.library.catalogue import find_criterion
from lungwort.library.criteria import Criterion, Process
from lungwort.protocol.document import Protocol
from lungwort.protocol.given import (
    Given,
    LeftOpenError,
    calibration_lapsed,
    circumstances_given,
    signed,
)
from lungwort.protocol.kinds import NEEDED, Kind, Step
from lungwort.protocol.people import Adoption

if TYPE_CHECKING:
    from lungwort.evidence.dryness import DrynessVerdict
    from lungwort.evidence.soak import SoakVerdict

__all__ = [
    "calibration_lapsed",
    "criteria_of",
    "in_words",
    "kind_named",
    "prove_dryness",
    "prove_hand",
    "prove_log",
    "prove_soak",
    "required_criteria",
    "treat_steps",
]

HEAT: tuple[Process, ...] = ("steam", "hot water")


# ---- what the protocol asks for ----


def required_criteria(
    protocol: Protocol, kinds: Iterable[str], equipment: str | None, setting: str | None, process: str
) -> tuple[str, ...]:
    """Return the names of the criteria that a cycle must meet for a load of these kinds of part.

    `process` is steam, hot water, soak or wipe. A step is the cycle's own by its process and, for steam, its autoclave
    and setting; for hot water, its bath; for a soak or a wipe, its stock, whose name `equipment` carries (a wipe may
    leave it None). All criteria of all such steps are needed, in order, each once; a wipe needs none.
    Raises UnknownName for a kind or a process that the protocol has not, or a kind that it does not treat so, and
    LeftOpenError for a step other than a wipe that names no criterion.
    """
    if process not in NEEDED:
        text = _("there is no process called {process!r}; give one of {allowed}")
        raise UnknownName(text.format(process=process, allowed=", ".join(NEEDED)))
    found: dict[str, None] = {}
    for name in dict.fromkeys(kinds):
        kind = kind_named(protocol, name)
        for place in _places(kind, process, equipment, setting):
            found |= dict.fromkeys(() if process == "wipe" else criteria_of(kind, place))
    return tuple(found)


def kind_named(protocol: Protocol, name: str) -> Kind:
    """Return the kind of part called `name` (any case); UnknownName lists the protocol's own where there is none."""
    kind = protocol.kind(name.strip())
    if kind is None:
        text = _("the protocol has no kind of part called {name!r}; it has: {names}")
        raise UnknownName(text.format(name=name, names="; ".join(k.name for k in protocol.kinds)))
    return kind


def treat_steps(kind: Kind) -> dict[int, Step]:
    """Return the steps that treat a kind, by their places counted from 1."""
    return {n: step for n, step in enumerate(kind.steps, 1) if step.process is not None}


def in_words(steps: Mapping[int, Step]) -> str:
    """Say treat steps by place, process, equipment or stock, and setting, as in "6: steam, Autoclave 1, 134"."""
    return "; ".join(f"{n}: {_way(s.process or s.do, _used(s), s.setting)}" for n, s in steps.items())


def criteria_of(kind: Kind, place: int) -> tuple[str, ...]:
    """Return the names of the criteria that prove a step of a kind; LeftOpenError where it names none."""
    names = kind.steps[place - 1].proved_by
    if not names:
        text = _("{kind}, step {n}, names no criterion that proves it; write proved_by there")
        raise LeftOpenError("criterion", text.format(kind=kind.name, n=place))
    return names


def _places(kind: Kind, process: str, equipment: str | None, setting: str | None) -> list[int]:
    """Return the places of the steps that treat a kind in just this way."""
    treats = treat_steps(kind)
    found = [n for n, step in treats.items() if _is_so(step, process, equipment, setting)]
    if not found:
        text = _(
            "the protocol does not treat {kind} with {asked}; it allows: {allowed}. Treat it in one of these ways, "
            "or have the protocol changed"
        )
        allowed = in_words(treats) or _("no treatment at all")
        asked = _way(process, equipment, setting)
        raise UnknownName(text.format(kind=kind.name, asked=asked, allowed=allowed))
    return found


def _is_so(step: Step, process: str, equipment: str | None, setting: str | None) -> bool:
    if step.process != process:
        return False
    if process == "wipe" and equipment is None:
        return True
    return _used(step) == equipment and (process != "steam" or step.setting == setting)


def _used(step: Step) -> str | None:
    return step.stock if step.process in ("soak", "wipe") else step.equipment


def _way(process: str, used: str | None, setting: str | None) -> str:
    return ", ".join(word for word in (_(process), used, setting) if word)


# ---- what the evidence shows ----


def prove_log(
    protocol: Protocol,
    criteria: Sequence[str],
    equipment: str | None,
    content: bytes,
    file_name: str,
    declared: Declared,
    on: date,
    *,
    sensor: str | None = None,
    pressure_error_kpa: float | None = None,
    adoptions: Sequence[Adoption] | None = None,
    others: bool = True,
) -> HeatVerdict:
    """Return what a logger's file shows of criteria of steam or hot water, in the air and by the thermometer listed.

    `criteria` by name; `content` the bytes of the file; `on` the day of the cycle, as of which adoptions and the
    calibration count. `sensor` describes another thermometer than the one listed for the equipment; without either,
    ±2.5 K is taken. `pressure_error_kpa` is the largest error of the pressure sensor, 5 kPa where None. `adoptions`
    stand in place of the document's where given; `others` False leaves out what other rules would say.
    Raises UnknownName for criteria that heat cannot show, LeftOpenError where several different thermometers are
    listed, UnreadableLog for a file that cannot be read without guessing.
    """
    asked = _asked(criteria, HEAT)
    given = Given(protocol, asked, equipment, on, listed=sensor is None, adoptions=adoptions)
    told = _told(sensor, pressure_error_kpa)
    return _judged_heat(given, read_log_bytes(content, file_name, declared), told, others)


def prove_hand(
    protocol: Protocol,
    criteria: Sequence[str],
    equipment: str | None,
    lines: Sequence[str],
    unit: str,
    on: date,
    *,
    sensor: str | None = None,
    adoptions: Sequence[Adoption] | None = None,
    others: bool = True,
) -> HeatVerdict:
    """Return what temperatures read by hand show, such as "14:05 78.5" in `unit` C, F or K; else as `prove_log`."""
    asked = _asked(criteria, HEAT)
    given = Given(protocol, asked, equipment, on, listed=sensor is None, adoptions=adoptions)
    return _judged_heat(given, read_hand(lines, unit), _told(sensor, None), others)


def prove_soak(
    protocol: Protocol,
    criteria: Sequence[str],
    lines: Sequence[str],
    on: date,
    *,
    adoptions: Sequence[Adoption] | None = None,
) -> SoakVerdict:
    """Return what a soak written down shows, such as "14:00 in; strip 1500 mg/L; 14:25 out"; `on` as in `prove_log`.

    Raises UnknownName for criteria of another process or of several agents, UnreadableLog for a line of no soak.
    """
    from lungwort.evidence.soak import judge_soak_lines

    asked = _asked(criteria, ("chemical",))
    given = Given(protocol, asked, None, on, adoptions=adoptions)
    return signed(given, judge_soak_lines(lines, asked), on)


def prove_dryness(
    protocol: Protocol,
    criteria: Sequence[str],
    line: str,
    on: date,
    *,
    adoptions: Sequence[Adoption] | None = None,
) -> DrynessVerdict:
    """Return what weights show, such as "dry 412 g; now 412.4 g; scale ±0.1 g"; `on` as in `prove_log`.

    Raises UnknownName for criteria of another process, UnreadableLog for what is no weight.
    """
    from lungwort.evidence.dryness import judge_dryness, read_weights

    asked = _asked(criteria, ("drying",))
    given = Given(protocol, asked, None, on, adoptions=adoptions)
    return signed(given, judge_dryness(read_weights([line]), asked), on)


def _asked(names: Sequence[str], processes: tuple[Process, ...]) -> tuple[Criterion, ...]:
    """Return criteria by name, each once, that evidence of these processes can show."""
    found = {criterion.name: criterion for criterion in map(find_criterion, names)}
    if not found:
        raise UnknownName(_("no criterion was named, so nothing can be shown; name one, such as A0-600"))
    for criterion in found.values():
        if criterion.process not in processes:
            text = _(
                "{name} is a criterion for {its}; this evidence can show criteria for {allowed} only. Give evidence "
                "of {its}, or have proved_by in the protocol mended"
            )
            allowed = ", ".join(_(process) for process in processes)
            raise UnknownName(text.format(name=criterion.name, its=_(criterion.process), allowed=allowed))
    return tuple(found.values())


def _told(sensor: str | None, pressure_error_kpa: float | None) -> Circumstances:
    described = None if sensor is None else parse_sensor(sensor)
    return circumstances_at(sensor=described, pressure_error_kpa=pressure_error_kpa)


def _judged_heat(given: Given, log: Log, told: Circumstances, others: bool) -> HeatVerdict:
    verdict = judge(log, given.criteria, circumstances_given(given, told), others=others)
    return signed(given, verdict, given.on)
