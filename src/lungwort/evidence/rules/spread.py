"""Spread and equilibration: the load's places against each other."""

from __future__ import annotations

import numpy as np

from lungwort.evidence.log import FloatArray
from lungwort.evidence.rules.common import between, finding, plateau, unmeasured
from lungwort.evidence.verdict import Finding
from lungwort.evidence.view import View
from lungwort.language import _, number
from lungwort.library.criteria import Criterion, Limit
from lungwort.science.uncertainty import Bias, bias_quantile


def judge_spread(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Judge the largest difference between channels at one moment of the plateau."""
    rows = plateau(view, criterion)
    if len(view.log.temperatures) < 2 or rows is None or limit.at_most is None:
        return unmeasured(
            limit, _("One channel only: other places of the load were not measured."), limit.at_most
        )
    spread_k = float((view.hottest_c[rows] - view.coldest_c[rows]).max())
    guard_k = _difference_guard_k(view, float(view.hottest_c[rows].max()))
    says = _("The channels lie up to {spread} K apart on the plateau (±{guard} K for the sensors).").format(
        spread=number(spread_k, 2), guard=number(guard_k, 2)
    )
    outcome = between(spread_k + guard_k <= limit.at_most, spread_k - guard_k > limit.at_most)
    return finding(limit, outcome, says, spread_k, limit.at_most)


def _difference_guard_k(view: View, temperature_c: float) -> float:
    if view.circumstances.shared_bias:
        return 0.0
    bias = view.circumstances.sensor.bias_at(temperature_c)
    u_k = float(np.sqrt(2 * (bias.half_width_k**2 / 3 + bias.u_k**2)))
    return float(bias_quantile(Bias(u_k=u_k), view.circumstances.confidence))


def judge_equilibration(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Judge the time from the first to the last channel at the holding temperature; the first stands for the drain."""
    hold = criterion.limit("hold")
    if len(view.log.temperatures) < 2 or hold is None or hold.at_least is None or limit.at_most is None:
        return unmeasured(limit, _("One channel only: no time between places can be taken."), limit.at_most)
    reached = _reaching_s(view, hold.at_least)
    if not np.isfinite(reached).all():
        says = _("Not every channel reached {low} °C.").format(low=number(hold.at_least, 0))
        return finding(limit, between(False, False), says, None, limit.at_most)
    read_s = float(reached.max() - reached.min())
    longest_s, shortest_s = _range_s(view, read_s, hold.at_least)
    says = _(
        "All channels reached {low} °C within {read} s of the first ({short} to {long} s, the sensors allowed for)."
    )
    text = says.format(
        low=number(hold.at_least, 0), read=number(read_s), short=number(shortest_s), long=number(longest_s)
    )
    return finding(
        limit, between(longest_s <= limit.at_most, shortest_s > limit.at_most), text, read_s, limit.at_most
    )


def _range_s(view: View, read_s: float, reached_c: float) -> tuple[float, float]:
    """Return the longest and shortest equilibration time that the sensors' errors and the interval leave open."""
    if view.circumstances.shared_bias:
        return read_s + view.interval_s, max(0.0, read_s - view.interval_s)
    low_k, high_k = view.error_k(reached_c)
    early, late = (_reaching_s(view, reached_c + k) for k in (low_k, high_k))
    longest_s = float(late.max() - early.min()) + view.interval_s
    if not np.isfinite(longest_s):
        return longest_s, 0.0
    return longest_s, max(0.0, float(early.max() - late.min()) - view.interval_s)


def _reaching_s(view: View, temperature_c: float) -> FloatArray:
    """Return when each channel first read `temperature_c` or more, in s; infinite where it never did."""
    found = np.full(len(view.log.temperatures), np.inf)
    for index, channel in enumerate(view.log.temperatures):
        there = view.values(channel) >= temperature_c
        if there.any():
            found[index] = view.elapsed_s[there.argmax()]
    return found
