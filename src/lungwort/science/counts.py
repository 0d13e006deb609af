"""Counts of things that come by chance: how many are there at once, and how many of them must be borne."""

from __future__ import annotations

import math

import numpy as np

from lungwort.language import _
from lungwort.science.arrays import floats, require_between

MEAN_AT_MOST = 100_000.0
"""Beyond it no hospital counts parts, and the sum of probabilities takes long."""
SHARE_RANGE = (1e-9, 1.0 - 1e-9)
_FAR = 12.0
"""Standard deviations above the mean at which the probability left is nothing to a double."""


def poisson_quantile(mean: float, share: float) -> int:
    """Return the least count that a Poisson count stays at or below with at least a given probability.

    Args:
        mean: of the count, 0 to 100,000. With arrivals by chance it is arrivals a day times days each one stays,
            whatever the spread of the stays (M/G/∞).
        share: the probability, above 0 and below 1: 0.95 for nineteen days of twenty.

    Returns:
        The count. Demand that comes in bursts (an outbreak) spreads wider than Poisson: the count is then too small.

    Raises:
        OutOfRange: mean or share beyond its range.

    Source: Poisson distribution, summed in logarithms (computed).

    >>> [poisson_quantile(5.0, share) for share in (0.90, 0.95, 0.99)]
    [8, 9, 11]
    """
    require_between(floats(mean), 0.0, MEAN_AT_MOST, says=_mean_says())
    require_between(floats(share), *SHARE_RANGE, says=_share_says())
    if mean == 0.0:
        return 0
    counts = np.arange(int(mean + _FAR * math.sqrt(mean) + 3.0 * _FAR) + 1, dtype=np.float64)
    log_factorials = np.concatenate(([0.0], np.cumsum(np.log(counts[1:]))))
    at_most = np.cumsum(np.exp(counts * math.log(mean) - mean - log_factorials))
    return int(np.searchsorted(at_most, share))


def _mean_says() -> str:
    return _(
        "A mean of {value} is outside {low} to {high}. Check the arrivals a day and the unit of the stay."
    )


def _share_says() -> str:
    return _(
        "A share of {value} is outside {low} to {high}. Give a probability between 0 and 1, such as 0.95."
    )
