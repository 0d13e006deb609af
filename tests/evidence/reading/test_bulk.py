"""The two ways of cutting a file, one for big clean files and one for all, give equal logs."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from lungwort.errors import UnreadableLog
from lungwort.evidence.log import Log
from lungwort.evidence.reading import bulk, read_log, source

ROWS = 3000


def table(delimiter: str = ",", mark: str = ".", missing: str = "-OL", ending: str = "\n") -> str:
    """Return a file with a date, a time, four temperatures, one with gaps, a pressure and a scale column."""
    rng = np.random.default_rng(5)
    values = rng.uniform(20.0, 140.0, (ROWS, 5)).round(3)
    lines = ["Bath 3", delimiter.join(["Date", "Time", "No", "T1", "T2", "T3", "T4", "P (kPa abs)", "Scale"])]
    for i, row in enumerate(values.tolist()):
        cells = [f"{value:.{i % 4}f}".replace(".", mark) for value in row]
        cells[3] = missing if i % 7 == 0 else cells[3]
        lines.append(delimiter.join(["2024-05-18", f"09:{i // 60:02d}:{i % 60:02d}", str(i), *cells, "C"]))
    return ending.join(lines) + ending


class Ways:
    """Reads a text by the general way and by the way for big files."""

    def __init__(self, path: Path, patch: pytest.MonkeyPatch) -> None:
        self.path, self.patch, self.gone = path, patch, False

    def general(self, text: str) -> Log:
        """Read as all small files are read."""
        self.path.write_bytes(text.encode())
        return read_log(self.path)

    def fast(self, text: str) -> Log:
        """Read as big files are read; `gone` tells whether the way was gone to its end."""
        self.path.write_bytes(text.encode())
        read_bulk = bulk.read_bulk

        def watched(*arguments: Any) -> Any:
            found = read_bulk(*arguments)
            self.gone = found is not None
            return found

        with self.patch.context() as patch:
            patch.setattr(source, "BIG_BYTES", 1000)
            patch.setattr(bulk, "BULK_ROWS", 700)
            patch.setattr(bulk, "read_bulk", watched)
            return read_log(self.path)


@pytest.fixture
def ways(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Ways:
    """Return both ways of reading."""
    return Ways(tmp_path / "log.csv", monkeypatch)


def assert_equal(one: Log, other: Log) -> None:
    """Compare two logs in all that they hold."""
    np.testing.assert_array_equal(one.elapsed_s, other.elapsed_s)
    for a, b in zip(one.channels, other.channels, strict=True):
        assert (a.name, a.quantity, a.written_unit, a.pressure_kind) == (
            b.name,
            b.quantity,
            b.written_unit,
            b.pressure_kind,
        )
        np.testing.assert_array_equal(a.values, b.values)
    assert (one.started, one.clock_step_s, one.sha256) == (other.started, other.clock_step_s, other.sha256)
    assert one.assumptions == other.assumptions


@pytest.mark.parametrize(("delimiter", "mark"), [(",", "."), (";", ","), ("\t", ","), ("|", ".")])
@pytest.mark.parametrize("missing", ["-OL", "", "850", "NaN"])
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_both_ways_give_equal_logs(ways: Ways, delimiter: str, mark: str, missing: str, ending: str) -> None:
    """Numbers to the last bit, missing marks, times, notes and digest."""
    text = table(delimiter, mark, missing, ending)
    general, fast = ways.general(text), ways.fast(text)
    assert ways.gone
    assert len(general.elapsed_s) == ROWS
    assert_equal(general, fast)


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text + "End of report\n",
        lambda text: text.replace("09:20:00", '"09:20:00"'),
        lambda text: text.replace("2024-05-18,09:30:00", "\n2024-05-18,09:30:00"),
        lambda text: text.replace("2024-05-18,09:30:00,1800,", "note\n2024-05-18,09:30:00,1800,"),
        lambda text: text[:-12],
    ],
)
def test_files_that_are_not_plain_take_the_general_way(ways: Ways, change: Callable[[str], str]) -> None:
    """Trailers, quotes, empty, odd and cut lines: the general reader says what was done."""
    text = change(table())
    assert_equal(ways.general(text), ways.fast(text))
    assert not ways.gone


REFUSED = [
    (r"(09:30:00,1800),", r"\1,x", "line 1803, column 4"),
    (r"2024-05-18,09:30:00", "2024-05-18,09:3x:00", "line 1803, column 2.*is no time"),
    (r"2024-05-18,09:30:00", ",09:30:00", "line 1803, column 2.*is no time"),
    (r"(09:30:00,1800),", r"\1,9", "line 1803.*cannot be"),
    (r"C\n$", "F\n", f"line {ROWS + 2}, column 9.*the unit changes from 'C' to 'F'"),
    # Junk behind the width that the bulk way takes of a time may not be cut away in silence.
    (r"09:30:00", "09:30:00" + " " * 60 + "junk", "line 1803, column 2.*is no time"),
]
# Words that Python or a parser would take for numbers.
REFUSED += [
    (r"(09:30:00,1800),[\d.]+", rf"\1,{word}", f"line 1803, column 4.*'{word}' is neither")
    for word in ("inf", "1_0", "Infinity", "1e999", "True", "0x1F")
]


@pytest.mark.parametrize(("old", "new", "says"), REFUSED)
@pytest.mark.parametrize("way", ["general", "fast"])
def test_both_ways_refuse_alike(ways: Ways, way: str, old: str, new: str, says: str) -> None:
    """The refusal names the line of the file."""
    with pytest.raises(UnreadableLog, match=says):
        getattr(ways, way)(re.sub(old, new, table()))
