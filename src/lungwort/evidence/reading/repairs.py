"""Repairs of the order of time: repeated rows, coarse clocks, clocks put back; each is noted, the rest refused."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from lungwort.evidence.log import FloatArray
from lungwort.evidence.reading.refusals import line_list, refuse
from lungwort.evidence.reading.stamps import IntArray
from lungwort.language import _, ngettext
from lungwort.science.arrays import middle

HOUR_S = 3600.0
GAP_STEPS = 3.0
MOST_GAPS_NOTED = 5
LEAST_BACKWARD_ROWS = 3  # two rows may as well be a night without readings
BoolArray = NDArray[np.bool_]


class Rows(NamedTuple):
    """Readings in the order of the file: `seconds` (n,), `values` (k, n), `lines` (n,)."""

    seconds: FloatArray
    values: FloatArray
    lines: IntArray

    def keep(self, wanted: BoolArray) -> Rows:
        """Return the rows wanted."""
        return Rows(self.seconds[wanted], self.values[:, wanted], self.lines[wanted])


def newest_first(seconds: FloatArray) -> bool:
    """Tell whether times run strictly backward from the first row to the last, over three rows or more."""
    return len(seconds) >= LEAST_BACKWARD_ROWS and bool((np.diff(seconds) < 0).all())


def oldest_first(rows: Rows, notes: list[str]) -> Rows:
    """Turn rows round that a logger wrote with the newest first."""
    if not newest_first(rows.seconds):
        return rows
    notes.append(
        _("The newest reading stands first in the file; the rows are read from the last to the first.")
    )
    return Rows(rows.seconds[::-1], rows.values[:, ::-1], rows.lines[::-1])


def mend_times(rows: Rows, step_s: float, cold: Sequence[bool], local: bool, notes: list[str]) -> Rows:
    """Return rows whose time only goes forward.

    `step_s` is the fineness of the clock; `cold` tells for each value row whether the lowest (temperatures) or the
    mean (pressures) of repeated times is kept; `local` allows a clock put back by an hour. Raises UnreadableLog for
    other backward times.
    """
    if bool((np.diff(rows.seconds) > 0).all()):
        return _note_gaps(rows, notes)
    rows = _without_copies(rows, notes)
    if local:
        rows = _put_forward_again(rows, notes)
    _refuse_backward(rows)
    rows = _spread(rows, step_s, notes)
    rows = _merged(rows, cold, notes)
    return _note_gaps(rows, notes)


def _same_as_before(rows: Rows) -> BoolArray:
    same = np.zeros(len(rows.seconds), bool)
    equal = (rows.values[:, 1:] == rows.values[:, :-1]) | (
        np.isnan(rows.values[:, 1:]) & np.isnan(rows.values[:, :-1])
    )
    same[1:] = (np.diff(rows.seconds) == 0) & equal.all(axis=0)
    return same


def _without_copies(rows: Rows, notes: list[str]) -> Rows:
    """Drop exact copies: rows equal to the one before, and whole stretches written twice.

    On a clock that shows minutes only, equal neighbours may be two readings of one minute; they are copies only
    where all readings of every minute are equal.
    """
    rows = _without_second_writing(rows, notes)
    copies = _same_as_before(rows)
    repeated = np.zeros(len(copies), bool)
    repeated[1:] = np.diff(rows.seconds) == 0
    regular = _regular(rows.seconds) is not None
    if not copies.any() or (regular and not bool((copies == repeated).all())):
        return rows
    notes.append(
        _("{count} exact copies of rows are dropped ({lines}).").format(
            count=int(copies.sum()), lines=line_list(rows.lines[copies].tolist())
        )
    )
    return rows.keep(~copies)


def _without_second_writing(rows: Rows, notes: list[str]) -> Rows:
    """Drop rows behind a backward step that all equal an earlier row of the same time."""
    if not bool((np.diff(rows.seconds) < 0).any()):
        return rows
    late = rows.seconds <= np.concatenate(([-np.inf], np.maximum.accumulate(rows.seconds)[:-1]))
    keys = [row.tobytes() for row in np.column_stack((rows.seconds, rows.values.T))]
    first = {key: row for row, key in reversed(list(enumerate(keys)))}
    copies = np.array([first[key] < row for row, key in enumerate(keys)]) & late
    if not bool(copies[late].all()):
        return rows
    notes.append(
        _("{count} rows written a second time are dropped ({lines}).").format(
            count=int(copies.sum()), lines=line_list(rows.lines[copies].tolist())
        )
    )
    return rows.keep(~copies)


def usual_step(seconds: FloatArray) -> float:
    """Return the (upper) median of the forward steps, 0 where there is none."""
    steps = np.diff(seconds)
    forward = steps[steps > 0]
    return middle(forward) if len(forward) else 0.0


def _put_forward_again(rows: Rows, notes: list[str]) -> Rows:
    """Undo clocks put back by one hour: later times are moved on by an hour."""
    usual = usual_step(rows.seconds)
    steps = np.diff(rows.seconds)
    back = (steps < 0) & (np.abs(steps + HOUR_S - usual) <= usual) & (usual < HOUR_S / 2)
    text = _(
        "The clock is put back by an hour before line {line} (end of summer time); later times are moved on."
    )
    notes += [text.format(line=line) for line in rows.lines[1:][back].tolist()]
    shift = HOUR_S * np.concatenate(([0.0], np.cumsum(back)))
    return rows._replace(seconds=rows.seconds + shift)


def _refuse_backward(rows: Rows) -> None:
    steps = np.diff(rows.seconds)
    if not bool((steps < 0).any()):
        return
    row = int(np.argmax(steps < 0))
    refuse(
        _(
            "line {line}: the time goes back by {seconds} s; sort the file or split it where the clock was set, "
            "or name the --zone if summer time ended."
        ).format(line=int(rows.lines[row + 1]), seconds=f"{-steps[row]:.10g}")
    )


def _groups(seconds: FloatArray) -> tuple[IntArray, IntArray]:
    """Return where runs of equal times start and how long they are."""
    starts = np.flatnonzero(np.concatenate(([True], np.diff(seconds) != 0)))
    return starts, np.diff(np.append(starts, len(seconds)))


def _regular(seconds: FloatArray) -> int | None:
    """Return k where every minute but the first and last holds k readings, k at least 2, and no minute is skipped."""
    if bool((seconds % 60.0 != 0).any()):
        return None
    starts, counts = _groups(seconds)
    inner = counts[1:-1]
    if len(inner) < 1 or inner[0] < 2 or bool((inner != inner[0]).any()):
        return None
    evenly = bool((np.diff(seconds[starts]) == 60.0).all())
    return int(inner[0]) if evenly and max(counts[0], counts[-1]) <= inner[0] else None


def _spread(rows: Rows, step_s: float, notes: list[str]) -> Rows:
    """Spread the k readings of each minute evenly over it, where the clock shows minutes only."""
    per_minute = _regular(rows.seconds)
    if per_minute is None:
        return rows
    starts, counts = _groups(rows.seconds)
    place = np.arange(len(rows.seconds)) - np.repeat(starts, counts)
    place[: counts[0]] += per_minute - counts[0]
    notes.append(
        _(
            "The clock shows minutes only; the {count} readings of each minute are spread evenly over it."
        ).format(count=per_minute)
    )
    return rows._replace(seconds=rows.seconds + place * (60.0 / per_minute))


def _merged(rows: Rows, cold: Sequence[bool], notes: list[str]) -> Rows:
    """Join rows of one time: the lowest temperature, the mean pressure."""
    starts, _counts = _groups(rows.seconds)
    if len(starts) == len(rows.seconds):
        return rows
    values = np.empty((len(rows.values), len(starts)))
    for place, row in enumerate(rows.values):
        values[place] = np.fmin.reduceat(row, starts) if cold[place] else _means(row, starts)
    again = np.setdiff1d(np.arange(len(rows.seconds)), starts)
    text = ngettext(
        "{count} reading has the time of the one before ({lines}); {kept}.",
        "{count} readings have the time of the one before ({lines}); {kept}.",
        len(again),
    )
    kept = _("the lowest temperature and the mean pressure are kept")
    notes.append(text.format(count=len(again), lines=line_list(rows.lines[again].tolist()), kept=kept))
    return Rows(rows.seconds[starts], values, rows.lines[starts])


def _means(row: FloatArray, starts: IntArray) -> FloatArray:
    present = np.isfinite(row)
    count = np.add.reduceat(present.astype(np.float64), starts)
    total = np.add.reduceat(np.where(present, row, 0.0), starts)
    return np.where(count > 0, total / np.maximum(count, 1.0), np.nan)


def _note_gaps(rows: Rows, notes: list[str]) -> Rows:
    steps = np.diff(rows.seconds)
    usual = usual_step(rows.seconds)
    gaps = np.flatnonzero(steps > GAP_STEPS * usual) if usual else np.empty(0, np.int64)
    text = _("No readings for {span} after line {line}.")
    for row in gaps[:MOST_GAPS_NOTED].tolist():
        notes += [text.format(span=_span(float(steps[row])), line=int(rows.lines[row]))]
    if len(gaps) > MOST_GAPS_NOTED:
        notes.append(
            _("{count} more gaps are longer than three usual steps.").format(
                count=len(gaps) - MOST_GAPS_NOTED
            )
        )
    return rows


def _span(seconds: float) -> str:
    if seconds < 120:
        return _("{seconds} s").format(seconds=round(seconds, 1))
    return _("{minutes} min").format(minutes=round(seconds / 60))
