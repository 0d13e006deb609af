"""Reading a table whose layout is known, block by block."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from lungwort.evidence.reading.assemble import Reading
from lungwort.evidence.reading.blocks import Block, Gathered, OtherMarkError, Task, read_block
from lungwort.evidence.reading.columns import plan_columns
from lungwort.evidence.reading.declared import Declared
from lungwort.evidence.reading.doubts import check_columns_of_commas, check_one_sensor_a_column, decimal_mark
from lungwort.evidence.reading.layout import Layout
from lungwort.evidence.reading.tokens import Records

Progress = Callable[[float], None]


def task_of(layout: Layout, declared: Declared, outside: list[str]) -> Task:
    """Decide what to read; the decimal mark is that of the first rows."""
    check_columns_of_commas(layout)
    plan = plan_columns(layout, declared, outside)
    check_one_sensor_a_column(layout, plan)
    mark = decimal_mark(layout, plan)
    return Task(layout, plan, mark or ".", mark is not None)


def read_table(
    task: Task, open_records: Callable[[], Iterator[Records]], count: Callable[[int], None]
) -> Reading:
    """Read all blocks of a table; where the first rows show no decimal mark, a point is tried and then a comma."""
    try:
        return _blocks(task, open_records(), count)
    except OtherMarkError:
        return _blocks(task._replace(mark=",", mark_known=True), open_records(), count)


def _blocks(task: Task, blocks: Iterator[Records], count: Callable[[int], None]) -> Reading:
    seen = Gathered()
    kept: list[Block] = []
    rows = 0
    for block in blocks:
        rows += len(block.rows)
        read = read_block(block, task, seen)
        if read is not None:
            kept.append(read)
        count(rows)
    return Reading(task, tuple(kept), seen)
