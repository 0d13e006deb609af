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
