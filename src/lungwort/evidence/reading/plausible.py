"""Values no autoclave or bath can have: marks for a missing sensor become gaps, all others are refused."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lungwort.evidence.log import FloatArray
from lungwort.evidence.reading.cells import MISSING_NUMBERS
from lungwort.evidence.reading.draft import ValueColumn
from lungwort.evidence.reading.refusals import refuse
from lungwort.evidence.reading.stamps import IntArray
from lungwort.evidence.reading.units import convert
from lungwort.language import _
from lungwort.wording import figure

# Common practice: what moist heat and hot water in a hospital, and the air around, can show.
TEMPERATURES_C = (-60.0, 150.0)
ABSOLUTE_KPA = (0.0, 1000.0)
GAUGE_KPA = (-110.0, 1000.0)
# Common practice: a log of a steriliser sees the air outside or steam, so that 1 kPa is never its highest pressure.
LOWEST_TOP_KPA = 1.0


def checked(
    written: FloatArray,
    column: ValueColumn,
    lines: IntArray,
    marks: dict[str, int],
    places: Sequence[str] | None = None,
) -> FloatArray:
    """Return values in °C or kPa, NaN for numbers that mark a missing sensor (counted in `marks`).

    `places` says in words where each value stands; None for lines of a file.
    Raises UnreadableLog, naming line, column and value, for any other value out of the plausible range.
    """
    values = convert(written, column.unit)
    wrong = _out_of_range(values, column)
    if not bool(wrong.any()):
        return _not_too_small(values, column)
    marked = wrong & np.isin(written, MISSING_NUMBERS)
    for number in np.unique(written[marked]).tolist():
        marks[f"{number:g}"] = int(np.count_nonzero(written == number))
    if bool((wrong & ~marked).any()):
        row = int(np.argmax(wrong & ~marked))
        in_file = _("line {line}, {column}").format(line=int(lines[row]), column=column.label)
        _refuse(float(written[row]), column, places[row] if places else in_file)
    return _not_too_small(np.where(marked, np.nan, values), column)


def _not_too_small(values: FloatArray, column: ValueColumn) -> FloatArray:
    """Refuse pressures so small throughout that their unit must be another, such as kPa called Pa."""
    present = np.abs(values[np.isfinite(values)]) if column.unit.quantity == "pressure" else values[:0]
    if len(present) and float(present.max()) < LOWEST_TOP_KPA:
        refuse(
            _(
                "{column}: no pressure reaches {low} kPa, the highest is {top} kPa; "
                "perhaps the unit is not {unit}, or leave the column out."
            ).format(
                column=column.label,
                low=f"{LOWEST_TOP_KPA:g}",
                top=f"{present.max():g}",
                unit=column.unit.written,
            )
        )
    return values


def _out_of_range(values: FloatArray, column: ValueColumn) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    low, high = _range(column)
    below = values <= low if column.kind == "absolute" else values < low
    return below | (values > high)


def _range(column: ValueColumn) -> tuple[float, float]:
    if column.unit.quantity == "temperature":
        return TEMPERATURES_C
    return ABSOLUTE_KPA if column.kind == "absolute" else GAUGE_KPA


def _refuse(written: float, column: ValueColumn, place: str) -> None:
    low, high = _range(column)
    temperature = column.unit.quantity == "temperature"
    refuse(
        _("{place}: {value} {unit} cannot be; allowed are {low} to {high} {basic}. {remedy}").format(
            place=place,
            value=figure(written),
            unit=column.unit.written,
            low=figure(low),
            high=figure(high),
            basic="°C" if temperature else "kPa",
            remedy=_("Perhaps the unit is another (°F, K)?")
            if temperature
            else _("Perhaps the unit or gauge/absolute is another?"),
        )
    )
