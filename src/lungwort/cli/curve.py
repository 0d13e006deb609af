"""A small curve for the terminal, drawn with braille dots."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lungwort.evidence.log import FloatArray
from lungwort.language import number

LABEL = 7
_DOTS = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]])


def curve(
    elapsed_s: FloatArray, values: FloatArray, marks: Sequence[float], width: int, height: int = 7
) -> list[str]:
    """Return lines of text that draw `values` (n,) over `elapsed_s` (n,), with dotted rules at `marks`.

    `width` and `height` in characters; the lowest and highest value and the marks are written at the left.
    """
    present = np.isfinite(values)
    if not present.any():
        return []
    low, high = _range(values[present], marks)
    dots = np.zeros((height * 4, width * 2), bool)
    for mark in marks:
        dots[_row(mark, low, high, height * 4), ::4] = True
    _plot(dots, elapsed_s[present], values[present], low, high)
    labels = _labels([low, high], low, high, height) | _labels(marks, low, high, height)
    return [f"{labels.get(row, ''):>{LABEL}} {line}" for row, line in enumerate(_braille(dots))]


def _range(values: FloatArray, marks: Sequence[float]) -> tuple[float, float]:
    low, high = min(values.min(), *marks, values.max()), max(values.max(), *marks, values.min())
    return float(low), float(high if high > low else low + 1)


def _row(value: float, low: float, high: float, rows: int) -> int:
    return round((high - value) / (high - low) * (rows - 1))


def _plot(dots: np.ndarray, elapsed_s: FloatArray, values: FloatArray, low: float, high: float) -> None:
    """Mark, in each column of dots, the span from its lowest to its highest value, joined to the one before."""
    rows, columns = dots.shape
    edges_s = np.linspace(elapsed_s[0], elapsed_s[-1], columns + 1)
    between = np.interp(edges_s, elapsed_s, values)
    first = np.searchsorted(elapsed_s, edges_s)
    for index in range(columns):
        inside = np.append(values[first[index] : first[index + 1]], between[index : index + 2])
        dots[_row(inside.max(), low, high, rows) : _row(inside.min(), low, high, rows) + 1, index] = True


def _braille(dots: np.ndarray) -> list[str]:
    rows, columns = dots.shape
    cells = dots.reshape(rows // 4, 4, columns // 2, 2)
    codes = 0x2800 + np.einsum("aibj,ij->ab", cells.astype(int), _DOTS)
    return ["".join(map(chr, line)).rstrip("\u2800") for line in codes]


def _labels(values: Sequence[float], low: float, high: float, height: int) -> dict[int, str]:
    """Return what is written beside each line: a value, or from where to where those run that share a line."""
    shared: dict[int, list[float]] = {}
    for value in sorted(values):
        shared.setdefault(_row(value, low, high, height * 4) // 4, []).append(value)
    decimals = 0 if high - low > 20 else 1
    return {row: _from_to(number(x[0], decimals), number(x[-1], decimals)) for row, x in shared.items()}


def _from_to(lowest: str, highest: str) -> str:
    both = f"{lowest}–{highest}"
    return both if lowest != highest and len(both) <= LABEL else highest
