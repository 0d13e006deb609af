"""Holds and equilibration: unbroken runs of readings, gaps, and channels that arrive late or never."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lungwort.science.lethality import best_stretch, equilibration_s, longest_hold

TIMES = np.arange(0.0, 80.0, 10.0)
INSIDE = np.array([True, True, False, True, True, True, False, True])


def test_the_longest_hold_is_found():
    """Both indices belong to the hold, and the earliest of equals is taken."""
    assert longest_hold(TIMES, INSIDE) == (3, 5)
    assert longest_hold(TIMES, np.array([1, 1, 0, 0, 1, 1, 0, 0], dtype=bool)) == (0, 1)
    assert longest_hold(TIMES, np.ones(8, dtype=bool)) == (0, 7)
    assert longest_hold(TIMES, np.zeros(8, dtype=bool)) is None
    assert longest_hold([], np.zeros(0, dtype=bool)) is None
    assert longest_hold([4.0], np.ones(1, dtype=bool)) == (0, 0)


def test_the_longest_hold_is_longest_in_time_not_in_readings():
    """Two readings an hour apart last longer than three in a minute, unless the hour is too long a gap."""
    elapsed = [0.0, 30.0, 60.0, 90.0, 3690.0]
    inside = np.array([True, True, False, True, True])
    assert longest_hold(elapsed, inside) == (3, 4)
    assert longest_hold(elapsed, inside, longest_gap_s=60.0) == (0, 1)


def test_a_gap_breaks_a_hold():
    """An interval of just the longest gap does not break, a longer one does."""
    elapsed, inside = [0.0, 10.0, 20.0, 31.0, 41.0], np.ones(5, dtype=bool)
    assert longest_hold(elapsed, inside, longest_gap_s=11.0) == (0, 4)
    assert longest_hold(elapsed, inside, longest_gap_s=10.0) == (0, 2)


def test_the_best_stretch_gains_most_not_lasts_longest():
    """A short hot run beats a long tepid one."""
    cumulative = [0.0, 100.0, 100.0, 100.0, 101.0, 102.0, 102.0, 102.0]
    assert best_stretch(TIMES, INSIDE, cumulative) == (0, 1)
    assert best_stretch(TIMES, INSIDE, TIMES) == (3, 5)
    assert best_stretch(TIMES, ~INSIDE & INSIDE, TIMES) is None
    assert best_stretch([0.0, 1.0, 9.0, 10.0], np.ones(4, dtype=bool), [0, 1, 50, 52], longest_gap_s=5.0) == (
        2,
        3,
    )


@given(
    st.lists(st.tuples(st.booleans(), st.floats(0.1, 100.0)), min_size=1, max_size=30), st.floats(1.0, 100.0)
)
def test_holds_agree_with_walking_through_the_log(readings, longest_gap_s):
    """A plain loop over the readings finds the same longest duration."""
    inside = np.array([flag for flag, _step in readings])
    elapsed = np.cumsum([step for _flag, step in readings])
    longest, start = -1.0, None
    for i, flag in enumerate(inside):
        if not flag:
            start = None
            continue
        if start is None or elapsed[i] - elapsed[i - 1] > longest_gap_s:
            start = i
        longest = max(longest, elapsed[i] - elapsed[start])
    found = longest_hold(elapsed, inside, longest_gap_s)
    assert (found is None) == (longest < 0.0)
    if found is not None:
        assert inside[found[0] : found[1] + 1].all()
        assert elapsed[found[1]] - elapsed[found[0]] == longest


def test_equilibration_runs_from_the_first_channel_to_the_last():
    """Three channels reach 134 °C at 5, 15 and 20 s: 15 s apart, missing readings not counted as reached."""
    elapsed = [0.0, 5.0, 10.0, 15.0, 20.0]
    channels = [[130, 134, 134, 134, 134], [120, 130, 133.9, 134, 130], [100, 110, math.nan, math.nan, 135]]
    assert equilibration_s(elapsed, channels, 134.0) == 15.0
    assert equilibration_s(elapsed, channels[:1], 134.0) == 0.0


@pytest.mark.parametrize("channels", [[[130.0, 135.0], [130.0, 133.9]], [[math.nan] * 2], np.empty((0, 2))])
def test_equilibration_never_ends_where_a_channel_never_arrives(channels):
    """A channel that stays short, or has no readings, or no channel at all: infinite."""
    assert equilibration_s([0.0, 10.0], channels, 134.0) == math.inf
