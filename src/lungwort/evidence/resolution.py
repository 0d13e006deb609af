"""Resolution: the steps in which a log's temperatures were written, where they are coarse enough to matter."""

from __future__ import annotations

import numpy as np

from lungwort.evidence.log import Channel, FloatArray, Log

COARSE_STEPS = (1.0, 0.5)  # in the unit written; finer steps are lost in the sensor's own error
DIFFERENT_ENOUGH = 10  # fewer different readings do not tell steps from a steady temperature
FIRST_LOOK = 64
K_PER_UNIT = {"F": 5 / 9}


def coarsest_step_k(log: Log) -> float:
    """Return the coarsest step in K in which a temperature channel was written; 0 where none is half a unit or more.

    >>> steps = Channel("T1", "temperature", np.arange(20.0, 90.0), "°C")
    >>> coarsest_step_k(Log(np.arange(70.0), (steps,)))
    1.0
    """
    return max((_step_k(channel) for channel in log.temperatures), default=0.0)


def _step_k(channel: Channel) -> float:
    fahrenheit = "F" in channel.written_unit
    if not any(_goes_in(_written(channel, FIRST_LOOK), step) for step in COARSE_STEPS):
        return 0.0
    written = _written(channel, len(channel.values))
    for step in COARSE_STEPS:
        if _goes_in(written, step):
            many = len(np.unique(written)) >= DIFFERENT_ENOUGH
            return step * (K_PER_UNIT["F"] if fahrenheit else 1.0) if many else 0.0
    return 0.0


def _written(channel: Channel, rows: int) -> FloatArray:
    """Return the readings of the first `rows` rows as they were written."""
    values_c = channel.values[:rows]
    return _as_written(values_c[np.isfinite(values_c)], channel.written_unit)


def _as_written(values_c: FloatArray, unit: str) -> FloatArray:
    if "F" in unit:
        return np.asarray(values_c * 9 / 5 + 32)
    return np.asarray(values_c + 273.15) if "K" in unit else values_c


def _goes_in(written: FloatArray, step: float) -> bool:
    shares = written / step
    return bool((np.abs(shares - np.rint(shares)) < 1e-6).all())
