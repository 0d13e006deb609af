"""Finding the table in a file: what parts the columns, where the headings are and where readings begin."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from lungwort.evidence.reading.cells import is_missing, split_cell
from lungwort.evidence.reading.headings import begins_times, names_reading
from lungwort.evidence.reading.refusals import NoTableError
from lungwort.evidence.reading.stamps import DATE_ONLY, match_stamp
from lungwort.evidence.reading.units import is_bare, time_unit_s, unit_of
from lungwort.language import _

Row = list[str]
TWO_SPACES, ONE_SPACE = "  ", " "
DELIMITERS = ("\t", ";", "|", ",", TWO_SPACES, ONE_SPACE)
SCORED_LINES = 60
SAMPLE_ROWS = 100
_BRACKETED = re.compile(r"[(\[][^()\[\]]*[)\]]")
_GLUE = re.compile(r" +(?=[(\[]?(?:°|deg)[ ]?[CFK]\b[)\]]?|[(\[][^()\[\]]*[)\]])")


class Layout(NamedTuple):
    """The table of a file: `first` counts records from 0 to the first row of readings.

    `headings` holds none, one or two rows of `width` cells; `before` the other lines above, each with its number.
    """

    delimiter: str
    width: int
    first: int
    headings: tuple[Row, ...]
    units_row: Row | None
    before: tuple[tuple[int, str], ...]
    sample: tuple[Row, ...]
    pattern: str


def splitter(delimiter: str) -> Callable[[str], Row]:
    """Return the function that splits a line parted by spaces."""
    pattern = re.compile(r"[ \xa0]{2,}" if delimiter == TWO_SPACES else r"[ \xa0]+")
    return lambda line: pattern.split(line.strip()) if line.strip() else []


def split_lines(lines: Sequence[str], delimiter: str) -> list[Row]:
    """Split lines into records by one delimiter."""
    if delimiter.strip() or delimiter == "\t":
        try:
            return list(csv.reader(lines, delimiter=delimiter, skipinitialspace=True))
        except csv.Error:
            return []
    return list(map(splitter(delimiter), (line.rstrip("\n") for line in lines)))


@lru_cache(maxsize=16384)
def kind_of_cell(cell: str) -> str:
    """Sort a cell: 't' a date or time, 'n' a number, 'm' missing, 'x' other text."""
    if is_missing(cell):
        return "m"
    if split_cell(cell):
        return "n"
    return "t" if match_stamp(cell) or DATE_ONLY.fullmatch(cell) else "x"


def _kinds(row: Row) -> str:
    return "".join(map(kind_of_cell, row))


def _looks_like_reading(kinds: str) -> bool:
    values = kinds.count("n") + kinds.count("t")
    telling = "t" in kinds or kinds.count("n") >= 2
    return (
        len(kinds) >= 2
        and telling
        and kinds.count("x") <= values + kinds.count("m")
        and values + kinds.count("m") >= 2
    )


def _score(rows: Sequence[Row]) -> float:
    """Rate one way of splitting: readings of the commonest width, less where cells are mere text."""
    kinds = [k for k in map(_kinds, rows) if _looks_like_reading(k)]
    if not kinds:
        return 0.0
    width = Counter(map(len, kinds)).most_common(1)[0][0]
    return sum(1.0 - k.count("x") / len(k) for k in kinds if len(k) == width)


def find_table(lines: Sequence[str]) -> Layout:
    """Find the table in the lines of a file's head.

    Raises UnreadableLog where no way of splitting the lines gives a table of times and numbers.
    """
    some = lines if len(lines) <= SCORED_LINES else [*lines[:20], *lines[-40:]]
    scores = {d: _score(split_lines(some, d)) for d in DELIMITERS if any(d in line for line in some)}
    best = max(scores, key=lambda d: (round(scores[d], 6), -DELIMITERS.index(d)), default="")
    if not scores.get(best):
        _no_table()
    return table_in(split_lines(lines, best), best, lines)


def _no_table() -> None:
    raise NoTableError(
        _(
            "no table of readings is found; a line of readings needs a time and a number, "
            "parted by comma, semicolon, tab, | or spaces."
        )
    )


def table_in(rows: Sequence[Row], delimiter: str, lines: Sequence[str] = ()) -> Layout:
    """Find headings and readings among rows already split."""
    kinds = _first_kinds(rows)
    width, pattern = _pattern(kinds)
    first = next((i for i, k in enumerate(kinds) if _fits(k, pattern)), -1)
    if first < 0:
        _no_table()
    first = _with_damaged(kinds, first, pattern)
    pairs = zip(rows[first:], kinds[first:], strict=False)
    sample = [row for row, k in pairs if _fits(k, pattern)][:SAMPLE_ROWS]
    above = [i for i in range(first) if any(cell.strip() for cell in rows[i])]
    found = _headings(rows, above, pattern, delimiter)
    before = tuple((i + 1, _line(rows, i, lines)) for i in above if i not in found.used)
    return Layout(delimiter, width, first, found.headings, found.units_row, before, tuple(sample), pattern)


def _with_damaged(kinds: Sequence[str], first: int, pattern: str) -> int:
    """Count rows just above that have their time, but text for a number, as readings: they are not headings."""
    key = pattern.index("t") if "t" in pattern else pattern.find("n")
    while first > 0 and len(kinds[first - 1]) == len(pattern) and kinds[first - 1][key] == pattern[key]:
        first -= 1
    return first


def _first_kinds(rows: Sequence[Row]) -> list[str]:
    """Sort the cells of the rows up to some way below the first that looks like a reading."""
    kinds: list[str] = []
    readings = 0
    for row in rows:
        kinds.append(_kinds(row))
        readings += _looks_like_reading(kinds[-1])
        if readings >= SAMPLE_ROWS + SAMPLE_ROWS // 2:
            break
    return kinds


def _line(rows: Sequence[Row], index: int, lines: Sequence[str]) -> str:
    return lines[index].strip() if len(lines) == len(rows) else " ".join(cell for cell in rows[index] if cell)


def _pattern(kinds: Sequence[str]) -> tuple[int, str]:
    """Return the commonest width of readings and, column by column, the commonest kind of cell that is not missing."""
    readings = [k for k in kinds if _looks_like_reading(k)]
    if not readings:
        _no_table()
    width = Counter(map(len, readings)).most_common(1)[0][0]
    columns = zip(*(k for k in readings if len(k) == width), strict=True)
    return width, "".join(_commonest(column) for column in columns)


def _commonest(column: tuple[str, ...]) -> str:
    counts = Counter(kind for kind in column if kind != "m")
    return counts.most_common(1)[0][0] if counts else "m"


def _fits(kinds: str, pattern: str) -> bool:
    """Tell whether a row has the kinds of the table: its times are times, and no number has become text."""
    if len(kinds) != len(pattern) or not _looks_like_reading(kinds):
        return False
    pairs = list(zip(kinds, pattern, strict=True))
    return all(k == "t" for k, p in pairs if p == "t") and not any(k == "x" and p in "nm" for k, p in pairs)


@dataclass
class _Above:
    """The lines above the readings: which are headings (in order), which the row of units, which remain."""

    headings: tuple[Row, ...] = ()
    units_row: Row | None = None
    used: set[int] = field(default_factory=set)


def _headings(rows: Sequence[Row], above: list[int], pattern: str, delimiter: str) -> _Above:
    """Sort the lines above the readings, from the lowest upwards."""
    if not above:
        return _Above()
    fitted = [_fitted(rows[i], pattern, delimiter) for i in above[-3:]]
    if fitted[-1] is None:
        _headless(rows[above[-1]], len(pattern), above[-1])
        return _Above()
    found = _Above()
    if len(fitted) > 1 and is_units_row(fitted[-1]) and fitted[-2] is not None and _all_text(fitted[-2]):
        found.units_row = fitted.pop()
        found.used.add(above[-1])
    lowest, upper = fitted.pop(), fitted.pop() if fitted else None
    at = len(above) - 1 - len(found.used)
    found.used.add(above[at])
    if (
        upper is not None
        and above[at - 1] == above[at] - 1
        and _is_upper(upper)
        and not _stands_apart(upper, lowest)
    ):
        found.used.add(above[at - 1])
        found.headings = (upper,)
    found.headings += (lowest or [],)
    return found


def _is_upper(row: Row) -> bool:
    return len(row) > 2 and _all_text(row) and 2 * sum(bool(cell.strip()) for cell in row) >= len(row)


def _stands_apart(upper: Row, lower: Row | None) -> bool:
    """Tell whether a row such as 'Nurse | W. T.' tells of the file: a word and its value, no column's name or unit.

    The row below must name every column by itself.
    """
    whole = lower is not None and all(lower) and len({cell.casefold() for cell in lower}) == len(lower)
    pair = all(upper[:2]) and not any(upper[2:])
    return whole and pair and not begins_times(upper[0]) and not names_reading(upper[1])


def _headless(row: Row, width: int, index: int) -> None:
    """Accept that no heading stands above, unless the line above has columns that do not fit."""
    if len([cell for cell in row if cell.strip()]) < 2 or width == 2:
        return
    raise NoTableError(
        _(
            "line {line}, just above the readings, has {found} columns but the readings have {width}; "
            "a heading must name every column. Where decimal commas stand in a comma-parted file, "
            "export it with semicolons or with decimal points."
        ).format(line=index + 1, found=len(row), width=width)
    )


def _all_text(row: Row) -> bool:
    return not any(kind_of_cell(cell) in "nt" for cell in row)


def is_units_row(row: Row) -> bool:
    """Tell whether a row holds units only (and empty cells)."""
    words = [cell.strip().strip("()[]") for cell in row]
    known = [w for w in words if w and (unit_of(w) or time_unit_s(w) or _date_picture(w))]
    if len({w for w in known if is_bare(w) and unit_of(w)}) > 1:
        return False  # letters that differ are labels
    return bool(known) and len(known) == sum(map(bool, words)) and any(unit_of(w) for w in known)


def _date_picture(word: str) -> bool:
    return bool(re.fullmatch(r"[yYmMdDhHsSjJaA:/.\- ]{2,}|%|-|V|mV|%RH", word))


def _fitted(row: Row, pattern: str, delimiter: str) -> Row | None:
    """Return a heading row with one cell for each column, or None where it cannot be one for this table."""
    width = len(pattern)
    if delimiter in (ONE_SPACE, TWO_SPACES) and len(row) > width:
        glued = _GLUE.sub("\x00", _BRACKETED.sub(lambda m: m[0].replace(" ", "\x00"), " ".join(row)))
        row = [cell.replace("\x00", " ") for cell in splitter(ONE_SPACE)(glued)]
    extra = len(row) - width
    if extra > 0 and not any(cell.strip() for cell in row[width:]):
        row = row[:width]
    if extra < 0 and set(pattern[extra:]) <= {"m"}:
        row = row + [""] * -extra
    return list(map(str.strip, row)) if len(row) == width and _kinds(row) != pattern else None
