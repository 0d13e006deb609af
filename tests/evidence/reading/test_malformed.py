"""Malformed logs, LUNGWORT_MALFORMED of them: never another exception than ours, never a wrong unit in silence."""

import os
import random
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from lungwort.errors import LungwortError
from lungwort.evidence.log import Log
from lungwort.evidence.reading import read_log

COUNT = int(os.environ.get("LUNGWORT_MALFORMED", "20000"))
ROWS = 12
STEP_S = 4
DIFFERENCES_S = np.arange(ROWS) * float(STEP_S)
# The test's own table, written apart from the reader's: unit word -> (quantity, zero, factor, kind).
UNITS: dict[str, tuple[str, float, float, str | None]] = {
    "°C": ("temperature", 0.0, 1.0, None),
    "degC": ("temperature", 0.0, 1.0, None),
    "C": ("temperature", 0.0, 1.0, None),
    "°F": ("temperature", 32.0, 1 / 1.8, None),
    "degF": ("temperature", 32.0, 1 / 1.8, None),
    "F": ("temperature", 32.0, 1 / 1.8, None),
    "K": ("temperature", 273.15, 1.0, None),
    "kPa abs": ("pressure", 0.0, 1.0, "absolute"),
    "kPa": ("pressure", 0.0, 1.0, None),
    "bar": ("pressure", 0.0, 100.0, None),
    "bar(a)": ("pressure", 0.0, 100.0, "absolute"),
    "barg": ("pressure", 0.0, 100.0, "gauge"),
    "psig": ("pressure", 0.0, 6.894757293168, "gauge"),
    "psi": ("pressure", 0.0, 6.894757293168, None),
    "mbar": ("pressure", 0.0, 0.1, None),
    "MPa": ("pressure", 0.0, 1000.0, None),
}
TEMPERATURE_WORDS = [word for word, unit in UNITS.items() if unit[0] == "temperature"]
PRESSURE_WORDS = [word for word, unit in UNITS.items() if unit[0] == "pressure"]


@dataclass
class Made:
    """A log as text in parts, with the numbers written in it and the unit words that stand in it."""

    delimiter: str
    comma: bool
    heading: list[str]
    rows: list[list[str]]
    before: list[str]
    after: list[str]
    temperature_unit: str
    pressure_unit: str
    temperatures: np.ndarray
    pressures: np.ndarray
    scale: bool

    def text(self) -> str:
        """The whole file."""
        table = [self.delimiter.join(row) for row in [self.heading, *self.rows]]
        return "\n".join([*self.before, *table, *self.after]) + "\n"


def make(rng: random.Random) -> Made:
    """Return a valid log: two temperatures that fit any unit's numbers, one pressure."""
    comma = rng.random() < 0.3
    delimiter = rng.choice(";\t|") if comma else rng.choice(",;\t|")
    scale = rng.random() < 0.3
    unit = rng.choice(["°C", "degC", "C", "°F", "degF", "F"])
    pressure_unit = rng.choice(["kPa abs", "bar(a)", "barg", "psig", "kPa"])
    temperatures = np.round(np.array([[rng.uniform(100, 140) for _ in range(ROWS)] for _ in range(2)]), 1)
    pressures = np.round(np.array([rng.uniform(1.1, 3.2) for _ in range(ROWS)]), 3)
    heading = [
        "Date",
        "Time",
        *(name if scale else f"{name} ({unit})" for name in ("T1", "T2")),
        f"P ({pressure_unit})",
    ]
    heading += ["Scale"] if scale else []
    rows = []
    for i in range(ROWS):
        numbers = [f"{temperatures[0, i]:.1f}", f"{temperatures[1, i]:.1f}", f"{pressures[i]:.3f}"]
        numbers = [n.replace(".", ",") for n in numbers] if comma else numbers
        rows.append(["2024-05-18", f"09:00:{i * STEP_S:02d}", *numbers, *([unit] if scale else [])])
    before = rng.choice([[], ["Bath 3"], ["Logger report", "Serial: 1234", ""]])
    after = rng.choice([[], ["End of report"]])
    return Made(
        delimiter, comma, heading, rows, before, after, unit, pressure_unit, temperatures, pressures, scale
    )


def stated(numbers: np.ndarray, word: str) -> np.ndarray:
    """Convert written numbers by the test's own table."""
    _quantity, zero, factor, _kind = UNITS[word]
    return (numbers - zero) * factor


def share_from(values: np.ndarray, truth: np.ndarray) -> float:
    """Return the share of the values present that are among the true ones."""
    present = values[np.isfinite(values)]
    if not len(present):
        return 1.0
    nearest = np.abs(present[:, None] - truth.ravel()[None, :]).min(axis=1)
    return float((nearest < 1e-6 * np.maximum(1.0, np.abs(present))).mean())


def attempt(path: Path, data: bytes) -> Log | LungwortError:
    """Read; anything but a Log or an error of ours fails the test with the file's bytes."""
    path.write_bytes(data)
    try:
        return read_log(path)
    except LungwortError as error:
        return error
    except Exception as error:
        pytest.fail(f"{type(error).__name__}: {error} on {data!r}")


# --- mutations that leave the stated units alone -----------------------------------------------------------------

GARBAGE = [
    "12 5",
    "🌡",
    "=A1+B1",
    "1,234.5",
    "1.234,5",
    "24-13-45",
    "2024-02-30",
    "9" * 21,
    " ",
    '"',
    "x",
    "--",
]
GARBAGE += [
    "12:00",
    "NaN",
    "inf",
    "1e999",
    "0x1F",
    "1_0",
    "٣",
    "-OL",
    "850",
    "°",
    "\x00",
    "9:6l",
    "#N/A",
    "1.2.3",
]
GARBAGE += ["-", "+", ".", ","]


def _bytes(rng: random.Random, data: bytearray) -> bytearray:
    for _ in range(rng.randint(1, 4)):
        place = rng.randrange(len(data))
        action = rng.randrange(4)
        if action == 0:
            data[place] = rng.randrange(256)
        elif action == 1:
            del data[place : place + rng.randint(1, 5)]
        elif action == 2:
            data[place:place] = bytes(rng.randrange(256) for _ in range(rng.randint(1, 3)))
        else:
            data = data[: max(place, 1)]
        if not data:
            return bytearray(b",")
    return data


def _lines(rng: random.Random, made: Made) -> None:
    row = rng.randrange(len(made.rows))
    action = rng.randrange(6)
    if action == 0:
        made.rows.insert(row, list(rng.choice(made.rows)))
    elif action == 1:
        del made.rows[row]
    elif action == 2:
        made.rows[row] = made.rows[row][: rng.randrange(len(made.rows[row]))]
    elif action == 3:
        made.rows[row] = made.rows[row] + ["1"] * rng.randint(1, 3)
    elif action == 4:
        made.rows.insert(row, ["door opened"])
    else:
        rng.shuffle(made.rows)


def _cells(rng: random.Random, made: Made) -> None:
    for _ in range(rng.randint(1, 3)):
        row = rng.choice(made.rows)
        if row:
            row[rng.randrange(len(row))] = rng.choice(GARBAGE)


def _delimiter(rng: random.Random, made: Made) -> None:
    made.delimiter = rng.choice([",", ";", "\t", "|", " ", "  ", ":", ".", "/"])


def _columns(rng: random.Random, made: Made) -> None:
    for row in made.rows:
        if len(row) > 2 and rng.random() < 0.9:
            del row[rng.choice([1, 2])]


def _outside(rng: random.Random, made: Made) -> None:
    made.before.insert(
        0, rng.choice(["", "Name;Value", "a,b,c", "Started 2024-05-18 09:00", '"', "1,2,3", "\t\t\t"])
    )
    made.after.append(
        rng.choice(["", "Min;1;2", "Average,121.1,121.2", "End,,,,", "\x1a", '"open', "09:00;x"])
    )


SHAPE_MUTATIONS: list[Callable[[random.Random, Made], None]] = [
    _lines,
    _cells,
    _delimiter,
    _columns,
    _outside,
]


def test_malformed_logs_end_in_a_log_or_in_our_refusal_and_never_in_another_unit(tmp_path: Path) -> None:
    """Bytes, lines, cells, delimiters and columns mutated: a Log's numbers are still those written, in their unit."""
    rng = random.Random(20240518)
    path = tmp_path / "log.csv"
    read = 0
    for _ in range(COUNT - COUNT // 5 - COUNT // 4):
        made = make(rng)
        truth = [stated(made.temperatures, made.temperature_unit), stated(made.pressures, made.pressure_unit)]
        for mutate in rng.sample(SHAPE_MUTATIONS, rng.randint(0, 2)):
            mutate(rng, made)
        head = len("\n".join([*made.before, ""]).encode())
        data = bytearray(made.text().encode())
        if rng.random() < 0.5:
            body = head + len(made.delimiter.join(made.heading).encode())
            data = data[:body] + _bytes(rng, data[body:])
        log = attempt(path, bytes(data))
        if isinstance(log, Log):
            read += 1
            least = 0.7 if len(log.elapsed_s) > 6 else 0.5
            for channel in log.channels:
                values = truth[0] if channel.quantity == "temperature" else truth[1]
                assert share_from(channel.values, values) >= least, (bytes(data), channel, log.assumptions)
            assert least == 0.5 or share_from(np.diff(log.elapsed_s), DIFFERENCES_S) >= 0.5, (
                bytes(data),
                log,
            )
    assert read > COUNT // 20


def test_bytes_mutated_anywhere_never_raise_another_exception(tmp_path: Path) -> None:
    """Headings included, in three encodings."""
    rng = random.Random(7)
    path = tmp_path / "log.csv"
    for _ in range(COUNT // 5):
        made = make(rng)
        encoding = rng.choice(["utf-8", "utf-16", "cp1252", "utf-16-le"])
        attempt(path, bytes(_bytes(rng, bytearray(made.text().encode(encoding)))))


# --- mutations of what says the unit -------------------------------------------------------------------------------


@dataclass
class Expected:
    """What must come back, if anything: units per quantity; None where only a refusal is right."""

    temperature: str | None
    pressure: str | None
    kind: str | None


def _reheaded(made: Made, temperature: str, pressure: str) -> None:
    scale = ["Scale"] if made.scale else []
    made.heading = ["Date", "Time", *(f"T{i} ({temperature})" if temperature else f"T{i}" for i in (1, 2))]
    made.heading += [f"P ({pressure})" if pressure else "P", *scale]


def _other_heading(rng: random.Random, made: Made) -> Expected:
    """Another unit word in the headings: that unit counts, unless the scale column says otherwise."""
    temperature, pressure = rng.choice(TEMPERATURE_WORDS), rng.choice(PRESSURE_WORDS)
    _reheaded(made, temperature, pressure)
    if made.scale and temperature == "K":  # numbers near 120 are no kelvin: K is the letter of a thermocouple
        return Expected(made.temperature_unit, pressure, UNITS[pressure][3])
    same = not made.scale or UNITS[temperature][1] == UNITS[made.temperature_unit][1]
    return Expected(temperature if same else None, pressure, UNITS[pressure][3])


def _no_unit(rng: random.Random, made: Made) -> Expected:
    """No temperature unit anywhere: only a refusal is right."""
    made.heading = [name.split(" ")[0] if name.startswith("T") else name for name in made.heading]
    if made.scale:
        made.heading[-1] = "Status"
        for row in made.rows:
            row[-1] = "ok"
    return Expected(None, None, None)


def _one_unit_missing(rng: random.Random, made: Made) -> Expected:
    """One of two temperatures without a unit: only a refusal is right."""
    if made.scale:
        return _no_unit(rng, made)
    made.heading[rng.choice([2, 3])] = rng.choice(["T9", "Probe C", "Sensor F", "Drain", "Load K"])
    return Expected(None, None, None)


def _changing_scale(rng: random.Random, made: Made) -> Expected:
    """A scale column that changes: only a refusal is right."""
    if not made.scale:
        return _no_unit(rng, made)
    other = {"C": "F", "F": "C"}[made.temperature_unit[-1]]
    for row in made.rows[rng.randrange(1, ROWS) :]:
        row[-1] = other
    return Expected(None, None, None)


def _stated_before(rng: random.Random, made: Made) -> Expected:
    """A line above states another unit than the headings: only a refusal is right."""
    other = {"C": "°F", "F": "°C"}[made.temperature_unit[-1]]
    line = rng.choice(
        [
            "Unit: {}",
            "Units;{}",
            "Temperature unit = {}",
            "Scale: {}",
            "Temperature: {}",
            "Temperatures in {}",
        ]
    )
    made.before.insert(0, line.format(other))
    return Expected(None, None, None)


def _unit_in_some_cells(rng: random.Random, made: Made) -> Expected:
    """Cells in another unit than the column: only a refusal is right."""
    other = {"C": "°F", "F": "°C"}[made.temperature_unit[-1]]
    for row in rng.sample(made.rows, rng.randint(1, ROWS)):
        row[rng.choice([2, 3])] += " " + other
    return Expected(None, None, None)


def _two_units_in_a_heading(rng: random.Random, made: Made) -> Expected:
    """A heading that names two units: only a refusal is right."""
    made.heading[2] = rng.choice(
        ["T1 (°C/°F)", "T1 °C (°F)", "T1 degF degC", "T1 (C/F)", "T1 °C or °F", "T1 [°F] °C"]
    )
    return Expected(None, None, None)


def _two_kinds(rng: random.Random, made: Made) -> Expected:
    """A pressure called gauge and absolute at once: only a refusal is right."""
    made.heading[4] = rng.choice(["Gauge pressure (bar abs)", "Abs pressure (psig)", "Absolute P (barg)"])
    return Expected(None, None, None)


def _new_heading_in_the_middle(rng: random.Random, made: Made) -> Expected:
    """A second heading with another unit: only a refusal is right."""
    other = {"C": "°F", "F": "°C"}[made.temperature_unit[-1]]
    made.rows.insert(
        rng.randrange(2, ROWS - 1), ["Date", "Time", f"T1 ({other})", f"T2 ({other})", *made.heading[4:]]
    )
    return Expected(None, None, None)


UNIT_MUTATIONS = [
    _other_heading, _no_unit, _one_unit_missing, _changing_scale, _stated_before,
    _unit_in_some_cells, _two_units_in_a_heading, _two_kinds, _new_heading_in_the_middle,
]  # fmt: skip


@pytest.mark.parametrize("mutate", UNIT_MUTATIONS, ids=lambda mutation: mutation.__name__.strip("_"))
def test_a_unit_that_is_changed_counts_as_written_or_is_refused(
    mutate: Callable[[random.Random, Made], Expected], tmp_path: Path
) -> None:
    """What says the unit is mutated: the numbers come back in the unit stated, or the file is refused."""
    rng = random.Random(99)
    path = tmp_path / "log.csv"
    outcomes = set()
    for _ in range(max(COUNT // 4 // len(UNIT_MUTATIONS), 20)):
        made = make(rng)
        expected = mutate(rng, made)
        log = attempt(path, made.text().encode())
        outcomes.add(type(log) is Log)
        if isinstance(log, Log):
            assert expected.temperature is not None, (made.text(), log)
            _compare(log, made, expected)
    assert outcomes & {False}
    assert (True in outcomes) == (mutate is _other_heading)


def _compare(log: Log, made: Made, expected: Expected) -> None:
    assert expected.temperature is not None
    assert expected.pressure is not None
    wanted = stated(made.temperatures, expected.temperature)
    for channel, truth in zip(log.temperatures, wanted, strict=True):
        np.testing.assert_allclose(channel.values, truth, atol=1e-9, err_msg=made.text())
    np.testing.assert_allclose(log.pressures[0].values, stated(made.pressures, expected.pressure), rtol=1e-9)
    assert log.pressures[0].pressure_kind == expected.kind, made.text()
