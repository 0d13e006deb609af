"""Choosing the part of a log to judge."""

from dataclasses import replace
from datetime import datetime

import numpy as np
import pytest
from making import log_of

from lungwort.errors import OutOfRange
from lungwort.evidence.period import moment_s, select_period

LOG = replace(log_of(np.arange(0, 7201, 60), T1=np.full(121, 80.0)), started=datetime(2026, 5, 18, 23, 0))


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("23:10", 600),
        ("23:10:30", 630),
        ("00:30", 5400),
        ("2026-05-19 00:30", 5400),
        ("12min", 720),
        ("1,5 min", 90),
    ],
)
def test_a_moment_is_found_in_the_log(text, seconds):
    """Clock times run on past midnight; minutes count from the start."""
    assert moment_s(LOG, text) == seconds


def test_a_period_keeps_its_times():
    """The part keeps the log's own elapsed times."""
    part = select_period(LOG, "23:10", "23:20")
    assert part.elapsed_s.tolist() == list(range(600, 1201, 60))
    assert len(part.channels[0].values) == 11


def test_an_empty_period_is_refused():
    """Two readings are the least that can be judged."""
    with pytest.raises(OutOfRange, match=r"from 23:10 to 23:10 the log has 1 reading; choose"):
        select_period(LOG, "23:10", "23:10")


def test_nonsense_is_refused_with_what_is_allowed():
    """The message shows the forms."""
    with pytest.raises(OutOfRange, match="'noon' is not a moment of the log; write one as 09:12"):
        select_period(LOG, "noon", None)


def test_clock_times_need_a_log_that_has_them():
    """A log of elapsed seconds knows no clock."""
    with pytest.raises(OutOfRange, match="carries no clock times"):
        moment_s(replace(LOG, started=None), "09:00")


def test_a_log_with_times_of_day_and_no_date_knows_its_clock():
    """Hand readings seldom carry a date."""
    undated = replace(LOG, started=None, first_clock=LOG.started.time())
    assert moment_s(undated, "23:10") == 600
    assert moment_s(undated, "00:30") == 5400
