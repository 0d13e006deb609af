"""Chlorometric degrees and other units (table beside this file)."""

import tomllib
from pathlib import Path

import pytest

from lungwort.evidence.strengths import parse_strength, substance_of
from lungwort.library.agents import find_agent
from lungwort.science.chlorine import available_share, chlorometric_degrees, from_degrees_mg_per_l

TABLE = tomllib.loads(Path(__file__).with_name("chlorine_strength.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(("degrees", "grams"), TABLE["degrees"])
def test_grams_in_a_litre_of_a_chlorometric_degree(degrees, grams, agrees):
    """The printed column is 3.17 g/L a degree, rounded."""
    agrees(from_degrees_mg_per_l(float(degrees)) / 1000.0, grams)


@pytest.mark.parametrize(("written", "density", "grams", "degrees"), TABLE["written"])
def test_strengths_as_written(written, density, grams, degrees, agrees):
    """Weight, trade per cent and degrees come out in the same two units."""
    density_kg_per_l = float(density) if density else None
    liquid = parse_strength(
        written, substance_of(find_agent("hypochlorite")), density_kg_per_l=density_kg_per_l
    )
    agrees(liquid.strength_mg_per_l / 1000.0, grams)
    agrees(chlorometric_degrees(liquid.strength_mg_per_l), degrees)
    assert liquid.low_mg_per_l == liquid.strength_mg_per_l


@pytest.mark.parametrize(("formula", "share"), TABLE["share"])
def test_available_chlorine_of_a_pure_substance(formula, share, agrees):
    """Molar masses give the table's share."""
    agrees(available_share(formula), share)
