"""Water shed in a limb on both bases (table beside this file)."""

import tomllib
from pathlib import Path

import pytest

from lungwort.science.humidity import condensate_mg_per_l, simple_condensate_mg_per_l

TABLE = tomllib.loads(Path(__file__).with_name("condensate.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(("gas_c", "wall_c", "simple", "dry_gas"), TABLE["shed"])
def test_a_limb_sheds_what_the_table_says(gas_c, wall_c, simple, dry_gas, agrees):
    """Cooling saturated gas sheds the table's water, on either basis."""
    agrees(simple_condensate_mg_per_l(float(gas_c), float(wall_c), 101.325), simple)
    agrees(condensate_mg_per_l(float(gas_c), float(wall_c), 101.325), dry_gas)


def test_ten_litres_a_minute_from_37_to_24_shed_0_318_litres_a_day(agrees):
    """The table's 22.1 mg/L at 10 L/min over a day, printed as 0.318 L/day."""
    agrees(simple_condensate_mg_per_l(37.0, 24.0, 101.325) * 10.0 * 1440.0 * 1e-6, "0.318")
