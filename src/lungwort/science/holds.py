"""Holds: unbroken runs of readings, and how far apart channels reach a temperature."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from lungwort.science.arrays import BoolArray, FloatArray, IntArray, floats


def best_stretch(
    elapsed_s: ArrayLike, above: BoolArray, cumulative: ArrayLike, longest_gap_s: float = math.inf
) -> tuple[int, int] | None:
    """Return the unbroken run of readings that gains most lethality.

    Args:
        elapsed_s: times [s], (n,).
        above: True where a reading counts, (n,).
        cumulative: lethality up to each reading, (n,), from one of the `accumulated` functions.
        longest_gap_s: an interval longer than this [s] breaks a run.

    Returns:
        First and last index of the run, both included; the earliest of equals; None where no reading counts.

    >>> best_stretch([0, 1, 2, 3], np.array([True, False, True, True]), [0.0, 1.0, 2.0, 4.0])
    (2, 3)
    """
    starts, stops = _runs(floats(elapsed_s), np.asarray(above, dtype=np.bool_), longest_gap_s)
    gained = floats(cumulative)
    return _largest(starts, stops, gained[stops] - gained[starts])


def longest_hold(
    elapsed_s: ArrayLike, inside: BoolArray, longest_gap_s: float = math.inf
) -> tuple[int, int] | None:
    """Return the unbroken run of readings that lasts longest.

    Args:
        elapsed_s: times [s], (n,).
        inside: True where a reading is inside the band, (n,).
        longest_gap_s: an interval longer than this [s] breaks a run.

    Returns:
        First and last index of the run, both included; the earliest of equals; None where none is inside.

    >>> longest_hold([0, 1, 2, 9], np.array([True, True, False, True]))
    (0, 1)
    """
    times = floats(elapsed_s)
    starts, stops = _runs(times, np.asarray(inside, dtype=np.bool_), longest_gap_s)
    return _largest(starts, stops, times[stops] - times[starts])


def _runs(times: FloatArray, inside: BoolArray, longest_gap_s: float) -> tuple[IntArray, IntArray]:
    """Return first and last index of every unbroken run of `inside`."""
    apart = ~(inside[1:] & inside[:-1])
    if longest_gap_s < math.inf:
        apart |= np.diff(times) > longest_gap_s
    starts, stops = inside.copy(), inside.copy()
    starts[1:] &= apart
    stops[:-1] &= apart
    return np.flatnonzero(starts), np.flatnonzero(stops)


def _largest(starts: IntArray, stops: IntArray, gains: FloatArray) -> tuple[int, int] | None:
    if starts.size == 0:
        return None
    best = int(np.argmax(gains))
    return int(starts[best]), int(stops[best])


def equilibration_s(elapsed_s: ArrayLike, temperatures: ArrayLike, reached_c: float) -> float:
    """Return the time between the first and the last channel reaching a temperature.

    Args:
        elapsed_s: times [s], (n,).
        temperatures: temperatures [°C], (k, n); a missing reading (NaN) has not reached it.
        reached_c: the temperature to reach [°C].

    Returns:
        Time [s], known to within one sampling interval; inf where a channel never reaches it.

    Source: EN 285, equilibration time (from memory).

    >>> equilibration_s([0, 5, 10], [[134, 134, 134], [120, 133, 134]], 134.0)
    10.0
    """
    times, reached = floats(elapsed_s), np.atleast_2d(floats(temperatures)) >= reached_c
    if reached.size == 0 or not reached.any(axis=1).all():
        return math.inf
    first = times[reached.argmax(axis=1)]
    return float(first.max() - first.min())
