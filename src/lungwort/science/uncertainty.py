"""Uncertainty: what a lethality is worth once sensor error and noise are allowed for, in closed form.

A sensor's constant error b multiplies lethality by exactly 10^(b / z), so the bound on the error is at
once the bound on the lethality. Noise raises the mean lethal rate by a known factor, which is divided
out, and scatters the sum a little, which is added to the error as a normal part. The figures of noise
come from `noise`, those of new sensors from `tolerances`; both can be had from here.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from lungwort.errors import OutOfRange
from lungwort.language import _, number
from lungwort.science.arrays import floats
from lungwort.science.lethality import per_kelvin
from lungwort.science.noise import noise_inflation as noise_inflation
from lungwort.science.noise import noise_k as noise_k
from lungwort.science.noise import noise_relative_sd as noise_relative_sd
from lungwort.science.noise import noise_skewness as noise_skewness
from lungwort.science.tolerances import pt100_tolerance_k as pt100_tolerance_k
from lungwort.science.tolerances import thermocouple_tolerance_k as thermocouple_tolerance_k


@dataclass(frozen=True)
class Bias:
    """The constant error of an indication (shown minus true): offset + even within ± half width + normal.

    `half_width_k` is a tolerance or a resolution, `u_k` a standard uncertainty (a certificate's U / k),
    `offset_k` the error found in a calibration and not corrected in the log.
    """

    half_width_k: float = 0.0
    u_k: float = 0.0
    offset_k: float = 0.0

    def __post_init__(self) -> None:
        parts = (("half_width_k", self.half_width_k), ("u_k", self.u_k), ("offset_k", abs(self.offset_k)))
        for name, value in parts:
            if not 0.0 <= value < math.inf:
                says = _("The sensor error's {name} is {value} K. Give a finite number, 0 or more.")
                raise OutOfRange(says.format(name=name, value=value))


def combined_u(half_widths: Sequence[float] = (), normals: Sequence[float] = ()) -> float:
    """Return the combined standard uncertainty of independent parts, all in one unit.

    Args:
        half_widths: half widths of rectangular errors (tolerances), any number.
        normals: standard uncertainties of normal errors, any number.

    Returns:
        Standard uncertainty in that unit; 0 of no parts.

    Source: JCGM 100:2008, 4.3.7 (rectangular: a / √3) and 5.1.2 (sum of squares).

    >>> round(combined_u(half_widths=[0.3], normals=[0.1]), 4)
    0.2
    """
    return math.sqrt(sum(a * a for a in half_widths) / 3.0 + sum(u * u for u in normals))


def _normal_cdf(x: float) -> float:
    return 0.5 * math.erfc(-x / math.sqrt(2.0))


def _normal_cdf_integral(x: float) -> float:
    """Return the integral of the normal distribution function from -∞ to x."""
    return x * _normal_cdf(x) + math.exp(-0.5 * x * x) / math.sqrt(2.0 * math.pi)


def bias_cdf(bias: Bias, error_k: float) -> float:
    """Return the probability that the error of an indication is at most `error_k`.

    Args:
        bias: what is known of the sensor's error.
        error_k: indicated minus true [K].

    Returns:
        Probability, 0 to 1; without any spread a step from 0 to 1 at the offset.

    Source: convolution of a rectangular with a normal distribution (computed).

    >>> round(bias_cdf(Bias(half_width_k=0.5, u_k=0.2), 0.5), 4)
    0.9202
    """
    half_width, u, x = bias.half_width_k, bias.u_k, error_k - bias.offset_k
    if half_width <= 1e-3 * u:  # indistinguishable from normal, and the difference below would cancel
        u = combined_u([half_width], [u])
        return _normal_cdf(x / u) if u > 0.0 else float(x >= 0.0)
    if u <= 1e-9 * half_width:  # likewise rectangular
        return min(max(0.5 + 0.5 * x / half_width, 0.0), 1.0)
    upper, lower = (x + half_width) / u, (x - half_width) / u
    return 0.5 * u / half_width * (_normal_cdf_integral(upper) - _normal_cdf_integral(lower))


def bias_quantile(bias: Bias, confidence: float) -> float:
    """Return the error [K] that the indication does not exceed with the given confidence, offset included.

    Args:
        bias: what is known of the error.
        confidence: probability between 0 and 1.

    Returns:
        Quantile of the error [K]: the true temperature is at least the indication minus this.

    Raises:
        OutOfRange: the confidence is not between 0 and 1.

    Source: distribution function of rectangular plus normal, solved by bisection (computed); exact to
    rounding for either alone.

    >>> round(bias_quantile(Bias(half_width_k=0.5), 0.95), 6), round(bias_quantile(Bias(u_k=1.0), 0.95), 4)
    (0.45, 1.6449)
    """
    if not 0.0 < confidence < 1.0:
        says = _("Confidence {value} is not between 0 and 1. Give for example 0.95.")
        raise OutOfRange(says.format(value=number(confidence, 2)))
    return bias.offset_k + _guard(bias.half_width_k, bias.u_k, confidence)


@lru_cache(maxsize=1024)
def _guard(half_width: float, u: float, confidence: float) -> float:
    """Return the quantile of the centred error [K]."""
    if confidence < 0.5:
        return -_guard(half_width, u, 1.0 - confidence)
    if u <= 1e-9 * half_width:
        return half_width * (2.0 * confidence - 1.0)
    centred = Bias(half_width, u)
    return _bisect(lambda x: bias_cdf(centred, x) < confidence, 0.0, half_width + 10.0 * u)


def _bisect(is_below: Callable[[float], bool], low: float, high: float) -> float:
    """Return where `is_below` turns from True to False, to the last digit a float carries."""
    for _step in range(100):
        middle = 0.5 * (low + high)
        if not low < middle < high:
            break
        low, high = (middle, high) if is_below(middle) else (low, middle)
    return high


def guard_k(bias: Bias, confidence: float) -> float:
    """Return the guard band [K] on each side of a corrected reading, offset left out.

    With t the reading minus `bias.offset_k`, the true temperature is at least t - guard, and at most
    t + guard, each with the given confidence. Without an offset it equals `bias_quantile`.

    Source: JCGM 106:2012, 8.3 (guarded acceptance), the factor from the error's own distribution.

    >>> round(guard_k(Bias(u_k=0.2, offset_k=0.3), 0.95), 3)
    0.329
    """
    return bias_quantile(replace(bias, offset_k=0.0), confidence)


def _with_noise(bias: Bias, relative_sd: float, z_k: float) -> Bias:
    """Return the error in which a lognormal scatter of the lethality is counted as normal in temperature."""
    spread = math.sqrt(math.log1p(relative_sd**2)) / per_kelvin(z_k)
    return replace(bias, u_k=math.hypot(bias.u_k, spread))


def lethality_low(
    measured: float,
    bias: Bias,
    z_k: float,
    confidence: float,
    relative_sd: float = 0.0,
    inflation: float = 1.0,
) -> float:
    """Return the lethality that is shown: the true one is at least this, with the given confidence.

    Args:
        measured: lethality as computed from the log, any unit.
        bias: what is known of the sensor's error.
        z_k: temperature step for a tenfold change [K].
        confidence: one-sided probability between 0 and 1.
        relative_sd: from `noise_relative_sd`.
        inflation: from `noise_inflation`, divided out.

    Returns:
        Lower bound, same unit as `measured`.

    Raises:
        OutOfRange: z or confidence cannot be.

    Source: measured / inflation · 10^(-q / z), q the error's quantile (computed). A floor (65 °C for A0)
    is not followed where the error moves readings across it: count the floor on the safe side first.

    >>> round(lethality_low(600.0, Bias(half_width_k=0.5), 10.0, 0.95), 1)
    540.9
    """
    error_k = bias_quantile(_with_noise(bias, relative_sd, z_k), confidence)
    return measured / inflation * math.exp(-per_kelvin(z_k) * error_k)


def lethality_high(
    measured: float,
    bias: Bias,
    z_k: float,
    confidence: float,
    relative_sd: float = 0.0,
    inflation: float = 1.0,
) -> float:
    """Return the most the lethality can be: the true one is at most this, with the given confidence.

    Arguments, range and source as for `lethality_low`.

    >>> round(lethality_high(600.0, Bias(half_width_k=0.5), 10.0, 0.95), 1)
    665.5
    """
    noisy = _with_noise(bias, relative_sd, z_k)
    # A noise factor with mean 1 has its median below 1, so the truth lies a little higher.
    error_k = bias_quantile(noisy, 1.0 - confidence)
    return measured / inflation * math.sqrt(1.0 + relative_sd**2) * math.exp(-per_kelvin(z_k) * error_k)


def coldest_low(
    measured: ArrayLike,
    biases: Sequence[Bias],
    z_k: float,
    confidence: float,
    shared: bool,
    relative_sds: Sequence[float] | None = None,
) -> float:
    """Return the lethality shown for whichever of several channels truly got least.

    Args:
        measured: lethality of each channel, (k,), inflation divided out.
        biases: what is known of each channel's error, (k,).
        z_k: temperature step for a tenfold change [K].
        confidence: one-sided probability between 0 and 1.
        shared: True where one cause moves all channels together (one instrument, one calibration),
            False where each errs on its own.
        relative_sds: noise of each channel, (k,), from `noise_relative_sd`; always its own.

    Returns:
        Lower bound of the smallest true lethality, same unit; NaN where a channel has none.

    Raises:
        OutOfRange: no channel, unequal numbers, or z or confidence cannot be.

    Source: shared, the smallest of the bounds at a common quantile; separate, the x with
    Π F_i(z log10(M_i / x)) = confidence (computed).

    >>> biases = [Bias(half_width_k=0.5)] * 2
    >>> round(coldest_low([600.0, 600.0], biases, 10.0, 0.95, shared=True), 1)
    540.9
    >>> round(coldest_low([600.0, 600.0], biases, 10.0, 0.95, shared=False), 1)
    537.9
    """
    lethalities = floats(measured).reshape(-1)
    noises = [0.0] * lethalities.size if relative_sds is None else list(relative_sds)
    if not lethalities.size == len(biases) == len(noises) > 0:
        says = _(
            "{measured} lethalities, {biases} sensor errors and {noises} noises: give one of each a channel."
        )
        raise OutOfRange(says.format(measured=lethalities.size, biases=len(biases), noises=len(noises)))
    if not np.all(lethalities > 0.0):
        return math.nan if np.isnan(lethalities).any() else 0.0
    errors = [_with_noise(b, sd, z_k) for b, sd in zip(biases, noises, strict=True)]
    apart = _coldest_apart(lethalities.tolist(), errors, z_k, confidence)
    if not shared:
        return apart
    return max(apart, _coldest_shared(lethalities.tolist(), biases, noises, z_k, confidence))


def _coldest_apart(measured: list[float], errors: list[Bias], z_k: float, confidence: float) -> float:
    each_k = per_kelvin(z_k)

    def own(level: float) -> float:
        quantiles = (bias_quantile(error, level) for error in errors)
        return min(math.log(m) - each_k * q for m, q in zip(measured, quantiles, strict=True))

    def too_low(log_x: float) -> bool:
        margins = ((math.log(m) - log_x) / each_k for m in measured)
        return math.prod(map(bias_cdf, errors, margins)) > confidence

    highest, lowest = own(confidence), own(confidence ** (1.0 / len(measured)))
    return math.exp(min(_bisect(too_low, lowest, highest), highest))


def _coldest_shared(
    measured: list[float], biases: Sequence[Bias], noises: list[float], z_k: float, confidence: float
) -> float:
    """Common quantile of the bias; noise, which is never shared, gets a tenth of the risk, split evenly."""
    if not any(noises):
        return min(lethality_low(m, b, z_k, confidence) for m, b in zip(measured, biases, strict=True))
    risk = 0.1 * (1.0 - confidence)
    bounds = []
    for m, bias, noise in zip(measured, biases, noises, strict=True):
        own_noise = bias_quantile(_with_noise(Bias(), noise, z_k), 1.0 - risk / len(measured))
        bounds.append(lethality_low(m, bias, z_k, confidence + risk) * math.exp(-per_kelvin(z_k) * own_noise))
    return min(bounds)
