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
        {"t": round(float(t), 1), **{name: _plain(values[i]) for name, values in columns.items()}}
        for i, t in enumerate(times_s)
    ]


def _at(
    curve: Curve, times_s: np.ndarray[Any, np.dtype[np.float64]]
) -> np.ndarray[Any, np.dtype[np.float64]]:
    if not len(curve.times_s):
        return np.full_like(times_s, np.nan)
    return np.asarray(np.interp(times_s, curve.times_s, curve.values, left=np.nan, right=np.nan))


def _plain(value: float) -> float | None:
    return round(float(value), 2) if np.isfinite(value) else None


def _pointer(rows: list[dict[str, Any]], shown: Scene, unit_s: float) -> Spec:
    tips = [{"field": f"c{i}", "title": curve.name, "format": ".1f"} for i, curve in enumerate(shown.curves)]
    if shown.filling is not None:
        tips.append(
            {
                "field": "low",
                "title": _("proved {symbol}").format(symbol=shown.filling.symbol),
                "format": ".1f",
            }
        )
        tips.append({"field": "best", "title": _("best estimate"), "format": ".1f"})
    return {
        "data": {"values": rows},
        "transform": [{"calculate": f"datum.t / {unit_s}", "as": "x"}],
        "mark": {"type": "rule", "color": "transparent", "strokeWidth": 3},
        "encoding": {
            "x": {"field": "x", "type": "quantitative"},
            "tooltip": [{"field": "x", "title": _("time"), "format": ".2f"}, *tips],
        },
    }
