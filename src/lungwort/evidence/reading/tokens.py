"""Cutting a file into blocks of records with their line numbers."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from itertools import islice
from typing import NamedTuple, TextIO

import numpy as np

from lungwort.evidence.reading.layout import Row, splitter
from lungwort.evidence.reading.refusals import refuse
from lungwort.evidence.reading.stamps import IntArray
from lungwort.language import _

BLOCK_ROWS = 16_384


class Records(NamedTuple):
    """A block of records of any width, with the line each begins on."""

    rows: list[Row]
    lines: IntArray


def records(stream: TextIO, delimiter: str, first: int) -> Iterator[Records]:
    """Yield blocks of records from the record numbered `first` (from 0)."""
    if not delimiter.strip() and delimiter != "\t":
        yield from _spaced(stream, delimiter, first)
        return
    reader = csv.reader(stream, delimiter=delimiter, skipinitialspace=True)
    try:
        for _skipped in islice(reader, first):
            pass
        while rows := _block(reader):
            yield rows
    except csv.Error as error:
        refuse(
            _("line {line} cannot be split into columns ({reason}).").format(
                line=reader.line_num, reason=error
            )
        )
    except UnicodeDecodeError as error:
        refuse(
            _("near line {line} the file is not text ({reason}).").format(
                line=reader.line_num, reason=error.reason
            )
        )


def _block(reader: csv._reader) -> Records | None:  # type: ignore[name-defined]
    before = reader.line_num
    rows = list(islice(reader, BLOCK_ROWS))
    if not rows:
        return None
    if reader.line_num - before == len(rows):
        return Records(rows, np.arange(before + 1, before + len(rows) + 1))
    spans = [1 + sum(cell.count("\n") for cell in row) for row in rows]
    return Records(rows, before + 1 + np.concatenate(([0], np.cumsum(spans)[:-1])))


def _spaced(stream: TextIO, delimiter: str, first: int) -> Iterator[Records]:
    split = splitter(delimiter)
    for _skipped in islice(stream, first):
        pass
    line = first + 1
    while rows := [split(text.rstrip("\n")) for text in islice(stream, BLOCK_ROWS)]:
        yield Records(rows, np.arange(line, line + len(rows)))
        line += len(rows)


def sheet_records(rows: Sequence[Row], lines: Sequence[int], first: int) -> Iterator[Records]:
    """Yield blocks of the rows of a spreadsheet."""
    for start in range(first, len(rows), BLOCK_ROWS):
        part = slice(start, start + BLOCK_ROWS)
        yield Records(list(rows[part]), np.asarray(lines[part], np.int64))
