"""Blocks of records turned into arrays at once, so that strings never pile up; odd lines are set aside."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from lungwort.evidence.log import FloatArray
from lungwort.evidence.reading.cells import Mark, is_missing, mark_in, numbers, split_cell
from lungwort.evidence.reading.draft import Plan, ValueColumn
from lungwort.evidence.reading.layout import Layout, Row
from lungwort.evidence.reading.near_times import time_remedy
from lungwort.evidence.reading.refusals import quoted, refuse
from lungwort.evidence.reading.stamps import IntArray, Stamps, read_stamps
from lungwort.evidence.reading.tokens import Records
from lungwort.evidence.reading.units import Unit
from lungwort.language import _


class OtherMarkError(Exception):
    """The file's decimal mark is not the one tried; the reading starts again with the other."""


class Block(NamedTuple):
    """Rows as arrays: stamps or a number as time, values (k, n) as written."""

    stamps: Stamps | None
    number: FloatArray | None
    values: FloatArray
    lines: IntArray


@dataclass
class Gathered:
    """What has been seen so far: lines set aside and missing marks by column, decimal mark met."""

    odd: list[tuple[int, Row]] = field(default_factory=list)
    headings_again: list[int] = field(default_factory=list)
    missing: dict[int, dict[str, int]] = field(default_factory=dict)


class Task(NamedTuple):
    """All that is needed to read blocks of one file."""

    layout: Layout
    plan: Plan
    mark: Mark
    mark_known: bool


def read_block(records: Records, task: Task, seen: Gathered) -> Block | None:
    """Turn one block of records into arrays; None where no row is a reading."""
    rows, lines = _of_width(records, task, seen)
    if not rows:
        return None
    columns = list(zip(*rows, strict=True))
    if task.plan.times.kind in ("number", "epoch"):
        return _numbered(columns, rows, lines, task, seen)
    stamps = read_stamps(_time_cells(columns, task))
    if stamps.rotten:
        rows, lines = _without_rotten(rows, lines, stamps.rotten, task, seen)
        if not rows:
            return None
        columns = list(zip(*rows, strict=True))
        stamps = read_stamps(_time_cells(columns, task))
    return Block(stamps, None, _values(columns, lines, task, seen), lines)


def _of_width(records: Records, task: Task, seen: Gathered) -> tuple[list[Row], IntArray]:
    """Keep rows of the table's width; trim empty cells at the end, drop empty rows, set others aside."""
    width = task.layout.width
    if set(map(len, records.rows)) == {width}:
        return records.rows, records.lines
    kept, lines = [], []
    for row, line in zip(records.rows, records.lines.tolist(), strict=True):
        if len(row) > width and not any(cell.strip() for cell in row[width:]):
            row = row[:width]
        if len(row) == width:
            kept.append(row)
            lines.append(line)
        elif any(cell.strip() for cell in row):
            seen.odd.append((line, row))
    return kept, np.array(lines, np.int64)


def _time_cells(columns: Sequence[Sequence[str]], task: Task) -> Sequence[str]:
    indices = task.plan.times.indices
    if len(indices) == 1:
        return columns[indices[0]]
    return list(map(" ".join, zip(*(columns[i] for i in indices), strict=True)))


def _without_rotten(
    rows: list[Row], lines: IntArray, rotten: Iterable[int], task: Task, seen: Gathered
) -> tuple[list[Row], IntArray]:
    out = set(rotten)
    for index in sorted(out):
        _set_aside(rows[index], int(lines[index]), task, seen)
    keep = [i for i in range(len(rows)) if i not in out]
    return [rows[i] for i in keep], lines[keep]


def _set_aside(row: Row, line: int, task: Task, seen: Gathered) -> None:
    """Set a row without a time aside; refuse it where its time has digits and it holds readings."""
    if not any(cell.strip() for cell in row):
        return
    if [c.strip() for c in row] in [
        list(map(str.strip, h)) for h in (*task.layout.headings, task.layout.units_row or [])
    ]:
        seen.headings_again.append(line)
        return
    written = " ".join(row[i].strip() for i in task.plan.times.indices)
    readings = any(split_cell(row[v.index]) for v in task.plan.values)
    if any(c.isdigit() for c in written) and readings:
        text = _("line {line}, {column}: {cell} is no time written like the others; {remedy}.")
        remedy = time_remedy(written) or _("mend or remove the line")
        refuse(text.format(line=line, column=task.plan.times.label, cell=quoted(written), remedy=remedy))
    seen.odd.append((line, row))


def _numbered(
    columns: Sequence[Sequence[str]], rows: list[Row], lines: IntArray, task: Task, seen: Gathered
) -> Block | None:
    index = task.plan.times.indices[0]
    number = numbers(columns[index], task.mark)
    rotten = np.flatnonzero(~np.isfinite(number.values))
    if number.units:
        refuse(
            _("{column} has units in some of its cells; write the unit in the heading.").format(
                column=task.plan.times.label
            )
        )
    if number.bad >= 0 or len(rotten):
        _check_mark(columns[index], task)
        rows, lines = _without_rotten(rows, lines, map(int, rotten), task, seen)
        if not rows:
            return None
        columns = list(zip(*rows, strict=True))
        number = numbers(columns[index], task.mark)
    return Block(None, number.values, _values(columns, lines, task, seen), lines)


def _check_mark(cells: Sequence[str], task: Task) -> None:
    if not task.mark_known and any(mark_in(cell) not in ("", task.mark) for cell in cells):
        raise OtherMarkError


def _values(columns: Sequence[Sequence[str]], lines: IntArray, task: Task, seen: Gathered) -> FloatArray:
    check_text_columns(columns, lines, task.plan)
    values = np.empty((len(task.plan.values), len(lines)))
    for place, column in enumerate(task.plan.values):
        values[place] = column_values(columns[column.index], column, lines, task, seen)
    return values


def check_text_columns(
    columns: Sequence[Sequence[str]] | Mapping[int, Sequence[str]], lines: IntArray, plan: Plan
) -> None:
    """Refuse a unit that changes and a value in a column that was empty at first."""
    for index, text in plan.constant.items():
        _check_constant(columns[index], text, lines, plan.labels[index])
    for index in plan.blank:
        _check_blank(columns[index], lines, plan.labels[index])


def column_values(
    cells: Sequence[str], column: ValueColumn, lines: IntArray, task: Task, seen: Gathered
) -> FloatArray:
    """Return one column as numbers as written; refuse a cell that is none, or in another unit."""
    found = numbers(cells, task.mark)
    if found.bad >= 0:
        _check_mark(cells, task)
        _refuse_cell(cells[found.bad], int(lines[found.bad]), column, task)
    if found.units or (column.only_in_cells and found.bare):
        _check_cell_units(cells, column, lines)
    for word, count in found.missing.items():
        marks = seen.missing.setdefault(column.index, {})
        marks[word] = marks.get(word, 0) + count
    return found.values


def _refuse_cell(cell: str, line: int, column: ValueColumn, task: Task) -> None:
    if mark_in(cell) not in ("", task.mark):
        refuse(
            _(
                "line {line}, {column}: {cell} has another decimal mark than the rest of the file; "
                "a file must keep to one mark and no marks for thousands."
            ).format(line=line, column=column.label, cell=quoted(cell))
        )
    refuse(
        _(
            "line {line}, {column}: {cell} is neither a number nor a mark for a missing reading; "
            "mend the cell or leave it empty."
        ).format(line=line, column=column.label, cell=quoted(cell))
    )


def _check_cell_units(cells: Sequence[str], column: ValueColumn, lines: IntArray) -> None:
    """Refuse units in cells that differ from the column's, or that only some cells have when nothing else tells."""
    for row, cell in enumerate(cells):
        parts = split_cell(cell)
        if parts is None or _same_unit(parts[1], column):
            continue
        refuse(
            _(
                "line {line}, {column}: {cell} is not in {unit} like the column; write one unit throughout."
            ).format(line=int(lines[row]), column=column.label, cell=quoted(cell), unit=column.unit.name)
        )


def _same_unit(unit: Unit | None, column: ValueColumn) -> bool:
    if unit is None:
        return not column.only_in_cells
    return unit.name == column.unit.name and unit.kind in (None, column.kind)


def _check_constant(cells: Sequence[str], text: str, lines: IntArray, label: str) -> None:
    for cell in set(cells):
        if cell.strip() != text and cell.strip():
            refuse(
                _(
                    "line {line}, {column}: the unit changes from {text} to {cell}; split the file where it changes."
                ).format(
                    line=int(lines[cells.index(cell)]), column=label, text=quoted(text), cell=quoted(cell)
                )
            )


def _check_blank(cells: Sequence[str], lines: IntArray, label: str) -> None:
    for cell in set(cells):
        if not is_missing(cell):
            refuse(
                _(
                    "line {line}, {column}: {cell} stands in a column that is empty at first; "
                    "say its unit or leave it out."
                ).format(line=int(lines[cells.index(cell)]), column=label, cell=quoted(cell))
            )
