"""Dates and times: every way of writing them, orders settled by the column, doubts refused."""

from collections.abc import Callable, Sequence
from datetime import UTC, datetime, time, timedelta, timezone

import numpy as np
import pytest

from lungwort.errors import UnknownName, UnreadableLog
from lungwort.evidence.log import Log
from lungwort.evidence.reading.months import month_number

Read = Callable[..., Log]


def file(times: Sequence[str], heading: str = "Time") -> str:
    """Return a file with these times and one temperature that rises by a degree a row."""
    return f"{heading};T1 (°C)\n" + "".join(f"{time};{70 + i}\n" for i, time in enumerate(times))


@pytest.mark.parametrize(
    ("times", "started", "step_s"),
    [
        (("2024-05-18 09:00:11", "2024-05-18 09:00:21"), datetime(2024, 5, 18, 9, 0, 11), 1.0),
        (("2024/05/18 09:00:11", "2024/05/18 09:00:21"), datetime(2024, 5, 18, 9, 0, 11), 1.0),
        (("2024-05-18T09:00:11.5", "2024-05-18T09:00:21.5"), datetime(2024, 5, 18, 9, 0, 11, 500_000), 0.1),
        (
            ("18.05.2024 09:00:11,25", "18.05.2024 09:00:21,25"),
            datetime(2024, 5, 18, 9, 0, 11, 250_000),
            0.01,
        ),
        (("18/05/2024 9:00:11 AM", "18/05/2024 9:00:21 AM"), datetime(2024, 5, 18, 9, 0, 11), 1.0),
        (("05/18/2024 12:00:11 p.m.", "05/18/2024 12:00:21 p.m."), datetime(2024, 5, 18, 12, 0, 11), 1.0),
        (("5/18/2024 12:00:11 AM", "5/18/2024 12:00:21 AM"), datetime(2024, 5, 18, 0, 0, 11), 1.0),
        (("18 May 2024 09:00:11", "18 May 2024 09:00:21"), datetime(2024, 5, 18, 9, 0, 11), 1.0),
        (("18-Mai-2024 09:00:11", "18-Mai-2024 09:00:21"), datetime(2024, 5, 18, 9, 0, 11), 1.0),
        (("May 18, 2024 09:00:11", "May 18, 2024 09:00:21"), datetime(2024, 5, 18, 9, 0, 11), 1.0),
        (("Sat 18 May 2024 09:00:11", "Sat 18 May 2024 09:00:21"), datetime(2024, 5, 18, 9, 0, 11), 1.0),
        (("20240518 090011", "20240518 090021"), datetime(2024, 5, 18, 9, 0, 11), 1.0),
        (("20240518T090011", "20240518T090021"), datetime(2024, 5, 18, 9, 0, 11), 1.0),
        (("20240518090011", "20240518090021"), datetime(2024, 5, 18, 9, 0, 11), 1.0),
    ],
)
def test_date_and_time_in_one_cell(
    read: Read, times: Sequence[str], started: datetime, step_s: float
) -> None:
    """The moment of the first reading, ten seconds to the next, and the fineness of the clock."""
    log = read(file(times))
    assert (log.started, log.elapsed_s.tolist(), log.clock_step_s) == (started, [0.0, 10.0], step_s)


@pytest.mark.parametrize(
    ("heading", "rows"),
    [
        ("Date;Time", ("18/05/2024;09:00:11", "18/05/2024;09:00:21")),
        ("Date;Time", ("2024-05-18 00:00:00;09:00:11", "2024-05-18 00:00:00;09:00:21")),
        ("Date;Time", ("20240518;09:00:11", "20240518;09:00:21")),
        ("Time;Date", ("09:00:11;2024.05.18", "09:00:21;2024.05.18")),
        ("Date;Time;AM/PM", ("18/05/2024;9:00:11;AM", "18/05/2024;9:00:21;AM")),
    ],
)
def test_date_and_time_apart(read: Read, heading: str, rows: Sequence[str]) -> None:
    """Two columns, in either order, also with a third for the half of the day."""
    log = read(file(rows, heading))
    assert (log.started, log.elapsed_s.tolist()) == (datetime(2024, 5, 18, 9, 0, 11), [0.0, 10.0])


def test_zones_in_the_file_are_kept(read: Read) -> None:
    """Z, +03:00, and an offset that changes when summer time ends."""
    assert read(file(("2024-05-18T09:00:11Z", "2024-05-18T09:00:21Z"))).started == datetime(
        2024, 5, 18, 9, 0, 11, tzinfo=UTC
    )
    log = read(file(("2024-05-18T09:00:11+03:00", "2024-05-18T09:00:21+03:00")))
    assert log.started == datetime(2024, 5, 18, 9, 0, 11, tzinfo=timezone(timedelta(hours=3)))
    log = read(file(("2024-10-27T02:59:00+02:00", "2024-10-27T02:00:00+01:00")))
    assert log.elapsed_s.tolist() == [0.0, 60.0]


@pytest.mark.parametrize(
    ("heading", "cells", "elapsed", "step_s"),
    [
        ("Elapsed (s)", ("0", "2.5", "5"), [0, 2.5, 5], 0.1), ("t/s", ("10", "20", "30"), [0, 10, 20], 1.0),
        ("Time [min]", ("0", "1", "2"), [0, 60, 120], 60.0), ("Time (h)", ("0", "0.5", "1"), [0, 1800, 3600], 360.0),
        ("seconds", ("0", "1", "2"), [0, 1, 2], 1.0), ("Elapsed_s", ("0", "1", "2"), [0, 1, 2], 1.0),
        ("Elapsed time", ("00:59:59", "24:00:00", "25:00:01"), [0, 82_801, 86_402], 1.0),
        ("Elapsed (mm:ss)", ("59:50", "60:00", "61:00"), [0, 10, 70], 1.0),
        ("Elapsed (hh:mm)", ("23:50", "24:00", "25:00"), [0, 600, 4200], 60.0),
        ("Time", ("14:05", "14:06", "14:08"), [0, 60, 180], 60.0),
        ("Heure", ("9h05", "9h06", "10h08"), [0, 60, 3780], 60.0),
        ("Time", ("9:59:59", "10:00:00", "10:00:01"), [0, 1, 2], 1.0),
    ],
)  # fmt: skip
def test_times_without_a_date(
    read: Read, heading: str, cells: Sequence[str], elapsed: Sequence[float], step_s: float
) -> None:
    """Numbers with a unit in the heading, elapsed times, times of day; no moment of the day is made up."""
    log = read(file(cells, heading))
    np.testing.assert_allclose(log.elapsed_s, elapsed)
    assert (log.started, log.clock_step_s) == (None, pytest.approx(step_s))


def test_a_bare_number_needs_its_unit(read: Read) -> None:
    """Declared, it is read; a heading that says otherwise is not overridden."""
    with pytest.raises(
        UnreadableLog, match=r"column 1 \(Time\) holds times as numbers.*--time-unit s, min or h"
    ):
        read(file(("0", "1", "2")))
    assert read(file(("0", "1", "2")), time_unit="min").elapsed_s.tolist() == [0.0, 60.0, 120.0]
    with pytest.raises(UnreadableLog, match="has its unit in the heading, but --time-unit h was declared"):
        read(file(("0", "1", "2"), "Time (s)"), time_unit="h")


@pytest.mark.parametrize(
    ("heading", "cells"),
    [("Elapsed", ("00:00", "00:10")), ("Time", ("00:00", "00:10")), ("Duration", ("59:00", "61:00"))],
)
def test_two_fields_that_may_be_minutes_and_seconds_are_refused(
    read: Read, heading: str, cells: Sequence[str]
) -> None:
    """A mistake would count every second as a minute."""
    with pytest.raises(UnreadableLog, match="may be hours and minutes or minutes and seconds.*--time-unit h"):
        read(file(cells, heading))
    minutes = read(file(cells, heading), time_unit="min").elapsed_s[-1]
    assert read(file(cells, heading), time_unit="h").elapsed_s[-1] == 60 * minutes


def test_seconds_of_the_epoch(read: Read) -> None:
    """1,716,019,200 s after 1970 began is 2024-05-18 08:00 UTC (POSIX seconds since the epoch)."""
    moment = datetime(2024, 5, 18, 8, 0, tzinfo=UTC)
    log = read(file(("1716019200", "1716019210"), "timestamp"))
    assert (log.started, log.elapsed_s.tolist()) == (moment, [0.0, 10.0])
    log = read(file(("1716019200000", "1716019200500"), "timestamp"))
    assert (log.started, log.elapsed_s.tolist(), log.clock_step_s) == (moment, [0.0, 0.5], 0.001)


@pytest.mark.parametrize(
    ("times", "order", "day"),
    [
        (("18/05/2024 09:00:00", "18/05/2024 09:00:10"), None, 18),
        (("05/18/2024 09:00:00", "05/18/2024 09:00:10"), None, 18),
        (("05/06/2024 23:59:50", "06/06/2024 00:00:00"), None, 5),
        (("06/05/2024 23:59:50", "06/06/2024 00:00:00"), None, 5),
        (("18/05/24 09:00:00", "19/05/24 09:00:00"), None, 18),
        (("24/05/18 09:00:00", "24/05/19 09:00:00"), None, 18),
        (("05/06/2024 09:00:00", "05/06/2024 09:00:10"), "dmy", 5),
        (("05/06/2024 09:00:00", "05/06/2024 09:00:10"), "mdy", 6),
        (("05/05/2024 09:00:00", "05/05/2024 09:00:10"), None, 5),
    ],
)
def test_the_order_of_day_and_month_is_settled_by_the_whole_column(
    read: Read, times: Sequence[str], order: str | None, day: int
) -> None:
    """A field over 12, or the only order that goes forward, or the order declared."""
    log = read(file(times), date_order=order)
    assert log.started is not None
    assert log.started.day == day
    assert log.elapsed_s[1] in (10.0, 86_400.0)


def test_an_order_settled_by_what_follows_is_listed(read: Read) -> None:
    """It is an inference, so it is said."""
    log = read(file(("05/06/2024 23:59:50", "06/06/2024 00:00:00")))
    assert any(
        "read as day, month, year: only so do they follow one another" in said for said in log.assumptions
    )


@pytest.mark.parametrize(
    "times", [("05/06/2024 09:00", "05/06/2024 09:01"), ("05/06/24 09:00", "05/06/24 09:01")]
)
def test_a_doubtful_order_is_refused(read: Read, times: Sequence[str]) -> None:
    """5 June or 6 May: nothing is guessed."""
    with pytest.raises(
        UnreadableLog, match=r"such as 5/6/\d+, may be in the order day, month, year or month.*--date-order"
    ):
        read(file(times))


def test_a_declared_order_that_cannot_be_is_refused(read: Read) -> None:
    """There is no month 18, and a four-digit year comes first."""
    for times in (("18/05/2024 09:00", "18/05/2024 09:01"), ("2024-05-18 09:00", "2024-05-18 09:01")):
        with pytest.raises(UnreadableLog, match="cannot be in the declared order month, day, year"):
            read(file(times), date_order="mdy")


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        ("2024-05-18 09:61:00", "line 4, column 1 .*'2024-05-18 09:61:00' is no time written like the others"),
        ("2024-05-18 25:00:00", "line 4.*is no time"), ("2024-02-30 09:00:00", "are no dates in any order"),
        ("18/05/2024 09:00:02", "line 4.*is no time written like the others"), ("09:00:02", "line 4.*is no time"),
        ("2024-05-18 09:00:02Z", "line 4.*is no time"),
    ],
)  # fmt: skip
def test_a_time_unlike_the_others_is_refused_with_its_line(read: Read, bad: str, says: str) -> None:
    """A reading without a sure time is no evidence."""
    with pytest.raises(UnreadableLog, match=says):
        read(file(("2024-05-18 09:00:00", "2024-05-18 09:00:01", bad, "2024-05-18 09:00:03")))


def test_dates_alone_and_no_times_at_all_are_refused(read: Read) -> None:
    """A log needs times."""
    with pytest.raises(UnreadableLog, match="only dates but no times of day"):
        read(file(("2024-05-18", "2024-05-19"), "Date"))
    with pytest.raises(UnreadableLog, match="no column of times is found"):
        read("T1 (°C);T2 (°C)\n70;71\n70;71\n")


def test_midnight_is_passed_and_listed_where_only_times_of_day_are_written(read: Read) -> None:
    """23:59:50 to 00:00:10."""
    log = read(file(("23:59:30", "23:59:50", "00:00:10")))
    assert log.elapsed_s.tolist() == [0.0, 20.0, 40.0]
    assert "The clock passes midnight before line 4; a day is added." in log.assumptions


def test_a_twelve_hour_clock_without_its_half_is_refused(read: Read) -> None:
    """12:59 to 01:00 is no midnight."""
    with pytest.raises(UnreadableLog, match="line 4: the time goes back by 43140 s"):
        read(file(("12:58:00", "12:59:00", "01:00:00")))


def test_month_names_of_six_languages_are_known() -> None:
    """Short forms, with and without accents; what fits two months fits none."""
    words = {
        "févr": 2,
        "Abr": 4,
        "août": 8,
        "set": 9,
        "Okt": 10,
        "Dez": 12,
        "mei": 5,
        "ene": 1,
        "Mac": 3,
        "jui": None,
        "xyz": None,
    }
    assert {word: month_number(word) for word in words} == words


# --- summer time ---------------------------------------------------------------------------------------------------


def autumn(step_min: int = 10) -> list[str]:
    """Return local times in Lisbon over 2024-10-27, when the clock went from 02:00 back to 01:00."""
    times = [f"2024-10-27 {m // 60:02d}:{m % 60:02d}:00" for m in range(0, 120, step_min)]
    return times + [f"2024-10-27 {m // 60:02d}:{m % 60:02d}:00" for m in range(60, 180, step_min)]


def test_a_clock_put_back_by_an_hour_is_mended_and_listed(read: Read) -> None:
    """Later times are moved on by an hour."""
    log = read(file(autumn()))
    assert set(np.diff(log.elapsed_s)) == {600.0}
    assert (
        "The clock is put back by an hour before line 14 (end of summer time); later times are moved on."
        in log.assumptions
    )


def test_a_zone_settles_the_hour_that_comes_twice(read: Read) -> None:
    """Europe/Lisbon: summer time ended on 2024-10-27 at 01:00 UTC (IANA time zone data)."""
    log = read(file(autumn()), zone="Europe/Lisbon")
    assert set(np.diff(log.elapsed_s)) == {600.0}
    assert log.started is not None
    assert log.started.utcoffset() == timedelta(hours=1)
    assert any("zone Europe/Lisbon, as declared" in said for said in log.assumptions)


def test_a_zone_makes_the_spring_hour_short(read: Read) -> None:
    """00:50 to 02:00 is ten minutes where 01:00 to 02:00 is skipped (Lisbon, 2024-03-31)."""
    times = ("2024-03-31 00:40:00", "2024-03-31 00:50:00", "2024-03-31 02:00:00")
    assert read(file(times), zone="Europe/Lisbon").elapsed_s.tolist() == [0.0, 600.0, 1200.0]
    assert read(file(times)).elapsed_s.tolist() == [0.0, 600.0, 4800.0]


def test_a_time_that_a_zone_skips_and_a_zone_that_does_not_exist_are_refused(read: Read) -> None:
    """01:30 never was."""
    with pytest.raises(UnreadableLog, match="line 3: this time is skipped in the zone Europe/Lisbon"):
        read(file(("2024-03-31 00:50:00", "2024-03-31 01:30:00")), zone="Europe/Lisbon")
    with pytest.raises(UnknownName, match="no time zone is called 'Europe/Nowhere'.*Africa/Nairobi"):
        read(file(("2024-03-31 00:50:00", "2024-03-31 01:30:00")), zone="Europe/Nowhere")


def test_an_elapsed_number_is_read_without_a_heading_where_its_unit_is_declared(read: Read) -> None:
    """The first column of a file without a heading."""
    log = read("0;70.5\n1;70.6\n2;70.7\n", time_unit="min", units={"2": "C"})
    assert log.elapsed_s.tolist() == [0.0, 60.0, 120.0]


def test_the_time_of_day_of_the_first_reading_is_kept(read: Read) -> None:
    """With and without a date; elapsed time has none."""
    assert read(file(("14:05:30", "14:06:00"))).first_clock == time(14, 5, 30)
    assert read(file(("2024-05-18 14:05:30", "2024-05-18 14:06:00"))).first_clock == time(14, 5, 30)
    assert read(file(("0", "30"), "Elapsed (s)")).first_clock is None


def dated(times: Sequence[str]) -> str:
    """Return a file with a date, these times and one temperature."""
    return "Date;Time;T1 (°C)\n" + "".join(f"2026-05-18;{time};{70 + i}\n" for i, time in enumerate(times))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (dated(["8.05", "8.06", "8.07"]), r"column 2 \(Time\): '8.05' is no time of day; write 8:05\.$"),
        (dated(["14,00", "14,05"]), r"'14,00' is no time of day; write 14:00\.$"),
        (dated(["2 pm", "3 pm", "4 pm"]), r"'2 pm' is no time of day; write 14:00\.$"),
        (
            dated(["805", "806"]),
            r"'805' is no time of day; write hours and minutes with a colon, such as 14:05",
        ),
        (
            file(["14.00", "14.05"]),
            r"say --time-unit s, min or h\. Where '14.00' is a time of day, write 14:00\.$",
        ),
        (file(["12 am", "1 am"]), r"'12 am' is not read as a time; write 0:00\.$"),
        (file(["12.30 p.m.", "1.05 p.m."]), r"'12.30 p.m.' is not read as a time; write 12:30\.$"),
        (file(["18/05/2026 14.00", "18/05/2026 14.05"]), r"not read as a time; write 18/05/2026 14:00\.$"),
        (
            dated(["14:05:00", "14:06:00", "14:07:00", "2 pm"]),
            r"line 5, column 2 \(Time\): '2026-05-18 2 pm' is no time .*; write 2026-05-18 14:00\.$",
        ),
    ],
)
def test_a_cell_that_is_nearly_a_time_is_refused_with_what_to_write(read: Read, text: str, says: str) -> None:
    """The cell is quoted; nothing is guessed."""
    with pytest.raises(UnreadableLog, match=says):
        read(text)


@pytest.mark.parametrize(
    "text",
    [
        file(["14:05 EAT", "14:06 EAT"]),
        file(["2026-05-18 14:05:00 EAT", "2026-05-18 14:06:00 EAT"]),
        file(["2026-05-18 14:05:00 EAT", "2026-05-18 14:06:00 EAT"]).replace(";", ","),
        dated(["14:05 EAT", "14:06 EAT"]),
    ],
)
def test_letters_for_a_zone_are_refused_with_the_remedy(read: Read, text: str) -> None:
    """Such letters are no names of zones: EST, for one, is in use on two continents."""
    with pytest.raises(
        UnreadableLog, match="leave the letters EAT out and give the zone, such as --zone Africa"
    ):
        read(text)


def test_a_zone_that_does_not_exist_is_refused_though_nothing_needs_it(read: Read) -> None:
    """A log without dates takes no zone, and an error in typing shows all the same."""
    with pytest.raises(UnknownName, match="no time zone is called 'Narnia'"):
        read(file(["14:05", "14:06"]), zone="Narnia")
    assert read(file(["14:05", "14:06"]), zone="Africa/Nairobi").elapsed_s.tolist() == [0.0, 60.0]
