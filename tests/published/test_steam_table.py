"""A column of a steam table, gauge readings and air by Dalton (table beside this file)."""

import tomllib
from pathlib import Path

import pytest

from lungwort.science.steam import (
    absolute_kpa,
    air_fraction,
    gauge_kpa,
    saturation_pressure_kpa,
    saturation_temperature_c,
)

TABLE = tomllib.loads(Path(__file__).with_name("steam_table.toml").read_text(encoding="utf-8"))
SEA_LEVEL_KPA = 101.325


@pytest.mark.parametrize(("celsius", "absolute", "gauge"), TABLE["saturation"])
def test_saturation_pressure_gives_the_column(celsius, absolute, gauge, agrees):
    """Absolute and sea-level gauge pressure agree to the last printed digit."""
    pressure = saturation_pressure_kpa(float(celsius))
    agrees(pressure, absolute)
    agrees(gauge_kpa(pressure, SEA_LEVEL_KPA), gauge)


@pytest.mark.parametrize(("reading", "unit_kpa", "celsius"), TABLE["gauge"])
def test_a_gauge_reading_at_sea_level_gives_its_temperature(reading, unit_kpa, celsius, agrees):
    """A gauge reading in psi or bar gives the temperature of the table."""
    pressure = absolute_kpa(float(reading) * unit_kpa, SEA_LEVEL_KPA)
    agrees(saturation_temperature_c(pressure), celsius)


@pytest.mark.parametrize(("celsius", "absolute", "percent"), TABLE["air"])
def test_air_fraction_gives_the_column(celsius, absolute, percent, agrees):
    """Dalton's law gives the share of air in per cent."""
    agrees(100.0 * air_fraction(float(celsius), float(absolute)), percent)
