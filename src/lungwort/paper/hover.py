"""What the interactive chart adds to the still one: the numbers at the moment under the pointer."""

from __future__ import annotations

import copy
from typing import Any

import numpy as np

from lungwort.language import _
from lungwort.paper.marks import Spec
from lungwort.paper.series import Curve, Scene

MOST_MOMENTS = 400


def with_hover(specification: Spec, shown: Scene) -> Spec:
    """Return a copy of the specification with a layer in each panel that answers the pointer."""
    if not shown.curves or not len(shown.curves[0].times_s):
        return specification
    made = copy.deepcopy(specification)
    rows = _moments(shown)
    unit_s = shown.lasts_s / made["vconcat"][0]["layer"][0]["encoding"]["x"]["scale"]["domain"][1]
    for panel in made["vconcat"]:
        panel["layer"].append(_pointer(rows, shown, unit_s))
    return made


def _moments(shown: Scene) -> list[dict[str, Any]]:
    times_s = np.linspace(0.0, shown.lasts_s, MOST_MOMENTS)
    columns = {f"c{i}": _at(curve, times_s) for i, curve in enumerate(shown.curves)}
    if shown.filling is not None:
        columns |= {"low": _at(shown.filling.low, times_s), "best": _at(shown.filling.best, times_s)}
    return [
        {
            "t": round(float(t), 1),
            "at": clock(float(t)),
            **{name: _plain(values[i]) for name, values in columns.items()},
        }
        for i, t in enumerate(times_s)
    ]


def _at(
    curve: Curve, times_s: np.ndarray[Any, np.dtype[np.float64]]
) -> np.ndarray[Any, np.dtype[np.float64]]:
    if not len(curve.times_s):
        return np.full_like(times_s, np.nan)
    return np.asarray(np.interp(times_s, curve.times_s, curve.values, left=np.nan, right=np.nan))


def clock(elapsed_s: float) -> str:
    """Say how long after the start, to the second below an hour.

    >>> clock(662.4), clock(7500.0)
    ('11 min 02 s', '2 h 05 min')
    """
    minutes, seconds = divmod(round(elapsed_s), 60)
    if minutes < 60:
        return _("{minutes} min {seconds:02d} s").format(minutes=minutes, seconds=seconds)
    hours, rest = divmod(minutes, 60)
    return _("{hours} h {minutes:02d} min").format(hours=hours, minutes=rest)


def _plain(value: float) -> float | None:
    return round(float(value), 2) if np.isfinite(value) else None


def _pointer(rows: list[dict[str, Any]], shown: Scene, unit_s: float) -> Spec:
    tips: list[Spec] = [{"field": "at", "title": _("after the start"), "type": "nominal"}]
    degrees = _("{name}, °C")
    tips += [_tip(f"c{i}", degrees.format(name=curve.name), ".1f") for i, curve in enumerate(shown.curves)]
    filling = shown.filling
    if filling is not None:
        form = ".0f" if filling.unit == "s" else ".1f"
        proved = _("proved {symbol}, {unit}").format(symbol=filling.symbol, unit=filling.unit)
        tips += [
            _tip("low", proved, form),
            _tip("best", _("best estimate, {unit}").format(unit=filling.unit), form),
        ]
    return {
        "data": {"values": rows},
        "transform": [{"calculate": f"datum.t / {unit_s}", "as": "x"}],
        "mark": {"type": "rule", "color": "transparent", "strokeWidth": 3},
        "encoding": {
            "x": {"field": "x", "type": "quantitative"},
            "tooltip": tips,
        },
    }


def _tip(field: str, title: str, form: str) -> Spec:
    return {"field": field, "title": title, "format": form, "type": "quantitative"}
