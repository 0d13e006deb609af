"""Which column is what: times, temperatures, pressures, units, and what is left out and why."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import NoReturn

from lungwort.evidence.reading.cells import is_missing, split_cell
from lungwort.evidence.reading.declared import Declared
from lungwort.evidence.reading.draft import (
    Draft,
    Plan,
    ValueColumn,
    cell_unit,
    known_unit_of,
    named,
    quantity_of,
)
from lungwort.evidence.reading.headings import (
    CALCULATED,
    ELSEWHERE,
    LETHALITY,
    RUNNING,
    Heading,
    parse_heading,
    settle_bare,
)
from lungwort.evidence.reading.layout import Layout, Row
from lungwort.evidence.reading.preamble import stated_kind, stated_units
from lungwort.evidence.reading.refusals import NoTableError, quoted, refuse
from lungwort.evidence.reading.stamps import DATE_ONLY, match_stamp
from lungwort.evidence.reading.timecolumns import TimeColumns, find_times
from lungwort.evidence.reading.unitchoice import (
    check_general_unit,
    declared_units,
    find_unit_columns,
    unit_notes,
    value_column,
    with_kinds,
)
from lungwort.evidence.reading.units import KELVIN, Unit, unit_of
from lungwort.language import _

COLDEST_IN_KELVIN = 200.0
_BEGINS_AS_NUMBER = re.compile(r"\s*[+−-]?[.,]?\d")


def plan_columns(layout: Layout, declared: Declared, before: Sequence[str]) -> Plan:
    """Decide what each column is.

    `before` are the texts of the lines outside the table, which may state units. Raises UnreadableLog where a column
    could be a reading but its unit is unknown or contradicts what is declared; UnknownName for names not in the file.
    """
    notes: list[str] = []
    headings = _headings(layout, notes)
    draft = Draft(layout, declared, headings, TimeColumns("clock", ()), notes=notes)
    out = named(draft, declared.leave_out)
    draft.times = find_times(layout, headings, declared, out)
    draft.chosen = named(draft, declared.channels) if declared.channels else None
    candidates = [i for i in range(layout.width) if i not in out and i not in draft.times.indices]
    for index in out:
        draft.leave(index, _("as declared"))
    return _decide(draft, candidates, before)


def _decide(draft: Draft, candidates: list[int], before: Sequence[str]) -> Plan:
    find_unit_columns(draft, candidates)
    declared = declared_units(draft)
    stated = stated_units(before)
    readings = [i for i in candidates if i not in draft.constant and _is_reading(draft, i, declared)]
    readings = _chosen_of(draft, readings, declared)
    values = [value_column(draft, i, declared, stated) for i in readings]
    check_general_unit(draft, values)
    values = with_kinds(draft, values, stated_kind(before))
    if not values:
        raise NoTableError(
            _("no column of temperatures or pressures is found; name its unit, such as --unit T1=C.")
        )
    labels = tuple(draft.label(i) for i in range(draft.layout.width))
    return Plan(
        draft.times,
        tuple(_unique(values)),
        draft.constant,
        tuple(draft.blank),
        labels,
        (*unit_notes(draft), *draft.notes, *_left_notes(draft)),
    )


def _headings(layout: Layout, notes: list[str]) -> list[Heading]:
    """Join the heading rows and the units row into one heading a column."""
    if len(layout.headings) == 2:
        texts = _joined(layout.headings[0], layout.headings[1], notes)
    else:
        texts = layout.headings[0] if layout.headings else [""] * layout.width
    parsed = [_unless_thermocouple(parse_heading(text), layout, i) for i, text in enumerate(texts)]
    headings = settle_bare(parsed)
    return headings if layout.units_row is None else _with_units_row(headings, layout.units_row)


def _joined(upper: Row, lower: Row, notes: list[str]) -> list[str]:
    """Join two heading rows; an upper cell stands also over the empty cells to its right."""
    texts, carried = [], ""
    for above, below in zip(upper, lower, strict=True):
        if not above and below and parse_heading(carried).unit:
            notes.append(
                _("The heading {above} is taken to stand also over {below}.").format(
                    above=quoted(carried), below=quoted(below)
                )
            )
        carried = above or carried
        over = carried if below else above
        unit_last = parse_heading(over).unit is not None and parse_heading(below).unit is None
        texts.append(f"{below} {over}".strip() if unit_last else f"{over} {below}".strip())
    return texts


def _unless_thermocouple(heading: Heading, layout: Layout, index: int) -> Heading:
    """Read a lone K as the letter of a thermocouple where the numbers are too small for kelvin."""
    if not heading.bare or heading.unit != KELVIN:
        return heading
    parts = [split_cell(row[index]) for row in layout.sample]
    small = any(p is not None and float(p[0].replace(",", ".")) < COLDEST_IN_KELVIN for p in parts)
    return heading._replace(name=heading.whole, unit=None, bare=False) if small else heading


def _with_units_row(headings: list[Heading], row: list[str]) -> list[Heading]:
    joined = []
    for heading, cell in zip(headings, row, strict=True):
        word = cell.strip().strip("()[]")
        unit = unit_of(word) if word else None
        other = parse_heading(f"{heading.whole} ({cell.strip('()[]')})") if word else heading
        twice = unit is not None and heading.unit is not None and unit.name != heading.unit.name
        joined.append(other._replace(bare=False, two_units=heading.two_units or twice) if word else heading)
    return joined


def _is_reading(draft: Draft, index: int, declared: dict[int, Unit]) -> bool:
    """Sort a column: True for readings; others are noted as left out, and refused where they may be readings."""
    heading, cells = draft.headings[index], draft.cells(index)
    present = [cell for cell in cells if not is_missing(cell)]
    numeric = bool(present) and all(map(split_cell, present))
    if index in declared:
        return True
    if heading.two_units:
        _refuse_two_units(draft, index)
    if CALCULATED.search(heading.words) or (heading.unit is None and LETHALITY.search(heading.words)):
        draft.leave(index, _("set or calculated, not measured"))
        return False
    return _is_named_reading(draft, index, present, numeric)


def _is_named_reading(draft: Draft, index: int, present: list[str], numeric: bool) -> bool:
    heading = draft.headings[index]
    told = heading.unit is not None or index in draft.units or cell_unit(present) is not None
    if told and (numeric or not present or heading.unit is not None):
        return True
    if heading.foreign or heading.time_s is not None:
        draft.leave(index, _("another quantity"))
    elif not present and not heading.whole:
        draft.blank.append(index)
    elif present and not numeric and not any(map(_BEGINS_AS_NUMBER.match, present)):
        draft.leave(index, _("text, no readings"))
    elif present and all(match_stamp(cell) or DATE_ONLY.fullmatch(cell) for cell in present):
        draft.leave(index, _("another time"))
    elif ELSEWHERE.search(heading.words) and not heading.is_pressure and "temp" not in heading.words:
        draft.leave(index, _("another quantity"))
    elif RUNNING.match(heading.words) and _counts_up(present):
        draft.leave(index, _("a running number"))
    else:
        return _is_unnamed_reading(draft, index, present)
    return False


def _is_unnamed_reading(draft: Draft, index: int, present: list[str]) -> bool:
    heading = draft.headings[index]
    if heading.is_temperature or heading.is_pressure:
        return True
    if not present:
        draft.blank.append(index)
        return False
    if not heading.whole and _counts_up(present):
        draft.leave(index, _("a running number"))
        return False
    if draft.chosen is not None and index not in draft.chosen:
        draft.leave(index, _("not among the channels asked for"))
        return False
    return _refuse_unknown(draft, index)


def _refuse_two_units(draft: Draft, index: int) -> NoReturn:
    refuse(
        _(
            "{column}: its heading leaves the unit in doubt; "
            "say which with --unit {number}=C, or leave it out with --leave-out {number}."
        ).format(column=draft.label(index), number=index + 1)
    )


def _refuse_unknown(draft: Draft, index: int) -> NoReturn:
    name = draft.headings[index].whole or str(index + 1)
    refuse(
        _(
            "{column} holds numbers but neither unit nor name tells of what; "
            'say --unit "{name}=C" (or kPa …) if it is a reading, or --leave-out "{name}".'
        ).format(column=draft.label(index), name=name)
    )


def _counts_up(cells: Sequence[str]) -> bool:
    if len(cells) < 2 or not all(len(cell) < 18 and cell.strip().isdecimal() for cell in cells):
        return False
    return all(int(b) - int(a) == 1 for a, b in pairwise(cells))


def _chosen_of(draft: Draft, readings: list[int], declared: dict[int, Unit]) -> list[int]:
    """Keep the channels asked for; a quantity none of whose channels is named is kept whole."""
    if draft.chosen is None:
        return readings
    for index in draft.chosen - set(readings):
        refuse(
            _("{column} is asked for as a channel but holds no readings.").format(column=draft.label(index))
        )
    wanted = {quantity_of(draft, i, declared) for i in draft.chosen}
    kept = []
    for index in readings:
        unknown = not known_unit_of(draft, index, declared)
        if index in draft.chosen or (quantity_of(draft, index, declared) not in wanted and not unknown):
            kept.append(index)
        else:
            draft.leave(index, _("not among the channels asked for"))
    return kept


def _unique(values: list[ValueColumn]) -> list[ValueColumn]:
    """Make the names of channels differ: the whole heading, then the column's number, tells twins apart."""
    for spell in (lambda v: v.heading.whole, lambda v: f"{v.name} ({v.index + 1})"):
        names = [v.name.casefold() for v in values]
        values = [replace(v, name=spell(v)) if names.count(v.name.casefold()) > 1 else v for v in values]
    return values


def _left_notes(draft: Draft) -> list[str]:
    return [
        _("Left out, {why}: {columns}.").format(why=why, columns=", ".join(columns))
        for why, columns in draft.left.items()
    ]
