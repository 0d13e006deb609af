"""Readings by hand: a watch, a thermometer, the command line."""

from collections.abc import Sequence
from datetime import datetime

import pytest

from lungwort.errors import UnknownName, UnreadableLog
from lungwort.evidence.reading import read_hand


@pytest.mark.parametrize(
    "readings",
    [
        ["14:05 78,5", "14:07 79"], ["14:05=78.5", "14:07 = 79"], ["14:05 78.5; 14:07 79"],
        ["14:05 78.5°C", "14:07 79 C"],
        ["2:05pm 78.5", "2:07pm 79"], ["14h05 78.5", "14h07 79"],
    ],
)  # fmt: skip
def test_readings_are_read_in_every_spelling(readings: Sequence[str]) -> None:
    """Two readings, two minutes apart, on a watch read to the minute."""
    log = read_hand(readings, "C")
    assert (log.elapsed_s.tolist(), log.channels[0].values.tolist()) == ([0.0, 120.0], [78.5, 79.0])
    assert (log.hand, log.clock_step_s, log.started, log.channels[0].written_unit) == (True, 60.0, None, "°C")


def test_dates_and_seconds_are_kept() -> None:
    """A date gives the moment, seconds the fineness."""
    log = read_hand(["2026-05-18 14:05:30 173.3", "2026-05-18 14:06:00 174.2"], "F")
    assert (log.started, log.clock_step_s, log.elapsed_s.tolist()) == (
        datetime(2026, 5, 18, 14, 5, 30),
        1.0,
        [0.0, 30.0],
    )
    assert log.channels[0].values[0] == pytest.approx(78.5)


def test_one_midnight_is_passed_and_listed() -> None:
    """23:55 to 00:05."""
    log = read_hand(["23:55 78.5", "0:05 79"], "C")
    assert log.elapsed_s.tolist() == [0.0, 600.0]
    assert log.assumptions == ("The clock passes midnight before the reading '0:05 79'; a day is added.",)


@pytest.mark.parametrize(
    ("readings", "says"),
    [
        (["14:05 78.5", "14:05 79"], "'14:05 79' is not after the one before"),
        (
            ["14:05 78.5", "13:50 79"],
            "'13:50 79' is not after the one before; put them in order or write dates",
        ),
        (["23:55 78.5", "0:05 79", "23:00 79", "0:10 79"], "'0:10 79' is not after"),
        (["2026-05-18 14:05 78.5", "2026-05-18 14:04 79"], "is not after"),
        (["14:05 78.5", "half past two 79"], "the time in the reading 'half past two 79' is not understood"),
        (["14:05 78.5", "2026-05-18 14:07 79"], "not written like the others"),
        (["14:05 78.5", "14:07"], "the reading '14:07' is not understood; write a time and a temperature"),
        (["14:05 78.5", "14:07 79 F"], "the reading '79 F' is not in °C"),
        (
            ["14:05 78.5", "14:07 790"],
            "^the reading '14:07 790': 790 °C cannot be; allowed are −60 to 150 °C",
        ),
        (["14.00 82", "14.05 83"], r"'14.00 82' is not understood .*; write 14:00\.$"),
        (["2 pm 82", "3 pm 83"], r"'2 pm 82' is not understood .*; write 14:00\.$"),
        (["14:00 EAT 82", "14:05 EAT 83"], r"'14:00 EAT 82' .*; leave the letters EAT out\.$"),
        (["14:05 78.5", "14:07 850"], "the reading 850 marks a missing sensor; leave it out"),
        (["14:05 78.5"], "only 1 reading is found"),
        ([], "only 0 readings are found"),
        (["05/06/2026 14:05 78.5", "05/06/2026 14:06 78.5"], "--date-order|write the date"),
    ],
)
def test_doubtful_readings_are_refused(readings: Sequence[str], says: str) -> None:
    """The reading is quoted and the remedy named."""
    with pytest.raises(UnreadableLog, match=says):
        read_hand(readings, "C")


def test_the_unit_must_be_one_of_temperature() -> None:
    """Neither unknown nor a pressure."""
    with pytest.raises(UnknownName, match="'X' is no unit known here"):
        read_hand(["14:05 78.5", "14:07 79"], "X")
    with pytest.raises(
        UnreadableLog, match="readings by hand are temperatures; their unit is C, F or K, not 'bar'"
    ):
        read_hand(["14:05 78.5", "14:07 79"], "bar")
