"""Repairs of time: copies, coarse clocks, repeated times, gaps; each listed, the rest refused."""

from collections.abc import Callable, Sequence

import numpy as np
import pytest

from lungwort.errors import UnreadableLog
from lungwort.evidence.log import Log

Read = Callable[..., Log]


def file(rows: Sequence[tuple[str, float, float]]) -> str:
    """Return a file with a temperature and a pressure."""
    return "Time;T1 (°C);P (kPa abs)\n" + "".join(f"{time};{t};{p}\n" for time, t, p in rows)


def rows_of(times: Sequence[str]) -> list[tuple[str, float, float]]:
    """Return rows in which every temperature differs."""
    return [(time, 70 + i / 10, 101.0 + i / 10) for i, time in enumerate(times)]


def test_exact_copies_of_rows_are_dropped_and_listed(read: Read) -> None:
    """One row written twice."""
    rows = rows_of([f"09:00:{i:02d}" for i in range(6)])
    log = read(file([*rows[:3], rows[2], *rows[3:]]))
    assert log.elapsed_s.tolist() == [0, 1, 2, 3, 4, 5]
    assert "1 exact copies of rows are dropped (line 5)." in log.assumptions


def test_a_stretch_written_twice_is_dropped_and_listed(read: Read) -> None:
    """Two exports that overlap, one behind the other."""
    rows = rows_of([f"09:00:{i:02d}" for i in range(9)])
    log = read(file([*rows[:6], *rows[3:]]))
    assert log.elapsed_s.tolist() == list(range(9))
    assert "3 rows written a second time are dropped (lines 8–10)." in log.assumptions


@pytest.mark.parametrize("seconds", ["", ":00"])
def test_regular_readings_of_a_clock_of_minutes_are_spread_over_the_minute(read: Read, seconds: str) -> None:
    """Four readings a minute, the first minute begun late, the last not full; equal neighbours are no copies."""
    times = [
        f"09:{minute:02d}{seconds}"
        for minute, count in ((0, 2), (1, 4), (2, 4), (3, 1))
        for _ in range(count)
    ]
    log = read(
        file(
            [
                (time, 121.1, 205.0) if i > 4 else row
                for i, (time, row) in enumerate(zip(times, rows_of(times), strict=True))
            ]
        )
    )
    assert log.elapsed_s.tolist() == [15.0 * i for i in range(11)]
    assert any("the 4 readings of each minute are spread evenly" in said for said in log.assumptions)


def test_a_file_that_writes_every_minute_twice_is_not_spread(read: Read) -> None:
    """Copies are copies, also on a clock of minutes."""
    rows = rows_of([f"09:{i:02d}" for i in range(5)])
    log = read(file([row for row in rows for _ in (0, 1)]))
    assert log.elapsed_s.tolist() == [0, 60, 120, 180, 240]


def test_repeated_times_keep_the_lowest_temperature_and_the_mean_pressure(read: Read) -> None:
    """Where the minute does not hold a regular number of readings."""
    log = read(
        file([("09:00:00", 70, 100), ("09:00:01", 72, 101), ("09:00:01", 71, 103), ("09:00:02", 73, 104)])
    )
    assert log.elapsed_s.tolist() == [0.0, 1.0, 2.0]
    assert [c.values.tolist() for c in log.channels] == [[70.0, 71.0, 73.0], [100.0, 102.0, 104.0]]
    assert any("1 reading has the time of the one before (line 4)" in said for said in log.assumptions)


def test_a_missing_reading_of_a_repeated_time_gives_way_to_the_present_one(read: Read) -> None:
    """NaN is no lowest temperature."""
    rows = [
        "09:00:00;70;99",
        "09:00:01;;",
        "09:00:01;71;100",
        "09:00:02;;",
        "09:00:02;;",
        "09:00:03;72;99",
        "",
    ]
    log = read("\n".join(["Time;T1 (°C);P (kPa abs)", *rows]))
    np.testing.assert_array_equal(log.channels[0].values, [70.0, 71.0, np.nan, 72.0])
    np.testing.assert_array_equal(log.channels[1].values, [99.0, 100.0, np.nan, 99.0])


def test_gaps_are_listed_with_their_length_and_line(read: Read) -> None:
    """Nothing is filled in."""
    times = [f"09:{i:02d}:00" for i in range(5)] + [f"10:{i:02d}:00" for i in range(7, 12)]
    log = read(file(rows_of(times)))
    assert "No readings for 63 min after line 6." in log.assumptions
    assert np.diff(log.elapsed_s).max() == 3780.0


def test_many_gaps_are_counted(read: Read) -> None:
    """Five are listed one by one."""
    times = [f"{hour:02d}:{i:02d}:00" for hour in range(9, 17) for i in range(5)]
    log = read(file(rows_of(times)))
    assert "2 more gaps are longer than three usual steps." in log.assumptions


@pytest.mark.parametrize("back", ["09:00:01", "08:30:00", "07:00:00"])
def test_other_steps_back_are_refused_with_the_line(read: Read, back: str) -> None:
    """Neither a copy nor an hour."""
    with pytest.raises(
        UnreadableLog, match=r"line 6: the time goes back by \d+.* s; sort the file or split it"
    ):
        read(file(rows_of(["09:00:00", "09:00:01", "09:00:02", "09:00:03", back, "09:00:05"])))


def test_one_reading_a_line_of_several_sensors_is_refused(read: Read) -> None:
    """Times repeat while a column of names takes turns: rows are no readings of one sensor."""
    text = "Time;Sensor;Temp (°C)\n" + "".join(
        f"09:{m:02d};{s};{70 + i}\n" for m in range(6) for i, s in enumerate("ABC")
    )
    with pytest.raises(UnreadableLog, match=r"column 2 \(Sensor\).*one reading a line for several sensors"):
        read(text)


NEWEST_FIRST = "The newest reading stands first in the file; the rows are read from the last to the first."


@pytest.mark.parametrize("day", ["", "18/05/2026 "])
def test_a_log_with_the_newest_reading_first_is_turned_round(read: Read, day: str) -> None:
    """Times and readings change places together, and the start is the earliest time."""
    times = ("14:07:00", "14:06:30", "14:05:00")
    log = read("Time;T1 (°C)\n" + "".join(f"{day}{t};{70 + i}\n" for i, t in enumerate(times)))
    assert log.elapsed_s.tolist() == [0.0, 90.0, 120.0]
    assert log.channels[0].values.tolist() == [72.0, 71.0, 70.0]
    assert (str(log.first_clock), NEWEST_FIRST in log.assumptions) == ("14:05:00", True)


def test_a_log_turned_round_keeps_its_zone(read: Read) -> None:
    """In Lisbon summer time ended on 2026-10-25 at 01:00 UTC (IANA time zone data): 00:30 to 02:30 are three hours."""
    times = ("04:30:00", "03:30:00", "02:30:00", "00:30:00")
    text = "Time;T1 (°C)\n" + "".join(f"2026-10-25 {t};{70 + i}\n" for i, t in enumerate(times))
    assert read(text, zone="Europe/Lisbon").elapsed_s.tolist() == [0.0, 10_800.0, 14_400.0, 18_000.0]


@pytest.mark.parametrize(
    ("heading", "times"),
    [
        ("Time", ("14:07:00", "14:06:00", "14:06:30", "14:05:00")),  # mixed
        ("Time", ("14:07:00", "14:06:00", "14:06:00", "14:05:00")),  # a time twice
        ("Time", ("23:00:00", "01:00:00")),  # two rows: perhaps a night between them
        ("Time (s)", ("180", "120", "60")),  # perhaps a clock that runs down
    ],
)
def test_other_times_that_go_backward_stay_refused(read: Read, heading: str, times: tuple[str, ...]) -> None:
    """Only a clock that runs backward throughout can mean nothing else."""
    with pytest.raises(UnreadableLog, match="the time goes back by"):
        read(f"{heading};T1 (°C)\n" + "".join(f"{t};{70 + i}\n" for i, t in enumerate(times)))
