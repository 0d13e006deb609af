"""Which columns tell the time, and how: date and time, time of day, elapsed, or seconds of an epoch."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Literal, NamedTuple

from lungwort.evidence.reading.cells import is_missing, split_cell
from lungwort.evidence.reading.declared import Declared
from lungwort.evidence.reading.headings import RUNNING, TIME_NAME, Heading
from lungwort.evidence.reading.layout import Layout
from lungwort.evidence.reading.near_times import time_remedy
from lungwort.evidence.reading.refusals import NoTableError, column_label, quoted, refuse
from lungwort.evidence.reading.stamps import CLOCK_ONLY, COMPACT_STAMP, DATE_ONLY, STAMP
from lungwort.evidence.reading.units import time_unit_s
from lungwort.language import _

TimeKind = Literal["stamp", "clock", "elapsed", "number", "epoch"]
EPOCH_S = (1e9, 4e9)
EPOCH_MS = (1e12, 4e12)
_HALF_DAY = re.compile(r"[AaPp]\.?[Mm]\.?")
_ELAPSED = re.compile(
    r"elapsed|duration|\brel|since|run[\s-]?time|cycle[\s-]?time|\bdur|écoul|transcur|decorr"
)
_MIN_SEC = re.compile(r"mm?:ss?$|min:s", re.IGNORECASE)
_HOUR_MIN = re.compile(r"hh?:mm?|uhr|time of day|clock|local|hora|heure|saa", re.IGNORECASE)


class TimeColumns(NamedTuple):
    """The columns of the time, in the order they are joined; `unit_s` the seconds in one unit of a number.

    For 'elapsed' written with two fields, `unit_s` is that of the first field: 60 for mm:ss, 3600 for hh:mm.
    """

    kind: TimeKind
    indices: tuple[int, ...]
    unit_s: float = 1.0
    label: str = ""
    notes: tuple[str, ...] = ()


def find_times(layout: Layout, headings: Sequence[Heading], declared: Declared, out: set[int]) -> TimeColumns:
    """Find the time columns.

    Raises UnreadableLog where there are none, or where a number's unit or two fields such as 00:10 leave doubt.
    """
    usable = [i for i in range(layout.width) if i not in out]
    cells = {i: [c for row in layout.sample if not is_missing(c := row[i])] for i in usable}
    whole = _first(usable, cells, _is_full_stamp)
    if whole is not None:
        return _joined(layout, headings, cells, [whole])
    date, clock = _first(usable, cells, _is_date), _clock_column(usable, headings, cells)
    if date is None:
        date = _compact_date(usable, headings, cells)
    if clock is not None:
        return _joined(layout, headings, cells, [clock] if date is None else [date, clock], declared)
    if date is not None:
        _refuse_near_time([i for i in usable if i != date], headings, cells)
        raise NoTableError(_("only dates but no times of day are found; a log needs both."))
    return _number_column(layout, headings, cells, declared)


def _refuse_near_time(
    indices: Sequence[int], headings: Sequence[Heading], cells: dict[int, list[str]]
) -> None:
    """Name the cell and the remedy where a column called time holds cells such as 8.05."""
    for index in indices:
        heading = headings[index]
        named = TIME_NAME.search(heading.words) and heading.unit is None and heading.words != "t"
        if named and cells[index] and heading.time_s is None:
            cell = cells[index][0]
            text = _("{column}: {cell} is no time of day; {remedy}.")
            remedy = time_remedy(cell) or _("write hours and minutes with a colon, such as 14:05")
            refuse(
                text.format(column=column_label(index + 1, heading.whole), cell=quoted(cell), remedy=remedy)
            )


def _all(cells: Sequence[str], pattern: re.Pattern[str]) -> bool:
    return bool(cells) and all(map(pattern.fullmatch, cells))


def _is_full_stamp(cells: Sequence[str]) -> bool:
    if _all(cells, COMPACT_STAMP):
        return True
    matches = [STAMP.fullmatch(cell) for cell in cells]
    dated = [m for m in matches if m and m["date"]]
    return 2 * len(dated) > len(cells) and not _all(cells, DATE_ONLY)


def _is_date(cells: Sequence[str]) -> bool:
    return _all(cells, DATE_ONLY) and not all(cell.strip().isdecimal() for cell in cells)


def _compact_date(
    usable: Sequence[int], headings: Sequence[Heading], cells: dict[int, list[str]]
) -> int | None:
    named = [i for i in usable if re.match(r"date|datum|fecha|data|tarehe|day", headings[i].words)]
    return _first(named, cells, lambda c: _all(c, DATE_ONLY))


def _clock_column(
    usable: Sequence[int], headings: Sequence[Heading], cells: dict[int, list[str]]
) -> int | None:
    clocks = [
        i for i in usable if sum(map(bool, map(CLOCK_ONLY.fullmatch, cells[i]))) * 2 > max(len(cells[i]), 1)
    ]
    plain = [i for i in clocks if not _ELAPSED.search(headings[i].whole.casefold())]
    return next(iter(plain or clocks), None)


def _first(indices: Sequence[int], cells: dict[int, list[str]], test: object) -> int | None:
    return next((i for i in indices if callable(test) and test(cells[i])), None)


def _joined(
    layout: Layout,
    headings: Sequence[Heading],
    cells: dict[int, list[str]],
    indices: list[int],
    declared: Declared | None = None,
) -> TimeColumns:
    """Join date, time and a column of AM/PM; a time alone is a time of day or elapsed."""
    half = _first([i for i in cells if i not in indices], cells, lambda c: _all(c, _HALF_DAY))
    label = column_label(indices[-1] + 1, headings[indices[-1]].whole)
    dated = len(indices) > 1 or declared is None
    indices = indices if half is None else [*indices, half]
    if dated:
        return TimeColumns("stamp", tuple(indices), label=label)
    return _undated(headings[indices[0]], cells[indices[0]], tuple(indices), label, declared or Declared())


def _undated(
    heading: Heading, cells: list[str], indices: tuple[int, ...], label: str, declared: Declared
) -> TimeColumns:
    two_fields = not all(m["s"] for c in cells if (m := CLOCK_ONLY.fullmatch(c)))
    longest = max(int(m["h"]) for c in cells if (m := CLOCK_ONLY.fullmatch(c)))
    since = bool(_ELAPSED.search(heading.whole.casefold()))
    if not two_fields or len(indices) > 1:
        kind: TimeKind = "elapsed" if since or longest > 23 else "clock"
        return TimeColumns(kind, indices, 3600.0, label)
    unit_s = _first_field(heading, cells, since or longest > 23, declared)
    if unit_s is None:
        return _refuse_two_fields(label, cells[0])
    note = _("Times such as {time} are read as {fields}.").format(
        time=cells[0].strip(), fields=_("minutes and seconds") if unit_s == 60.0 else _("hours and minutes")
    )
    return TimeColumns(
        "elapsed" if since or longest > 23 or unit_s == 60.0 else "clock", indices, unit_s, label, (note,)
    )


def _first_field(heading: Heading, cells: list[str], elapsed: bool, declared: Declared) -> float | None:
    """Return the seconds in the first of two fields, or None where it may be hours as well as minutes."""
    if declared.time_unit in ("min", "h"):
        return 60.0 if declared.time_unit == "min" else 3600.0
    if _MIN_SEC.search(heading.whole.strip(" )]")):
        return 60.0
    if _HOUR_MIN.search(heading.whole):
        return 3600.0
    first = re.match(r"\s*(\d+)", cells[0])
    return None if elapsed or first is None or int(first[1]) == 0 else 3600.0


def _refuse_two_fields(label: str, cell: str) -> TimeColumns:
    refuse(
        _(
            "{column}: times such as {time} may be hours and minutes or minutes and seconds; "
            "say --time-unit h (hh:mm) or --time-unit min (mm:ss)."
        ).format(column=label, time=cell.strip())
    )


def _number_column(
    layout: Layout, headings: Sequence[Heading], cells: dict[int, list[str]], declared: Declared
) -> TimeColumns:
    numeric = [i for i in cells if cells[i] and all(map(_plain_number, cells[i]))]
    epoch = next((i for i in numeric if _epoch_unit(cells[i])), None)
    if epoch is not None:
        label = column_label(epoch + 1, headings[epoch].whole)
        return TimeColumns("epoch", (epoch,), _epoch_unit(cells[epoch]) or 1.0, label)
    for index in numeric:
        heading = headings[index]
        unit_s = heading.time_s or _unit_in_name(heading)
        named = bool(TIME_NAME.search(heading.words)) and not RUNNING.match(heading.words)
        named = named or (not heading.whole and declared.time_unit is not None)
        if (unit_s and named) or (
            named and heading.unit is None and not heading.foreign and index == numeric[0]
        ):
            return _number_time(index, heading, unit_s, cells[index], declared)
    raise NoTableError(
        _("no column of times is found; a log needs a date and time, a time of day or elapsed time.")
    )


def _plain_number(cell: str) -> bool:
    parts = split_cell(cell)
    return parts is not None and parts[1] is None


def _unit_in_name(heading: Heading) -> float | None:
    return time_unit_s(heading.words) or next(
        (time_unit_s(w) for w in heading.words.split()[1:] if time_unit_s(w)), None
    )


def _number_time(
    index: int, heading: Heading, unit_s: float | None, cells: Sequence[str], declared: Declared
) -> TimeColumns:
    label = column_label(index + 1, heading.whole)
    asked = time_unit_s(declared.time_unit) if declared.time_unit else None
    if unit_s is None and asked is None:
        _refuse_no_time_unit(label, cells)
    if unit_s and asked and unit_s != asked:
        refuse(
            _("{column} has its unit in the heading, but --time-unit {unit} was declared.").format(
                column=label, unit=declared.time_unit
            )
        )
    return TimeColumns("number", (index,), unit_s or asked or 1.0, label)


def _refuse_no_time_unit(label: str, cells: Sequence[str]) -> None:
    remedy = next((remedy for cell in cells if set(".,") & set(cell) and (remedy := time_remedy(cell))), None)
    text = _("{column} holds times as numbers without a unit; say --time-unit s, min or h.")
    clock = _("Where {cell} is a time of day, {remedy}.") if remedy else ""
    refuse(f"{text} {clock}".strip().format(column=label, cell=quoted(cells[0]), remedy=remedy))


def _epoch_unit(cells: Sequence[str]) -> float | None:
    """Return 1 for seconds of the epoch, 0.001 for milliseconds, None for other numbers."""
    values = [float(str((split_cell(c) or ("0", None))[0]).replace(",", ".")) for c in cells]
    for unit_s, (low, high) in ((1.0, EPOCH_S), (0.001, EPOCH_MS)):
        if all(low <= v < high for v in values):
            return unit_s
    return None
