"""Noisy logs drawn by brute force, for the tests of noise and of uncertainty."""

import itertools
import math

import numpy as np
import pytest

from lungwort.science.lethality import lethal_rate, trapezoid_weights_s

Z_K, CHUNK = 10.0, 4_000


def _draw_noise(noise, correlation, shape, rng):
    """Draw noise along the last axis, each reading's correlated with the one before (AR(1))."""
    drawn = rng.standard_normal(shape)
    for i in range(1, shape[-1]):
        drawn[..., i] = correlation * drawn[..., i - 1] + math.sqrt(1.0 - correlation**2) * drawn[..., i]
    return noise * drawn


def _hump(readings, spacing_s=10.0):
    """Return uneven times and the lethal rates of a curve that rises to 121.1 °C, holds and falls."""
    steps = spacing_s * (1.0 + 0.5 * np.sin(np.arange(readings)))
    temperature = 121.1 - 15.0 * np.abs(np.linspace(-1.0, 1.0, readings)) ** 6
    return np.cumsum(steps), lethal_rate(temperature, 121.1)


def _noisy_totals(elapsed, rate, noise, correlation, draws, rng):
    """Return the trapezoidal lethality of many noisy logs of one curve."""
    weighted = trapezoid_weights_s(elapsed) * rate
    factors = [
        np.exp(math.log(10.0) / Z_K * _draw_noise(noise, correlation, (size, rate.size), rng)) @ weighted
        for size in itertools.repeat(CHUNK, draws // CHUNK)
    ]
    return np.concatenate(factors)


@pytest.fixture(scope="session")
def draw_noise():
    """Give the drawing of AR(1) noise."""
    return _draw_noise


@pytest.fixture(scope="session")
def hump():
    """Give the making of a curve."""
    return _hump


@pytest.fixture(scope="session")
def noisy_totals():
    """Give the drawing of noisy logs of a curve."""
    return _noisy_totals
