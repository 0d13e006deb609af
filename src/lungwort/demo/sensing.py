"""What a sensor and its logger make of the truth: an offset, white noise, and the last digit kept."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Probe:
    """A sensor: constant `offset` and standard deviation of its `noise`, in °C or kPa as its place asks."""

    offset: float = 0.0
    noise: float = 0.0


@dataclass(frozen=True, eq=False)
class Column:
    """One column of a simulated log: the `true` values in °C or kPa, and those `written`, in `unit`."""

    name: str
    unit: str
    true: FloatArray
    written: FloatArray
    decimals: int


def indicated(true: FloatArray, probe: Probe, rng: np.random.Generator) -> FloatArray:
    """Return what a probe indicates of `true` (n,), in the same unit.

    >>> indicated(np.array([80.0, 81.0]), Probe(offset=0.5), np.random.default_rng(1)).tolist()
    [80.5, 81.5]
    """
    return true + probe.offset + rng.normal(0.0, probe.noise, len(true))


def column(
    name: str,
    unit: str,
    true: FloatArray,
    probe: Probe,
    rng: np.random.Generator,
    decimals: int = 1,
    per_unit: float = 1.0,
    zero: float = 0.0,
) -> Column:
    """Return a logged column: indicated, taken from `zero`, divided by `per_unit`, rounded to `decimals`.

    `per_unit`: °C or kPa in one written unit, as 100 for bar; `zero`: the air pressure for a gauge.

    >>> rng = np.random.default_rng(1)
    >>> column("Chamber", "bar", np.array([315.04]), Probe(), rng, 3, per_unit=100.0).written.tolist()
    [3.15]
    """
    shown = (indicated(true, probe, rng) - zero) / per_unit
    return Column(name, unit, true, shown.round(decimals), decimals)


def step_column(
    name: str, unit: str, true: FloatArray, probe: Probe, step: float, rng: np.random.Generator
) -> Column:
    """Return a column read by eye to the nearest `step`, written with one decimal.

    >>> step_column("Bath", "°C", np.array([82.6]), Probe(), 0.5, np.random.default_rng(1)).written.tolist()
    [82.5]
    """
    shown = np.round(indicated(true, probe, rng) / step) * step
    return Column(name, unit, true, shown.round(1), 1)
