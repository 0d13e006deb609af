"""Any log, written in any dialect, is read back equal."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from lungwort.evidence.log import Log
from lungwort.evidence.reading import read_log

# The test's own table: heading's unit, then how a value in °C or kPa is written in it.
TEMPERATURES = {
    "°C": (1.0, 0.0),
    "degC": (1.0, 0.0),
    "°F": (1.8, 32.0),
    "deg F": (1.8, 32.0),
    "K": (1.0, 273.15),
}
PRESSURES = {
    "kPa abs": (1.0, "absolute", "kPa"), "bar(a)": (0.01, "absolute", "bar"),
    "psig": (1 / 6.894757293168, "gauge", "psi"),
    "mbar": (10.0, None, "mbar"), "MPa (g)": (0.001, "gauge", "MPa"),
}  # fmt: skip
DATES = ["%Y-%m-%d", "%Y/%m/%d", "%d.%m.%Y", "%m/%d/%Y", "%d/%m/%Y", "%d %b %Y", "%d-%m-%y", "%Y%m%d"]
TIMES = ["%H:%M:%S", "%I:%M:%S %p"]
STYLES = ["{name} ({unit})", "{name} [{unit}]", "{name} {unit}", "{name}/{unit}", "{name}_{unit}"]
MISSING = ["", "-OL", "---", "#N/A", "NaN", "****", "9999"]


@dataclass(frozen=True)
class Dialect:
    """One way of writing a log."""

    delimiter: str
    comma: bool
    temperature_unit: str
    pressure_unit: str
    date: str
    time: str
    together: bool
    style: str
    units_row: bool
    encoding: str
    before: int
    after: int
    missing: str
    ending: str

    def number(self, value: float | None) -> str:
        """A number as written."""
        if value is None:
            return self.missing
        return f"{value:.4f}".replace(".", "," if self.comma else ".")


@st.composite
def dialects(draw: st.DrawFn) -> Dialect:
    """Any supported dialect; decimal commas never stand in a file parted by commas."""
    comma = draw(st.booleans())
    return Dialect(
        delimiter=draw(st.sampled_from([";", "\t", "|"] if comma else [";", "\t", "|", ",", "   "])),
        comma=comma,
        temperature_unit=draw(st.sampled_from(sorted(TEMPERATURES))),
        pressure_unit=draw(st.sampled_from(sorted(PRESSURES))),
        date=draw(st.sampled_from(DATES)),
        time=draw(st.sampled_from(TIMES)),
        together=draw(st.booleans()),
        style=draw(st.sampled_from(STYLES)),
        units_row=draw(st.booleans()),
        encoding=draw(st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])),
        before=draw(st.integers(0, 3)),
        after=draw(st.integers(0, 2)),
        missing=draw(st.sampled_from(MISSING)),
        ending=draw(st.sampled_from(["\n", "\r\n", "\r"])),
    )


@dataclass(frozen=True)
class Truth:
    """What was measured: start, steps in s, temperatures in °C (None where missing), pressure in kPa."""

    started: datetime
    steps: list[int]
    temperatures: list[list[float | None]]
    pressures: list[float]


@st.composite
def truths(draw: st.DrawFn) -> Truth:
    """Any log whose dates can be told: a day over 12, so that no order of day and month is in doubt."""
    rows = draw(st.integers(2, 12))
    day = st.datetimes(datetime(2013, 1, 14), datetime(2068, 12, 28)).filter(lambda d: 13 <= d.day <= 27)
    # A two-digit year is told apart from the day only where it is over 31.
    started = draw(day.map(lambda d: d.replace(microsecond=0, year=max(d.year, 2032), hour=d.hour % 20)))
    reading = st.floats(-20, 148).map(lambda t: round(t, 1))
    columns = [
        [draw(reading) if i == 0 else draw(st.none() | reading) for i in range(rows)] for _ in range(2)
    ]
    pressures = [draw(st.floats(20, 400).map(lambda p: round(p, 1))) for _ in range(rows)]
    return Truth(
        started, draw(st.lists(st.integers(1, 600), min_size=rows - 1, max_size=rows - 1)), columns, pressures
    )


def moments(truth: Truth) -> list[datetime]:
    """The time of every row."""
    return [truth.started + timedelta(seconds=sum(truth.steps[:i])) for i in range(len(truth.pressures))]


def headings(dialect: Dialect) -> list[list[str]]:
    """One row of headings, or names and a row of units."""
    times = ["Date/Time"] if dialect.together else ["Date", "Time"]
    units = [dialect.temperature_unit] * 2 + [dialect.pressure_unit]
    names = ["T1", "Drain", "Pressure"]
    if dialect.units_row and dialect.delimiter.strip():
        return [times + names, [""] * len(times) + units]
    style = "{name}({unit})" if dialect.delimiter == "   " else dialect.style
    bare = dialect.temperature_unit == "K" and style.endswith((" {unit}", "_{unit}", "/{unit}"))
    return [
        times
        + [
            ("{name} ({unit})" if bare else style).format(name=n, unit=u)
            for n, u in zip(names, units, strict=True)
        ]
    ]


def written(dialect: Dialect, truth: Truth) -> list[list[str]]:
    """The rows of readings as text."""
    scale, offset = TEMPERATURES[dialect.temperature_unit]
    rows = []
    for i, moment in enumerate(moments(truth)):
        day, clock = moment.strftime(dialect.date), moment.strftime(dialect.time)
        values = [None if column[i] is None else column[i] * scale + offset for column in truth.temperatures]
        numbers = [
            dialect.number(v) for v in (*values, truth.pressures[i] * PRESSURES[dialect.pressure_unit][0])
        ]
        rows.append(([f"{day} {clock}"] if dialect.together else [day, clock]) + numbers)
    return rows


def check(log: Log, truth: Truth, dialect: Dialect) -> None:
    """Compare what was read with what was written, to half of the last digit written."""
    assert log.started == truth.started
    np.testing.assert_array_equal(log.elapsed_s, np.cumsum([0, *truth.steps]))
    for channel, column in zip(log.temperatures, truth.temperatures, strict=True):
        expected = [np.nan if value is None else value for value in column]
        np.testing.assert_allclose(channel.values, expected, atol=0.00006)
    scale, kind, unit = PRESSURES[dialect.pressure_unit]
    np.testing.assert_allclose(log.pressures[0].values, truth.pressures, atol=0.00006 / scale)
    assert (log.pressures[0].pressure_kind, log.pressures[0].written_unit) == (kind, unit)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One folder for all examples."""
    return tmp_path_factory.mktemp("roundtrip")


@settings(max_examples=400, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(dialects(), truths())
def test_a_log_written_in_any_dialect_is_read_back_equal(
    folder: Path, dialect: Dialect, truth: Truth
) -> None:
    """Separator, decimal mark, units, dates, headings, encoding, lines around, missing marks, line ends."""
    missing_by_spaces = dialect.delimiter == "   " and dialect.missing == ""
    dialect = Dialect(**{**dialect.__dict__, "missing": "-OL" if missing_by_spaces else dialect.missing})
    lines = [dialect.delimiter.join(row) for row in [*headings(dialect), *written(dialect, truth)]]
    before = ["Report of bath 3", "Serial: 1234", ""][: dialect.before]
    text = dialect.ending.join([*before, *lines, *["", "End of report"][: dialect.after], ""])
    path = folder / "log.csv"
    path.write_bytes(text.encode(dialect.encoding))
    check(read_log(path), truth, dialect)


@settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(dialects(), truths())
def test_a_log_written_as_a_spreadsheet_is_read_back_equal(
    folder: Path, dialect: Dialect, truth: Truth
) -> None:
    """Native moments and numbers; text marks for missing readings."""
    book = Workbook()
    sheet = book.active
    scale, offset = TEMPERATURES[dialect.temperature_unit]
    dialect = Dialect(**{**dialect.__dict__, "together": True})
    for row in headings(dialect):
        sheet.append(row)
    for i, moment in enumerate(moments(truth)):
        values = [
            dialect.missing if c[i] is None else round(c[i] * scale + offset, 4) for c in truth.temperatures
        ]
        sheet.append([moment, *values, truth.pressures[i] * PRESSURES[dialect.pressure_unit][0]])
    book.save(folder / "log.xlsx")
    check(read_log(folder / "log.xlsx"), truth, dialect)
