"""From blocks to a Log: units converted, impossible values refused, times mended, everything assumed listed."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from lungwort.evidence.log import FloatArray, Log
from lungwort.evidence.reading.blocks import Block, Gathered, Task
from lungwort.evidence.reading.declared import Declared
from lungwort.evidence.reading.draft import ValueColumn
from lungwort.evidence.reading.oddlines import odd_line_notes
from lungwort.evidence.reading.plausible import checked
from lungwort.evidence.reading.refusals import line_list, refuse
from lungwort.evidence.reading.repairs import Rows, mend_times, oldest_first
from lungwort.evidence.reading.seconds import log_from, times_of
from lungwort.evidence.reading.stamps import IntArray
from lungwort.language import _, ngettext


class Reading(NamedTuple):
    """All blocks of one table, as read."""

    task: Task
    blocks: tuple[Block, ...]
    seen: Gathered
    cut: bool = False


def log_of(reading: Reading, declared: Declared, name: str, sha256: str, notes: list[str]) -> Log:
    """Build the Log. `notes` are sentences to start the list of assumptions with."""
    plan, seen = reading.task.plan, reading.seen
    enough(sum(len(block.lines) for block in reading.blocks))
    lines = np.concatenate([block.lines for block in reading.blocks])
    odd = odd_line_notes(reading.task, seen, int(lines.max()), len(lines))
    notes = [*notes, *odd, *plan.notes, *plan.times.notes]
    times = times_of(reading.blocks, plan.times, lines, declared, notes)
    columns, values = _converted(reading, lines, notes)
    cold = [column.unit.quantity == "temperature" for column in columns]
    rows = _without_cut(Rows(times.seconds, values, lines), reading.cut, notes)
    if times.clock:  # time that runs down to nothing is no log written backward
        rows = oldest_first(rows, notes)
    rows = mend_times(rows, times.step_s, cold, times.local, notes)
    enough(len(rows.seconds))
    return log_from(rows, times, columns, name, sha256, notes)


def _converted(
    reading: Reading, lines: IntArray, notes: list[str]
) -> tuple[tuple[ValueColumn, ...], FloatArray]:
    """Return values in °C and kPa; columns without one reading are left out and noted, unless asked for."""
    columns = reading.task.plan.values
    values = np.concatenate([block.values for block in reading.blocks], axis=1)
    kept = []
    for place, column in enumerate(columns):
        marks = reading.seen.missing.setdefault(column.index, {})
        values[place] = checked(values[place], column, lines, marks)
        kept.append(column.asked or not bool(np.isnan(values[place]).all()))
        notes += _missing_note(values[place], column, marks) if kept[-1] else []
    _note_empty([c for c, k in zip(columns, kept, strict=True) if not k], len(columns), notes)
    if all(kept):
        return columns, values
    return tuple(c for c, k in zip(columns, kept, strict=True) if k), values[np.array(kept)]


def _note_empty(empty: list[ValueColumn], count: int, notes: list[str]) -> None:
    labels = ", ".join(column.label for column in empty)
    if len(empty) == count:
        refuse(_("not one reading is present in {columns}; was a sensor plugged in?").format(columns=labels))
    if empty:
        notes.append(_("Left out, not one reading present (no sensor?): {columns}.").format(columns=labels))


def _without_cut(rows: Rows, cut: bool, notes: list[str]) -> Rows:
    """Drop the last row where its last number is cut short."""
    if not cut:
        return rows
    notes.append(
        _("Left out, the last number is cut short: {line}.").format(line=line_list(rows.lines[-1:].tolist()))
    )
    return rows.keep(np.arange(len(rows.lines)) < len(rows.lines) - 1)


def enough(count: int) -> None:
    """Refuse fewer than two readings."""
    if count < 2:
        refuse(
            ngettext(
                "only {count} reading is found; a log needs two or more.",
                "only {count} readings are found; a log needs two or more.",
                count,
            ).format(count=count)
        )


def _missing_note(values: FloatArray, column: ValueColumn, marks: dict[str, int]) -> list[str]:
    count = sum(marks.values())
    if not count:
        return []
    words = ", ".join(word or _("empty") for word in sorted(marks))
    return [
        _("{column}: {count} of {all} readings are missing ({marks}).").format(
            column=column.label, count=count, all=len(values), marks=words
        )
    ]
