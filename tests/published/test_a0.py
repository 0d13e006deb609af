"""A0: equivalent times, quoted combinations and ramps (table beside this file)."""

import tomllib
from pathlib import Path

import numpy as np
import pytest

from lungwort.science.lethality import (
    A0_FLOOR_C,
    A0_REFERENCE_C,
    a0_s,
    accumulated_high,
    accumulated_low,
    lethal_rate,
    ramp_lethality,
    time_still_needed_s,
)

TABLE = tomllib.loads(Path(__file__).with_name("a0.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(("a0", "celsius", "seconds"), TABLE["hold"])
def test_holding_time_that_an_a0_asks_for(a0, celsius, seconds, agrees):
    """The time still needed from nothing is the table's holding time."""
    needed = time_still_needed_s(float(a0), 0.0, float(celsius), A0_REFERENCE_C, floor_c=A0_FLOOR_C)
    agrees(needed, seconds)


@pytest.mark.parametrize(("celsius", "seconds", "a0"), TABLE["combination"])
def test_a0_of_a_time_at_a_temperature(celsius, seconds, a0, agrees):
    """A constant temperature gives the table's A0."""
    agrees(a0_s([0.0, float(seconds)], [float(celsius)] * 2), a0)


@pytest.mark.parametrize("name", ["rise", "fall"])
def test_a0_of_an_even_ramp(name, agrees):
    """The closed form gives the table's A0, and so does a log with a reading every millisecond."""
    ramp = TABLE["ramp"][name]
    steepness = (ramp["to_c"] - ramp["from_c"]) / ramp["seconds"]
    agrees(
        ramp_lethality(ramp["from_c"], ramp["to_c"], steepness, A0_REFERENCE_C, floor_c=A0_FLOOR_C),
        ramp["a0"],
    )
    elapsed = np.linspace(0.0, ramp["seconds"], 300_001)
    agrees(a0_s(elapsed, ramp["from_c"] + steepness * elapsed), ramp["a0"])


def test_a0_of_a_ramp_read_once_a_minute(agrees):
    """Trapezoid, lower and higher neighbour of a rise read every 60 s are the table's."""
    elapsed = np.arange(0.0, 1801.0, 60.0)
    celsius = 60.0 + elapsed / 60.0
    rate = lethal_rate(celsius, A0_REFERENCE_C, floor_c=A0_FLOOR_C)
    printed = TABLE["ramp"]["sampled_rise"]
    agrees(a0_s(elapsed, celsius), printed["trapezoid"])
    agrees(accumulated_low(elapsed, rate)[-1], printed["lower"])
    agrees(accumulated_high(elapsed, rate)[-1], printed["higher"])
