"""What a chart draws, worked out from a verdict: curves, band, hold, and lethality filling up."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from lungwort.evidence.log import Channel, FloatArray
from lungwort.evidence.verdict import ChannelFigures, HeatVerdict
from lungwort.evidence.view import View
from lungwort.library.criteria import Limit, Process
from lungwort.science.lethality import (
    A0_FLOOR_C,
    A0_REFERENCE_C,
    Z_K,
    accumulated,
    accumulated_low,
    best_stretch,
    lethal_rate,
)

MOST_POINTS = 1500  # points kept of one curve; the lowest and highest of each stretch are always among them
STEAM_FROM_C = 105.0  # a log without a criterion is taken for steam where it reaches this temperature
F0_FLOOR_C = 100.0  # below this the F0 integral counts nothing (common practice)


@dataclass(frozen=True, eq=False)
class Curve:
    """A curve to draw: `times_s` (n,) from the period's start, `values` (n,), NaN where the line breaks."""

    name: str
    times_s: FloatArray
    values: FloatArray


@dataclass(frozen=True, eq=False)
class Filling:
    """Lethality of the coldest channel filling up, in `unit` at `reference_c`.

    `low` is the lower bound that the proof uses, `best` the trapezoid; `target` None where the criterion has
    none; `reached_s` the moment at which `low` reaches the target, None where it does not.
    """

    symbol: str
    unit: str
    reference_c: float
    low: Curve
    best: Curve
    target: float | None
    reached_s: float | None


@dataclass(frozen=True, eq=False)
class Scene:
    """All that the chart shows of one judged log; times in s from the start of the period."""

    process: Process
    lasts_s: float
    curves: tuple[Curve, ...]
    coldest: str | None
    saturation: Curve | None
    band: Limit | None
    held_s: tuple[float, float] | None
    filling: Filling | None


def scene(verdict: HeatVerdict) -> Scene:
    """Work out what the chart of a verdict shows."""
    view = View(verdict.log, verdict.circumstances)
    times_s = verdict.log.elapsed_s
    coldest = coldest_figures(verdict)
    return Scene(
        process=process_of(verdict),
        lasts_s=float(times_s[-1] - times_s[0]) if len(times_s) else 0.0,
        curves=tuple(_curve(c.name, view, times_s, c.values) for c in verdict.log.temperatures),
        coldest=coldest.name if coldest else None,
        saturation=_saturation(verdict, view),
        band=first_limit(verdict, "hold"),
        held_s=_held(verdict, view),
        filling=_filling(verdict, view),
    )


def process_of(verdict: HeatVerdict) -> Process:
    """Return the process of the first criterion; without one, steam where the log is hot enough."""
    if verdict.criteria:
        return verdict.criteria[0].criterion.process
    hottest = max((c.max_c for c in verdict.channels if c.max_c is not None), default=0.0)
    return "steam" if hottest >= STEAM_FROM_C else "hot water"


def first_limit(verdict: HeatVerdict, *rules: str) -> Limit | None:
    """Return the first limit among the criteria asked for that belongs to one of `rules`."""
    limits = (limit for c in verdict.criteria for limit in c.criterion.limits)
    return next((limit for limit in limits if limit.rule in rules), None)


def low_bound(figures: ChannelFigures, process: Process) -> float:
    """Return the lower bound that counts for a process: F0 in min for steam, A0 in s for hot water."""
    return figures.f0_low_min if process == "steam" else figures.a0_low_s


def coldest_figures(verdict: HeatVerdict) -> ChannelFigures | None:
    """Return the figures of the channel that decides: the least lethality, then the lowest maximum."""
    process = process_of(verdict)

    def order(figures: ChannelFigures) -> tuple[float, float]:
        return low_bound(figures, process), figures.max_c if figures.max_c is not None else -np.inf

    return min(verdict.channels, key=order, default=None)


def thinned(
    times_s: FloatArray, values: FloatArray, most: int = MOST_POINTS
) -> tuple[FloatArray, FloatArray]:
    """Keep at most about `most` points of a curve: of each stretch its lowest, its highest and one gap.

    `times_s` (n,) and `values` (n,); shorter curves come back as they are.

    >>> t, v = thinned(np.arange(9000.0), np.arange(9000.0) % 7)
    >>> len(t) <= 1500, v.min(), v.max()
    (True, np.float64(0.0), np.float64(6.0))
    """
    if len(times_s) <= most:
        return times_s, values
    edges = np.linspace(0, len(times_s), most // 3 + 1).astype(int)
    kept = {0, len(times_s) - 1}
    for start, stop in pairwise(edges):
        kept.update(start + i for i in _telling(values[start:stop]))
    rows = np.array(sorted(kept)[:most])
    return times_s[rows], values[rows]


def _telling(values: FloatArray) -> set[int]:
    absent = np.isnan(values)
    rows = {int(np.argmax(absent))} if absent.any() else set()
    if not absent.all():
        rows |= {int(np.nanargmin(values)), int(np.nanargmax(values))}
    return rows


def _curve(name: str, view: View, times_s: FloatArray, values: FloatArray) -> Curve:
    """Return a thinned curve from the period's start, broken in silences that the proof does not bridge."""
    if not len(times_s):
        return Curve(name, times_s, values)
    after = np.flatnonzero(np.diff(times_s) > view.longest_gap_s) + 1
    middles = (times_s[after - 1] + times_s[after]) / 2 if len(after) else np.array([])
    times = np.insert(times_s, after, middles) - times_s[0]
    return Curve(name, *thinned(times, np.insert(values, after, np.nan)))


def _saturation(verdict: HeatVerdict, view: View) -> Curve | None:
    if process_of(verdict) != "steam" or not verdict.log.temperatures or view.steam_c is None:
        return None
    return _curve("", view, view.elapsed_s, view.steam_c) if len(view.elapsed_s) else None


def _held(verdict: HeatVerdict, view: View) -> tuple[float, float] | None:
    """Return when the longest run with every channel's reading inside the band starts and ends."""
    band = first_limit(verdict, "hold")
    if band is None or band.at_least is None or not verdict.log.temperatures or len(view.elapsed_s) < 2:
        return None
    ceiling = np.inf if band.at_most is None else band.at_most
    run = view.run((view.coldest_c >= band.at_least) & (view.hottest_c <= ceiling))
    if run is None or run.stop - run.start < 2:
        return None
    started = verdict.log.elapsed_s[0]
    return float(view.elapsed_s[run.start] - started), float(view.elapsed_s[run.stop - 1] - started)


def _filling(verdict: HeatVerdict, view: View) -> Filling | None:
    figures = coldest_figures(verdict)
    channel = next((c for c in verdict.log.temperatures if figures and c.name == figures.name), None)
    if figures is None or channel is None or channel.readings < 2:
        return None
    if process_of(verdict) == "hot water":
        limit = first_limit(verdict, "a0")
        ends = (_judged(verdict, "a0", figures.a0_low_s), figures.a0_s)
        return _filled("A0", "s", view, channel, limit, A0_REFERENCE_C, A0_FLOOR_C, ends)
    limit = first_limit(verdict, "f0")
    reference_c = figures.f0_reference_c if limit is None or limit.reference_c is None else limit.reference_c
    factor = 10 ** ((figures.f0_reference_c - reference_c) / Z_K)
    ends = (_judged(verdict, "f0", figures.f0_low_min * factor), figures.f0_min * factor)
    return _filled("F0", "min", view, channel, limit, reference_c, F0_FLOOR_C, ends)


def _judged(verdict: HeatVerdict, rule: str, otherwise: float) -> float:
    """Return the lower bound that the finding was judged by, so that chart and finding never disagree."""
    value = next((f.value for f in verdict.findings if f.rule == rule), None)
    return otherwise if value is None else value


def _filled(
    symbol: str,
    unit: str,
    view: View,
    channel: Channel,
    limit: Limit | None,
    reference_c: float,
    floor_c: float,
    ends: tuple[float, float],
) -> Filling:
    """Return both curves, scaled to end at the verdict's own figures: the bias is a constant factor."""
    times_s, rate = _rates(view, channel, reference_c, floor_c)
    low = _scaled(_best_stretch_only(times_s, rate, view.gap_of(channel)), ends[0])
    best = _scaled(np.asarray(accumulated(times_s, rate, view.gap_of(channel))), ends[1])
    since_s = times_s - view.log.elapsed_s[0]
    target = limit.at_least if limit else None
    return Filling(
        symbol,
        unit,
        reference_c,
        Curve(channel.name, *thinned(since_s, low)),
        Curve(channel.name, *thinned(since_s, best)),
        target,
        _reached_s(since_s, low, target),
    )


def _rates(view: View, channel: Channel, reference_c: float, floor_c: float) -> tuple[FloatArray, FloatArray]:
    there = np.isfinite(channel.values)
    rate = np.asarray(lethal_rate(channel.values[there], reference_c, Z_K, floor_c))
    return view.log.elapsed_s[there], rate


def _best_stretch_only(times_s: FloatArray, rate: FloatArray, longest_gap_s: float) -> FloatArray:
    """Return the lower-neighbour sum over the unbroken stretch that gains most; level before and after it."""
    low = np.asarray(accumulated_low(times_s, rate, longest_gap_s))
    stretch = best_stretch(times_s, rate > 0, low, longest_gap_s)
    if stretch is None:
        return np.zeros_like(low)
    return np.asarray(np.clip(low, low[stretch[0]], low[stretch[1]]) - low[stretch[0]])


def _scaled(cumulative: FloatArray, end: float) -> FloatArray:
    total = float(cumulative[-1])
    return cumulative * (end / total) if total > 0 else cumulative


def _reached_s(times_s: FloatArray, low: FloatArray, target: float | None) -> float | None:
    """Return when the rising sum reaches the target, by proportion between readings; None if it does not."""
    if target is None or not len(low) or low[-1] < target:
        return None
    row = int(np.searchsorted(low, target))
    if row == 0:
        return float(times_s[0])
    share = (target - low[row - 1]) / (low[row] - low[row - 1])
    return float(times_s[row - 1] + share * (times_s[row] - times_s[row - 1]))
