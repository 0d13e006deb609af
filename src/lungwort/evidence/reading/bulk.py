"""Big clean files: the C parser of pandas in blocks, checked against counts of the raw bytes.

Whatever is not plain (quotes, odd lines, unknown cells) is left to the general reader, which gives equal results and
says what is wrong.
"""

from __future__ import annotations

import csv
import hashlib
from collections.abc import Callable, Hashable, Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from lungwort.errors import UnreadableLog
from lungwort.evidence.log import FloatArray
from lungwort.evidence.reading.blocks import (
    Block,
    Gathered,
    OtherMarkError,
    Task,
    check_text_columns,
    column_values,
)
from lungwort.evidence.reading.draft import ValueColumn
from lungwort.evidence.reading.source import Source
from lungwort.evidence.reading.stamps import IntArray, read_written
from lungwort.evidence.reading.timecolumns import TimeColumns

if TYPE_CHECKING:
    from pandas import DataFrame, Series

STAMP_BYTES = (
    48  # wider than any stamp: a cell so long may have been cut; bytes spare making a text of each cell
)
BULK_ROWS = 32768
SCAN_BYTES = 1 << 21
_ENCODINGS = ("utf-8", "utf-8-sig", "cp1252", "latin-1")


class Counts(NamedTuple):
    """What one pass over the raw bytes tells: digest, line ends, separators, quotes, whether the last line is ended."""

    sha256: str
    lines: int
    separators: int
    quotes: int
    ended: bool


class _NotPlain(Exception):  # noqa: N818  (no error: it only says that the general reader must do it)
    pass


def scan(source: Source, delimiter: str) -> Counts:
    """Read the raw bytes once and count."""
    digest, lines, separators, quotes, last = hashlib.sha256(), 0, 0, 0, b""
    with source.path.open("rb") as file:
        while part := file.read(SCAN_BYTES):
            digest.update(part)
            values = np.frombuffer(part, np.uint8)
            lines += int(np.count_nonzero(values == 10))
            separators += int(np.count_nonzero(values == ord(delimiter)))
            quotes += part.count(b'"')
            last = part[-1:]
    return Counts(digest.hexdigest(), lines, separators, quotes, last == b"\n")


def suits(source: Source, task: Task) -> bool:
    """Tell whether a file may be read in bulk."""
    delimiter = task.layout.delimiter
    plain = len(delimiter) == 1 and delimiter != " " and source.encoding in _ENCODINGS
    return not source.whole and plain and task.mark_known


def read_bulk(
    source: Source, task: Task, count: Callable[[int], None]
) -> tuple[tuple[Block, ...], Gathered, str] | None:
    """Return blocks, what was seen and the digest; None where the general reader must do it."""
    seen = Gathered()
    with ThreadPoolExecutor(1) as pool:
        scanned = pool.submit(scan, source, task.layout.delimiter)
        try:
            blocks = tuple(_blocks(source, task, seen, count))
        except (_NotPlain, OtherMarkError, UnreadableLog, ValueError, UnicodeError):
            return None
        counts = scanned.result()
    rows = sum(len(block.lines) for block in blocks)
    return (blocks, seen, counts.sha256) if _complete(source, task, counts, rows) else None


def _complete(source: Source, task: Task, counts: Counts, rows: int) -> bool:
    """Tell whether every line below the headings became a row with every separator in its place."""
    head = source.head_text().split("\n")[: task.layout.first]
    lines = counts.lines + (0 if counts.ended else 1) - task.layout.first
    separators = counts.separators - sum(line.count(task.layout.delimiter) for line in head)
    return counts.quotes == 0 and rows == lines and separators == rows * (task.layout.width - 1)


def _blocks(source: Source, task: Task, seen: Gathered, count: Callable[[int], None]) -> Iterator[Block]:
    from pandas import read_csv

    plan = task.plan
    kinds: dict[Hashable, Any] = dict.fromkeys((*plan.constant, *plan.blank), str)
    if not _is_number(plan.times):
        kinds |= dict.fromkeys(plan.times.indices, f"S{STAMP_BYTES}")
    wanted = sorted({*plan.constant, *plan.blank, *plan.times.indices, *(v.index for v in plan.values)})
    frames = read_csv(source.path, usecols=wanted, dtype=kinds, **_options(source, task))
    line = task.layout.first + 1
    with frames:
        for frame in frames:
            yield _block(frame, np.arange(line, line + len(frame)), task, seen)
            line += len(frame)
            count(line)


def _options(source: Source, task: Task) -> dict[str, Any]:
    """Return how pandas is to take the file: every cell as it stands, nothing skipped, nothing guessed."""
    plain = {"header": None, "na_filter": False, "quoting": csv.QUOTE_NONE, "skipinitialspace": True}
    blocks = {"skiprows": task.layout.first, "chunksize": BULK_ROWS, "low_memory": False}
    return {
        "sep": task.layout.delimiter,
        "decimal": task.mark,
        "encoding": source.encoding,
        **plain,
        **blocks,
    }


def _is_number(times: TimeColumns) -> bool:
    return times.kind in ("number", "epoch")


def _block(frame: DataFrame, lines: IntArray, task: Task, seen: Gathered) -> Block:
    plan = task.plan
    texts = {i: frame[i].tolist() for i in (*plan.constant, *plan.blank)}
    check_text_columns(texts, lines, plan)
    values = np.empty((len(plan.values), len(lines)))
    for place, column in enumerate(plan.values):
        values[place] = _numbers(frame[column.index], column, lines, task, seen)
    if _is_number(plan.times):
        return Block(None, _floats(frame[plan.times.indices[0]]), values, lines)
    raws = [np.array(frame[i].tolist(), dtype="S") for i in plan.times.indices]
    if any(raw.dtype.itemsize >= STAMP_BYTES for raw in raws):
        raise _NotPlain
    stamps = read_written(raws)
    if stamps.rotten:
        raise _NotPlain
    return Block(stamps, None, values, lines)


def _numbers(series: Series, column: ValueColumn, lines: IntArray, task: Task, seen: Gathered) -> FloatArray:
    if series.dtype == object:
        return column_values(series.tolist(), column, lines, task, seen)
    if column.only_in_cells:
        raise _NotPlain
    return _floats(series)


def _floats(series: Series) -> FloatArray:
    if series.dtype.kind not in "iuf":
        raise _NotPlain
    values: FloatArray = series.to_numpy(np.float64)
    if not bool(np.isfinite(values).all()):
        raise _NotPlain
    return values
