"""Lethality of a log in one pass, however long: best estimate, upper bound and the best unbroken stretch."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lungwort.science.arrays import FloatArray, dot, floats
from lungwort.science.lethality import Z_K, per_kelvin

SHORT_BLOCK = 8192  # intervals at a time: larger temporaries are given back to the system after every use


@dataclass(frozen=True)
class LethalSums:
    """Seconds at the reference: `estimate` by trapezoid, `high` by higher neighbour, `low` of the best stretch.

    `start` and `stop` are the first and last index of that stretch; both -1 where nothing counts.
    """

    estimate: float
    high: float
    low: float
    start: int
    stop: int


@dataclass(frozen=True)
class Floors:
    """Temperatures in °C from which lethality counts: for the estimate (None: from anywhere), and for both bounds."""

    estimate_c: float | None
    high_c: float
    low_c: float

    @property
    def highest_c(self) -> float:
        """The temperature from which all three count."""
        return max(self.high_c, self.low_c, -math.inf if self.estimate_c is None else self.estimate_c)


@dataclass
class _Count:
    """What has been counted from one set of floors: sums, the stretch being followed, and the best one so far."""

    floors: Floors
    estimate: float = 0.0
    high: float = 0.0
    gained: float = 0.0
    start: int = 0
    best: float = 0.0
    best_rows: tuple[int, int] = (-1, -1)

    def close(self, stop: int) -> None:
        """End the stretch at row `stop`, and keep it where it gained more than any before."""
        if self.gained > self.best:
            self.best, self.best_rows = self.gained, (self.start, stop)

    def begin(self, start: int, gained: float) -> None:
        """Begin another stretch at row `start`."""
        self.start, self.gained = start, gained


def lethal_sums(
    elapsed_s: ArrayLike,
    temperature_c: ArrayLike,
    reference_c: float,
    floors: Sequence[Floors],
    longest_gap_s: float = math.inf,
    z_k: float = Z_K,
) -> tuple[LethalSums, ...]:
    """Return the lethality of a log for each set of floors: best estimate, upper bound, and its best stretch.

    Args:
        elapsed_s: times [s], (n,), not falling.
        temperature_c: temperatures [°C], (n,), none missing.
        reference_c: reference temperature [°C].
        floors: where counting begins; several sets cost little more than one.
        longest_gap_s: intervals longer than this [s] add nothing to estimate and lower bound, and break a stretch.
        z_k: temperature step for a tenfold change [K], above 0.

    Returns:
        The sums; the same numbers as `accumulated`, `accumulated_high`, `accumulated_low` and `best_stretch` give.

    Raises:
        OutOfRange: z is not above 0.

    Source: definitions of A0 and F0, see `lethality.lethal_rate`.

    >>> (sums,) = lethal_sums([0, 60, 120], [90.0, 90.0, 80.0], 80.0, [Floors(65.0, 65.0, 65.0)])
    >>> round(sums.estimate), round(sums.high), round(sums.low), sums.start, sums.stop
    (930, 1200, 660, 0, 2)
    """
    times, readings, each_k = floats(elapsed_s), floats(temperature_c), per_kelvin(z_k)
    counts = [_Count(each) for each in floors]
    everything = max(count.floors.highest_c for count in counts)
    for start in range(0, times.size - 1, SHORT_BLOCK):
        part = slice(start, start + SHORT_BLOCK + 1)
        steps, block = np.diff(times[part]), readings[part]
        bridged = steps if steps.max() <= longest_gap_s else np.where(steps <= longest_gap_s, steps, 0.0)
        rate = np.exp((block - reference_c) * each_k)
        if block.min() >= everything:
            _add_alike(counts, rate, steps, bridged, start)
        else:
            for count in counts:
                _add(count, block, rate, steps, bridged, start)
    for count in counts:
        count.close(times.size - 1)
    return tuple(LethalSums(c.estimate, c.high, c.best, *c.best_rows) for c in counts)


def _add_alike(
    counts: Sequence[_Count], rate: FloatArray, steps: FloatArray, bridged: FloatArray, first: int
) -> None:
    """Add a block of which every reading counts, from every floor."""
    estimate = 0.5 * (dot(bridged, rate[1:]) + dot(bridged, rate[:-1]))
    high = dot(steps, np.maximum(rate[1:], rate[:-1]))
    gains = bridged * np.minimum(rate[1:], rate[:-1])
    unbroken, total = gains.min() > 0.0, float(gains.sum())
    for count in counts:
        count.estimate += estimate
        count.high += high
        if unbroken:
            count.gained += total
        else:
            _follow(count, gains, first)


def _add(
    count: _Count, block: FloatArray, rate: FloatArray, steps: FloatArray, bridged: FloatArray, first: int
) -> None:
    """Add a block of which some readings count."""
    counted = _from(block, rate, count.floors.estimate_c)
    count.estimate += 0.5 * (dot(bridged, counted[1:]) + dot(bridged, counted[:-1]))
    possible = _from(block, rate, count.floors.high_c)
    count.high += dot(steps, np.maximum(possible[1:], possible[:-1]))
    certain = _from(block, rate, count.floors.low_c)
    _follow(count, bridged * np.minimum(certain[1:], certain[:-1]), first)


def _from(block: FloatArray, rate: FloatArray, floor_c: float | None) -> FloatArray:
    """Return `rate` where the temperature is at least `floor_c`, else 0."""
    return rate if floor_c is None else np.where(block >= floor_c, rate, 0.0)


def _follow(count: _Count, gains: FloatArray, first: int) -> None:
    """Add a block's gains, one an interval, to the stretch being followed; an interval that gains nothing breaks it."""
    breaks = np.flatnonzero(gains == 0.0)
    if not breaks.size:
        count.gained += float(gains.sum())
        return
    count.gained += float(gains[: breaks[0]].sum())
    count.close(first + int(breaks[0]))
    for inner in np.flatnonzero(np.diff(breaks) > 1):
        begin, end = int(breaks[inner]) + 1, int(breaks[inner + 1])
        count.begin(first + begin, float(gains[begin:end].sum()))
        count.close(first + end)
    begin = int(breaks[-1]) + 1
    count.begin(first + begin, float(gains[begin:].sum()))
