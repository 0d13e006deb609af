"""Lethality of one channel: best estimate by trapezoid, and what is proved of the best unbroken stretch."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from lungwort.evidence.log import Channel
from lungwort.evidence.verdict import ChannelFigures
from lungwort.evidence.view import View
from lungwort.science.lethality import A0_FLOOR_C, A0_REFERENCE_C, Z_K, lethal_rate
from lungwort.science.stretches import Floors, LethalSums, lethal_sums
from lungwort.science.uncertainty import (
    lethality_high,
    lethality_low,
    noise_inflation,
    noise_k,
    noise_relative_sd,
)

F0_FLOOR_C = 100.0
F0_REFERENCE_C = 121.1
NOISE_INTERVAL_S = 60.0  # readings further apart differ for real reasons, so no noise is read off them
NOISE_ROWS = 16_384  # enough to know the noise; the share it leaves uncertain only shrinks with more


@dataclass(frozen=True)
class Lethality:
    """One channel's lethality in s at the reference: `estimate` (trapezoid), `low_sum` and `high_sum` before bias.

    `low_sum` is the lower-neighbour sum of the best unbroken stretch with noise divided out; `relative_sd` what
    noise leaves uncertain of it; `hottest_c` the temperature at which the sensor's error is taken; `still_on` says
    that the best stretch lasts to the last reading. A channel with a gap, or with fewer than two readings, excludes
    nothing: `high_sum` infinite.
    """

    channel: str
    estimate: float
    low_sum: float
    high_sum: float
    relative_sd: float
    hottest_c: float
    still_on: bool = False


def channel_lethality(view: View, channel: Channel, reference_c: float, floor_c: float) -> Lethality:
    """Return the lethality of a channel, in s at `reference_c`; `floor_c` is that of A0 or of F0.

    The proof counts from the floor raised by the sensor's error. The best estimate of A0 counts from the floor
    itself, that of F0 from anywhere, as their definitions say; so does the upper bound, from the floor of A0
    lowered by the sensor's error.
    """
    found = view.once(_lethalities_at_80, channel)[floor_c]
    scale = float(lethal_rate(A0_REFERENCE_C, reference_c))
    return replace(
        found,
        estimate=scale * found.estimate,
        low_sum=scale * found.low_sum,
        high_sum=scale * found.high_sum,
    )


def _lethalities_at_80(view: View, channel: Channel) -> dict[float, Lethality]:
    """Return the lethality in s at 80 °C from either floor; another reference only scales it."""
    floors_c = (A0_FLOOR_C, F0_FLOOR_C)
    elapsed_s, readings_c = view.present(channel)
    if len(readings_c) < 2:
        return dict.fromkeys(floors_c, Lethality(channel.name, 0.0, 0.0, float("inf"), 0.0, float("nan")))
    floors = [_floors(view, floor_c) for floor_c in floors_c]
    sums = lethal_sums(elapsed_s, readings_c, A0_REFERENCE_C, floors, view.gap_of(channel))
    hottest_c = float(readings_c.max())
    unseen = _unseen_s(view, channel, hottest_c)
    return {
        floor_c: Lethality(
            channel.name,
            each.estimate,
            low,
            each.high + unseen,
            relative_sd,
            hottest_c,
            each.stop == len(readings_c) - 1,
        )
        for floor_c, each in zip(floors_c, sums, strict=True)
        for low, relative_sd in [_without_noise(view, channel, each)]
    }


def _unseen_s(view: View, channel: Channel, hottest_c: float) -> float:
    """Return the lethality in s at 80 °C that silence may hide: what a coarse clock can; in a gap, without limit."""
    if _has_gap(view, channel):
        return float("inf")
    return view.clock_slack_s * float(lethal_rate(hottest_c, A0_REFERENCE_C)) if view.clock_slack_s else 0.0


def _has_gap(view: View, channel: Channel) -> bool:
    """Return whether the channel is silent too long, between its readings or at either end of the log."""
    if view.all_complete:
        return bool(np.isfinite(view.breaking_gap_s))
    ends = view.log.elapsed_s
    times_s = np.concatenate((ends[:1], view.present(channel)[0], ends[-1:]))
    return bool(np.diff(times_s).max() > view.gap_of(channel))


def _floors(view: View, floor_c: float) -> Floors:
    error_low_k, error_high_k = view.error_k(floor_c)
    if floor_c == A0_FLOOR_C:
        return Floors(floor_c, floor_c + error_low_k, floor_c + error_high_k)
    return Floors(None, -np.inf, floor_c + error_high_k)


def _without_noise(view: View, channel: Channel, sums: LethalSums) -> tuple[float, float]:
    """Return the best stretch's sum less what noise and a coarse clock may have added, and noise's relative spread."""
    if sums.start < 0:
        return 0.0, 0.0
    elapsed_s, readings_c = view.present(channel)
    rows = slice(sums.start, min(sums.stop + 1, sums.start + NOISE_ROWS))
    spread_k = noise_k(readings_c[rows]) if view.interval_s <= NOISE_INTERVAL_S else 0.0
    rate = np.asarray(lethal_rate(readings_c[rows], A0_REFERENCE_C))
    relative_sd = noise_relative_sd(elapsed_s[rows], rate, spread_k) if spread_k else 0.0
    low = sums.low - view.clock_slack_s * float(rate.max())
    return max(0.0, low / float(noise_inflation(spread_k))), float(relative_sd)


def low_s(view: View, lethality: Lethality) -> float:
    """Return the lower bound of one channel's lethality at the confidence asked for."""
    bias = view.circumstances.sensor.bias_at(_at(lethality))
    confidence = view.circumstances.confidence
    return float(lethality_low(lethality.low_sum, bias, Z_K, confidence, lethality.relative_sd))


def high_s(view: View, lethality: Lethality) -> float:
    """Return the upper bound of one channel's lethality; all channels' bounds hold together as sure as asked for."""
    bias = view.circumstances.sensor.bias_at(_at(lethality))
    return float(lethality_high(lethality.high_sum, bias, Z_K, view.channel_confidence))


def _at(lethality: Lethality) -> float:
    return lethality.hottest_c if np.isfinite(lethality.hottest_c) else A0_REFERENCE_C


def channel_figures(view: View, channel: Channel) -> ChannelFigures:
    """Return A0 and F0 of a channel, each as best estimate and lower bound."""
    a0 = channel_lethality(view, channel, A0_REFERENCE_C, A0_FLOOR_C)
    f0 = channel_lethality(view, channel, F0_REFERENCE_C, F0_FLOOR_C)
    return ChannelFigures(
        name=channel.name,
        a0_s=a0.estimate,
        a0_low_s=low_s(view, a0),
        f0_min=f0.estimate / 60,
        f0_low_min=low_s(view, f0) / 60,
        max_c=a0.hottest_c if np.isfinite(a0.hottest_c) else None,
        readings=channel.readings,
        f0_reference_c=F0_REFERENCE_C,
    )
