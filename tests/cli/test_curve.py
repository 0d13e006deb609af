"""The small curve of the terminal."""

import numpy as np

from lungwort.cli.curve import curve


def test_a_rise_runs_from_the_lower_left_to_the_upper_right():
    """The first line holds the end of a rise, the last its beginning."""
    lines = curve(np.arange(100.0), np.arange(100.0), [], width=20, height=4)
    assert len(lines) == 4
    assert len(lines[0].rstrip()) > len(lines[-1].rstrip())
    assert lines[0].split()[0] == "99"
    assert lines[-1].split()[0] == "0"


def test_a_mark_is_drawn_across():
    """A limit above the curve gets its own dotted rule."""
    lines = curve(np.arange(100.0), np.full(100, 70.0), [80.0], width=20, height=4)
    assert lines[0].split()[0] == "80.0"
    assert len(lines[0].split()[1]) >= 19
    assert all(line.strip() in {"", "70.0"} for line in lines[1:-1])


def test_no_reading_draws_nothing():
    """A dead channel has no curve."""
    assert curve(np.arange(3.0), np.full(3, np.nan), [], 20) == []


def test_a_level_line_is_drawn():
    """A constant has no range of its own."""
    assert any(line.strip() for line in curve(np.arange(9.0), np.full(9, 5.0), [], 20))


def test_limits_that_share_a_line_are_written_from_the_lower_to_the_upper():
    """A band of 134 to 137 °C is not mistaken for a limit of 137 °C."""
    lines = curve(np.arange(100.0), np.linspace(21.0, 135.0, 100), [134.0, 137.0], width=20)
    assert lines[0].split()[0] == "134–137"


def test_a_limit_is_written_before_the_highest_value():
    """Where both fall on one line the limit is what the eye needs."""
    lines = curve(np.arange(100.0), np.linspace(21.0, 80.4, 100), [80.0], width=20, height=4)
    assert lines[0].split()[0] == "80"
