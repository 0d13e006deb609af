"""Tolerances of sensors, and what they do to lethality (table beside this file)."""

import tomllib
from pathlib import Path

import pytest

from lungwort.science.uncertainty import Bias, lethality_low, pt100_tolerance_k, thermocouple_tolerance_k

TABLE = tomllib.loads(Path(__file__).with_name("sensor_tolerances.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(("tolerance_class", "celsius", "tolerance"), TABLE["pt100"])
def test_pt100_tolerance(tolerance_class, celsius, tolerance, agrees):
    """A platinum sensor's class gives the table's tolerance."""
    agrees(pt100_tolerance_k(float(celsius), tolerance_class), tolerance)


@pytest.mark.parametrize(("kind", "tolerance_class", "celsius", "tolerance"), TABLE["thermocouple"])
def test_thermocouple_tolerance(kind, tolerance_class, celsius, tolerance, agrees):
    """A thermocouple's type and class give the table's tolerance."""
    agrees(thermocouple_tolerance_k(float(celsius), kind, tolerance_class), tolerance)


@pytest.mark.parametrize(("offset", "factor"), TABLE["factor"])
def test_a_constant_error_multiplies_lethality(offset, factor, agrees):
    """A sensor that shows b K too much has the true lethality at 10^(-b / z) of the measured one."""
    agrees(lethality_low(1.0, Bias(offset_k=float(offset)), 10.0, 0.95), factor)
