"""Invented cycles, judged, that the tests of the paper room share."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

import numpy as np
import pytest

from lungwort.evidence.circumstances import circumstances_at
from lungwort.evidence.instrument import parse_sensor
from lungwort.evidence.judge import judge
from lungwort.evidence.log import Channel, FloatArray, Log
from lungwort.evidence.verdict import HeatVerdict
from lungwort.library.catalogue import find_criterion
from lungwort.science.steam import saturation_pressure_kpa

STARTED = datetime(2026, 3, 17, 8, 41)
SHA256 = "9f2c4e7a" * 8

Judged = Callable[..., HeatVerdict]


def channel(name: str, values: FloatArray) -> Channel:
    """Return a temperature channel."""
    return Channel(name, "temperature", np.asarray(values, float), "°C")


def judged(
    elapsed_s: FloatArray,
    channels: Sequence[Channel],
    criteria: Sequence[str],
    assumptions: tuple[str, ...] = ("Times are day first.",),
    file_name: str = "cycle.csv",
    sensor: str = "Pt100 A",
) -> HeatVerdict:
    """Return the verdict on an invented log."""
    log = Log(elapsed_s, tuple(channels), STARTED, 1.0, False, assumptions, file_name, SHA256)
    place = circumstances_at(altitude_m=2300, sensor=parse_sensor(sensor), pressure_error_kpa=1.5)
    return judge(log, [find_criterion(name) for name in criteria], place)


@pytest.fixture
def make() -> Judged:
    """Return the maker of verdicts."""
    return judged


@pytest.fixture
def steam() -> HeatVerdict:
    """Return a steam cycle held at 135.2 °C for five minutes, with an agreeing absolute pressure."""
    times = np.arange(0.0, 900.0)
    chamber = np.interp(times, [0, 200, 500, 700, 900], [40, 135.2, 135.2, 100, 60])
    lumen = chamber - np.interp(times, [0, 200, 210], [3.0, 0.3, 0.1])
    pressure = Channel("pressure", "pressure", saturation_pressure_kpa(chamber), "kPa", "absolute")
    return judged(
        times, [channel("chamber", chamber), channel("lumen", lumen), pressure], ["steam-134C-3min"]
    )


@pytest.fixture
def bath() -> HeatVerdict:
    """Return a bath held at exactly 80 °C for half an hour, read every 10 s."""
    times = np.arange(0.0, 1801.0, 10.0)
    return judged(times, [channel("bath", np.full(len(times), 80.0))], ["A0-600"])


@pytest.fixture
def cool_bath() -> HeatVerdict:
    """Return a bath at 70 °C for ten minutes: far from an A0 of 600."""
    times = np.arange(0.0, 601.0, 10.0)
    return judged(times, [channel("bath", np.full(len(times), 70.0))], ["A0-600"])
