"""Water in saturated gas (table beside this file)."""

import tomllib
from pathlib import Path

import pytest

from lungwort.science.humidity import saturation_mg_per_l

TABLE = tomllib.loads(Path(__file__).with_name("absolute_humidity.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(("celsius", "milligrams"), TABLE["saturated"])
def test_saturated_gas_holds_what_the_table_says(celsius, milligrams, agrees):
    """A litre of saturated gas holds the table's mass of water."""
    agrees(saturation_mg_per_l(float(celsius)), milligrams)
