"""Spreadsheets (XLSX): the first sheet that holds a table, its cells written as text and read like any other file."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from lungwort.errors import UnreadableLog
from lungwort.evidence.log import Log
from lungwort.evidence.reading.assemble import log_of
from lungwort.evidence.reading.blocks import Task
from lungwort.evidence.reading.cells import split_cell
from lungwort.evidence.reading.declared import Declared
from lungwort.evidence.reading.layout import Layout, Row, table_in
from lungwort.evidence.reading.near_times import clearer
from lungwort.evidence.reading.refusals import NoTableError, line_list, quoted, refuse
from lungwort.evidence.reading.source import Source, digest
from lungwort.evidence.reading.table import Progress, read_table, task_of
from lungwort.evidence.reading.tokens import sheet_records
from lungwort.language import _

HEAD_ROWS = 600
# One or two decimals: '83,0' is no number in thousands, '1,013' may be one.
_COMMA = re.compile(r"[+−-]?\d+,\d{1,2}(?:\D.*)?")


class Sheet(NamedTuple):
    """A sheet's cells as text; the lines in which a text with a decimal comma stands among numbers.

    `fractions` where cells that are numbers have decimals: then such commas are written as points.
    """

    texts: list[Row]
    commas: tuple[int, ...]
    fractions: bool


def read_workbook(source: Source, declared: Declared, progress: Progress | None) -> Log:
    """Read the first sheet that holds a table; the names of the other sheets are noted."""
    sheets = _sheets(source)
    for name, sheet in sheets.items():
        layout = _layout(sheet.texts)
        if layout is not None:
            others = [other for other in sheets if other != name]
            notes = [
                _("Read from the sheet {name}; left out: {others}.").format(
                    name=quoted(name), others=", ".join(others)
                )
            ]
            notes = [*(notes if others else []), *_comma_notes(sheet, layout.first)]
            return _read_sheet(source, sheet, layout, declared, progress, notes)
    error = UnreadableLog(_("no sheet holds a table of readings with times and numbers."))
    raise clearer(error, [row for sheet in sheets.values() for row in sheet.texts[:HEAD_ROWS]])


def _comma_notes(sheet: Sheet, first: int) -> list[str]:
    below = [line for line in sheet.commas if line > first]
    text = _("Written as text with a decimal comma, read as numbers like the other cells: {lines}.")
    return [text.format(lines=line_list(below))] if below else []


def _read_sheet(
    source: Source,
    sheet: Sheet,
    layout: Layout,
    declared: Declared,
    progress: Progress | None,
    notes: list[str],
) -> Log:
    rows = sheet.texts
    lines = range(1, len(rows) + 1)
    outside = [text for _number, text in layout.before] + [" ".join(row) for row in rows[-10:]]
    task = _task(rows, layout, declared, outside)
    _refuse_doubtful_commas(sheet, task)
    reading = read_table(
        task,
        lambda: sheet_records(rows, lines, layout.first),
        lambda count: progress(min(count / len(rows), 1.0)) if progress else None,
    )
    return log_of(reading, declared, source.path.name, digest(source), notes)


def _task(rows: list[Row], layout: Layout, declared: Declared, outside: list[str]) -> Task:
    try:
        return task_of(layout, declared, outside)
    except NoTableError as error:
        raise clearer(error, rows[:HEAD_ROWS]) from error


def _refuse_doubtful_commas(sheet: Sheet, task: Task) -> None:
    """Refuse a text such as '1,013' among cells that are numbers: its comma may part decimals or thousands."""
    for line, row in enumerate(
        sheet.texts[task.layout.first :] if sheet.fractions else [], task.layout.first + 1
    ):
        for column in task.plan.values:
            cell = row[column.index]
            if "," in cell and split_cell(cell):
                refuse(
                    _(
                        "line {line}, {column}: {cell} is a text among numbers, and its comma may part decimals "
                        "or thousands; type the number anew in the spreadsheet."
                    ).format(line=line, column=column.label, cell=quoted(cell))
                )


def _layout(rows: Sequence[Row]) -> Layout | None:
    try:
        return table_in(rows[:HEAD_ROWS], "\t")
    except UnreadableLog:
        return None


def _sheets(source: Source) -> dict[str, Sheet]:
    """Return the texts of all sheets, read with openpyxl."""
    from openpyxl import load_workbook

    try:
        data = io.BytesIO(source.head) if source.whole else source.path
        book = load_workbook(data, read_only=True, data_only=True)
        return {sheet.title: _texts(list(sheet.iter_rows(values_only=True))) for sheet in book.worksheets}
    except Exception as error:  # a damaged workbook fails in many ways inside the library
        raise UnreadableLog(
            _("the spreadsheet cannot be opened ({reason}); save it again as CSV or XLSX.").format(
                reason=type(error).__name__
            )
        ) from error


def _texts(rows: Sequence[Sequence[object]]) -> Sheet:
    """Write cells as text; columns whose dates are all midnight are written as dates only.

    Numbers carry no mark of their own here: where there are any, texts such as '83,0' are written with a point too.
    """
    width = max(map(len, rows), default=0)
    padded = [list(row) + [None] * (width - len(row)) for row in rows]
    midnight = [_all_midnight([row[i] for row in padded]) for i in range(width)]
    texts = [[_text(cell, m) for cell, m in zip(row, midnight, strict=True)] for row in padded]
    used = max((i + 1 for row in texts for i, cell in enumerate(row) if cell), default=0)
    texts = [row[:used] for row in texts]
    fractions = any(isinstance(cell, float) and not cell.is_integer() for row in padded for cell in row)
    numeric = [fractions or any(isinstance(row[i], int | float) for row in padded) for i in range(used)]
    lines = tuple(line for line, row in enumerate(texts, 1) if _has_comma(row, numeric, fractions))
    return Sheet(texts, lines, fractions)


def _has_comma(row: Row, numeric: Sequence[bool], fractions: bool) -> bool:
    """Tell whether a decimal comma, never one that may part thousands, stands among numbers.

    It is turned into a point where the numbers have decimals.
    """
    found = [
        i for i, c in enumerate(row) if numeric[i] and "," in c and _COMMA.fullmatch(c) and split_cell(c)
    ]
    for i in found if fractions else ():
        row[i] = row[i].replace(",", ".")
    return bool(found)


def _all_midnight(cells: Sequence[object]) -> bool:
    moments = [cell for cell in cells if isinstance(cell, datetime)]
    return len(moments) > 1 and all(m.time() == time(0) for m in moments)


def _text(cell: object, date_only: bool) -> str:
    if cell is None:
        return ""
    if isinstance(cell, datetime):
        return cell.date().isoformat() if date_only else _nearest_ms(cell).isoformat(sep=" ")
    if isinstance(cell, timedelta):
        return _elapsed(cell)
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < 1e15:
        return str(int(cell))
    return cell.isoformat() if isinstance(cell, date | time) else str(cell).strip()


def _nearest_ms(moment: datetime) -> datetime:
    later = moment + timedelta(microseconds=500)
    return later.replace(microsecond=later.microsecond // 1000 * 1000)


def _elapsed(span: timedelta) -> str:
    seconds = round(span.total_seconds(), 3)
    whole = int(seconds)
    return f"{whole // 3600:02d}:{whole // 60 % 60:02d}:{seconds - whole // 60 * 60:06.3f}"
