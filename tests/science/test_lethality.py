"""Lethality: rates, running sums, holds, ramps and the time still needed."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import OutOfRange
from lungwort.science.arrays import BLOCK
from lungwort.science.lethality import (
    A0_FLOOR_C,
    A0_REFERENCE_C,
    F0_REFERENCES_C,
    a0_s,
    accumulated,
    accumulated_high,
    accumulated_low,
    f0_min,
    lethal_rate,
    present,
    ramp_lethality,
    time_still_needed_s,
    trapezoid_weights_s,
)

SUMS = [accumulated, accumulated_low, accumulated_high]


@st.composite
def logs(draw, least=2):
    """Draw uneven times with gaps, and temperatures on both sides of 65 °C."""
    steps = draw(st.lists(st.floats(0.0, 900.0), min_size=least - 1, max_size=40))
    temperatures = st.lists(st.floats(20.0, 140.0), min_size=len(steps) + 1, max_size=len(steps) + 1)
    return np.concatenate([[0.0], np.cumsum(steps)]), np.array(draw(temperatures))


# The rate


@given(st.floats(-50.0, 200.0), st.sampled_from([80.0, *F0_REFERENCES_C]), st.floats(5.0, 20.0))
def test_lethal_rate_is_ten_to_the_power_of_its_definition(temperature_c, reference_c, z_k):
    """The exponential form equals 10^((T - reference) / z)."""
    expected = 10.0 ** ((temperature_c - reference_c) / z_k)
    assert lethal_rate(temperature_c, reference_c, z_k) == pytest.approx(expected, rel=1e-13)


def test_nothing_counts_below_the_floor_and_the_floor_itself_counts():
    """65.0 °C counts in A0, the next lower number does not, whatever block it stands in."""
    below = math.nextafter(A0_FLOOR_C, 0.0)
    rate = lethal_rate([65.0, below, 20.0, 80.0], A0_REFERENCE_C, floor_c=A0_FLOOR_C)
    assert rate.tolist() == [pytest.approx(10.0**-1.5), 0.0, 0.0, 1.0]
    assert lethal_rate([below, 20.0], A0_REFERENCE_C, floor_c=A0_FLOOR_C).tolist() == [0.0, 0.0]


def test_a_missing_temperature_has_a_missing_rate():
    """NaN stays NaN, with a floor and without, also in a block otherwise below the floor."""
    for floor_c in (None, 65.0):
        rate = lethal_rate([math.nan, 20.0, 90.0], 80.0, floor_c=floor_c)
        assert np.isnan(rate).tolist() == [True, False, False]
    assert np.isnan(lethal_rate([20.0, math.nan], 80.0, floor_c=65.0)).tolist() == [False, True]
    assert math.isnan(lethal_rate(math.nan, 80.0))


def test_rates_of_long_logs_are_answered_reading_by_reading():
    """Working in blocks, some all below the floor, changes nothing; the argument stays untouched."""
    temperature = np.repeat([20.0, 70.0, 64.0, 90.0], BLOCK // 2 + 3)
    before = temperature.copy()
    expected = np.where(temperature < 65.0, 0.0, 10.0 ** ((temperature - 80.0) / 10.0))
    np.testing.assert_allclose(lethal_rate(temperature, 80.0, floor_c=65.0), expected, rtol=1e-13)
    assert np.array_equal(temperature, before)
    assert lethal_rate(temperature.reshape(4, -1), 80.0).shape == (4, BLOCK // 2 + 3)


@pytest.mark.parametrize("z_k", [0.0, -10.0, math.nan, math.inf])
def test_a_z_that_cannot_be_is_refused(z_k):
    """The message names the value, the limit and the usual z."""
    with pytest.raises(OutOfRange, match=rf"z is {z_k} K; it must be above 0.*10 K for A0 and F0"):
        lethal_rate(80.0, 80.0, z_k)


# Running sums


@given(logs())
def test_lower_neighbour_trapezoid_and_higher_neighbour_are_in_order(log):
    """At every reading the proof is at most the best estimate, and that at most the upper bound."""
    elapsed, temperature = log
    rate = lethal_rate(temperature, 80.0, floor_c=65.0)
    best, low, high = (total(elapsed, rate) for total in SUMS)
    slack = 1e-9 * (1.0 + high)
    assert np.all(low <= best + slack)
    assert np.all(best <= high + slack)


@given(logs())
def test_running_sums_start_at_nothing_and_never_fall(log):
    """Lethality once gained is kept."""
    elapsed, temperature = log
    for total in SUMS:
        running = total(elapsed, lethal_rate(temperature, 80.0))
        assert running[0] == 0.0
        assert np.all(np.diff(running) >= 0.0)


@given(logs(), st.data())
def test_a_log_cut_in_two_adds_up(log, data):
    """Two parts that share the reading at the cut give the whole, for every sum and for A0 and F0."""
    elapsed, temperature = log
    cut = data.draw(st.integers(0, elapsed.size - 1))
    rate = lethal_rate(temperature, 80.0)
    for total in SUMS:
        parts = total(elapsed[: cut + 1], rate[: cut + 1])[-1] + total(elapsed[cut:], rate[cut:])[-1]
        assert parts == pytest.approx(total(elapsed, rate)[-1], rel=1e-9, abs=1e-12)
    for figure in (a0_s, f0_min):
        parts = figure(elapsed[: cut + 1], temperature[: cut + 1]) + figure(elapsed[cut:], temperature[cut:])
        assert parts == pytest.approx(figure(elapsed, temperature), rel=1e-9, abs=1e-12)


@given(logs(), st.floats(0.0, 1000.0))
def test_the_trapezoid_agrees_with_numpy(log, longest_gap_s):
    """numpy.trapezoid over the intervals that count gives the running sum, the weights and A0."""
    elapsed, temperature = log
    rate = lethal_rate(temperature, 80.0, floor_c=65.0)
    pairs = zip(range(elapsed.size - 1), range(1, elapsed.size), strict=True)
    expected = sum(
        np.trapezoid(rate[[i, j]], elapsed[[i, j]])
        for i, j in pairs
        if elapsed[j] - elapsed[i] <= longest_gap_s
    )
    assert accumulated(elapsed, rate, longest_gap_s)[-1] == pytest.approx(expected, rel=1e-9, abs=1e-12)
    assert rate @ trapezoid_weights_s(elapsed, longest_gap_s) == pytest.approx(expected, rel=1e-9, abs=1e-12)
    assert a0_s(elapsed, temperature, longest_gap_s) == pytest.approx(expected, rel=1e-9, abs=1e-12)


def test_a_gap_adds_nothing_but_an_interval_of_just_that_length_counts():
    """With 60 s the longest gap, 60 s count and 61 s do not; the upper bound includes the gap."""
    elapsed, rate = [0.0, 60.0, 121.0], [1.0, 1.0, 1.0]
    assert accumulated(elapsed, rate, 60.0).tolist() == [0.0, 60.0, 60.0]
    assert accumulated_low(elapsed, rate, 60.0).tolist() == [0.0, 60.0, 60.0]
    assert accumulated_high(elapsed, rate).tolist() == [0.0, 60.0, 121.0]
    assert f0_min(elapsed, [121.1] * 3, longest_gap_s=60.0) == pytest.approx(1.0)


@pytest.mark.parametrize("total", SUMS)
@pytest.mark.parametrize("size", [BLOCK, BLOCK + 1, 2 * BLOCK, 2 * BLOCK + 1, 2 * BLOCK + 2])
def test_running_sums_of_long_logs_carry_over_from_block_to_block(total, size):
    """A constant rate of 2 gives twice the time at every reading, wherever the blocks end."""
    elapsed = np.arange(size, dtype=np.float64)
    assert np.array_equal(total(elapsed, np.full(size, 2.0)), 2.0 * elapsed)


@pytest.mark.parametrize("total", SUMS)
def test_logs_of_one_reading_or_none_gain_nothing(total):
    """One reading has gained 0, and an empty log stays empty."""
    assert total([5.0], [3.0]).tolist() == [0.0]
    assert total([], []).tolist() == []
    assert a0_s([], []) == f0_min([1.0], [121.0]) == 0.0


def test_a_missing_rate_makes_what_follows_missing():
    """A NaN that was not left out can never become a proof."""
    running = accumulated([0.0, 1.0, 2.0, 3.0], [1.0, 1.0, math.nan, 1.0])
    assert np.isnan(running).tolist() == [False, False, True, True]


def test_missing_readings_are_left_out_with_their_times():
    """A0 and F0 go straight from the reading before to the reading after, unless that is too long a gap."""
    elapsed, celsius = [0.0, 10.0, 20.0, 30.0], [90.0, math.nan, 90.0, 90.0]
    assert a0_s(elapsed, celsius) == pytest.approx(300.0)
    assert a0_s(elapsed, celsius, longest_gap_s=10.0) == pytest.approx(100.0)
    assert f0_min(elapsed, [121.1, 121.1, 121.1, math.nan]) == pytest.approx(20.0 / 60.0)
    times, readings = present(elapsed, celsius)
    assert (times.tolist(), readings.tolist()) == ([0.0, 20.0, 30.0], [90.0, 90.0, 90.0])


@pytest.mark.parametrize("total", [*SUMS, a0_s, f0_min])
def test_time_that_runs_backwards_is_refused(total):
    """The message counts readings from one and gives both times, also beyond the first block."""
    with pytest.raises(OutOfRange, match=r"backwards at reading 3 \(10.0 s to 9.0 s\).*in order"):
        total([0.0, 10.0, 9.0], [1.0, 1.0, 1.0])
    late = np.arange(BLOCK + 100.0)
    late[BLOCK + 50] = 0.0
    with pytest.raises(OutOfRange, match=f"backwards at reading {BLOCK + 51} "):
        total(late, np.ones(late.size))


@pytest.mark.parametrize("total", [*SUMS, a0_s])
def test_times_without_readings_are_refused(total):
    """Three times and two readings are an error, never a guess."""
    with pytest.raises(OutOfRange, match=r"3 times and 2 readings. Give one reading for each time"):
        total([0.0, 1.0, 2.0], [1.0, 1.0])
    with pytest.raises(OutOfRange, match=r"1 times and 2 readings"):
        total([0.0], [1.0, math.nan])


# Time still needed


@given(st.floats(1.0, 5000.0), st.floats(0.0, 5000.0), st.floats(65.0, 100.0))
def test_the_time_still_needed_reaches_the_target(target_s, reached_s, temperature_c):
    """Holding the present temperature for just that time gives what is missing."""
    needed = time_still_needed_s(target_s, reached_s, temperature_c, A0_REFERENCE_C, floor_c=A0_FLOOR_C)
    gained = a0_s([0.0, needed], [temperature_c] * 2)
    assert gained == pytest.approx(max(target_s - reached_s, 0.0), rel=1e-9, abs=1e-9)


def test_below_the_floor_no_time_is_enough():
    """Below 65 °C, or with no reading at all, the target is never reached unless it already is."""
    assert time_still_needed_s(600.0, 0.0, 64.9, 80.0, floor_c=65.0) == math.inf
    assert time_still_needed_s(600.0, 0.0, math.nan, 80.0, floor_c=65.0) == math.inf
    assert time_still_needed_s(600.0, 600.0, 20.0, 80.0, floor_c=65.0) == 0.0


# Ramps


@given(st.floats(40.0, 100.0), st.floats(40.0, 100.0), st.floats(0.01, 2.0))
def test_a_ramp_agrees_with_fine_sampling(from_c, to_c, steepness):
    """The closed form lies between lower and higher neighbour of the ramp sampled 2,000 times."""
    duration = abs(to_c - from_c) / steepness
    elapsed = np.linspace(0.0, duration, 2001)
    rate = lethal_rate(np.linspace(from_c, to_c, 2001), 80.0, floor_c=65.0)
    exact = ramp_lethality(from_c, to_c, steepness, 80.0, floor_c=65.0)
    slack = 1e-9 * (1.0 + exact) + (rate.max() + 0.04) * duration / 2000.0 * (min(from_c, to_c) < 65.0)
    assert accumulated_low(elapsed, rate)[-1] - slack <= exact <= accumulated_high(elapsed, rate)[-1] + slack


@given(st.floats(60.0, 140.0), st.floats(60.0, 140.0), st.floats(0.0, 1.0), st.floats(0.01, 2.0))
def test_a_ramp_cut_in_two_adds_up_and_falls_as_it_rose(from_c, to_c, share, steepness):
    """Parts give the whole, and a fall at the same steepness, whatever its sign, is worth the rise."""
    between_c = from_c + share * (to_c - from_c)
    whole = ramp_lethality(from_c, to_c, steepness, 121.1)
    parts = ramp_lethality(from_c, between_c, steepness, 121.1) + ramp_lethality(
        between_c, to_c, steepness, 121.1
    )
    assert parts == pytest.approx(whole, rel=1e-9, abs=1e-12)
    assert ramp_lethality(to_c, from_c, -steepness, 121.1) == whole


def test_a_ramp_below_the_floor_or_without_length_is_worth_nothing():
    """Up to just 65 °C nothing is gained, and neither is it where start and end are equal."""
    assert ramp_lethality(20.0, 65.0, 0.1, 80.0, floor_c=65.0) == 0.0
    assert ramp_lethality(90.0, 90.0, 0.1, 80.0) == 0.0


@pytest.mark.parametrize("steepness", [0.0, math.nan])
def test_a_ramp_without_steepness_is_refused(steepness):
    """The message names the rate and asks for another."""
    with pytest.raises(OutOfRange, match=rf"rate is {steepness} K/s; give one other than 0"):
        ramp_lethality(60.0, 90.0, steepness, 80.0)
