"""The standard atmosphere and what it does to boiling water and to gauges (table beside this file)."""

import tomllib
from pathlib import Path

import pytest

from lungwort.science.atmosphere import air_pressure_at_geopotential_kpa, air_pressure_kpa, boiling_point_c
from lungwort.science.lethality import a0_s, f0_min
from lungwort.science.steam import absolute_kpa, gauge_kpa, saturation_pressure_kpa, saturation_temperature_c

TABLE = tomllib.loads(Path(__file__).with_name("iso_2533.toml").read_text(encoding="utf-8"))
SEA_LEVEL_GAUGE_KPA = [gauge_kpa(saturation_pressure_kpa(celsius), 101.325) for celsius in (121.0, 134.0)]


@pytest.mark.parametrize(("altitude_m", "pressure_kpa"), TABLE["geopotential"])
def test_pressure_by_geopotential_altitude(altitude_m, pressure_kpa, agrees):
    """The standard atmosphere as tabulated by geopotential altitude."""
    agrees(air_pressure_at_geopotential_kpa(float(altitude_m)), pressure_kpa)


@pytest.mark.parametrize("row", TABLE["altitude"], ids=lambda row: f"{row[0]} m")
def test_pressure_and_boiling_point_by_altitude(row, agrees):
    """Air pressure and boiling point at an altitude as read from a map."""
    pressure = air_pressure_kpa(float(row[0]))
    agrees(pressure, row[1])
    agrees(boiling_point_c(pressure), row[2])


@pytest.mark.parametrize("row", TABLE["altitude"], ids=lambda row: f"{row[0]} m")
def test_gauge_reading_that_a_temperature_needs_at_an_altitude(row, agrees):
    """The higher the place, the more a gauge must show for 121 and 134 °C."""
    air = air_pressure_kpa(float(row[0]))
    agrees(gauge_kpa(saturation_pressure_kpa(121.0), air), row[3])
    agrees(gauge_kpa(saturation_pressure_kpa(134.0), air), row[4])


@pytest.mark.parametrize("row", TABLE["altitude"], ids=lambda row: f"{row[0]} m")
def test_temperature_and_f0_that_a_sea_level_gauge_setting_reaches(row, agrees):
    """A sea-level gauge setting falls short in the highlands, and F0 falls with it."""
    air = air_pressure_kpa(float(row[0]))
    low, high = (saturation_temperature_c(absolute_kpa(g, air)) for g in SEA_LEVEL_GAUGE_KPA)
    agrees(low, row[5])
    agrees(high, row[6])
    agrees(f0_min([0.0, 900.0], [low, low]), row[7])


@pytest.mark.parametrize(("altitude_m", "celsius", "a0"), TABLE["boiling"])
def test_a0_of_ten_minutes_boiling(altitude_m, celsius, a0, agrees):
    """Ten minutes of boiling are worth less the higher the place: at 4000 m less than 3000."""
    agrees(boiling_point_c(air_pressure_kpa(float(altitude_m))), celsius)
    agrees(a0_s([0.0, 600.0], [float(celsius)] * 2), a0)
