"""Doubts about marks in numbers, settled before reading: decimals or thousands, columns or decimals, a number cut."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lungwort.evidence.reading.cells import Mark, mark_in, split_cell
from lungwort.evidence.reading.draft import Plan
from lungwort.evidence.reading.layout import Layout, split_lines
from lungwort.evidence.reading.refusals import quoted, refuse
from lungwort.language import _

_LIKE_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}[.,]\d{3}")
# Units of pressure in which a reading of steam has four digits or more, so that a mark may be one for thousands.
_FINE_UNITS = ("mbar", "hPa", "Pa")


def decimal_mark(layout: Layout, plan: Plan) -> Mark | None:
    """Return the decimal mark of the first rows, None where they show none.

    Raises UnreadableLog where the only numbers with a mark are pressures such as 1,013 mbar.
    """
    marked = [
        (mark, row[v.index].strip(), v.unit.name)
        for row in layout.sample
        for v in plan.values
        if (mark := mark_in(row[v.index]))
    ]
    if marked and all(
        unit in _FINE_UNITS and _LIKE_THOUSANDS.fullmatch(cell) for _mark, cell, unit in marked
    ):
        refuse(
            _(
                "{cell} may be a decimal mark or one for thousands, and no other number of the file tells; "
                "export without marks for thousands and with one decimal more or less."
            ).format(cell=quoted(marked[0][1]))
        )
    return None if not marked else "," if marked[0][0] == "," else "."


def check_columns_of_commas(layout: Layout) -> None:
    """Refuse whole numbers parted by commas without a heading, which may be halves of decimal numbers."""
    if layout.headings or layout.delimiter != ",":
        return
    numeric = [i for i in range(layout.width) if layout.pattern[i] == "n"]
    if len(numeric) > 1 and not any("." in row[i] or "," in row[i] for row in layout.sample for i in numeric):
        refuse(
            _(
                "without a heading nothing tells whether commas part columns or decimals; "
                "write a heading that names every column, or export with semicolons."
            )
        )


def last_number_is_cut(layout: Layout, tail: Sequence[str]) -> bool:
    """Tell whether the file ends without a line end in a number with fewer decimals than its column."""
    if not tail or not tail[-1].strip():
        return False
    row = (split_lines(tail[-1:], layout.delimiter) or [[]])[-1]
    if len(row) != layout.width or layout.pattern[-1] != "n":
        return False
    usual = {_decimals(other[-1]) for other in layout.sample if other != row}
    return len(usual) == 1 and (_decimals(row[-1]) or 0) < (usual.pop() or 0)


def _decimals(cell: str) -> int | None:
    parts = split_cell(cell)
    if parts is None:
        return None
    return len(re.split("[.,]", parts[0])[1]) if mark_in(cell) else 0


def check_one_sensor_a_column(layout: Layout, plan: Plan) -> None:
    """Refuse files with one reading a line for several sensors, in which times repeat while a name takes turns."""
    groups: dict[tuple[str, ...], list[list[str]]] = {}
    for row in layout.sample:
        groups.setdefault(tuple(row[i].strip() for i in plan.times.indices), []).append(row)
    repeated = [rows for rows in groups.values() if len(rows) > 1]
    for index in range(layout.width) if len(repeated) > 1 else ():
        if index not in plan.times.indices and _takes_turns(layout, plan, index, repeated):
            refuse(
                _(
                    "{column} takes turns while the time repeats: there is one reading a line for several sensors; "
                    "export one column for each sensor."
                ).format(column=plan.labels[index])
            )


def _takes_turns(layout: Layout, plan: Plan, index: int, repeated: list[list[list[str]]]) -> bool:
    heading = layout.headings[-1][index].casefold() if layout.headings else ""
    value = any(v.index == index for v in plan.values)
    if value and not re.fullmatch(r"\W*(?:channel|sensor|probe|logger|id|no|number|kanal)\W*", heading):
        return False
    apart = all(len({row[index].strip() for row in rows}) == len(rows) for rows in repeated)
    return apart and len({row[index] for row in layout.sample}) <= max(map(len, repeated))
