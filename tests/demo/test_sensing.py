"""What sensors and loggers make of the truth: offset, noise and the last digit, each as told."""

import numpy as np
import pytest

from lungwort.demo.sensing import Probe, column, indicated, step_column

STEADY = np.full(20_000, 80.0)


def test_offset_and_noise_can_be_recovered_from_many_readings():
    """The mean error is the offset and the spread is the noise, within five standard errors."""
    error = indicated(STEADY, Probe(offset=0.3, noise=0.05), np.random.default_rng(7)) - STEADY
    assert error.mean() == pytest.approx(0.3, abs=5 * 0.05 / np.sqrt(20_000))
    assert error.std() == pytest.approx(0.05, abs=5 * 0.05 / np.sqrt(40_000))


def test_the_noise_is_white():
    """Neighbouring readings are not correlated, within five standard errors."""
    error = indicated(STEADY, Probe(noise=0.05), np.random.default_rng(7)) - STEADY
    assert np.corrcoef(error[:-1], error[1:])[0, 1] == pytest.approx(0.0, abs=5 / np.sqrt(20_000))


def test_the_same_seed_gives_the_same_readings_and_another_gives_others():
    """Repeatability rests on the generator that is handed in, and on nothing else."""
    probe = Probe(noise=0.05)
    first, again, other = (indicated(STEADY, probe, np.random.default_rng(s)) for s in (1, 1, 2))
    assert np.array_equal(first, again)
    assert not np.array_equal(first, other)


def test_a_gauge_shows_the_pressure_above_the_air_of_the_place():
    """180.3 kPa absolute are 103.7 kPa on the gauge where the air weighs 76.6 kPa."""
    gauge = column("P", "kPa", np.array([180.3]), Probe(), np.random.default_rng(1), zero=76.6)
    assert gauge.written.tolist() == [103.7]
    assert gauge.true.tolist() == [180.3]


def test_a_reading_by_eye_keeps_only_half_degrees():
    """Every reading is a multiple of the step and lies within half a step of what was indicated."""
    true = np.linspace(82.0, 84.0, 41)
    read = step_column("Bath", "°C", true, Probe(), 0.5, np.random.default_rng(1)).written
    assert np.all(read * 2 == np.round(read * 2))
    assert np.abs(read - true).max() <= 0.25 + 1e-9
