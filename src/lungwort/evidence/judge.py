"""Judging: criteria applied to a log give a verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lungwort.errors import UnreadableLog
from lungwort.evidence.circumstances import PRESSURE_UNSTATED_KPA, Circumstances
from lungwort.evidence.instrument import coarser
from lungwort.evidence.lethality_proof import channel_figures
from lungwort.evidence.log import Log
from lungwort.evidence.resolution import coarsest_step_k
from lungwort.evidence.rules import RULES
from lungwort.evidence.rules.agreement import judge_setting
from lungwort.evidence.verdict import CriterionVerdict, Finding, HeatVerdict
from lungwort.evidence.view import View
from lungwort.language import _, ngettext, number
from lungwort.library.criteria import Criterion, measured_criteria
from lungwort.science.atmosphere import boiling_point_c
from lungwort.science.constants import STANDARD_PRESSURE_KPA
from lungwort.science.lethality import A0_FLOOR_C, A0_REFERENCE_C


def judge(
    log: Log, criteria: Sequence[Criterion], circumstances: Circumstances, *, others: bool = True
) -> HeatVerdict:
    """Return what a log shows of each criterion, and what the other published rules of the process would say.

    `others` False leaves the other rules out, which takes a half to a quarter of the time.
    Passed: shown at `circumstances.confidence`, one-sided. Failed: shown not to meet it. Not shown: neither.
    Raises UnreadableLog for a log without a temperature.
    """
    if not log.temperatures:
        text = _(
            "the log has no temperature among its channels ({names}); give one that has, or ask for another --channel"
        )
        raise UnreadableLog(text.format(names=", ".join(c.name for c in log.channels)))
    circumstances, coarse = _with_steps(log, circumstances)
    view = View(log, circumstances)
    return HeatVerdict(
        criteria=tuple(judge_criterion(view, c) for c in criteria),
        others=tuple(judge_criterion(view, c) for c in _others(criteria)) if others else (),
        channels=tuple(channel_figures(view, c) for c in log.temperatures),
        assumptions=(*log.assumptions, *coarse, *_assumed(view), *_hotter_than_water(view, criteria)),
        confidence=circumstances.confidence,
        log=log,
        circumstances=circumstances,
    )


def _with_steps(log: Log, circumstances: Circumstances) -> tuple[Circumstances, list[str]]:
    """Return circumstances that allow for readings written in coarse steps, and the sentence that says so."""
    step_k = coarsest_step_k(log) if circumstances.sensor.stated else 0.0
    if not step_k:
        return circumstances, []
    text = _("The temperatures go in steps of {step} K: half a step is added to the thermometer's error.")
    says = text.format(step=number(step_k, 2))
    return replace(circumstances, sensor=coarser(circumstances.sensor, step_k)), [says]


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
    said.extend(_offset(view))
    if view.log.pressures and view.circumstances.pressure_error_kpa is None:
        text = _(
            "Error of the pressure sensor: not stated; ±{kpa} kPa taken. State it with --pressure-error."
        )
        said.append(text.format(kpa=number(PRESSURE_UNSTATED_KPA, 0)))
    if len(view.log.pressures) > 1:
        text = _("Of {count} pressure columns the first, {name}, is held against the steam.")
        said.append(text.format(count=len(view.log.pressures), name=view.log.pressures[0].name))
    said.extend(_gaps(view))
    said.extend(_open_ends(view))
    said.append(
        _("Between two readings it is taken that the temperature did not fall below the lower of both.")
    )
    return said


def _offset(view: View) -> list[str]:
    offset_k = view.circumstances.sensor.bias_at(A0_REFERENCE_C).offset_k
    if offset_k == 0:
        return []
    text = (
        _("By its certificate the thermometer shows {k} K too much, which is taken off.")
        if offset_k > 0
        else _("By its certificate the thermometer shows {k} K too little, which is added.")
    )
    return [text.format(k=number(abs(offset_k), 2))]


def _open_ends(view: View) -> list[str]:
    """Say that the log is taken to hold the whole treatment, where it begins or ends while heat was at work."""
    if not len(view.elapsed_s) or max(view.coldest_c[0], view.coldest_c[-1]) < A0_FLOOR_C:
        return []
    return [
        _(
            "The log begins or ends hot: it is taken to hold the whole treatment, and nothing beyond it counts."
        )
    ]


def _hotter_than_water(view: View, criteria: Sequence[Criterion]) -> list[str]:
    """Say that the parts are taken to have been wet, where water in an open bath cannot be so hot."""
    if all(c.process != "hot water" for c in criteria) or not len(view.elapsed_s):
        return []
    air_kpa = view.circumstances.air_pressure_kpa
    # Where nobody said how high the place lies, water is taken to boil as hot as at the sea.
    boils_c = float(boiling_point_c(STANDARD_PRESSURE_KPA if air_kpa is None else air_kpa))
    top_c = float(view.coldest_c.max())
    if top_c - view.error_k(top_c)[1] <= boils_c:
        return []
    text = _(
        "The coldest channel read {top} °C, yet water boils at {boils} °C in the open: it is taken that the parts "
        "were wet all the time; dry heat kills far more slowly."
    )
    return [text.format(top=number(top_c), boils=number(boils_c))]


def _gaps(view: View) -> list[str]:
    if len(view.elapsed_s) < 2:
        return []
    pauses = view.elapsed_s[1:] - view.elapsed_s[:-1]
    gaps = pauses[pauses > view.longest_gap_s]
    if not len(gaps):
        return []
    text = ngettext(
        "{count} gap longer than {limit} s in the readings, {total} min: nothing is proved across it.",
        "{count} gaps longer than {limit} s in the readings, {total} min in all: nothing is proved across them.",
        len(gaps),
    )
    return [
        text.format(
            count=len(gaps), limit=number(view.longest_gap_s, 0), total=number(float(gaps.sum()) / 60)
        )
    ]
