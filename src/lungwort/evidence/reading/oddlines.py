"""Lines that are no readings: before, among and after them; few are left out and listed, doubtful ones refused."""

from __future__ import annotations

from collections.abc import Sequence

from lungwort.evidence.reading.blocks import Gathered, Task
from lungwort.evidence.reading.cells import split_cell
from lungwort.evidence.reading.headings import parse_heading
from lungwort.evidence.reading.layout import Row
from lungwort.evidence.reading.refusals import line_list, quoted, refuse
from lungwort.evidence.reading.stamps import match_stamp
from lungwort.language import _

MOST_ODD_LINES = 3


def odd_line_notes(task: Task, seen: Gathered, last: int, count: int) -> list[str]:
    """Note the lines left out, `last` being the line of the last of `count` readings.

    Raises UnreadableLog for more than a few lines among the readings, for headings or units other than the table's,
    and for readings of another width below the last.
    """
    odd = sorted(seen.odd, key=lambda found: found[0])
    for line, row in odd:
        _no_other_heading(line, row, task)
        _no_other_unit(line, row, task)
    after = [(line, row) for line, row in odd if line > last]
    inner = [line for line, _row in odd if line < last]
    _few(inner, count)
    _no_other_table(after, task)
    notes = [
        ([number for number, _text in task.layout.before], _("Left out before the table: {lines}.")),
        (seen.headings_again, _("Left out, the heading once more: {lines}.")),
        (inner, _("Left out, no readings like the others: {lines}.")),
        ([line for line, _row in after], _after_text(after, task)),
    ]
    return [text.format(lines=line_list(found)) for found, text in notes if found]


def _no_other_heading(line: int, row: Row, task: Task) -> None:
    """Refuse a line that repeats headings in another order or number: columns may have changed places."""
    known = {cell.strip().casefold() for heading in task.layout.headings for cell in heading} - {""}
    again = sum(cell.strip().casefold() in known for cell in row)
    if again > (0 if len(row) == task.layout.width else 1):
        refuse(_("line {line} is another heading than the first; split the file there.").format(line=line))


def _no_other_unit(line: int, row: Row, task: Task) -> None:
    """Refuse a line that names a unit which no column has."""
    known = {column.unit.name for column in task.plan.values}
    for cell in (*row, " ".join(row)):
        heading = parse_heading(cell)
        if heading.two_units or (heading.unit is not None and heading.unit.name not in known):
            refuse(
                _(
                    "line {line} speaks of another unit than the headings ({cell}); split the file there."
                ).format(line=line, cell=quoted(cell))
            )


def _no_other_table(after: Sequence[tuple[int, Row]], task: Task) -> None:
    """Refuse readings of another width below the last: the logger was set up anew, and they would be lost."""
    readings = [line for line, row in after if len(row) > 1 and _is_timed(row, task)]
    if len(readings) > 1:
        refuse(
            _("{lines} look like readings but have another number of columns; split the file there.").format(
                lines=line_list(readings)
            )
        )


def _is_timed(row: Row, task: Task) -> bool:
    stamped = any(match_stamp(cell) for cell in row) or task.plan.times.kind in ("number", "epoch")
    return stamped and any(split_cell(cell) for cell in row)


def _after_text(after: Sequence[tuple[int, Row]], task: Task) -> str:
    if len(after) == 1 and 1 < len(after[0][1]) < task.layout.width:
        return _("Left out, the last line is cut short: {lines}.")
    return _("Left out after the table: {lines}.")


def _few(odd: Sequence[int], count: int) -> None:
    if len(odd) > min(MOST_ODD_LINES, max(1, count // 100)):
        refuse(
            _(
                "{lines} are not like the other readings (another number of columns, or no time); "
                "remove what is no reading. Where decimal commas stand in a comma-parted file, "
                "export it with semicolons."
            ).format(lines=line_list(odd))
        )
