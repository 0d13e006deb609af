"""Simulated logs are written in the dialects that loggers and people use."""

from dataclasses import replace
from datetime import datetime

import numpy as np
import pytest

from lungwort.demo.logs import (
    HAND_WRITTEN,
    NUMBERED_COMMA,
    PLAIN_COMMA,
    TAB_WITH_UNITS_ROW,
    WORKSHOP_SEMICOLON,
    Recording,
    log_text,
    write_log,
)
from lungwort.demo.sensing import Column

DRAIN = Column("Drain", "°C", np.array([121.02, 121.31]), np.array([121.0, 121.3]), 1)
PRESSURE = Column("Pressure", "bar(a)", np.array([205.0, 206.0]), np.array([2.05, 2.06]), 3)
RECORDING = Recording(datetime(2026, 3, 17, 23, 59, 59), np.array([0.0, 2.0]), (DRAIN, PRESSURE))


def test_a_plain_log_has_units_in_its_headings_and_crosses_midnight():
    """Comma, decimal point, date and time apart, the date moving on with the clock."""
    assert log_text(RECORDING, PLAIN_COMMA) == (
        "Date,Time,Drain (°C),Pressure (bar(a))\n"
        "2026-03-17,23:59:59,121.0,2.050\n"
        "2026-03-18,00:00:01,121.3,2.060\n"
    )


def test_a_workshop_log_has_decimal_commas_between_preamble_and_trailer():
    """Semicolon, decimal comma, day first, other lines before and after."""
    lines = log_text(RECORDING, WORKSHOP_SEMICOLON).split("\r\n")
    assert lines[0] == "Ridgeway Hospital, sterilising room"
    assert lines[5] == "17.03.2026;23:59:59;121,0;2,050"
    assert lines[-2:] == ["End of cycle: READY", ""]


def test_a_log_with_a_units_row_names_first_and_units_second():
    """Two heading lines, the clock's unit left empty."""
    lines = log_text(RECORDING, TAB_WITH_UNITS_ROW).split("\r\n")
    assert lines[:3] == [
        "Time stamp\tDrain\tPressure",
        "\t°C\tbar(a)",
        "17/03/2026 23:59:59\t121.0\t2.050",
    ]


def test_a_numbered_log_counts_its_rows_from_one():
    """A running number stands before the clock."""
    lines = log_text(RECORDING, NUMBERED_COMMA).splitlines()
    assert [line.split(",")[0] for line in lines] == ["No.", "1", "2"]


def test_a_hand_written_log_keeps_only_hours_and_minutes():
    """Nobody writes seconds by hand."""
    lines = log_text(replace(RECORDING, columns=(DRAIN,)), HAND_WRITTEN).splitlines()
    assert lines == ["time;Drain (°C)", "23:59;121,0", "00:00;121,3"]


@pytest.mark.parametrize(
    ("dialect", "start"),
    [(TAB_WITH_UNITS_ROW, b"\xff\xfe"), (NUMBERED_COMMA, b"\xef\xbb\xbf"), (PLAIN_COMMA, b"Date")],
)
def test_the_file_begins_with_the_mark_of_its_encoding(tmp_path, dialect, start):
    """UTF-16 and UTF-8 with a mark begin with FF FE and EF BB BF (Unicode), plain UTF-8 with the heading."""
    assert write_log(tmp_path / "log", RECORDING, dialect).read_bytes().startswith(start)


def test_a_workshop_log_writes_the_degree_sign_as_one_byte(tmp_path):
    """In cp1252 the degree sign is the single byte B0."""
    assert b"(\xb0C)" in write_log(tmp_path / "log", RECORDING, WORKSHOP_SEMICOLON).read_bytes()
