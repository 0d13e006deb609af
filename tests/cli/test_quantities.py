"""Numbers with their unit as people type them."""

import pytest

from lungwort.cli.quantities import (
    AGE_S,
    AIR_FLOW_M3_PER_H,
    MASS_G,
    PERCENT,
    PRESSURE_KPA,
    TEMPERATURE_C,
    VOLUME_ML,
    above_zero,
    optional,
    quantity,
    zero_or_more,
)
from lungwort.errors import OutOfRange, UnknownName


@pytest.mark.parametrize(
    ("text", "units", "value"),
    [
        ("60mL", VOLUME_ML, 60.0),
        ("0,25 L", VOLUME_ML, 250.0),
        ("0.250L", VOLUME_ML, 250.0),
        ("0,250L", VOLUME_ML, 250.0),
        ("10 litres", VOLUME_ML, 10_000.0),
        ("5 cl", VOLUME_ML, 50.0),
        ("2 cm³", VOLUME_ML, 2.0),
        ("37°C", TEMPERATURE_C, 37.0),
        ("37 º C", TEMPERATURE_C, 37.0),
        ("37 deg C", TEMPERATURE_C, 37.0),
        ("-5 c", TEMPERATURE_C, -5.0),
        ("−5 c", TEMPERATURE_C, -5.0),
        ("98.6 °F", TEMPERATURE_C, 37.0),
        ("310.15K", TEMPERATURE_C, 37.0),
        ("1.25KG", MASS_G, 1250.0),
        ("300 L/min", AIR_FLOW_M3_PER_H, 18.0),
        ("5 L/s", AIR_FLOW_M3_PER_H, 18.0),
        ("20m³/h", AIR_FLOW_M3_PER_H, 20.0),
        ("766 hPa", PRESSURE_KPA, 76.6),
    ],
)
def test_a_number_with_its_unit_is_read(text, units, value):
    """Point or comma, with or without a space, capitals and signs as they come."""
    assert quantity(text, units, "--x") == pytest.approx(value)


@pytest.mark.parametrize(
    ("text", "days"),
    [("180d", 180), ("2 weeks", 14), ("6 mo.", 186), ("6 months", 186), ("1 y", 366), ("48h", 2), ("0d", 0)],
)
def test_a_month_and_a_year_count_as_their_longest(text, days):
    """The cautious end for an age."""
    assert zero_or_more(text, AGE_S, "--age") == days * 86_400.0


def test_a_bare_number_is_read_only_where_the_option_says_so():
    """Percent and metres need no unit; grams do."""
    assert quantity("60", PERCENT, "--rh", bare=True) == 60.0
    assert quantity("32", TEMPERATURE_C, "--stored-at", bare=True) == 32.0
    assert optional(None, PERCENT, "--rh") is None
    with pytest.raises(UnknownName, match=r"--wet '60' is not understood.*units: g, kg, mg"):
        quantity("60", MASS_G, "--wet")


@pytest.mark.parametrize(
    "text", ["", "mL", "sixty mL", "60 cups", "60 gal", "6 0mL", "60mL 5", "1e3mL", "nanmL", "1,250,000mL"]
)
def test_anything_else_is_refused(text):
    """The message names the option, the text and the units."""
    with pytest.raises(UnknownName, match=rf"--trap '{text}' is not understood.*mL, L, cL, dL, m3"):
        quantity(text, VOLUME_ML, "--trap")


@pytest.mark.parametrize(
    ("text", "units", "shown"),
    [("180", AGE_S, "hours, days, weeks"), ("180 s", AGE_S, "hours"), ("32°", TEMPERATURE_C, "°C, °F, K")],
)
def test_a_refusal_shows_the_units_that_are_read(text, units, shown):
    """One spelling of each."""
    with pytest.raises(UnknownName, match=f"Give a number with one of these units: {shown}"):
        quantity(text, units, "--x")


def test_a_comma_before_three_digits_is_never_guessed():
    """1,250 g is a thousand in one country and a little over one in another."""
    with pytest.raises(
        UnknownName, match=r"--wet '1,250 g' may be a thousand or a fraction. Write 1250 or 1.250"
    ):
        quantity("1,250 g", MASS_G, "--wet")


@pytest.mark.parametrize(
    ("read", "text", "message"),
    [
        (above_zero, "0g", "--scoop '0g' is nothing, or less. Give more than 0."),
        (above_zero, "-1g", "--scoop '-1g' is nothing, or less"),
        (zero_or_more, "-1g", "--scoop '-1g' is negative. Give 0 or more."),
    ],
)
def test_what_there_cannot_be_is_refused(read, text, message):
    """Nothing measures nothing, and no age is negative."""
    with pytest.raises(OutOfRange, match=message):
        read(text, MASS_G, "--scoop")


def test_a_number_beyond_measure_is_refused():
    """Four hundred digits are no weight."""
    with pytest.raises(OutOfRange, match="beyond all measure"):
        quantity("9" * 400 + "g", MASS_G, "--wet")
