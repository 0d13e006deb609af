"""What a protocol says of a cycle to be proved: its criteria and their adoption, the place's air, the thermometer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TypeVar

from lungwort.cli.inputs import unusable
from lungwort.evidence.circumstances import WEATHER_KPA, Circumstances
from lungwort.evidence.verdict import CriterionVerdict, Verdict
from lungwort.language import _, number
from lungwort.library.catalogue import find_criterion
from lungwort.library.criteria import Criterion
from lungwort.protocol.document import Protocol
from lungwort.protocol.equipment import Thermometer
from lungwort.protocol.kinds import Kind, Step
from lungwort.protocol.reading import read_protocol

Judged = TypeVar("Judged", bound=Verdict)


@dataclass(frozen=True)
class Task:
    """One treat step of a kind, as a cycle to be proved; `place` counts the step from 1."""

    protocol: Protocol
    kind: Kind
    step: Step
    place: int
    criteria: tuple[Criterion, ...]
    today: date


def task_of(path: Path, part: str | None, step: int | None, named: Sequence[str] | None, today: date) -> Task:
    """Return the treat step to be proved, with the criteria named, or else its own."""
    protocol = read_protocol(path).protocol
    kind = _kind(protocol, part)
    place, treat = _treat(kind, step)
    names = tuple(dict.fromkeys(named or treat.proved_by))
    if not names:
        text = _(
            "{kind}, step {n}, names no criterion that proves it; write proved_by there, or give --criterion"
        )
        raise unusable(text.format(kind=kind.name, n=place))
    return Task(protocol, kind, treat, place, tuple(find_criterion(name) for name in names), today)


def _kind(protocol: Protocol, part: str | None) -> Kind:
    names = "; ".join(kind.name for kind in protocol.kinds)
    if part is None:
        raise unusable(
            _("say of which kind of part with --part; the protocol has: {names}").format(names=names)
        )
    kind = protocol.kind(part.strip())
    if kind is None:
        text = _("the protocol has no kind of part called {name!r}; it has: {names}")
        raise unusable(text.format(name=part, names=names))
    return kind


def _treat(kind: Kind, asked: int | None) -> tuple[int, Step]:
    """Return the treat step and its place, counted from 1."""
    treats = {n: step for n, step in enumerate(kind.steps, 1) if step.process not in (None, "wipe")}
    listed = "; ".join(f"{n}: {step.process}" for n, step in treats.items())
    if not treats:
        text = _("no step treats {kind} with steam, hot water or a soak, so there is nothing to prove")
        raise unusable(text.format(kind=kind.name))
    if asked is None and len(treats) > 1:
        text = _("several steps treat {kind}; say which with --step: {steps}")
        raise unusable(text.format(kind=kind.name, steps=listed))
    if asked is not None and asked not in treats:
        text = _("step {n} of {kind} treats nothing; give one of these with --step: {steps}")
        raise unusable(text.format(n=asked, kind=kind.name, steps=listed))
    place = asked or next(iter(treats))
    return place, treats[place]


# ---- what the place and its thermometers say ----


def known_here(task: Task, typed: Circumstances, air_typed: bool, sensor_typed: bool) -> Circumstances:
    """Return the circumstances with what the protocol knows, where nothing was typed.

    The protocol's air is the usual one, not the day's: the weather's error belongs to it, whoever read a barometer.
    """
    known = typed
    if not air_typed:
        air_kpa = task.protocol.place.air_pressure_kpa
        known = replace(known, air_pressure_kpa=air_kpa, air_pressure_error_kpa=WEATHER_KPA)
    thermometer = None if sensor_typed else _thermometer(task)
    return known if thermometer is None else replace(known, sensor=thermometer.described)


def _thermometer(task: Task) -> Thermometer | None:
    """Return the thermometer used on the step's equipment; None where none is listed."""
    found = [t for t in task.protocol.thermometers if task.step.equipment in t.used_on]
    if len({t.sensor for t in found}) > 1:
        text = _("several thermometers are used on {equipment} ({names}); say which with --sensor")
        names = "; ".join(f"{t.name}: {t.sensor}" for t in found)
        raise unusable(text.format(equipment=task.step.equipment, names=names))
    return found[0] if found else None


def signed(task: Task, verdict: Judged, air_typed: bool, sensor_typed: bool) -> Judged:
    """Return a verdict that says which criteria are adopted, and what was taken from the protocol."""
    return replace(
        verdict,
        criteria=tuple(_adopted(task, judged) for judged in verdict.criteria),
        assumptions=(*_taken(task, verdict, air_typed, sensor_typed), *verdict.assumptions),
    )


def _adopted(task: Task, judged: CriterionVerdict) -> CriterionVerdict:
    held = [a for a in task.protocol.adoptions if a.criterion == judged.criterion.name and a.on <= task.today]
    if not held:
        return judged
    last = max(held, key=lambda adoption: adoption.on)
    text = _("Adopted on {day} by {who} after {source}.")
    return replace(judged, adopted=text.format(day=last.on.isoformat(), who=last.by, source=last.source))


def _taken(task: Task, verdict: Verdict, air_typed: bool, sensor_typed: bool) -> list[str]:
    """Say what was taken from the protocol."""
    protocol = task.protocol
    text = _("From the protocol {title}, version {version}: {kind}, step {n}, to be proved by {names}.")
    said = [
        text.format(
            title=protocol.title,
            version=protocol.version,
            kind=task.kind.name,
            n=task.place,
            names=", ".join(c.name for c in task.criteria),
        )
    ]
    if task.step.process == "soak":
        return said
    if not air_typed:
        text = _("Air of {place} by the protocol: {air} kPa, give or take {error} kPa for the weather.")
        air = number(protocol.place.air_pressure_kpa)
        said.append(text.format(place=protocol.place.name, air=air, error=number(WEATHER_KPA, 0)))
    thermometer = None if sensor_typed else _thermometer(task)
    if thermometer is not None:
        said += _of_thermometer(thermometer, task, getattr(getattr(verdict, "log", None), "started", None))
    return said


def _of_thermometer(thermometer: Thermometer, task: Task, started: date | None) -> list[str]:
    text = _("Thermometer by the protocol: {name} on {equipment}, {sensor}.")
    said = [
        text.format(name=thermometer.name, equipment=task.step.equipment, sensor=thermometer.described.says)
    ]
    due = thermometer.calibration_due
    day = task.today if started is None else date(started.year, started.month, started.day)
    if due is not None and due < day:
        text = _(
            "Its calibration lapsed on {due}, before this cycle: that its error is still so is not shown."
        )
        said.append(text.format(due=due.isoformat()))
    return said
