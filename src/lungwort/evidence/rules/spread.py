"""Spread and equilibration: the load's places against each other."""

from __future__ import annotations

import numpy as np

from lungwort.evidence.log import FloatArray
from lungwort.evidence.plateau import plateau
from lungwort.evidence.rules.common import between, finding, unmeasured
from lungwort.evidence.verdict import Finding, Outcome
from lungwort.evidence.view import View
from lungwort.language import _, number
from lungwort.library.criteria import Criterion, Limit
from lungwort.science.uncertainty import Bias, bias_quantile

FALLEN_K = 1.0  # a place this far under the holding temperature has left it: the rise begins after
LOOK_AHEAD = 16_384  # rows searched at a time for the first that is hot enough


def judge_spread(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Judge the largest difference between channels at one moment of the plateau."""
    rows = plateau(view, criterion)
    if len(view.log.temperatures) < 2 or rows is None or limit.at_most is None:
        return unmeasured(
            limit, _("One channel only: other places of the load were not measured."), limit.at_most
        )
    spread_k = float((view.hottest_c[rows] - view.coldest_c[rows]).max())
    guard_k, widest_k = _difference_guards_k(view, float(view.hottest_c[rows].max()))
    says = _("The channels lie up to {spread} K apart on the plateau (±{guard} K for the sensors).").format(
        spread=number(spread_k, 2), guard=number(guard_k, 2)
    )
    outcome = between(spread_k + guard_k <= limit.at_most, spread_k - widest_k > limit.at_most)
    return finding(limit, outcome, says, spread_k, limit.at_most)


def _difference_guards_k(view: View, temperature_c: float) -> tuple[float, float]:
    """Return how much the errors of two sensors, and of the worst two of all, may differ.

    The pair that lies apart truly is seen as one pair; the pair that lies apart as read is the worst of many.
    """
    if view.circumstances.shared_bias:
        return 0.0, 0.0
    bias = view.circumstances.sensor.bias_at(temperature_c)
    confidence, count = view.circumstances.confidence, len(view.log.temperatures)
    pairs = count * (count - 1) / 2
    return _pair_guard_k(bias, confidence), _pair_guard_k(bias, 1 - (1 - confidence) / pairs)


def _pair_guard_k(bias: Bias, confidence: float) -> float:
    """Return how much the errors of a pair of sensors may differ: as a normal sum, but no more than both tolerances."""
    u_k = float(np.sqrt(2 * (bias.half_width_k**2 / 3 + bias.u_k**2)))
    most_k = 2 * bias.half_width_k + bias_quantile(Bias(u_k=float(np.sqrt(2)) * bias.u_k), confidence)
    return float(min(most_k, bias_quantile(Bias(u_k=u_k), confidence)))


def judge_equilibration(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Judge the time from the first to the last channel at the holding temperature; the first stands for the drain."""
    hold, rows = criterion.limit("hold"), plateau(view, criterion)
    if len(view.log.temperatures) < 2 or hold is None or hold.at_least is None or limit.at_most is None:
        return unmeasured(limit, _("One channel only: no time between places can be taken."), limit.at_most)
    begun = _rise(view, rows, hold.at_least)
    reached = _reaching_s(view, hold.at_least, begun or 0)
    if rows is None or not np.isfinite(reached).all():
        says = _("Not every channel reached {low} °C.").format(low=number(hold.at_least, 0))
        return finding(limit, Outcome.NOT_SHOWN, says, None, limit.at_most)
    read_s = float(reached.max() - reached.min())
    longest_s, shortest_s = _range_s(view, hold.at_least, begun or 0, rows)
    if begun is None:
        says = _("The log begins at {low} °C: when each channel reached it is not known. Log the rise too.")
        text = says.format(low=number(hold.at_least, 0))
        return finding(limit, between(False, shortest_s > limit.at_most), text, None, limit.at_most)
    text = _(
        "All channels reached {low} °C within {read} s of the first ({span}, the sensors allowed for)."
    ).format(low=number(hold.at_least, 0), read=number(read_s), span=_span(shortest_s, longest_s))
    return finding(
        limit, between(longest_s <= limit.at_most, shortest_s > limit.at_most), text, read_s, limit.at_most
    )


def _span(shortest_s: float, longest_s: float) -> str:
    if np.isfinite(longest_s):
        return _("{short} to {long} s").format(short=number(shortest_s), long=number(longest_s))
    return _("{short} s or more, with no longest time known").format(short=number(shortest_s))


def _rise(view: View, rows: slice | None, reached_c: float) -> int | None:
    """Return the last row before the plateau in which no channel may have reached a temperature; None without one."""
    if rows is None:
        return None
    before = view.hottest_c[rows.start :: -1] < reached_c + view.error_k(reached_c)[0] - FALLEN_K
    return rows.start - int(before.argmax()) if before.any() else None


def _range_s(view: View, reached_c: float, begun: int, rows: slice) -> tuple[float, float]:
    """Return the longest and shortest equilibration time that the sensors' errors and the interval leave open.

    The longest runs to the plateau itself: a place that falls back after touching the temperature has not reached it.
    """
    low_k, high_k = view.error_k(reached_c)
    early, late = (_reaching_s(view, reached_c + k, begun) for k in (low_k, high_k))
    settled = _first(view.coldest_c[rows.start :], reached_c + high_k)
    if settled is None:
        return float("inf"), 0.0
    settled_s = float(view.elapsed_s[rows.start + settled])
    if view.circumstances.shared_bias:
        spans = [float(np.ptp(each)) for each in (early, late)]
        return max(*spans, settled_s - float(late.min())) + view.interval_s, max(
            0.0, min(spans) - view.interval_s
        )
    longest_s = max(float(late.max()), settled_s) - float(early.min()) + view.interval_s
    return longest_s, max(0.0, float(early.max() - late.min()) - view.interval_s)


def _reaching_s(view: View, temperature_c: float, from_row: int) -> FloatArray:
    """Return when each channel first read `temperature_c` or more from a row on, in s; infinite where it never did."""
    firsts = [_first(view.values(channel)[from_row:], temperature_c) for channel in view.log.temperatures]
    return np.array([np.inf if first is None else view.elapsed_s[from_row + first] for first in firsts])


def _first(readings_c: FloatArray, temperature_c: float) -> int | None:
    """Return the first row at or above a temperature, looking no further than needed."""
    for start in range(0, len(readings_c), LOOK_AHEAD):
        there = readings_c[start : start + LOOK_AHEAD] >= temperature_c
        if there.any():
            return start + int(there.argmax())
    return None
