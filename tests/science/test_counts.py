"""Counts that come by chance."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import OutOfRange
from lungwort.science.counts import MEAN_AT_MOST, poisson_quantile


def at_most(count, mean):
    """P(N <= count) of a Poisson count, summed exactly and plainly."""
    return math.fsum(math.exp(n * math.log(mean) - mean - math.lgamma(n + 1)) for n in range(count + 1))


@given(st.floats(0.001, 300.0), st.floats(0.01, 0.999))
def test_the_quantile_is_the_least_count_with_that_probability(mean, share):
    """Its own probability reaches the share and that of one less does not, to rounding."""
    count = poisson_quantile(mean, share)
    assert at_most(count, mean) >= share - 1e-9
    assert count == 0 or at_most(count - 1, mean) < share + 1e-9


@given(st.floats(0.0, 1000.0), st.floats(0.0, 1000.0), st.floats(0.01, 0.999))
def test_more_under_way_never_needs_less(one, other, share):
    """The quantile grows with the mean."""
    low, high = sorted((one, other))
    assert poisson_quantile(low, share) <= poisson_quantile(high, share)


def test_nothing_under_way_needs_nothing():
    """A mean of 0 is 0 at any share."""
    assert poisson_quantile(0.0, 0.999) == 0


def test_a_large_mean_is_near_the_normal_curve():
    """At 100,000 the 95 % quantile is mean + 1.645 standard deviations, to one count in a hundred of them."""
    normal = MEAN_AT_MOST + 1.6449 * math.sqrt(MEAN_AT_MOST)
    assert poisson_quantile(MEAN_AT_MOST, 0.95) == pytest.approx(normal, abs=0.01 * math.sqrt(MEAN_AT_MOST))


@pytest.mark.parametrize("mean", [-1.0, 1e6, math.inf])
def test_a_mean_beyond_its_range_is_refused(mean):
    """The message names the range and what to check."""
    with pytest.raises(OutOfRange, match=r"A mean of .* is outside 0 to 100000. Check the arrivals"):
        poisson_quantile(mean, 0.95)


@pytest.mark.parametrize("share", [0.0, 1.0, 95.0])
def test_a_share_that_is_no_probability_is_refused(share):
    """95 is not 0.95."""
    with pytest.raises(OutOfRange, match="A share of .* Give a probability between 0 and 1, such as 0.95"):
        poisson_quantile(5.0, share)
