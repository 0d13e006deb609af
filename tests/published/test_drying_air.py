"""What heated room air carries off (table beside this file)."""

import tomllib
from pathlib import Path

import pytest

from lungwort.science.drying import drying_air
from lungwort.science.moist_air import humidity_ratio

TABLE = tomllib.loads(Path(__file__).with_name("drying_air.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    ("room_c", "rh", "heated_c", "ratio", "heated_rh", "wet_bulb", "capacity"), TABLE["air"]
)
def test_heated_air_is_as_the_table_says(room_c, rh, heated_c, ratio, heated_rh, wet_bulb, capacity, agrees):
    """Humidity ratio, relative humidity once heated, wet bulb and capacity all agree."""
    air = drying_air(float(room_c), float(rh), float(heated_c), 101.325)
    agrees(1000.0 * humidity_ratio(float(room_c), float(rh), 101.325), ratio)
    agrees(air.heated_rh_percent, heated_rh)
    agrees(air.wet_bulb_c, wet_bulb)
    agrees(air.capacity_g_per_m3, capacity)
