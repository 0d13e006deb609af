"""Lethality: A0 and F0 of the coldest channel, lower bound against the target, and the minutes still needed."""

from __future__ import annotations

import numpy as np

from lungwort.evidence.lethality_proof import Lethality, channel_lethality, high_s
from lungwort.evidence.rules.common import between, finding, unmeasured
from lungwort.evidence.verdict import Finding, Outcome
from lungwort.evidence.view import View
from lungwort.language import _, number
from lungwort.library.criteria import Criterion, Limit
from lungwort.science.lethality import A0_REFERENCE_C, Z_K, lethal_rate, time_still_needed_s
from lungwort.science.uncertainty import coldest_low


def judge_a0(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Judge A0 in s at 80 °C."""
    return _judge(view, limit, "A0", 1.0)


def judge_f0(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Judge F0 in min at the limit's reference temperature."""
    return _judge(view, limit, "F0", 60.0)


def _judge(view: View, limit: Limit, name: str, unit_s: float) -> Finding:
    if limit.at_least is None or limit.reference_c is None or limit.floor_c is None:
        return unmeasured(limit, _("The limit gives no target."))
    found = [channel_lethality(view, c, limit.reference_c, limit.floor_c) for c in view.log.temperatures]
    low = coldest_low_s(view, limit) / unit_s
    high = min(high_s(view, lethality) for lethality in found) / unit_s
    coldest = min(found, key=lambda lethality: (lethality.low_sum, lethality.hottest_c))
    outcome = between(low >= limit.at_least, high < limit.at_least)
    says = _(
        "{name} is at least {low} {unit} at the coldest channel, {channel} (best estimate {best}); {asked} asked."
    )
    text = says.format(
        name=name,
        low=_figure(low),
        unit=limit.unit,
        channel=coldest.channel,
        best=_figure(coldest.estimate / unit_s),
        asked=number(limit.at_least, 0),
    )
    if outcome is not Outcome.PASSED:
        text += " " + more_time(view, limit, coldest, limit.at_least * unit_s)
    return finding(limit, outcome, text, low, limit.at_least)


def coldest_low_s(view: View, limit: Limit) -> float:
    """Return the lower bound of the smallest true lethality among the channels, in s at the limit's reference."""
    scale = float(lethal_rate(A0_REFERENCE_C, limit.reference_c or A0_REFERENCE_C))
    return scale * view.once(_coldest_low_at_80, limit.floor_c)


def _coldest_low_at_80(view: View, floor_c: float) -> float:
    found = [channel_lethality(view, c, A0_REFERENCE_C, floor_c) for c in view.log.temperatures]
    sums = np.array([lethality.low_sum for lethality in found])
    if not len(sums) or sums.min() <= 0:
        return 0.0
    biases = [view.circumstances.sensor.bias_at(lethality.hottest_c) for lethality in found]
    spreads = [lethality.relative_sd for lethality in found]
    confidence, shared = view.circumstances.confidence, view.circumstances.shared_bias
    return float(coldest_low(sums, biases, Z_K, confidence, shared, spreads))


def more_time(view: View, limit: Limit, coldest: Lethality, target_s: float) -> str:
    """Say how long the coldest channel would have to stay at its present temperature to reach the target.

    Present is the last reading where it counts at all, else the highest one; the sensor's error is allowed for.
    Where the best heating is over and another has begun, only from here on counts.
    """
    channel = next(c for c in view.log.temperatures if c.name == coldest.channel)
    readings_c = view.present(channel)[1]
    floor_c, reference_c = limit.floor_c or 0.0, limit.reference_c or 0.0
    if not len(readings_c):
        return _("It has no reading.")
    hot = bool(readings_c[-1] >= floor_c)
    at_c = float(readings_c[-1]) if hot else float(readings_c.max())
    surely_c = at_c - view.error_k(at_c)[1]
    reached_s = coldest_low_s(view, limit) if coldest.still_on or not hot else 0.0
    needed_s = float(time_still_needed_s(target_s, reached_s, surely_c, reference_c, Z_K, floor_c))
    if not np.isfinite(needed_s):
        return _("{top} °C, the sensor allowed for, counts nothing (it counts from {floor} °C).").format(
            top=number(surely_c), floor=number(floor_c, 0)
        )
    return _("{minutes} more minutes at {at} °C would have been enough.").format(
        minutes=number(float(np.ceil(round(needed_s, 3) / 60)), 0), at=number(at_c)
    )


def _figure(value: float) -> str:
    return number(value, 0 if value >= 100 else 1)
