"""Noise: its size, inflation, scatter and skewness, against logs drawn by brute force."""

import math

import numpy as np
import pytest

from lungwort.errors import OutOfRange
from lungwort.science.lethality import lethal_rate, trapezoid_weights_s
from lungwort.science.uncertainty import noise_inflation, noise_k, noise_relative_sd, noise_skewness

Z_K = 10.0


def test_noise_raises_the_mean_rate_by_the_stated_factor():
    """The mean of a million noisy rates over the true rate is the inflation."""
    rng = np.random.default_rng(11)
    rate = lethal_rate(121.1 + 0.8 * rng.standard_normal(1_000_000), 121.1)
    assert noise_inflation(0.8) == pytest.approx(rate.mean(), abs=4.0 * rate.std() / 1000.0)
    assert noise_inflation(0.0) == 1.0


@pytest.mark.parametrize("of", [noise_inflation, lambda k: noise_relative_sd([0.0, 1.0], [1.0, 1.0], k)])
@pytest.mark.parametrize("noise", [-0.1, math.nan, math.inf])
def test_noise_that_cannot_be_is_refused(of, noise):
    """The message names the value and the limit."""
    with pytest.raises(OutOfRange, match=rf"Noise is {noise} K; it must be a finite number, 0 or more"):
        of(noise)


@pytest.mark.parametrize("correlation", [0.0, 0.6, -0.4])
@pytest.mark.parametrize("readings", [20_000, 200_000])
def test_noise_is_found_whatever_the_trend(correlation, readings, draw_noise):
    """Noise of 0.2 K on a rising, waving curve is found to 3 %, in short and long logs."""
    rng = np.random.default_rng(13)
    elapsed = np.arange(float(readings))
    curve = 60.0 + 0.002 * elapsed + np.sin(elapsed / 500.0)
    noisy = curve + draw_noise(0.2, correlation, (readings,), rng)
    assert noise_k(noisy, correlation) == pytest.approx(0.2, rel=0.03)


def test_noise_is_not_moved_by_steps_and_missing_readings():
    """A few jumps, spikes and holes leave the robust estimate where it was."""
    rng = np.random.default_rng(17)
    noisy = 0.1 * rng.standard_normal(5000)
    noisy[2000:] += 40.0
    noisy[rng.integers(0, 5000, 100)] = 150.0
    noisy[rng.integers(0, 5000, 300)] = math.nan
    assert noise_k(noisy) == pytest.approx(0.1, rel=0.1)


def test_a_smooth_or_short_log_has_no_noise():
    """A straight line has none, and four readings are too few to say."""
    assert noise_k(np.arange(100.0)) == 0.0
    assert noise_k([1.0, 9.0, 1.0, 9.0]) == noise_k([1.0, 9.0, math.nan, 1.0, 9.0]) == 0.0
    assert noise_k([1.0, 9.0, 1.0, 9.0, 1.0]) > 0.0


@pytest.mark.parametrize("of", [noise_relative_sd, noise_skewness])
@pytest.mark.parametrize("correlation", [1.0, -1.0, math.nan])
def test_a_correlation_that_cannot_be_is_refused(of, correlation):
    """Wholly correlated noise is a bias and is to be given as such."""
    with pytest.raises(OutOfRange, match=r"must lie above -1 and below 1. Give 0 if unknown"):
        of([0.0, 1.0], [1.0, 1.0], 0.1, correlation=correlation)
    with pytest.raises(OutOfRange, match=r"must lie above -1 and below 1"):
        noise_k([1.0] * 9, correlation)


@pytest.mark.parametrize("correlation", [0.0, 0.5, 0.95, 0.995, -0.4])
@pytest.mark.parametrize("noise", [0.1, 1.0])
def test_the_scatter_from_noise_agrees_with_drawn_logs(noise, correlation, hump, noisy_totals):
    """The relative scatter of 20,000 noisy logs is the stated one to 4 %, uncorrelated or AR(1)."""
    elapsed, rate = hump(150)
    totals = noisy_totals(elapsed, rate, noise, correlation, 20_000, np.random.default_rng(19))
    found = noise_relative_sd(elapsed, rate, noise, correlation=correlation)
    assert found == pytest.approx(totals.std() / totals.mean(), rel=0.04)
    assert totals.mean() == pytest.approx(
        noise_inflation(noise) * (trapezoid_weights_s(elapsed) @ rate), rel=4.0 * found / math.sqrt(20_000)
    )


def test_few_lags_and_the_fourier_transform_agree_with_the_double_sum(hump):
    """Both ways of summing over lags give the plain double sum over pairs of readings."""
    elapsed, rate = hump(90)
    shares = trapezoid_weights_s(elapsed) * rate
    apart = np.abs(np.subtract.outer(np.arange(90), np.arange(90)))
    for correlation in (0.3, -0.6, 0.7, 0.9, 0.999):
        covariance = np.expm1((math.log(10.0) / Z_K * 0.7) ** 2 * correlation**apart)
        expected = math.sqrt(shares @ covariance @ shares) / shares.sum()
        assert noise_relative_sd(elapsed, rate, 0.7, correlation=correlation) == pytest.approx(
            expected, rel=1e-8
        )


def test_without_noise_or_lethality_there_is_no_scatter():
    """No noise, a rate of nothing, or one reading: the scatter and its skewness are 0."""
    for of in (noise_relative_sd, noise_skewness):
        assert of([0.0, 1.0, 2.0], [1.0, 1.0, 1.0], 0.0) == 0.0
        assert of([0.0, 1.0, 2.0], [0.0, 0.0, 0.0], 0.3) == 0.0
        assert of([5.0], [1.0], 0.3) == 0.0


@pytest.mark.parametrize(("readings", "correlation"), [(4, 0.0), (12, 0.0), (60, 0.0), (150, 0.6)])
def test_the_skewness_from_noise_agrees_with_drawn_logs(readings, correlation, hump, noisy_totals):
    """The skewness of 400,000 noisy logs is the stated one to 0.03, or a tenth where correlated."""
    elapsed, rate = hump(readings)
    draws = 400_000 if readings < 100 else 100_000
    totals = noisy_totals(elapsed, rate, 0.8, correlation, draws, np.random.default_rng(23))
    drawn = np.mean((totals - totals.mean()) ** 3) / totals.std() ** 3
    found = noise_skewness(elapsed, rate, 0.8, correlation=correlation)
    assert found == pytest.approx(drawn, abs=0.03, rel=0.1 if correlation else 0.0)


def test_skewness_is_never_more_than_that_of_one_reading():
    """However correlated, the sum is no more skewed than one lognormal reading."""
    sigma_squared = (math.log(10.0) / Z_K * 0.5) ** 2
    single = (math.exp(sigma_squared) + 2.0) * math.sqrt(math.expm1(sigma_squared))
    assert noise_skewness([0.0, 1.0, 2.0], [1.0] * 3, 0.5, correlation=0.999) == pytest.approx(single)
