"""Judging: criteria applied to a log give a verdict."""

from __future__ import annotations

from collections.abc import Sequence

from lungwort.evidence.circumstances import PRESSURE_UNSTATED_KPA, Circumstances
from lungwort.evidence.lethality_proof import channel_figures
from lungwort.evidence.log import Log
from lungwort.evidence.rules import RULES
from lungwort.evidence.rules.agreement import judge_setting
from lungwort.evidence.verdict import CriterionVerdict, Finding, HeatVerdict
from lungwort.evidence.view import View
from lungwort.language import _, number
from lungwort.library.criteria import Criterion, measured_criteria


def judge(log: Log, criteria: Sequence[Criterion], circumstances: Circumstances) -> HeatVerdict:
    """Return what a log shows of each criterion, and what the other published rules of the process would say.

    Passed: shown at `circumstances.confidence`, one-sided. Failed: shown not to meet it. Not shown: neither.
    """
    view = View(log, circumstances)
    return HeatVerdict(
        criteria=tuple(judge_criterion(view, c) for c in criteria),
        others=tuple(judge_criterion(view, c) for c in _others(criteria)),
        channels=tuple(channel_figures(view, c) for c in log.temperatures),
        assumptions=(*log.assumptions, *_assumed(view)),
        confidence=circumstances.confidence,
        log=log,
        circumstances=circumstances,
    )


def judge_criterion(view: View, criterion: Criterion) -> CriterionVerdict:
    """Return the findings of every limit of one criterion, in the criterion's order."""
    found: list[Finding] = [RULES[limit.rule](view, limit, criterion) for limit in criterion.limits]
    setting = judge_setting(view, criterion)
    return CriterionVerdict(criterion, (*found, *([setting] if setting else [])))


def _others(criteria: Sequence[Criterion]) -> tuple[Criterion, ...]:
    processes, asked = {c.process for c in criteria}, {c.name for c in criteria}
    routine = (c for c in measured_criteria() if c.use == "routine")
    return tuple(c for c in routine if c.process in processes and c.name not in asked)


def _assumed(view: View) -> list[str]:
    """Return what judging itself assumed: the sensor, the pressure gauge, the silence between readings."""
    said = []
    if not view.circumstances.sensor.stated:
        said.append(
            _("Thermometer: {says}. State it with --sensor.").format(says=view.circumstances.sensor.says)
        )
    if view.log.pressures and view.circumstances.pressure_error_kpa is None:
        text = _("Pressure gauge: not stated; ±{kpa} kPa taken.")
        said.append(text.format(kpa=number(PRESSURE_UNSTATED_KPA, 0)))
    if len(view.log.pressures) > 1:
        text = _("Of {count} pressure columns the first, {name}, is held against the steam.")
        said.append(text.format(count=len(view.log.pressures), name=view.log.pressures[0].name))
    said.extend(_gaps(view))
    said.append(
        _("Between two readings it is taken that the temperature did not fall below the lower of both.")
    )
    return said


def _gaps(view: View) -> list[str]:
    if len(view.elapsed_s) < 2:
        return []
    pauses = view.elapsed_s[1:] - view.elapsed_s[:-1]
    gaps = pauses[pauses > view.longest_gap_s]
    if not len(gaps):
        return []
    text = _(
        "{count} gap(s) longer than {limit} s in the readings, {total} min in all: nothing is proved across them."
    )
    return [
        text.format(
            count=len(gaps), limit=number(view.longest_gap_s, 0), total=number(float(gaps.sum()) / 60)
        )
    ]
