"""Where labels and ticks stand: nothing on top of anything else, every tick a round number."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lungwort.evidence.log import FloatArray

ROUND_STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)
ROUND_TIMES = (0.25, 0.5, 1, 2, 5, 10, 15, 20, 30, 60, 120, 240)


def apart(wanted: Sequence[float], step: float, lowest: float, highest: float) -> list[float]:
    """Move places as little as may be so that neighbours stand at least `step` apart, inside the bounds.

    Least squares under the order of `wanted` (pooling neighbours that collide). Too many places for the
    bounds start at `lowest` and run over `highest`.

    >>> apart([10.0, 10.0, 50.0], 12.0, 0.0, 100.0)
    [4.0, 16.0, 50.0]
    """
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    top = max(lowest, highest - step * (len(wanted) - 1))
    pools: list[tuple[float, int]] = []
    for rank, i in enumerate(order):
        pools.append((wanted[i] - rank * step, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (mean, count), (mean_before, count_before) = pools.pop(), pools.pop()
            both = count + count_before
            pools.append(((mean * count + mean_before * count_before) / both, both))
    levels = [min(max(mean, lowest), top) for mean, count in pools for _ in range(count)]
    found = [0.0] * len(wanted)
    for rank, i in enumerate(order):
        found[i] = levels[rank] + rank * step
    return found


def ticks(lowest: float, highest: float, about: int) -> list[float]:
    """Return round numbers from `lowest` to `highest`, `about` of them.

    >>> ticks(100.0, 139.0, 4)
    [100.0, 110.0, 120.0, 130.0]
    """
    raw = max(highest - lowest, 1e-9) / max(about, 1)
    size = 10.0 ** np.floor(np.log10(raw))
    step = min((s * size for s in ROUND_STEPS), key=lambda s: abs(np.log(s / raw)))
    first = np.ceil(lowest / step - 1e-9)
    return [float(round(n * step, 10)) + 0.0 for n in np.arange(first, np.floor(highest / step + 1e-9) + 1)]


def time_ticks(highest: float, about: int) -> list[float]:
    """Return ticks from 0 in steps a clock would take, in the unit of `highest`.

    >>> time_ticks(42.0, 8)
    [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0]
    """
    raw = max(highest, 1e-9) / about
    step = min(ROUND_TIMES, key=lambda s: abs(np.log(s / raw)))
    return [float(n * step) for n in range(int(highest / step + 1e-9) + 1)]


def emptiest(
    boxes: Sequence[tuple[float, float, float, float]], lines: Sequence[tuple[FloatArray, FloatArray]]
) -> int:
    """Return which of several boxes (left, right, top, bottom) the fewest points of the lines fall into.

    `lines` are pairs of x (n,) and y (n,), NaN where a line breaks. The first box wins a tie.

    >>> emptiest([(0, 4, 0, 4), (5, 9, 0, 4)], [(np.arange(5.0), np.full(5, 2.0))])
    1
    """
    return int(np.argmin([sum(_inside(box, x, y) for x, y in lines) for box in boxes]))


def _inside(box: tuple[float, float, float, float], x: FloatArray, y: FloatArray) -> int:
    left, right, top, bottom = box
    across = np.linspace(left, right, 24)
    if not len(x):
        return 0
    height = np.interp(across, x, y, left=np.nan, right=np.nan)
    return int(np.count_nonzero((height >= top) & (height <= bottom)))
