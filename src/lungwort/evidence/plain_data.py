"""A verdict as plain data, ready for JSON; the keys are documented in docs/lookup/prove_json.md."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any

from lungwort import __version__
from lungwort.evidence.verdict import ChannelFigures, CriterionVerdict, Finding, HeatVerdict, Verdict


def verdict_data(verdict: Verdict) -> dict[str, Any]:
    """Return a verdict with its criteria, findings and assumptions; numbers that are not finite as None.

    A verdict on heat also carries its log, its circumstances and the figures of each channel.
    """
    data: dict[str, Any] = {
        "lungwort": __version__,
        "verdict": str(verdict.outcome),
        "confidence": verdict.confidence,
        "criteria": [_criterion_data(c) for c in verdict.criteria],
        "findings": [_finding_data(c, f) for c in verdict.criteria for f in c.findings],
        "others": [_criterion_data(c) for c in verdict.others],
        "assumptions": list(verdict.assumptions),
    }
    if isinstance(verdict, HeatVerdict):
        data["log"] = _log_data(verdict)
        data["circumstances"] = _circumstances_data(verdict)
        data["channels"] = {figures.name: _figures_data(figures) for figures in verdict.channels}
    return data


def _log_data(verdict: HeatVerdict) -> dict[str, Any]:
    log = verdict.log
    return {
        "file": log.file_name,
        "sha256": log.sha256,
        "started": log.started.isoformat(sep=" ") if log.started else None,
        "from_s": _finite(float(log.elapsed_s[0])) if len(log.elapsed_s) else None,
        "to_s": _finite(float(log.elapsed_s[-1])) if len(log.elapsed_s) else None,
        "readings": len(log.elapsed_s),
        "hand": log.hand,
    }


def _circumstances_data(verdict: HeatVerdict) -> dict[str, Any]:
    known = verdict.circumstances
    return {
        "air_pressure_kpa": known.air_pressure_kpa,
        "air_pressure_error_kpa": known.air_pressure_error_kpa
        if known.air_pressure_kpa is not None
        else None,
        "sensor": known.sensor.says,
        "pressure_error_kpa": known.pressure_error_kpa,
        "shared_bias": known.shared_bias,
    }


def _criterion_data(judged: CriterionVerdict) -> dict[str, Any]:
    criterion = judged.criterion
    return {
        "name": criterion.name,
        "title": criterion.title,
        "tradition": criterion.tradition,
        "verdict": str(judged.outcome),
        "basis": str(judged.basis),
        "adopted": bool(judged.adopted),
        "adoption": judged.adopted or None,
    }


def _figures_data(figures: ChannelFigures) -> dict[str, Any]:
    data = asdict(figures)
    del data["name"]
    return {key: _finite(value) if isinstance(value, float) else value for key, value in data.items()}


def _finding_data(judged: CriterionVerdict, found: Finding) -> dict[str, Any]:
    return {
        "criterion": judged.criterion.name,
        "rule": found.rule,
        "verdict": str(found.outcome),
        "says": found.says,
        "value": _finite(found.value),
        "limit": _finite(found.limit),
        "unit": found.unit,
        "required": found.required,
        "source": found.source,
        "basis": str(found.basis),
    }


def _finite(value: float | None) -> float | None:
    return value if value is not None and math.isfinite(value) else None
