"""One cell, one number: decimal marks, missing-sensor marks and units written in cells."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

import numpy as np

from lungwort.evidence.log import FloatArray
from lungwort.evidence.reading.units import Unit, unit_of

Mark = Literal[".", ","]
_FAULTS = "error err err. open missing #name? #n/a #value! #ref! #div/0! #num! #null!"
_ABSENT = "-ol +ol ol o.l o.l. -o.l nan -nan na n/a n.a. n.a null none nil"
MISSING_WORDS = frozenset({"", *_FAULTS.split(), *_ABSENT.split()})
# Numbers that loggers write for "no sensor"; they count as missing only where they cannot be a reading.
_SENTINELS = (850.0, 999.0, 999.9, 9999.0, 9999.9, 99999.0, -999.0, -999.9, -9999.0, -9999.9, -99999.0)
_LIMITS_OF_INTEGERS = (32767.0, -32768.0, 3276.7, -3276.8, 327.67, -327.68, 65535.0, 6553.5, 655.35)
MISSING_NUMBERS = np.array([*_SENTINELS, *_LIMITS_OF_INTEGERS, -127.0, -200.0, -300.0])
_NUMBER = r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,3})?"
NUMBER = re.compile(_NUMBER)
_WITH_UNIT = re.compile(rf"({_NUMBER})\s*([^\d\s.,+-].*)")
_BOTH_MARKS = re.compile(r"[+-]?[0-9]+([.,' ][0-9]{3})*[.,][0-9]+")


def is_missing(cell: str) -> bool:
    """Tell whether a cell says that no reading was there.

    >>> [is_missing(c) for c in ("", "-OL", "---", "#NAME?", "85.0")]
    [True, True, True, True, False]
    """
    word = cell.strip()
    return word.casefold() in MISSING_WORDS or (set(word) <= {word[:1]} and word[0] in "-*?")


@lru_cache(maxsize=65536)
def split_cell(cell: str) -> tuple[str, Unit | None] | None:
    """Return the number as written and the unit in the cell, or None where the cell is neither.

    >>> split_cell("121,5 °C")[0], split_cell("warm")
    ('121,5', None)
    """
    word = cell.strip().replace("−", "-")
    if NUMBER.fullmatch(word):
        return word, None
    parts = _WITH_UNIT.fullmatch(word)
    unit = unit_of(parts[2]) if parts else None
    return (parts[1], unit) if parts and unit else None


def mark_in(cell: str) -> str:
    """Return the decimal mark that a numeric cell carries: '.', ',', both as '.,' or none as ''.

    >>> mark_in("78,5"), mark_in("78.5"), mark_in("1,234.5"), mark_in("78")
    (',', '.', '.,', '')
    """
    word = cell.strip()
    if "." in word and "," in word:
        return ".," if _BOTH_MARKS.match(word) else ""
    parts = split_cell(cell)
    return "" if parts is None else "," if "," in parts[0] else "." if "." in parts[0] else ""


@dataclass
class Numbers:
    """A converted column of a block: `bad` is the row of the first cell that is no number, -1 when all are."""

    values: FloatArray
    units: set[Unit] = field(default_factory=set)
    bare: bool = False
    missing: dict[str, int] = field(default_factory=dict)
    bad: int = -1


def numbers(cells: Sequence[str], mark: Mark) -> Numbers:
    """Return a column of cells as numbers, NaN where missing.

    >>> numbers(["78,5", "-OL"], ",").values.tolist()
    [78.5, nan]
    """
    quick = _quick(cells, mark)
    return _cell_by_cell(cells, mark) if quick is None else Numbers(quick, bare=True)


def _quick(cells: Sequence[str], mark: Mark) -> FloatArray | None:
    joined = "\n".join(cells)
    if not joined.isascii() or "_" in joined:
        return None
    if mark == ",":
        if "." in joined:
            return None
        cells = joined.replace(",", ".").split("\n")
    try:
        known = {cell: float(cell) for cell in set(cells)}  # readings repeat: each spelling is parsed once
    except ValueError:
        return None
    values = np.fromiter(map(known.__getitem__, cells), np.float64, len(cells))
    return values if bool(np.isfinite(values).all()) else None


def _cell_by_cell(cells: Sequence[str], mark: Mark) -> Numbers:
    table: dict[str, float] = {}
    column = Numbers(np.empty(0))
    for cell in set(cells):
        value = _one(cell, mark, column)
        if value is None:
            column.bad = _first(cells, cell, column.bad)
        table[cell] = np.nan if value is None else value
    for cell in filter(is_missing, table):
        column.missing[cell.strip()] = column.missing.get(cell.strip(), 0) + cells.count(cell)
    column.values = np.fromiter(map(table.__getitem__, cells), np.float64, len(cells))
    return column


def _first(cells: Sequence[str], cell: str, before: int) -> int:
    row = cells.index(cell)
    return row if before < 0 else min(row, before)


def _one(cell: str, mark: Mark, column: Numbers) -> float | None:
    if is_missing(cell):
        return float("nan")
    parts = split_cell(cell)
    if parts is None or (("." in parts[0] or "," in parts[0]) and mark not in parts[0]):
        return None
    if parts[1] is None:
        column.bare = True
    else:
        column.units.add(parts[1])
    value = float(parts[0].replace(",", "."))
    return value if np.isfinite(value) else None
