"""What the whole room shares: floats in, floats out, worked out in blocks that fit the processor's cache."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar, cast

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lungwort.errors import OutOfRange
from lungwort.wording import figure

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.intp]
Number = TypeVar("Number", float, FloatArray)
"""A float gives a float; an array (or a list of numbers) gives a float64 array of the same shape."""

BLOCK = 16384
"""Readings evaluated at a time: a block and its few temporaries fit into the second-level cache."""


def floats(values: ArrayLike) -> FloatArray:
    """Return `values` as a float64 array, without copying where it already is one."""
    return np.asarray(values, dtype=np.float64)


def same_kind(result: FloatArray, given: Number) -> Number:
    """Return `result` as a float where `given` was a single number, else as the array it is."""
    return cast(Number, float(result) if np.ndim(given) == 0 else result)


def float_or_array(result: FloatArray, given: Number) -> Number:
    """Return `result` as a float where every argument was a single number; `given` names the kind for the types."""
    return cast(Number, float(result) if np.ndim(result) == 0 else result)


def in_blocks(formula: Callable[[FloatArray, FloatArray], None], values: FloatArray) -> FloatArray:
    """Return formula(values), where `formula` takes a block of readings and fills its second argument."""
    result = np.empty(values.shape)
    given, filled = values.reshape(-1), result.reshape(-1)
    for start in range(0, given.size, BLOCK):
        formula(given[start : start + BLOCK], filled[start : start + BLOCK])
    return result


def dot(one: FloatArray, other: FloatArray) -> float:
    """Return the sum of products, in this thread: for blocks this small other threads only cost time.

    >>> dot(np.array([1.0, 2.0]), np.array([3.0, 4.0]))
    11.0
    """
    return float(np.einsum("i,i->", one, other))


def middle(values: FloatArray) -> float:
    """Return the upper median, NaN of nothing; NumPy's own loads its masked arrays, slower than a whole small log.

    >>> middle(np.array([3.0, 1.0, 2.0, 9.0]))
    3.0
    """
    return float(np.partition(values, values.size // 2)[values.size // 2]) if values.size else float("nan")


def require_between(values: FloatArray, low: float, high: float, says: str) -> None:
    """Raise OutOfRange with `says` ({value}, {low}, {high}) where a value is beyond; NaN passes."""
    if values.size == 0:
        return
    lowest, highest = np.fmin.reduce(values, axis=None), np.fmax.reduce(values, axis=None)
    if lowest < low or highest > high:
        beyond = float(lowest if lowest < low else highest)
        raise OutOfRange(says.format(value=figure(beyond), low=figure(low), high=figure(high)))
