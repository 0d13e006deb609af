"""Quantiles of a Poisson count (table beside this file)."""

import tomllib
from pathlib import Path

import pytest

from lungwort.science.counts import poisson_quantile

TABLE = tomllib.loads(Path(__file__).with_name("poisson_quantiles.toml").read_text(encoding="utf-8"))
HALF_A_DIGIT = 0.005


@pytest.mark.parametrize(("mean", "at_90", "at_95", "at_99"), TABLE["quantiles"])
def test_quantiles_are_those_of_the_table(mean, at_90, at_95, at_99):
    """Whole numbers agree wholly."""
    assert [poisson_quantile(mean, share) for share in (0.90, 0.95, 0.99)] == [at_90, at_95, at_99]


@pytest.mark.parametrize(("count", "limit", "share"), TABLE["limits"])
def test_the_quantile_leaves_a_count_at_its_printed_upper_limit(count, limit, share):
    """Half a printed digit below the limit it is the count, half a digit above one more."""
    assert poisson_quantile(float(limit) - HALF_A_DIGIT, share) == count
    assert poisson_quantile(float(limit) + HALF_A_DIGIT, share) == count + 1


@pytest.mark.parametrize(("count", "limit", "share"), TABLE["lower_limits"])
def test_the_quantile_reaches_a_count_at_its_printed_lower_limit(count, limit, share):
    """Half a printed digit below the limit it is one less than the count, half a digit above the count."""
    assert poisson_quantile(float(limit) - HALF_A_DIGIT, 1 - share) == count - 1
    assert poisson_quantile(float(limit) + HALF_A_DIGIT, 1 - share) == count
