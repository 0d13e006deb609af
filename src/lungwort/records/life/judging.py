"""Judging a recorded cycle: its evidence is computed to a verdict by the protocol version under which it was loaded."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from lungwort.errors import LungwortError, UnknownName
from lungwort.evidence.reading import Declared
from lungwort.evidence.verdict import HeatVerdict, Outcome, Verdict, worst
from lungwort.language import _
from lungwort.protocol.document import Protocol
from lungwort.protocol.people import Adoption
from lungwort.protocol.proving import prove_hand, prove_log, prove_soak, required_criteria
from lungwort.records.chain.event import Event
from lungwort.records.chain.identity import moment_text
from lungwort.records.life.cycles import things_of
from lungwort.records.life.deed import Proposal, do, gathered
from lungwort.records.life.known import PROTOCOL, known, protocol_kept
from lungwort.records.life.reasons import Reason, Refused
from lungwort.records.life.witness import Witness
from lungwort.records.states.kinds import (
    BatchState,
    CriterionState,
    CycleState,
    EquipmentState,
    ProtocolState,
)
from lungwort.records.states.view import View


@dataclass(frozen=True)
class Judgement:
    """What a cycle's evidence shows: overall, by criterion, and why it did not pass; the verdicts behind it."""

    outcome: str
    criteria: Mapping[str, str]
    reasons: tuple[str, ...]
    verdicts: tuple[Verdict, ...] = ()


@dataclass(frozen=True)
class Case:
    """What is to be judged: a cycle, its protocol, what treated by the protocol's name, the criteria asked for."""

    cycle: CycleState
    protocol: Protocol
    with_what: str
    criteria: tuple[str, ...]
    adoptions: tuple[Adoption, ...]

    @property
    def on(self) -> date:
        """The day on which the cycle ended."""
        return date.fromisoformat(self.cycle.ended_at[:10])


def judge(witness: Witness, cycle: str) -> Event:
    """Compute what a cycle's evidence shows and record the verdict; anything but passed holds its parts.

    May be asked again when evidence was added, as a biological indicator read days later; the last verdict counts.
    """
    view = witness.book.view()
    found = view.state(CycleState, cycle)
    told, against = _told(view, found) if found else ({}, ())

    def plan(now: View) -> Proposal:
        latest = known(now, CycleState, cycle)
        reasons = gathered(iter(against), _ended(latest), _same(found, latest))
        return Proposal(things_of(latest), told, reasons)

    return do(witness, "cycle.judged", plan, decides=True)


def _told(view: View, cycle: CycleState) -> tuple[dict[str, Any], tuple[Reason, ...]]:
    """Return what is recorded of a judgement, or why there is none."""
    try:
        judgement = judged(view, cycle)
    except Refused as refused:
        return {}, refused.reasons
    told = {
        "process": cycle.process,
        "outcome": judgement.outcome,
        "criteria": dict(judgement.criteria),
        "reasons": list(judgement.reasons),
        "evidence": list(cycle.evidence),
        "indicators": list(cycle.indicators),
        "software": _version(),
    }
    return told, ()


def _version() -> str:
    from lungwort import __version__

    return __version__


def _ended(cycle: CycleState) -> Iterator[Reason]:
    if cycle.status not in ("ended", "judged"):
        says = _("cycle {code} has not ended").format(code=cycle.code)
        yield Reason("cycle", says, _("record its end, attach its evidence, then judge it"))


def _same(seen: CycleState | None, latest: CycleState) -> Iterator[Reason]:
    if seen is None or (seen.evidence, seen.indicators) != (latest.evidence, latest.indicators):
        says = _("evidence was added to cycle {code} meanwhile").format(code=latest.code)
        yield Reason("evidence", says, _("judge it again"))
    elif _treated_alike(seen) != _treated_alike(latest):
        says = _("what is recorded of cycle {code} was changed meanwhile").format(code=seen.code)
        yield Reason("evidence", says, _("judge it again"))


def _treated_alike(cycle: CycleState) -> tuple[object, ...]:
    """Return all of a cycle that a judgement depends on beside its evidence."""
    how = (cycle.process, cycle.equipment, cycle.setting, cycle.batch, cycle.protocol)
    return (*how, cycle.parts, cycle.part_kinds, cycle.started_at, cycle.ended_at)


# ---- what the evidence shows ----


def judged(view: View, cycle: CycleState) -> Judgement:
    """Return what a cycle's evidence shows, without recording it.

    Passed: every criterion of every kind in the load was shown by every piece of evidence; no indicator was positive.
    Raises Refused where the cycle cannot be judged: not ended, or nothing says what was treated and how.
    """
    if not cycle.ended_at:
        raise Refused(_ended(cycle))
    try:
        case = _case(view, cycle)
    except LungwortError as error:
        raise Refused([_no_case(cycle, error)]) from error
    verdicts, unread = _verdicts(view, case)
    by_criterion = {name: _of(name, verdicts) for name in case.criteria}
    positive = [entry.split(":")[0] for entry in cycle.indicators if entry.split(":")[1] == "positive"]
    outcomes = [*by_criterion.values(), *([Outcome.NOT_SHOWN] if unread else [])]
    outcome = Outcome.FAILED if positive else worst(outcomes)
    reasons = [*(_("{kind} indicator positive").format(kind=kind) for kind in positive), *unread]
    reasons += [] if verdicts else [_("no evidence is attached that could show it")]
    reasons += _why_not(verdicts)
    return Judgement(
        str(outcome), {n: str(o) for n, o in by_criterion.items()}, tuple(reasons), tuple(verdicts)
    )


def shown_by(
    view: View,
    cycle: CycleState,
    kind: str,
    content: bytes,
    name: str,
    declared: Mapping[str, Any] | None = None,
) -> Verdict:
    """Return what one piece of evidence would show of a cycle that may still run; nothing is recorded.

    Args:
        view: the place.
        cycle: begun or ended.
        kind: log, hand or strip.
        content: of the file.
        name: of the file.
        declared: as `attach` takes it.

    Raises LungwortError where it cannot be read, or nothing says what the cycle must show.
    """
    case = _case(view, replace(cycle, ended_at=cycle.ended_at or moment_text(view.now)))
    return _JUDGES[kind](case, content, name, {"declared": dict(declared or {})})


def _no_case(cycle: CycleState, error: LungwortError) -> Reason:
    says = _("what cycle {code} must show is not known: {why}")
    says = says.format(code=cycle.code, why=str(error).rstrip("."))
    return Reason("protocol", says, _("correct what is recorded of its load"), firm=True)


def _of(name: str, verdicts: Sequence[Verdict]) -> Outcome:
    return worst(c.outcome for verdict in verdicts for c in verdict.criteria if c.criterion.name == name)


def _why_not(verdicts: Sequence[Verdict]) -> list[str]:
    findings = [f for verdict in verdicts for f in verdict.findings]
    return list(dict.fromkeys(f.says for f in findings if f.required and f.outcome != Outcome.PASSED))


def _case(view: View, cycle: CycleState) -> Case:
    protocols = known(view, ProtocolState, PROTOCOL)
    if cycle.protocol not in protocols.versions or not cycle.part_kinds:
        raise UnknownName(_("nothing that stands says what was in its load, and by which protocol"))
    protocol = protocol_kept(view, protocols.versions[cycle.protocol])
    with_what, asked = "", (cycle.setting or None, cycle.process)
    if cycle.equipment:
        with_what = known(view, EquipmentState, cycle.equipment).name
    elif cycle.batch:
        with_what = known(view, BatchState, cycle.batch).stock
    criteria = required_criteria(protocol, cycle.part_kinds, with_what or None, *asked)
    return Case(cycle, protocol, with_what, criteria, tuple(_adoptions(view, criteria)))


def _adoptions(view: View, criteria: Sequence[str]) -> Iterator[Adoption]:
    for name in criteria:
        state = view.state(CriterionState, name)
        if state is not None and state.status == "adopted":
            yield Adoption(criterion=name, by=state.by, on=date.fromisoformat(state.on), source=state.source)


def _verdicts(view: View, case: Case) -> tuple[list[Verdict], list[str]]:
    """Return the verdict of each piece of evidence, and sentences about those that could not be read."""
    verdicts: list[Verdict] = []
    unread: list[str] = []
    for fact in view.facts("cycle", case.cycle.code):
        judge_one = _JUDGES.get(fact.data.get("kind", ""))
        if fact.what != "cycle.evidence_attached" or judge_one is None:
            continue
        for file in fact.event.content["evidence"]:
            name = file.get("given_name", file["file_name"])
            try:
                verdict = judge_one(case, view.evidence(file["sha256"]), name, fact.data)
                verdicts.append(verdict)
                unread += _of_another_day(case.cycle, verdict, name)
            except LungwortError as error:
                unread.append(_("{file} cannot be judged: {why}").format(file=name, why=error))
    return verdicts, unread


def _of_another_day(cycle: CycleState, verdict: Verdict, name: str) -> list[str]:
    """Say where a log's own date is not that of its cycle, give or take a day for zones and clocks a little wrong."""
    begun = verdict.log.started if isinstance(verdict, HeatVerdict) else None
    if begun is None:
        return []
    first, last = (
        date.fromisoformat(text[:10]) for text in (cycle.started_at or cycle.ended_at, cycle.ended_at)
    )
    if first - _A_DAY <= date(begun.year, begun.month, begun.day) <= last + _A_DAY:
        return []
    says = _(
        "{file} was begun on {day}, the cycle ran on {ran}: that it is the log of this cycle is not shown"
    )
    return [says.format(file=name, day=begun.date().isoformat(), ran=last.isoformat())]


_A_DAY = timedelta(days=1)


def _by_log(case: Case, content: bytes, name: str, told: Mapping[str, Any]) -> Verdict:
    given: dict[str, Any] = dict(told.get("declared", {}))
    given = {key: tuple(value) if isinstance(value, list) else value for key, value in given.items()}
    sensor, error_kpa = given.pop("sensor", None), given.pop("pressure_error_kpa", None)
    return prove_log(
        case.protocol,
        case.criteria,
        case.with_what or None,
        content,
        name,
        Declared(**given),
        case.on,
        sensor=sensor,
        pressure_error_kpa=error_kpa,
        adoptions=case.adoptions,
        others=False,
    )


def _by_hand(case: Case, content: bytes, _name: str, told: Mapping[str, Any]) -> Verdict:
    unit, lines = told.get("declared", {}).get("unit", "C"), _lines(content)
    return prove_hand(
        case.protocol,
        case.criteria,
        case.with_what or None,
        lines,
        unit,
        case.on,
        adoptions=case.adoptions,
        others=False,
    )


def _by_strip(case: Case, content: bytes, _name: str, _told: Mapping[str, Any]) -> Verdict:
    return prove_soak(case.protocol, case.criteria, _lines(content), case.on, adoptions=case.adoptions)


def _lines(content: bytes) -> list[str]:
    return [line for line in content.decode("utf-8", "replace").splitlines() if line.strip()]


_JUDGES: Mapping[str, Callable[[Case, bytes, str, Mapping[str, Any]], Verdict]] = {
    "log": _by_log,
    "hand": _by_hand,
    "strip": _by_strip,
}
"""By kind of evidence; an indicator is not computed but counts as read."""
