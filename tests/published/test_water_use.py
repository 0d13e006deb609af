"""Water that a chamber gives in a day (table beside this file)."""

import tomllib
from pathlib import Path

import pytest

from lungwort.science.humidity import humidity_mg_per_l, water_l_per_day

TABLE = tomllib.loads(Path(__file__).with_name("water_use.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(("flow", "humidity", "inlet_c", "inlet_rh", "litres"), TABLE["use"])
def test_a_chamber_gives_what_the_table_says(flow, humidity, inlet_c, inlet_rh, litres, agrees):
    """The table's flow and humidity, net of inlet gas where it has any, give the table's litres a day."""
    inlet = humidity_mg_per_l(float(inlet_c), float(inlet_rh)) if inlet_c else 0.0
    agrees(water_l_per_day(float(flow), float(humidity), inlet), litres)
