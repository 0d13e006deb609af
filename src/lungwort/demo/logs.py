"""Writing simulated readings as the files that loggers and people leave behind, each in its own dialect."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from lungwort.demo.sensing import Column


@dataclass(frozen=True)
class Dialect:
    """How a logger writes: separators, encoding, clock columns (heading, strftime), units, other lines.

    `units` is "heading" for `Drain (°C)` and "row" for a second heading line.
    """

    delimiter: str
    decimal: str
    encoding: str
    clock: tuple[tuple[str, str], ...]
    units: str = "heading"
    newline: str = "\n"
    numbered: bool = False
    preamble: tuple[str, ...] = ()
    trailer: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Recording:
    """A simulated log before it is written: when it began, `elapsed_s` (n,), and its columns."""

    started: datetime
    elapsed_s: NDArray[np.float64]
    columns: tuple[Column, ...]


PLAIN_COMMA = Dialect(",", ".", "utf-8", (("Date", "%Y-%m-%d"), ("Time", "%H:%M:%S")))
WORKSHOP_SEMICOLON = Dialect(
    ";",
    ",",
    "cp1252",
    (("Date", "%d.%m.%Y"), ("Time", "%H:%M:%S")),
    newline="\r\n",
    preamble=(
        "Ridgeway Hospital, sterilising room",
        "Autoclave 2, programme 121 / 15 min",
        "Interval 2 s",
        "",
    ),
    trailer=("", "End of cycle: READY"),
)
TAB_WITH_UNITS_ROW = Dialect("\t", ".", "utf-16", (("Time stamp", "%d/%m/%Y %H:%M:%S"),), "row", "\r\n")
NUMBERED_COMMA = Dialect(",", ".", "utf-8-sig", (("Time", "%Y-%m-%dT%H:%M:%S"),), numbered=True)
HAND_WRITTEN = Dialect(";", ",", "utf-8", (("time", "%H:%M"),))


def log_text(recording: Recording, dialect: Dialect) -> str:
    """Return the whole file as text, its lines ended as the dialect ends them.

    >>> from lungwort.demo.sensing import Column
    >>> bath = Column("bath", "°C", np.array([82.6]), np.array([82.5]), 1)
    >>> recording = Recording(datetime(2026, 3, 20, 9, 2), np.array([0.0]), (bath,))
    >>> log_text(recording, HAND_WRITTEN)
    'time;bath (°C)\\n09:02;82,5\\n'
    """
    lines = [*dialect.preamble, *_headings(recording, dialect), *_rows(recording, dialect), *dialect.trailer]
    return "".join(line + dialect.newline for line in lines)


def write_log(path: Path, recording: Recording, dialect: Dialect) -> Path:
    """Write a recording to `path` in a dialect, over whatever stood there, and return the path."""
    path.write_bytes(log_text(recording, dialect).encode(dialect.encoding))
    return path


def _headings(recording: Recording, dialect: Dialect) -> Iterator[str]:
    clock = [*(["No."] if dialect.numbered else []), *(heading for heading, _ in dialect.clock)]
    if dialect.units == "row":
        yield dialect.delimiter.join([*clock, *(c.name for c in recording.columns)])
        yield dialect.delimiter.join([*("" for _ in clock), *(c.unit for c in recording.columns)])
    else:
        yield dialect.delimiter.join([*clock, *(f"{c.name} ({c.unit})" for c in recording.columns)])


def _rows(recording: Recording, dialect: Dialect) -> Iterator[str]:
    elapsed_s = recording.elapsed_s.tolist()
    moments = [recording.started + timedelta(seconds=passed_s) for passed_s in elapsed_s]
    numbers = [[str(number) for number in range(1, len(moments) + 1)]] if dialect.numbered else []
    clocks = [[at.strftime(style) for at in moments] for _, style in dialect.clock]
    readings = [_cells(column, dialect.decimal) for column in recording.columns]
    return map(dialect.delimiter.join, zip(*numbers, *clocks, *readings, strict=True))


def _cells(column: Column, decimal: str) -> list[str]:
    return [f"{value:.{column.decimals}f}".replace(".", decimal) for value in column.written.tolist()]
