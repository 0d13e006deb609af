"""Uncertainty in closed form, against brute force: seeded Monte Carlo in chunks.

Every comparison with drawn numbers allows four standard errors of the draw, so a bound that is wrong by
half a per cent of probability fails.
"""

import itertools
import math
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lungwort.errors import OutOfRange
from lungwort.science.lethality import trapezoid_weights_s
from lungwort.science.uncertainty import (
    Bias,
    bias_cdf,
    bias_quantile,
    coldest_low,
    combined_u,
    guard_k,
    lethality_high,
    lethality_low,
    noise_inflation,
    noise_relative_sd,
)

Z_K = 10.0
DRAWS, CHUNK = 100_000, 4_000

BIASES = [
    Bias(),
    Bias(half_width_k=0.5),
    Bias(u_k=0.2),
    Bias(offset_k=-0.3),
    Bias(half_width_k=0.4, u_k=0.1, offset_k=0.2),
    Bias(half_width_k=0.1, u_k=0.4),
    Bias(half_width_k=1.5, u_k=0.01),
]
RANDOM_BIASES = st.builds(Bias, st.floats(0.0, 3.0), st.floats(0.0, 2.0), st.floats(-1.0, 1.0))
CONFIDENCES = st.floats(0.5, 0.9999)


def draw_errors(bias, shape, rng):
    """Draw errors of indications as the model says: offset, plus even within the half width, plus normal."""
    even = rng.uniform(-bias.half_width_k, bias.half_width_k, shape)
    return bias.offset_k + even + bias.u_k * rng.standard_normal(shape)


def chunks(draws=DRAWS):
    """Say how many draws to make at a time."""
    return itertools.repeat(CHUNK, draws // CHUNK)


def assert_share(hits, probability, draws=DRAWS):
    """Assert that a share of hits is the stated probability to four standard errors."""
    assert hits / draws == pytest.approx(
        probability, abs=4.0 * math.sqrt(probability * (1.0 - probability) / draws)
    )


# The error of an indication


@pytest.mark.parametrize("field", ["half_width_k", "u_k", "offset_k"])
@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_an_error_that_is_no_number_is_refused(field, value):
    """The message names the field and the value."""
    with pytest.raises(OutOfRange, match=rf"{field} is {value} K. Give a finite number"):
        Bias(**{field: value})


@pytest.mark.parametrize("field", ["half_width_k", "u_k"])
def test_a_negative_width_is_refused(field):
    """Only the offset may be negative."""
    with pytest.raises(OutOfRange, match=rf"{field} is -0.1 K. Give a finite number, 0 or more"):
        Bias(**{field: -0.1})


@pytest.mark.parametrize("confidence", [0.0, 1.0, -0.1, 95.0, math.nan])
def test_a_confidence_that_is_no_probability_is_refused(confidence):
    """95 instead of 0.95 is refused, and so are certainty and impossibility."""
    with pytest.raises(OutOfRange, match=r"is not between 0 and 1. Give for example 0.95"):
        bias_quantile(Bias(0.5), confidence)


@pytest.mark.parametrize("bias", BIASES[1:3] + BIASES[4:])
@pytest.mark.parametrize("confidence", [0.05, 0.5, 0.95, 0.99])
def test_the_quantile_agrees_with_drawn_errors(bias, confidence):
    """Of 2,000,000 drawn errors the stated share lies at or below the quantile."""
    rng = np.random.default_rng([20260518, BIASES.index(bias), round(100 * confidence)])
    quantile, draws = bias_quantile(bias, confidence), 2_000_000
    hits = sum(int(np.count_nonzero(draw_errors(bias, 200_000, rng) <= quantile)) for _part in range(10))
    assert_share(hits, confidence, draws)


@given(st.floats(0.01, 0.99), st.floats(0.01, 3.0))
def test_a_rectangular_error_alone_is_exact(confidence, half_width):
    """Its quantile is a (2 c - 1)."""
    assert bias_quantile(Bias(half_width), confidence) == pytest.approx(
        half_width * (2 * confidence - 1), abs=1e-15
    )


@given(st.floats(0.001, 0.999), st.floats(0.01, 3.0))
def test_a_normal_error_alone_agrees_with_the_standard_library(confidence, u):
    """Its quantile is that of statistics.NormalDist."""
    assert bias_quantile(Bias(u_k=u), confidence) == pytest.approx(
        NormalDist(0.0, u).inv_cdf(confidence), abs=1e-12
    )


@given(RANDOM_BIASES, st.floats(0.01, 0.99))
def test_the_quantile_undoes_the_distribution(bias, confidence):
    """The probability at the quantile is the confidence, for every mixture of even and normal."""
    assume(bias.half_width_k > 1e-6 or bias.u_k > 1e-6)
    quantile = bias_quantile(bias, confidence)
    assert bias_cdf(bias, quantile) == pytest.approx(confidence, abs=1e-8)


@given(st.floats(0.01, 0.99))
def test_a_sliver_of_the_other_kind_changes_nothing(confidence):
    """At the borders where one part is neglected the quantile does not jump."""
    narrow = [bias_quantile(Bias(half_width_k=a, u_k=1.0), confidence) for a in (0.000999, 0.001001)]
    sharp = [bias_quantile(Bias(half_width_k=1.0, u_k=u), confidence) for u in (0.9e-9, 1.1e-9)]
    assert narrow[0] == pytest.approx(narrow[1], abs=1e-8)
    assert sharp[0] == pytest.approx(sharp[1], abs=1e-8)


def test_an_exact_sensor_errs_by_its_offset():
    """Without width the error is the offset at every confidence, and its distribution a step."""
    assert bias_quantile(Bias(offset_k=0.3), 0.95) == bias_quantile(Bias(offset_k=0.3), 0.05) == 0.3
    assert (bias_cdf(Bias(offset_k=0.3), 0.29), bias_cdf(Bias(offset_k=0.3), 0.3)) == (0.0, 1.0)


@given(RANDOM_BIASES, CONFIDENCES)
def test_the_guard_band_lies_evenly_about_the_corrected_reading(bias, confidence):
    """Upper and lower quantile are offset plus and minus the guard."""
    guard = guard_k(bias, confidence)
    assert bias_quantile(bias, confidence) == pytest.approx(bias.offset_k + guard, abs=1e-12)
    assert bias_quantile(bias, 1.0 - confidence) == pytest.approx(bias.offset_k - guard, abs=1e-9)


def test_the_guard_band_of_the_guide_accepts_falsely_as_often_as_it_says():
    """JCGM 106 (from memory): a guard of 1.645 u accepts 5 %, one of 2 u 2.28 % of what lies at the limit."""
    assert guard_k(Bias(u_k=0.2), 0.95) == pytest.approx(1.645 * 0.2, abs=0.0005 * 0.2)
    assert guard_k(Bias(u_k=0.2), 1.0 - 0.0228) == pytest.approx(2.0 * 0.2, abs=0.005 * 0.2)


def test_combined_uncertainty_is_the_spread_of_the_sum():
    """Two rectangular parts and a normal one, drawn and added, scatter by the combined uncertainty."""
    rng = np.random.default_rng(7)
    drawn = (
        rng.uniform(-0.3, 0.3, 400_000) + rng.uniform(-0.5, 0.5, 400_000) + 0.2 * rng.standard_normal(400_000)
    )
    assert combined_u(half_widths=(0.3, 0.5), normals=(0.2,)) == pytest.approx(drawn.std(), rel=0.005)
    assert combined_u() == 0.0


# Bounds of lethality


@given(RANDOM_BIASES, CONFIDENCES, st.floats(0.1, 1e5))
def test_the_bound_is_the_measured_lethality_moved_by_the_error(bias, confidence, measured):
    """A constant error b multiplies lethality by exactly 10^(b / z)."""
    expected = measured * 10.0 ** (-bias_quantile(bias, confidence) / Z_K)
    assert lethality_low(measured, bias, Z_K, confidence) == pytest.approx(expected, rel=1e-12)
    expected = measured * 10.0 ** (-bias_quantile(bias, 1.0 - confidence) / Z_K)
    assert lethality_high(measured, bias, Z_K, confidence) == pytest.approx(expected, rel=1e-12)


@given(CONFIDENCES, *[st.floats(0.0, 2.0)] * 4, *[st.floats(0.0, 0.3)] * 2)
def test_the_bound_shrinks_with_growing_uncertainty(confidence, a, more_a, u, more_u, sd, more_sd):
    """A wider tolerance, more noise: never a higher proof, never a lower upper bound."""
    small, large = Bias(a, u), Bias(a + more_a, u + more_u)
    low, high = (f(600.0, small, Z_K, confidence, sd) for f in (lethality_low, lethality_high))
    assert lethality_low(600.0, large, Z_K, confidence, sd + more_sd) <= low * (1.0 + 1e-9)
    assert lethality_high(600.0, large, Z_K, confidence, sd + more_sd) >= high * (1.0 - 1e-9)


@given(RANDOM_BIASES, st.floats(0.5, 0.99), st.floats(0.5, 0.99), st.floats(0.0, 0.2))
def test_more_confidence_never_proves_more(bias, one, other, sd):
    """The bound at the higher confidence is at most that at the lower."""
    less, more = sorted((one, other))
    low = lethality_low(600.0, bias, Z_K, more, sd)
    assert low <= lethality_low(600.0, bias, Z_K, less, sd) * (1.0 + 1e-12)
    assert low <= lethality_high(600.0, bias, Z_K, more, sd) * (1.0 + 1e-12)


def test_inflation_is_divided_out():
    """Twice the inflation, half the bound."""
    for bound in (lethality_low, lethality_high):
        assert bound(600.0, Bias(0.5), Z_K, 0.95, inflation=2.0) == bound(300.0, Bias(0.5), Z_K, 0.95)


@pytest.mark.parametrize("z_k", [0.0, -10.0, math.nan])
def test_a_bound_with_an_impossible_z_is_refused(z_k):
    """The message names the value, the limit and the usual z."""
    with pytest.raises(OutOfRange, match=rf"z is {z_k} K; it must be above 0"):
        lethality_low(600.0, Bias(0.5), z_k, 0.95)


@pytest.mark.parametrize("bias", BIASES)
@pytest.mark.parametrize(
    ("noise", "correlation", "readings"), [(0.4, 0.0, 100), (0.3, 0.9, 100), (0.4, 0.0, 8)]
)
def test_the_bounds_hold_as_often_as_they_say(bias, noise, correlation, readings, hump, noisy_totals):
    """Of 100,000 logs with their own error and noise, the truth lies within each bound for 95 %.

    With noise as strong as this the small part set aside for its skew makes them hold up to 0.4 % more often.
    """
    elapsed, rate = hump(readings)
    rng = np.random.default_rng([29, BIASES.index(bias), readings, round(10 * correlation)])
    truth = trapezoid_weights_s(elapsed) @ rate
    shown = noisy_totals(elapsed, rate, noise, correlation, DRAWS, rng)
    shown *= 10.0 ** (draw_errors(bias, DRAWS, rng) / Z_K)
    sd, inflation = noise_relative_sd(elapsed, rate, noise, correlation=correlation), noise_inflation(noise)
    low, high = (f(1.0, bias, Z_K, 0.95, sd, inflation) for f in (lethality_low, lethality_high))
    held = {"low": np.mean(shown * low <= truth), "high": np.mean(shown * high >= truth)}
    error = 4.0 * math.sqrt(0.95 * 0.05 / DRAWS)
    assert 0.95 - error <= held["low"] <= 0.954 + error
    assert 0.95 - error <= held["high"] <= 0.954 + error


# The coldest of several channels

SETTINGS = {
    "alike": ([600.0] * 4, [Bias(0.5, 0.1)] * 4),
    "apart": ([600.0, 640.0, 900.0, 610.0], [Bias(0.5, 0.1)] * 4),
    "unlike": (
        [600.0, 640.0, 900.0, 650.0],
        [Bias(0.5), Bias(u_k=0.3), Bias(1.5, 0.2, 0.4), Bias(offset_k=-0.1)],
    ),
    "many": ([600.0] * 13, [Bias(0.4, 0.05)] * 13),
    "alone": ([600.0], [Bias(0.4, 0.05)]),
}


def error_ladder(bias):
    """Return a million drawn errors in order: a rank picks a quantile without the formula under test."""
    return np.sort(draw_errors(bias, 1_000_000, np.random.default_rng(41)))


def coldest_truths(measured, biases, sds, shared, rng):
    """Draw the smallest true lethality behind the measured ones, again and again.

    A shared cause puts all channels at the same quantile of their own error; noise is each channel's own.
    """
    ladders = {bias: error_ladder(bias) for bias in set(biases)} if shared else {}
    scatter = np.sqrt(np.log1p(np.square(sds)))[:, None]
    for size in chunks():
        rank = rng.integers(0, 1_000_000, size)
        errors = np.array([ladders[b][rank] if shared else draw_errors(b, size, rng) for b in biases])
        noise = scatter * rng.standard_normal(errors.shape) - scatter**2 / 2.0
        yield (np.asarray(measured)[:, None] * 10.0 ** (-errors / Z_K) * np.exp(-noise)).min(axis=0)


@pytest.mark.parametrize("name", SETTINGS)
@pytest.mark.parametrize("shared", [True, False], ids=["shared", "separate"])
@pytest.mark.parametrize("confidence", [0.9, 0.95, 0.99])
def test_the_bound_of_the_coldest_channel_holds_as_often_as_it_says(name, shared, confidence):
    """Of 100,000 drawn sets of errors the stated share leaves the coldest channel at or above the bound."""
    measured, biases = SETTINGS[name]
    bound = coldest_low(measured, biases, Z_K, confidence, shared)
    rng = np.random.default_rng([31, list(SETTINGS).index(name), shared, round(100 * confidence)])
    truths = coldest_truths(measured, biases, [0.0] * len(biases), shared, rng)
    assert_share(sum(int(np.count_nonzero(t >= bound)) for t in truths), confidence)


@pytest.mark.parametrize("name", ["alike", "unlike", "many"])
@pytest.mark.parametrize("sd", [0.002, 0.03, 0.15])
def test_noise_of_each_channel_is_counted_for_the_coldest(name, sd):
    """A separate bound is exact but for the part set aside for skew, a shared one is at least as sure."""
    measured, biases = SETTINGS[name]
    sds = [sd] * len(biases)
    for shared in (True, False):
        bound = coldest_low(measured, biases, Z_K, 0.95, shared, sds)
        rng = np.random.default_rng([37, list(SETTINGS).index(name), shared, round(1000 * sd)])
        truths = coldest_truths(measured, biases, sds, shared, rng)
        held = sum(int(np.count_nonzero(t >= bound)) for t in truths) / DRAWS
        error = 4.0 * math.sqrt(0.95 * 0.05 / DRAWS)
        most = 0.99 if shared else 0.954 if sd < 0.1 else 0.96
        assert 0.95 - error <= held <= most + error


CHANNELS = st.lists(
    st.tuples(st.floats(10.0, 5000.0), RANDOM_BIASES, st.floats(0.0, 0.2)), min_size=1, max_size=6
)


@given(CHANNELS, CONFIDENCES, st.booleans())
def test_the_coldest_is_never_proved_better_than_any_one_channel(channels, confidence, shared):
    """The bound of the coldest is at most each channel's own bound."""
    measured, biases, sds = zip(*channels, strict=True)
    coldest = coldest_low(measured, biases, Z_K, confidence, shared, sds)
    for m, bias, sd in channels:
        assert coldest <= lethality_low(m, bias, Z_K, confidence, sd) * (1.0 + 1e-9)


@given(CHANNELS, CONFIDENCES)
def test_separate_errors_never_prove_more_than_shared_ones(channels, confidence):
    """More chances for one channel to be out: the separate bound is at most the shared one."""
    measured, biases, sds = zip(*channels, strict=True)
    separate = coldest_low(measured, biases, Z_K, confidence, False, sds)
    assert separate <= coldest_low(measured, biases, Z_K, confidence, True, sds) * (1.0 + 1e-12)


@given(CHANNELS, CONFIDENCES, st.floats(10.0, 5000.0), RANDOM_BIASES)
def test_another_channel_never_raises_the_bound(channels, confidence, measured, bias):
    """Adding a thermometer can only lower what is proved of the coldest, where errors are separate."""
    values, biases, _sds = zip(*channels, strict=True)
    before = coldest_low(values, biases, Z_K, confidence, False)
    after = coldest_low([*values, measured], [*biases, bias], Z_K, confidence, False)
    assert after <= before * (1.0 + 1e-9)


@pytest.mark.parametrize("shared", [True, False])
def test_a_channel_without_lethality_decides(shared):
    """One channel with 0 proves 0, and one with nothing known proves nothing."""
    biases = [Bias(0.5)] * 3
    assert coldest_low([600.0, 0.0, 700.0], biases, Z_K, 0.95, shared) == 0.0
    assert math.isnan(coldest_low([600.0, math.nan, 0.0], biases, Z_K, 0.95, shared))


@pytest.mark.parametrize("shared", [True, False])
def test_one_channel_has_its_own_bound(shared):
    """With a single channel, shared and separate are the same as the plain bound, noise included."""
    own = lethality_low(600.0, Bias(0.4, 0.1, 0.2), Z_K, 0.95, 0.05)
    assert coldest_low([600.0], [Bias(0.4, 0.1, 0.2)], Z_K, 0.95, shared, [0.05]) == pytest.approx(
        own, rel=1e-12
    )


@pytest.mark.parametrize(
    ("measured", "biases", "sds", "says"),
    [
        ([], [], None, "0 lethalities, 0 sensor errors and 0 noises"),
        ([600.0, 700.0], [Bias()], None, "2 lethalities, 1 sensor errors and 2 noises"),
        ([600.0], [Bias()], [0.1, 0.1], "1 lethalities, 1 sensor errors and 2 noises"),
    ],
)
def test_channels_that_do_not_match_are_refused(measured, biases, sds, says):
    """The message counts what was given and asks for one of each."""
    with pytest.raises(OutOfRange, match=f"{says}: give one of each a channel"):
        coldest_low(measured, biases, Z_K, 0.95, True, sds)
