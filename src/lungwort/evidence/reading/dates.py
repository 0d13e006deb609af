"""From date fields to days: the order of day, month and year, settled by the whole column."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lungwort.evidence.log import FloatArray
from lungwort.evidence.reading.declared import DateOrder
from lungwort.evidence.reading.refusals import refuse
from lungwort.evidence.reading.stamps import IntArray
from lungwort.language import _

LONGEST_JUMP_DAYS = 20
_ORDERS: dict[str, tuple[DateOrder, ...]] = {
    "ymd": ("ymd",),
    "dmy": ("dmy",),
    "xxy": ("dmy", "mdy"),
    "xxx": ("dmy", "mdy", "ymd"),
}
_PLACES: dict[DateOrder, tuple[int, int, int]] = {"ymd": (0, 1, 2), "dmy": (2, 1, 0), "mdy": (2, 0, 1)}
ORDER_WORDS = {"dmy": "day, month, year", "mdy": "month, day, year", "ymd": "year, month, day"}


def civil_days(year: IntArray, month: IntArray, day: IntArray) -> IntArray | None:
    """Return days since 1970-01-01 of civil dates, or None where one is no date; two-digit years are 20yy.

    >>> import numpy as np
    >>> civil_days(np.array([24]), np.array([5]), np.array([18])).tolist()
    [19861]
    """
    year = np.where(year < 100, year + 2000, year)
    if bool(((month < 1) | (month > 12) | (day < 1) | (day > 31) | (year < 1970) | (year > 2100)).any()):
        return None
    months = ((year - 1970) * 12 + month - 1).astype("M8[M]")
    days = months.astype("M8[D]") + (day - 1)
    return days.astype(np.int64) if bool((days.astype("M8[M]") == months).all()) else None


def days_of(
    fields: tuple[IntArray, IntArray, IntArray], shape: str, declared: DateOrder | None, notes: list[str]
) -> FloatArray:
    """Return the day of each row, the order of the fields settled.

    An order is out when one row is no date in it. Of several that remain, the one that alone goes forward with no
    jump over 20 days is taken and noted; otherwise UnreadableLog asks for --date-order.
    """
    starts = _run_starts(fields)
    runs = [field[starts] for field in fields]
    possible = {order: days for order in _ORDERS[shape] if (days := _in_order(runs, order)) is not None}
    if not possible:
        refuse(
            _("the dates, such as {date}, are no dates in any order of day, month and year.").format(
                date=_written(runs, 0)
            )
        )
    order = _declared_order(possible, declared, runs) if declared else _settled(possible, runs, shape, notes)
    lengths = np.diff(np.append(starts, len(fields[0])))
    return np.repeat(possible[order], lengths).astype(np.float64)


def _run_starts(fields: tuple[IntArray, IntArray, IntArray]) -> IntArray:
    changed = np.zeros(len(fields[0]), bool)
    changed[:1] = True
    for column in fields:
        changed[1:] |= column[1:] != column[:-1]
    return np.flatnonzero(changed)


def _in_order(runs: Sequence[IntArray], order: DateOrder) -> IntArray | None:
    year, month, day = (runs[place] for place in _PLACES[order])
    return civil_days(year, month, day)


def _written(runs: Sequence[IntArray], row: int) -> str:
    return "/".join(str(int(field[row])) for field in runs)


def _declared_order(
    possible: dict[DateOrder, IntArray], declared: DateOrder, runs: Sequence[IntArray]
) -> DateOrder:
    if declared not in possible:
        refuse(
            _("the dates, such as {date}, cannot be in the declared order {order}.").format(
                date=_written(runs, 0), order=_(ORDER_WORDS[declared])
            )
        )
    return declared


def _settled(
    possible: dict[DateOrder, IntArray], runs: Sequence[IntArray], shape: str, notes: list[str]
) -> DateOrder:
    orders = list(possible)
    if shape == "dmy":
        notes.append(_("Dates such as {date} are read as day, month, year.").format(date=_written(runs, 0)))
    if all(bool((possible[o] == possible[orders[0]]).all()) for o in orders):
        return orders[0]
    forward = [o for o in orders if _goes_forward(possible[o])]
    if len(forward) != 1:
        _refuse_order(runs, orders)
    notes.append(
        _("Dates such as {date} are read as {order}: only so do they follow one another.").format(
            date=_written(runs, 0), order=_(ORDER_WORDS[forward[0]])
        )
    )
    return forward[0]


def _goes_forward(days: IntArray) -> bool:
    steps = np.diff(days)
    return len(steps) > 0 and bool(((steps > 0) & (steps <= LONGEST_JUMP_DAYS)).all())


def _refuse_order(runs: Sequence[IntArray], orders: Sequence[DateOrder]) -> None:
    refuse(
        _(
            "the dates, such as {date}, may be in the order {orders}; "
            "nothing in the file settles it: say --date-order dmy, mdy or ymd."
        ).format(date=_written(runs, 0), orders=_(" or ").join(_(ORDER_WORDS[o]) for o in orders))
    )
