"""Noise: how much it is, how it raises a lethality and how it scatters it."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from lungwort.errors import OutOfRange
from lungwort.language import _, number
from lungwort.science.arrays import FloatArray, dot, floats, middle
from lungwort.science.lethality import Z_K, per_kelvin, trapezoid_weights_s


def noise_inflation(noise_k: float, z_k: float = Z_K) -> float:
    """Return the factor by which noise of a standard deviation raises the mean lethal rate.

    Args:
        noise_k: standard deviation of the noise in the readings [K], 0 or more.
        z_k: temperature step for a tenfold change [K], above 0.

    Returns:
        Factor, 1 or more: divide a measured lethality by it.

    Raises:
        OutOfRange: the noise or z cannot be.

    Source: mean of a lognormal variable, e^(σ² / 2) with σ = ln 10 / z · noise (computed).

    >>> round(noise_inflation(0.5), 4)
    1.0066
    """
    return math.exp(0.5 * _sigma(noise_k, z_k) ** 2)


def _sigma(noise_k: float, z_k: float) -> float:
    if not 0.0 <= noise_k < math.inf:
        raise OutOfRange(
            _("Noise is {value} K; it must be a finite number, 0 or more.").format(value=noise_k)
        )
    return per_kelvin(z_k) * noise_k


_DIFFERENCES_ENOUGH = 16384
"""Second differences looked at: good to about 1 %, and a million readings cost little."""


def noise_k(readings: ArrayLike, correlation: float = 0.0) -> float:
    """Return the standard deviation of the noise [K] in evenly spaced readings, whatever their trend.

    Args:
        readings: temperatures [°C], (n,); missing ones (NaN) are left out.
        correlation: of neighbouring readings' noise, above -1 and below 1; 0 for white noise.

    Returns:
        Robust standard deviation [K]; 0 for fewer than 5 readings. Noise finer than the resolution of
        the readings is not seen.

    Raises:
        OutOfRange: the correlation is not between -1 and 1.

    Source: 1.4826 times the median size of the second differences, divided by their gain √6, for
    correlated noise √(6 - 8 ρ + 2 ρ²) (computed).

    >>> noise_k([80.0, 80.2, 80.0, 80.2, 80.0, 80.2]) > 0.1, noise_k([80.0, 81.0, 82.0])
    (True, 0.0)
    """
    _require_correlation(correlation)
    values = floats(readings)
    values = values[np.isfinite(values)]
    if values.size < 5:
        return 0.0
    stride = 1 + (values.size - 2) // _DIFFERENCES_ENOUGH
    second = values[:-2:stride] - 2.0 * values[1:-1:stride] + values[2::stride]
    gain = math.sqrt(6.0 - 8.0 * correlation + 2.0 * correlation**2)
    return 1.4826 * middle(np.abs(second)) / gain


def _require_correlation(correlation: float) -> None:
    if not -1.0 < correlation < 1.0:
        says = _(
            "Correlation {value} of neighbouring noise must lie above -1 and below 1. Give 0 if unknown."
        )
        raise OutOfRange(says.format(value=number(correlation, 2)))


def noise_relative_sd(
    elapsed_s: ArrayLike, rate: ArrayLike, noise_k: float, z_k: float = Z_K, correlation: float = 0.0
) -> float:
    """Return the relative standard deviation that noise gives to the trapezoidal lethality.

    Args:
        elapsed_s: times [s], (n,), not falling.
        rate: lethal rate at each reading, (n,), none missing.
        noise_k: standard deviation of the noise [K].
        z_k: temperature step for a tenfold change [K].
        correlation: ρ of neighbouring readings' noise; ρ^h between readings h apart.

    Returns:
        Standard deviation divided by mean; 0 where there is no lethality.

    Raises:
        OutOfRange: noise, z, correlation or times cannot be.

    Source: covariance of lognormal variables, e^(σ²) (e^(σ² ρ^h) - 1) (computed).

    >>> round(noise_relative_sd([0.0, 1.0, 2.0, 3.0], [1.0] * 4, 0.5), 4)
    0.0609
    """
    _require_correlation(correlation)
    shares = trapezoid_weights_s(elapsed_s) * floats(rate)
    total, sigma = float(shares.sum()), _sigma(noise_k, z_k)
    if not total > 0.0 or sigma == 0.0:
        return 0.0
    products = _lagged_products(shares, _lags_that_matter(correlation))
    covariance = np.expm1(sigma**2 * correlation ** np.arange(products.size, dtype=np.float64))
    covariance[1:] *= 2.0
    return math.sqrt(max(dot(products, covariance), 0.0)) / total


def _lags_that_matter(correlation: float) -> int:
    """Return how many lags there are until the correlation has fallen to 1e-9."""
    return 1 if correlation == 0.0 else 1 + math.ceil(math.log(1e-9) / math.log(abs(correlation)))


def _lagged_products(shares: FloatArray, lags: int) -> FloatArray:
    """Return Σ s_i s_(i+h) for each lag h from 0, one by one where few, by Fourier transform where many."""
    if lags <= 64:
        return np.array([dot(shares[h:], shares[: shares.size - h]) for h in range(min(lags, shares.size))])
    length = 1 << (2 * shares.size - 1).bit_length()
    spectrum = np.fft.rfft(shares, length)
    power = spectrum.real**2 + spectrum.imag**2
    return np.asarray(np.fft.irfft(power, length)[: shares.size], dtype=np.float64)


def noise_skewness(
    elapsed_s: ArrayLike, rate: ArrayLike, noise_k: float, z_k: float = Z_K, correlation: float = 0.0
) -> float:
    """Return the skewness that noise gives to the trapezoidal lethality, as a guard.

    Args:
        elapsed_s, rate, noise_k, z_k, correlation: as for `noise_relative_sd`.

    Returns:
        Third central moment over the cube of the standard deviation: 0 for a normal sum. The bounds
        here take the sum as lognormal; they hold well below a skewness of 1.

    Raises:
        OutOfRange: noise, z, correlation or times cannot be.

    Source: moments of lognormal variables; for correlated noise times √((1 + ρ) / (1 - ρ)), but at
    most that of a single reading (computed, first order in σ).

    >>> round(noise_skewness([0.0, 1.0, 2.0, 3.0], [1.0] * 4, 0.5), 2)
    0.2
    """
    _require_correlation(correlation)
    shares = trapezoid_weights_s(elapsed_s) * floats(rate)
    spread = math.expm1(_sigma(noise_k, z_k) ** 2)
    squares = dot(shares, shares)
    if squares == 0.0 or spread == 0.0:
        return 0.0
    single = math.sqrt(spread) * (spread + 3.0)
    evenness = dot(shares * shares, shares) / (squares * math.sqrt(squares))
    return single * min(evenness * math.sqrt((1.0 + correlation) / (1.0 - correlation)), 1.0)
