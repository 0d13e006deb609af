"""Files as loggers write them: separators, decimal marks, lines around the table, encodings, files that are no log."""

import hashlib
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest

from lungwort.errors import UnreadableLog
from lungwort.evidence.log import Log
from lungwort.evidence.reading import Declared, read_log

Read = Callable[..., Log]
PLAIN = "Time,T1 (°C),T2 (°C)\n2024-05-18 09:00:00,70.1,71.2\n2024-05-18 09:00:10,70.3,71.4\n"


def test_a_real_log_of_a_water_heater_is_read_with_its_scale_column(real_logs: Path) -> None:
    """Grimont, Tkaczuk, Tilley 2024, doi 10.5281/zenodo.14006906: 153 readings, 600 s apart, from 09:00:11."""
    log = read_log(real_logs / "05_18-19.csv")
    t2 = next(c for c in log.channels if c.name == "T2")
    assert (len(log.elapsed_s), log.started, log.clock_step_s) == (153, datetime(2024, 5, 18, 9, 0, 11), 1.0)
    assert set(np.diff(log.elapsed_s)) == {600.0}
    assert (t2.values[0], t2.values[-1], t2.readings, t2.written_unit) == (60.8, 73.2, 153, "°C")
    assert any("column 7 (Scale)" in said for said in log.assumptions)
    says = "Left out, not one reading present (no sensor?): column 5 (T3), column 6 (T4)."
    assert says in log.assumptions


def test_a_channel_without_a_reading_is_kept_where_it_is_asked_for(real_logs: Path) -> None:
    """Then it is evidence that is missing; a file without any reading is refused."""
    log = read_log(real_logs / "05_18-19.csv", Declared(channels=("T2", "T4")))
    assert [(c.name, c.readings) for c in log.channels] == [("T2", 153), ("T4", 0)]
    assert "column 6 (T4): 153 of 153 readings are missing (-OL)." in log.assumptions


def test_a_file_without_one_reading_is_refused(read: Read) -> None:
    """Every cell says that no sensor was there."""
    with pytest.raises(UnreadableLog, match=r"not one reading is present in column 2 \(T1 \(°C\)\)"):
        read("Time;T1 (°C)\n09:00:00;-OL\n09:00:01;-OL\n")


@pytest.mark.parametrize("name", ["05_18-19.csv", "05_24-24.csv", "06_06-10.csv", "06_17-24.csv"])
def test_every_real_log_has_the_rows_of_its_file(real_logs: Path, name: str) -> None:
    """As many readings as lines below the heading, and the numbers of the last line."""
    log = read_log(real_logs / name)
    lines = (real_logs / name).read_text().split()
    lines = [line for line in lines if line.startswith("2024")]
    assert len(log.elapsed_s) == len(lines)
    assert log.channels[0].values[-1] == float(lines[-1].split(",")[2])
    assert log.sha256 == hashlib.sha256((real_logs / name).read_bytes()).hexdigest()


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|", "   "])
def test_columns_may_be_parted_by_any_of_five_signs(read: Read, delimiter: str) -> None:
    """Comma, semicolon, tab, bar and runs of spaces give the same log."""
    log = read(PLAIN.replace(",", delimiter))
    assert [c.name for c in log.channels] == ["T1", "T2"]
    assert [c.values.tolist() for c in log.channels] == [[70.1, 70.3], [71.2, 71.4]]
    assert log.elapsed_s.tolist() == [0.0, 10.0]


def test_single_spaces_part_columns_where_units_in_brackets_stay_with_their_heading(read: Read) -> None:
    """'Date Time T1 (°C)' above three columns of readings."""
    log = read("Date Time T1 (°C) P (kPa abs)\n2024-05-18 09:00 51.6 101.1\n2024-05-18 09:01 52.6 101.2\n")
    assert [(c.name, c.written_unit) for c in log.channels] == [("T1", "°C"), ("P", "kPa")]


def test_decimal_commas_are_read_where_semicolons_part_the_columns(read: Read) -> None:
    """78,5 is 78.5."""
    assert read("Zeit;T1 (°C)\n14:05:00;78,5\n14:05:30;79\n").channels[0].values.tolist() == [78.5, 79.0]


def test_quoted_decimal_commas_are_read_in_a_comma_file(read: Read) -> None:
    """Quotes keep the decimal comma apart from the separators."""
    assert read('Time,T1 (°C)\n14:05:00,"78,5"\n14:05:30,"79,0"\n').channels[0].values.tolist() == [
        78.5,
        79.0,
    ]


def test_a_decimal_comma_first_met_below_whole_numbers_is_still_found(read: Read) -> None:
    """The mark is that of the whole file, not of its first rows."""
    rows = "".join(f"09:{i // 60:02d}:{i % 60:02d};70\n" for i in range(150))
    assert read("Time;T1 (°C)\n" + rows + "09:10:00;71,5\n").channels[0].values[-1] == 71.5


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        (
            "14:05:00;78,5\n14:05:30;79.5\n",
            r"line 3, column 2 \(T1 \(°C\)\): '79.5' has another decimal mark",
        ),
        ("14:05:00;78.5\n14:05:30;1,234.5\n", "line 3.*'1,234.5' has another decimal mark"),
        ("14:05:00;78.5\n14:05:30;warm\n", "line 3.*'warm' is neither a number nor a mark.*leave it empty"),
        ("14:05:00;78.5\n14:05:30;7_8\n", "line 3.*'7_8' is neither"),
        ("14:05:00;78.5\n14:05:30;inf\n", "line 3.*'inf' is neither"),
        ("14:05:00;78.5\n14:05:30;٧٨\n", "line 3.*is neither"),
    ],
)
def test_a_cell_that_is_no_number_is_refused_with_its_place(read: Read, rows: str, says: str) -> None:
    """Line, column, value, what is allowed and the remedy."""
    with pytest.raises(UnreadableLog, match=says):
        read("Time;T1 (°C)\n" + rows)


def test_decimal_commas_without_quotes_in_a_comma_file_are_refused(read: Read) -> None:
    """The readings have more columns than the heading."""
    with pytest.raises(UnreadableLog, match=r"line 1.*has 2 columns but the readings have 3.*semicolons"):
        read("Time,T1 (°C)\n14:05:00,78,5\n14:05:30,79,0\n")


def test_headless_whole_numbers_parted_by_commas_are_refused(read: Read) -> None:
    """51,6 may be one number or two; without a heading nothing tells."""
    with pytest.raises(UnreadableLog, match="commas part columns or decimals"):
        read("14:05:00,78,5\n14:05:30,79,0\n", units={"2": "C", "3": "C"})


@pytest.mark.parametrize("word", ["mbar", "hPa", "Pa"])
def test_a_mark_that_may_be_for_thousands_is_refused(read: Read, word: str) -> None:
    """1,013 mbar may be one thousand and thirteen."""
    with pytest.raises(UnreadableLog, match="'1,013' may be a decimal mark or one for thousands"):
        read(f"Time;T1 (°C);P ({word} abs)\n14:05:00;70;1,013\n14:05:30;71;1,014\n")


def test_lines_around_the_table_are_left_out_and_listed(read: Read) -> None:
    """Preamble, empty lines and trailer."""
    log = read(
        "Report of bath 3\nSerial;1234\n\n" + PLAIN.replace(",", ";") + "Min;70.1;71.2\n;;\nEnd of report\n"
    )
    assert len(log.elapsed_s) == 2
    assert "Left out before the table: lines 1–2." in log.assumptions
    assert "Left out after the table: lines 7, 9." in log.assumptions


def test_a_last_line_cut_short_is_left_out(read: Read) -> None:
    """The transfer broke off."""
    log = read(PLAIN + "2024-05-18 09:00:20,70")
    assert len(log.elapsed_s) == 2
    assert "Left out, the last line is cut short: line 4." in log.assumptions


def test_a_last_number_cut_short_is_left_out(read: Read) -> None:
    """No line end, and fewer decimals than every other number of the column."""
    log = read(PLAIN + "2024-05-18 09:00:20,70.5,7")
    assert log.channels[1].values.tolist() == [71.2, 71.4]
    assert any("line 4" in said and "cut short" in said for said in log.assumptions)


def test_a_note_among_the_readings_is_left_out_and_listed(read: Read) -> None:
    """One line like no other."""
    rows = [f"09:00:{i:02d},70.{i % 10}" for i in range(30)]
    rows.insert(10, "door opened")
    log = read("Time,T1 (°C)\n" + "\n".join(rows) + "\n")
    assert len(log.elapsed_s) == 30
    assert "Left out, no readings like the others: line 12." in log.assumptions


def test_more_than_a_few_odd_lines_are_refused(read: Read) -> None:
    """Four lines with another number of columns."""
    rows = [f"09:00:{i:02d},70.{i % 10}" + (",5" if i in (3, 5, 7, 9) else "") for i in range(30)]
    with pytest.raises(UnreadableLog, match="lines 5, 7, 9, 11 are not like the other readings"):
        read("Time,T1 (°C)\n" + "\n".join(rows) + "\n")


def test_the_heading_once_more_is_left_out_and_listed(read: Read) -> None:
    """The logger was stopped and started again."""
    log = read(PLAIN + PLAIN.replace("09:00", "09:01"))
    assert len(log.elapsed_s) == 4
    assert "Left out, the heading once more: line 4." in log.assumptions


@pytest.mark.parametrize("line", ["Time,T1 (°F),T2 (°F)", "Unit: °F", "now °F"])
def test_another_unit_among_the_readings_is_refused(read: Read, line: str) -> None:
    """A second heading or a note that names a unit no column has."""
    with pytest.raises(
        UnreadableLog, match=r"line 4 speaks of another unit|said to be in °C and in °F|another heading"
    ):
        read(PLAIN + line + "\n" + PLAIN.split("\n", 1)[1].replace("09:00", "09:01"))


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "latin-1"]
)
def test_the_usual_encodings_give_the_same_log(read: Read, encoding: str) -> None:
    """UTF-8 and UTF-16 with and without their marks, Western European as a last resort, listed."""
    log = read(PLAIN, encoding=encoding)
    assert log.channels[1].values.tolist() == [71.2, 71.4]
    assert any("Western European" in said for said in log.assumptions) == (encoding in ("cp1252", "latin-1"))


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_any_line_ending_is_read(read: Read, ending: str) -> None:
    """Unix, Windows and old Macintosh."""
    assert len(read(PLAIN.replace("\n", ending)).elapsed_s) == 2


def test_missing_marks_become_gaps_and_are_counted(read: Read) -> None:
    """Words and numbers that loggers write for no sensor."""
    marks = [
        "",
        "-OL",
        "OL",
        "+OL",
        "#NAME?",
        "#N/A",
        "#VALUE!",
        "---",
        "--",
        "-",
        "NaN",
        "NA",
        "N/A",
        "null",
        "none",
    ]
    marks += [
        "error",
        "ERR",
        "open",
        "****",
        "?",
        "850",
        "999.9",
        "9999",
        "-999",
        "-9999",
        "32767",
        "-32768",
        "3276.7",
    ]
    marks += ["6553.5"]
    rows = [f"09:00:{i:02d};70.5;{mark}" for i, mark in enumerate(marks)] + ["09:01:00;70.5;71.5"]
    log = read("Time;T1 (°C);T2 (°C)\n" + "\n".join(rows) + "\n")
    assert log.channels[1].readings == 1
    assert any(
        f"T2 (°C)): {len(marks)} of {len(marks) + 1} readings are missing" in said for said in log.assumptions
    )


@pytest.mark.parametrize(
    ("heading", "value", "says"),
    [
        (
            "T1 (°C)",
            "250.1",
            r"line 3, column 2 \(T1 \(°C\)\): 250.1 °C cannot be; allowed are −60 to 150 °C.*°F, K",
        ),
        ("T1 (K)", "121.1", "no unit is written"),
        ("P (bar abs)", "0", "0 bar .absolute. cannot be; allowed are 0 to 1000 kPa.*gauge/absolute"),
        ("P (barg)", "-1.2", "−1.2 bar .gauge. cannot be; allowed are −110 to 1000"),
        ("P (kPa)", "2000", "2000 kPa cannot be"),
    ],
)
def test_values_that_cannot_be_are_refused(read: Read, heading: str, value: str, says: str) -> None:
    """They tell of a wrong unit."""
    with pytest.raises(UnreadableLog, match=says):
        read(
            f"Time;{heading}\n09:00:00;100.5\n09:00:01;{value}\n"
            if "T1" in heading
            else f"Time;{heading}\n09:00:00;1.5\n09:00:01;{value}\n"
        )


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "the file is empty"),
        (b"\xef\xbb\xbf\n\n", "the file is empty"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0", "is not text"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, r"old spreadsheet \(.xls\).*CSV or XLSX"),
        (b"PK\x03\x04rubbish", "the spreadsheet cannot be opened"),
        (b"Dear colleague,\nhere is the log.\n", "no table of readings is found"),
        (b"Time,T1 (C)\n09:00:00,70.1\n", "only 1 reading is found"),
        (b"Time,T1 (C)\n", "no table of readings is found"),
    ],
)
def test_files_that_are_no_log_are_refused(read: Read, data: bytes, says: str) -> None:
    """A sentence says what the file is and what to do."""
    with pytest.raises(UnreadableLog, match=r"^log\.csv: .*" + says):
        read(data)


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    """The name is wrong, or it names a folder."""
    with pytest.raises(UnreadableLog, match=r"nowhere\.csv: no such file"):
        read_log(tmp_path / "nowhere.csv")
    with pytest.raises(UnreadableLog, match="this is a folder"):
        read_log(tmp_path)


def test_progress_ends_at_one_or_below(tmp_path: Path) -> None:
    """The fraction read is told block by block."""
    path = tmp_path / "log.csv"
    path.write_text(PLAIN, encoding="utf-8")
    told: list[float] = []
    read_log(path, progress=told.append)
    assert told
    assert all(0 < fraction <= 1 for fraction in told)


def test_readings_damaged_at_the_top_are_no_heading(read: Read) -> None:
    """A row with its time is a reading, though a number in it is text."""
    with pytest.raises(UnreadableLog, match=r"line 2, column 2 \(T1 \(°C\)\): 'warming' is neither"):
        read("Time,T1 (°C)\n09:00:00,warming\n09:00:10,70.1\n09:00:20,70.2\n")


def test_another_heading_among_the_readings_is_refused(read: Read) -> None:
    """Columns may have changed places from there on."""
    rows = "09:00:0{},70.1,71.2\n09:00:0{},70.3,71.4\n"
    text = "Time,T1 (°C),T2 (°C)\n" + rows.format(0, 1) + "Time,T2 (°C),T1 (°C)\n" + rows.format(2, 3)
    with pytest.raises(UnreadableLog, match="line 4 is another heading than the first; split the file there"):
        read(text)


def test_a_heading_that_names_another_sensor_is_refused(read: Read) -> None:
    """Two tables of one width, one after the other."""
    text = "Time;T1 (°C)\n09:00:00;70.1\n09:00:01;70.2\n\nTime;T2 (°C)\n09:01:00;75.1\n09:01:01;75.2\n"
    with pytest.raises(UnreadableLog, match="line 5 is another heading"):
        read(text)


def test_readings_of_another_width_below_are_refused(read: Read) -> None:
    """The logger was set up anew; most of the file would be lost."""
    some = "".join(f"2024-05-18 09:01:{i:02d},70.1,71.2\n" for i in range(30))
    more = "".join(f"2024-05-18 09:02:{i:02d},70.1,71.2,72.3\n" for i in range(20))
    with pytest.raises(UnreadableLog, match="lines 34–53 look like readings but have another number of"):
        read(PLAIN + some + more)


def test_a_list_of_alarms_below_is_left_out(read: Read) -> None:
    """Times without numbers are no readings."""
    log = read(PLAIN + "Alarms\n2024-05-18 09:00:05,door open\n2024-05-18 09:00:07,door shut\n")
    assert "Left out after the table: lines 4–6." in log.assumptions


def test_a_cut_number_is_found_at_the_end_of_a_longer_file(read: Read) -> None:
    """Beyond the part that is looked at for the layout."""
    rows = "".join(f"09:{i // 60 % 60:02d}:{i % 60:02d},70.5,71.{i % 10}\n" for i in range(3500))
    log = read("Time,T1 (°C),T2 (°C)\n" + rows + "09:58:20,70.5,7")
    assert len(log.elapsed_s) == 3500
    assert any("line 3502" in said and "cut short" in said for said in log.assumptions)
