"""How bleach weakens: half-lives, and the few outside observations there are (table beside this file)."""

import tomllib
from pathlib import Path

import pytest

from lungwort.science.chlorine import HALF_LIFE_SHORTENED_TO, half_life_s, strength_after_mg_per_l

TABLE = tomllib.loads(Path(__file__).with_name("bleach_decay.toml").read_text(encoding="utf-8"))
DAY_S = 86_400.0
HUNDRED_FAHRENHEIT_C = (100.0 - 32.0) / 1.8


@pytest.mark.parametrize(("trade", "celsius", "days"), TABLE["half_life"])
def test_half_life(trade, celsius, days, agrees):
    """The rate is per second: read per day, every half-life would be 86 400 times as long."""
    agrees(half_life_s(float(trade) * 1e4, float(celsius)) / DAY_S, days)


@pytest.mark.parametrize(("trade", "celsius", "days", "percent"), TABLE["left"])
def test_what_is_left_after_two_years(trade, celsius, days, percent, agrees):
    """The closed form gives the table's share."""
    made = float(trade) * 1e4
    agrees(100.0 * strength_after_mg_per_l(made, [(float(celsius), float(days) * DAY_S)]) / made, percent)


@pytest.mark.parametrize("made", [50_000.0, 100_000.0])
def test_the_stability_note_holds_at_the_cautious_end(made):
    """Two years: stable at 4 °C (less than a fifth lost even at the cautious end), under half left at 24 °C."""
    cool, warm = TABLE["stability"]["cool"], TABLE["stability"]["warm"]
    kept = [(float(cool["celsius"]), cool["days"] * DAY_S)]
    assert strength_after_mg_per_l(made, kept, HALF_LIFE_SHORTENED_TO) > 0.8 * made
    kept = [(float(warm["celsius"]), warm["days"] * DAY_S)]
    left = strength_after_mg_per_l(made, kept, HALF_LIFE_SHORTENED_TO)
    assert left < warm["below_percent"] / 100.0 * made


@pytest.mark.parametrize(("days", "percent"), TABLE["hobby"]["hot"])
def test_the_hobby_table_lies_above_the_cautious_end_and_within_the_tolerance(days, percent):
    """12.5 % at 100 °F: never weaker in print than at the cautious end; the best estimate within 41 %."""
    kept = [(HUNDRED_FAHRENHEIT_C, float(days) * DAY_S)]
    assert strength_after_mg_per_l(125_000.0, kept, HALF_LIFE_SHORTENED_TO) < float(percent) * 1e4
    assert strength_after_mg_per_l(125_000.0, kept) == pytest.approx(float(percent) * 1e4, rel=0.41)


@pytest.mark.parametrize(("trade", "celsius", "days"), TABLE["handbook"]["half_life"])
def test_remembered_half_lives_are_of_the_same_size(trade, celsius, days):
    """From memory, so no more than a guard on the size: the cautious half-life is no longer, the best within 60 %."""
    best = half_life_s(float(trade) * 1e4, float(celsius)) / DAY_S
    assert best * HALF_LIFE_SHORTENED_TO <= float(days)
    assert best == pytest.approx(float(days), rel=0.6)
