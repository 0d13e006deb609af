"""Mixing tables of CDC, WHO and the field (table beside this file)."""

import tomllib
from pathlib import Path

import pytest

from lungwort.science.dilution import (
    from_percent_w_v_mg_per_l,
    mixed_mg_per_l,
    parts_of_water,
    percent_w_v,
    powder_g_per_l,
    tablet_volume_l,
    tablets_in,
)

TABLE = tomllib.loads(Path(__file__).with_name("chlorine_dilution.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(("stock", "wanted", "parts", "status"), TABLE["parts"])
def test_parts_of_water_to_one_part_of_bleach(stock, wanted, parts, status, agrees):
    """Stock over wanted less one is the printed number of parts."""
    agrees(parts_of_water(float(stock), float(wanted)), parts)


@pytest.mark.parametrize(("powder", "wanted", "grams", "status"), TABLE["powder"])
def test_grams_of_powder_in_a_litre(powder, wanted, grams, status, agrees):
    """Wanted over powder is the printed weight."""
    agrees(powder_g_per_l(float(powder) / 100.0, from_percent_w_v_mg_per_l(float(wanted))), grams)


@pytest.mark.parametrize(("grams", "tablets", "litres", "made", "status"), TABLE["tablet"])
def test_tablets_in_a_volume(grams, tablets, litres, made, status, agrees):
    """The printed number of tablets makes the printed strength, both ways round."""
    assert tablets_in(float(grams), float(made), float(litres)).tablets == int(tablets)
    agrees(tablet_volume_l(float(grams), float(made), int(tablets)), litres)


@pytest.mark.parametrize(("way", "stock", "stock_ml", "litres", "made"), TABLE["ambiguous"])
def test_made_up_to_and_added_to_differ(way, stock, stock_ml, litres, made, agrees):
    """One printed row makes 1.25 % read one way and 1.00 % the other: only the word settles it."""
    stock_l = float(stock_ml) / 1000.0
    water_l = float(litres) - (stock_l if way == "made up to" else 0.0)
    agrees(percent_w_v(mixed_mg_per_l(from_percent_w_v_mg_per_l(float(stock)), stock_l, water_l)), made)
