"""Lethality of moist heat: lethal rate, A0 and F0, and the time still needed; holds come from `holds`."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from lungwort.errors import OutOfRange
from lungwort.language import _, number
from lungwort.science.arrays import BLOCK, FloatArray, Number, dot, floats, in_blocks, same_kind
from lungwort.science.holds import best_stretch as best_stretch
from lungwort.science.holds import equilibration_s as equilibration_s
from lungwort.science.holds import longest_hold as longest_hold

A0_REFERENCE_C = 80.0
"""A0 counts seconds at 80 °C (EN ISO 15883-1, annex B, as quoted in secondary texts)."""
A0_FLOOR_C = 65.0
"""A0 counts nothing below 65 °C (same source); 65.0 itself counts."""
Z_K = 10.0
"""Temperature step that changes the lethal rate tenfold (assumed by the A0 and F0 concepts themselves)."""
F0_REFERENCES_C = (121.0, 121.1)
"""Reference temperatures of F0 in use: Ph. Eur. 5.1.5 takes 121 °C (from memory), common practice 121.1 °C.

Some texts take 121.11 °C, exactly 250 °F. The choice moves F0 by up to 2.6 %.
"""


def lethal_rate(
    temperature_c: Number, reference_c: float, z_k: float = Z_K, floor_c: float | None = None
) -> Number:
    """Return how many seconds at the reference temperature one second at a temperature is worth.

    Args:
        temperature_c: temperature [°C], any shape; NaN gives NaN.
        reference_c: reference temperature [°C].
        z_k: temperature step for a tenfold change [K], above 0.
        floor_c: below this temperature [°C] the rate is 0; None for no floor.

    Returns:
        10^((T - reference) / z), same shape.

    Raises:
        OutOfRange: z is not above 0.

    Source: definition of A0 (EN ISO 15883-1, annex B) and of F0 (Ph. Eur. 5.1.5), as quoted in
    secondary texts. Holds for wet surfaces only.

    >>> round(lethal_rate(93.0, A0_REFERENCE_C, floor_c=A0_FLOOR_C), 4)
    19.9526
    """
    each_k = per_kelvin(z_k)

    def rate(block: FloatArray, filled: FloatArray) -> None:
        if floor_c is not None and block.max() < floor_c:  # spares the exponential; NaN compares false
            filled[:] = 0.0
            return
        np.subtract(block, reference_c, out=filled)
        np.multiply(filled, each_k, out=filled)
        np.exp(filled, out=filled)
        if floor_c is not None:
            np.multiply(filled, ~(block < floor_c), out=filled)  # a NaN stays a NaN

    return same_kind(in_blocks(rate, floats(temperature_c)), temperature_c)


def per_kelvin(z_k: float) -> float:
    """Return ln 10 / z."""
    if not 0.0 < z_k < math.inf:
        raise OutOfRange(_("z is {value} K; it must be above 0. Use 10 K for A0 and F0.").format(value=z_k))
    return math.log(10.0) / z_k


def present(elapsed_s: ArrayLike, values: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Return times and readings without those that are missing (NaN).

    >>> present([0, 1, 2], [80.0, float("nan"), 81.0])
    (array([0., 2.]), array([80., 81.]))
    """
    times, readings = floats(elapsed_s), floats(values)
    _require_one_each(times, readings)
    missing = np.isnan(readings)
    return (times[~missing], readings[~missing]) if missing.any() else (times, readings)


def accumulated(elapsed_s: ArrayLike, rate: ArrayLike, longest_gap_s: float = math.inf) -> FloatArray:
    """Return the lethality gained up to each reading, as the trapezoid between readings (best estimate).

    Args:
        elapsed_s: times [s], (n,), not falling.
        rate: lethal rate, (n,); leave missing readings out first (see `present`), for a NaN spreads.
        longest_gap_s: intervals longer than this [s] add nothing.

    Returns:
        Seconds at the reference temperature, (n,), starting with 0.

    Raises:
        OutOfRange: times run backwards, or times and rates differ in number.

    Source: trapezoidal rule.

    >>> accumulated([0, 10, 30], [1.0, 3.0, 1.0])
    array([ 0., 20., 60.])
    """
    total = _running_total(elapsed_s, rate, longest_gap_s, np.add)
    total *= 0.5
    return total


def accumulated_low(elapsed_s: ArrayLike, rate: ArrayLike, longest_gap_s: float = math.inf) -> FloatArray:
    """Return the lethality gained up to each reading, counting the lower neighbour of each interval (proof).

    It is a lower bound wherever the temperature did not dip between two readings. Arguments, shapes and
    errors as for `accumulated`.

    >>> accumulated_low([0, 10, 30], [1.0, 3.0, 1.0])
    array([ 0., 10., 30.])
    """
    return _running_total(elapsed_s, rate, longest_gap_s, np.minimum)


def accumulated_high(elapsed_s: ArrayLike, rate: ArrayLike) -> FloatArray:
    """Return the lethality gained up to each reading, counting the higher neighbour, gaps included.

    It is an upper bound wherever the temperature did not peak between two readings. Arguments, shapes
    and errors as for `accumulated`.

    >>> accumulated_high([0, 10, 30], [1.0, 3.0, 1.0])
    array([ 0., 30., 90.])
    """
    return _running_total(elapsed_s, rate, math.inf, np.maximum)


def _running_total(elapsed_s: ArrayLike, rate: ArrayLike, longest_gap_s: float, of: np.ufunc) -> FloatArray:
    """Return the running sum of (interval times `of` both neighbours), block by block."""
    times, rates = floats(elapsed_s), floats(rate)
    _require_one_each(times, rates)
    total = np.zeros(rates.size)
    for start in range(0, rates.size - 1, BLOCK):
        part = slice(start, start + BLOCK + 1)
        area = _steps(times[part], longest_gap_s, start)
        area *= of(rates[part][1:], rates[part][:-1])
        area[0] += total[start]
        np.cumsum(area, out=total[part][1:])
    return total


def trapezoid_weights_s(elapsed_s: ArrayLike, longest_gap_s: float = math.inf) -> FloatArray:
    """Return each reading's weight in the trapezoidal sum, so that rates (…, n) @ weights is lethality.

    Args:
        elapsed_s: times [s], (n,), not falling.
        longest_gap_s: intervals longer than this [s] add nothing.

    Returns:
        Half the interval before plus half the interval after each reading [s], (n,).

    Raises:
        OutOfRange: times run backwards.

    >>> trapezoid_weights_s([0, 10, 30])
    array([ 5., 15., 10.])
    """
    times = floats(elapsed_s)
    _require_one_each(times, times)
    steps = _steps(times, longest_gap_s)
    steps *= 0.5
    weights = np.zeros(times.size)
    weights[1:] = steps
    weights[:-1] += steps
    return weights


def _require_one_each(times: FloatArray, readings: FloatArray) -> None:
    if times.ndim != 1 or times.shape != readings.shape:
        says = _("There are {times} times and {readings} readings. Give one reading for each time.")
        raise OutOfRange(says.format(times=times.size, readings=readings.size))


def _steps(times: FloatArray, longest_gap_s: float, first: int = 0) -> FloatArray:
    """Return the lengths of the intervals [s], 0 for those longer than `longest_gap_s`."""
    steps = times[1:] - times[:-1]
    if steps.size and not steps.min() >= 0.0:
        at = int(np.argmin(steps >= 0.0)) + 1
        says = _("Time runs backwards at reading {at} ({before} s to {after} s). Put the readings in order.")
        raise OutOfRange(
            says.format(at=first + at + 1, before=number(times[at - 1]), after=number(times[at]))
        )
    if longest_gap_s < math.inf:
        steps[steps > longest_gap_s] = 0.0
    return steps


def a0_s(elapsed_s: ArrayLike, temperature_c: ArrayLike, longest_gap_s: float = math.inf) -> float:
    """Return A0, the seconds at 80 °C that a hot-water cycle was worth, by the trapezoid.

    Args:
        elapsed_s: times [s], (n,), not falling.
        temperature_c: temperatures [°C], (n,); missing ones (NaN) are left out with their times.
        longest_gap_s: intervals longer than this [s] add nothing.

    Returns:
        A0 [s]; 0 for fewer than two readings. Readings below 65 °C count nothing.

    Raises:
        OutOfRange: times run backwards, or times and temperatures differ in number.

    Source: EN ISO 15883-1, annex B, as quoted in secondary texts; z = 10 K.

    >>> round(a0_s([0, 60], [90.0, 90.0]), 6)
    600.0
    """
    times, readings = present(elapsed_s, temperature_c)
    rates = lethal_rate(readings, A0_REFERENCE_C, floor_c=A0_FLOOR_C)
    return _total(times, rates, longest_gap_s)


def f0_min(
    elapsed_s: ArrayLike,
    temperature_c: ArrayLike,
    reference_c: float = F0_REFERENCES_C[1],
    longest_gap_s: float = math.inf,
) -> float:
    """Return F0, the minutes at the reference temperature that a steam cycle was worth, by the trapezoid.

    Args:
        elapsed_s: times [s], (n,), not falling.
        temperature_c: temperatures [°C], (n,); missing ones (NaN) are left out with their times.
        reference_c: 121.1 or 121.0 °C: name it beside every F0.
        longest_gap_s: intervals longer than this [s] add nothing.

    Returns:
        F0 [min]; 0 for fewer than two readings.

    Raises:
        OutOfRange: times run backwards, or times and temperatures differ in number.

    Source: Ph. Eur. 5.1.5 (from memory), z = 10 K. Holds for saturated steam or a wet load.

    >>> round(f0_min([0, 900], [121.0, 121.0]), 2)
    14.66
    """
    times, readings = present(elapsed_s, temperature_c)
    return _total(times, lethal_rate(readings, reference_c), longest_gap_s) / 60.0


def _total(times: FloatArray, rates: FloatArray, longest_gap_s: float) -> float:
    _require_one_each(times, rates)
    steps = _steps(times, longest_gap_s)
    return 0.5 * (dot(steps, rates[1:]) + dot(steps, rates[:-1]))


def time_still_needed_s(
    target_s: float,
    reached_s: float,
    temperature_c: float,
    reference_c: float,
    z_k: float = Z_K,
    floor_c: float | None = None,
) -> float:
    """Return how much longer the present temperature must last to reach a lethality.

    Args:
        target_s: lethality to reach [s at the reference temperature]; for F0, minutes times 60.
        reached_s: lethality reached so far [s at the reference temperature].
        temperature_c: present temperature [°C].
        reference_c: reference temperature [°C].
        z_k: temperature step for a tenfold change [K], above 0.
        floor_c: below this temperature [°C] nothing counts; None for no floor.

    Returns:
        Time [s]; 0 where the target is reached; inf below the floor or where the temperature is missing.

    Raises:
        OutOfRange: z is not above 0.

    >>> round(time_still_needed_s(600.0, 180.0, 70.0, A0_REFERENCE_C, floor_c=A0_FLOOR_C), 6)
    4200.0
    """
    if reached_s >= target_s:
        return 0.0
    rate = lethal_rate(float(temperature_c), reference_c, z_k, floor_c)
    return (target_s - reached_s) / rate if rate > 0.0 else math.inf


def ramp_lethality(
    from_c: float,
    to_c: float,
    rate_k_per_s: float,
    reference_c: float,
    z_k: float = Z_K,
    floor_c: float | None = None,
) -> float:
    """Return the lethality of an even rise or fall of temperature, exactly.

    Args:
        from_c: temperature at the start [°C].
        to_c: temperature at the end [°C].
        rate_k_per_s: steepness [K/s], not 0; its sign does not matter.
        reference_c: reference temperature [°C].
        z_k: temperature step for a tenfold change [K], above 0.
        floor_c: below this temperature [°C] nothing counts; None for no floor.

    Returns:
        Lethality [s at the reference temperature].

    Raises:
        OutOfRange: the rate is 0, or z is not above 0.

    Source: integral of the lethal rate (computed).

    >>> round(ramp_lethality(60.0, 90.0, 30.0 / 1800.0, A0_REFERENCE_C, floor_c=A0_FLOOR_C), 1)
    2597.5
    """
    if not abs(rate_k_per_s) > 0.0:
        raise OutOfRange(
            _("The ramp's rate is {value} K/s; give one other than 0.").format(value=rate_k_per_s)
        )
    low, high = min(from_c, to_c), max(from_c, to_c)
    low = low if floor_c is None else max(low, floor_c)
    if low >= high:
        return 0.0
    each_k = per_kelvin(z_k)
    gained = lethal_rate(low, reference_c, z_k) * math.expm1(each_k * (high - low))
    return gained / (each_k * abs(rate_k_per_s))
