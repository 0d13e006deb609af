"""Verification values of IAPWS-IF97, region 4 (table beside this file)."""

import tomllib
from pathlib import Path

import pytest

from lungwort.science.steam import saturation_pressure_kpa, saturation_temperature_c

TABLE = tomllib.loads(Path(__file__).with_name("iapws_if97_region_4.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("row", TABLE["pressure"], ids=lambda row: f"{row['temperature_k']} K")
def test_saturation_pressure_gives_the_verification_values(row, agrees):
    """Equation 30 gives the release's nine digits."""
    agrees(saturation_pressure_kpa(row["temperature_k"] - 273.15) / 1000.0, row["pressure_mpa"])


@pytest.mark.parametrize("row", TABLE["temperature"], ids=lambda row: f"{row['pressure_mpa']} MPa")
def test_saturation_temperature_gives_the_verification_values(row, agrees):
    """Equation 31 gives the release's nine digits."""
    agrees(saturation_temperature_c(row["pressure_mpa"] * 1000.0) + 273.15, row["temperature_k"])
