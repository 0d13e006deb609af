"""Spreadsheets: native dates, several sheets, damaged files."""

from datetime import date, datetime, time, timedelta
from pathlib import Path

import pytest
from openpyxl import Workbook

from lungwort.errors import UnreadableLog
from lungwort.evidence.log import Log
from lungwort.evidence.reading import read_log

HEADING = ["Time", "T1 (°C)", "P (bar abs)"]


def saved(folder: Path, *sheets: tuple[str, list[list[object]]]) -> Log:
    """Save sheets as a workbook and read it."""
    book = Workbook()
    book.remove(book.active)
    for title, rows in sheets:
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    book.save(folder / "log.xlsx")
    return read_log(folder / "log.xlsx")


def test_native_dates_and_numbers_are_read(tmp_path: Path) -> None:
    """Moments, temperatures and pressures as cells of their own kinds."""
    start = datetime(2024, 5, 18, 9, 0, 11)
    log = saved(
        tmp_path,
        ("log", [HEADING, *([start + timedelta(seconds=10 * i), 121.5 + i, 2.05] for i in range(3))]),
    )
    assert (log.started, log.elapsed_s.tolist(), log.clock_step_s) == (start, [0.0, 10.0, 20.0], 1.0)
    assert log.channels[0].values.tolist() == [121.5, 122.5, 123.5]
    assert (log.channels[1].values[0], log.channels[1].pressure_kind) == (pytest.approx(205.0), "absolute")


def test_dates_and_times_apart_and_elapsed_spans_are_read(tmp_path: Path) -> None:
    """A column of dates beside a column of times; a column of spans beyond a day."""
    rows = [[date(2024, 5, 18), time(9, 0, i), 70.5, 2.05] for i in range(3)]
    log = saved(tmp_path, ("log", [["Date", *HEADING], *rows]))
    assert (log.started, log.elapsed_s.tolist()) == (datetime(2024, 5, 18, 9), [0.0, 1.0, 2.0])
    spans = [[timedelta(hours=23, minutes=30 * i), 70.5, 2.05] for i in range(4)]
    log = saved(tmp_path, ("log", [["Elapsed", *HEADING[1:]], *spans]))
    assert log.elapsed_s.tolist() == [0.0, 1800.0, 3600.0, 5400.0]


def test_the_first_sheet_with_a_table_is_read_and_the_others_are_named(tmp_path: Path) -> None:
    """A cover sheet in front, a second table behind."""
    rows = [HEADING, *([f"09:00:0{i}", 70.5 + i, None] for i in range(3))]
    log = saved(tmp_path, ("Cover", [["Report of bath 3"]]), ("Log", [["Bath 3"], [], *rows]), ("More", rows))
    assert log.channels[0].values.tolist() == [70.5, 71.5, 72.5]
    assert log.assumptions[:2] == (
        "Read from the sheet 'Log'; left out: Cover, More.",
        "Left out before the table: line 1.",
    )
    assert log.assumptions[-1] == "Left out, not one reading present (no sensor?): column 3 (P (bar abs))."


def test_a_bad_cell_is_refused_with_its_row(tmp_path: Path) -> None:
    """Row and column of the sheet."""
    with pytest.raises(UnreadableLog, match=r"line 3, column 2 \(T1 \(°C\)\): 'warm' is neither a number"):
        saved(
            tmp_path,
            ("log", [HEADING, ["09:00:00", 70.5, 2.0], ["09:00:01", "warm", 2.0], ["09:00:02", 70.5, 2.0]]),
        )


def test_a_workbook_without_a_table_is_refused(tmp_path: Path) -> None:
    """Only words."""
    with pytest.raises(UnreadableLog, match="no sheet holds a table of readings"):
        saved(tmp_path, ("Cover", [["Report"], ["of bath 3"]]))


TWO = ["Date and time", "Temperature (°C)", "Drain (°C)"]


def readings(*changed: tuple[int, object]) -> list[list[object]]:
    """Return five rows of a moment and two temperatures, some of the first column's cells changed."""
    start, new = datetime(2026, 5, 18, 14, 0), dict(changed)
    return [[start + timedelta(minutes=i), new.get(i, 82.5 + i), 80 + i] for i in range(5)]


@pytest.mark.parametrize("pair", [("Nurse", "W. T."), ("Operator", "Jane"), ("Batch", "B-7")])
def test_a_row_about_the_file_is_no_part_of_the_headings(tmp_path: Path, pair: tuple[str, str]) -> None:
    """It is listed as left out, as any other line above a table."""
    log = saved(tmp_path, ("log", [list(pair), TWO, *readings()]))
    assert [c.name for c in log.channels] == ["Temperature", "Drain"]
    assert "Left out before the table: line 1." in log.assumptions


@pytest.mark.parametrize(
    ("upper", "lower", "names"),
    [
        (["", "Chamber", "Load"], ["Time", "T (°C)", "T (°C)"], ["Chamber T", "Load T"]),
        (["Time", "Chamber", ""], ["Start", "T1 (°C)", "T2 (°C)"], ["Chamber T1", "Chamber T2"]),
        (["Logger", "in °C", ""], ["Time", "T1", "T2"], ["T1", "T2"]),
    ],
)
def test_an_upper_row_of_headings_stays_one(
    tmp_path: Path, upper: list[str], lower: list[str], names: list[str]
) -> None:
    """It tells columns apart, or names their unit."""
    log = saved(tmp_path, ("log", [list(upper), lower, *readings()]))
    assert [c.name for c in log.channels] == names


@pytest.mark.parametrize("whole", [False, True])
def test_a_text_with_a_decimal_comma_among_numbers_is_read_and_listed(tmp_path: Path, whole: bool) -> None:
    """Cells that are numbers have no mark, so that no other mark contradicts it."""
    rows = readings((3, "83,5"), *([(i, 80 + i) for i in (0, 1, 2, 4)] if whole else []))
    log = saved(tmp_path, ("log", [TWO, *rows]))
    assert log.channels[0].values[3] == 83.5
    says = "Written as text with a decimal comma, read as numbers like the other cells: line 5."
    assert says in log.assumptions


def test_a_text_that_may_have_a_mark_for_thousands_is_refused(tmp_path: Path) -> None:
    """83,125 may be 83 and an eighth, or a reading in another unit."""
    with pytest.raises(
        UnreadableLog, match=r"line 5, column 2 .*'83,125' is a text among numbers.*type .* anew"
    ):
        saved(tmp_path, ("log", [TWO, *readings((3, "83,125"))]))


def test_decimal_commas_throughout_are_no_remark(tmp_path: Path) -> None:
    """A sheet of texts keeps to its own mark, as a file does."""
    log = saved(tmp_path, ("log", [TWO, *readings(*((i, f"{82 + i},125") for i in range(5)))]))
    assert log.channels[0].values.tolist() == [82.125, 83.125, 84.125, 85.125, 86.125]
    assert not any("decimal comma" in said for said in log.assumptions)
