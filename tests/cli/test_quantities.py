"""Numbers with their unit as people type them."""

import pytest

from lungwort.cli.quantities import (
    AIR_FLOW_M3_PER_H,
    MASS_G,
    PERCENT,
    PRESSURE_KPA,
    TEMPERATURE,
    VOLUME_ML,
    optional,
    quantity,
)
from lungwort.errors import OutOfRange


@pytest.mark.parametrize(
    ("text", "units", "value"),
    [
        ("60mL", VOLUME_ML, 60.0),
        ("0,25 L", VOLUME_ML, 250.0),
        ("0.250L", VOLUME_ML, 250.0),
        ("0,250L", VOLUME_ML, 250.0),
        ("37°C", TEMPERATURE, 37.0),
        ("-5 c", TEMPERATURE, -5.0),
        ("98.6 °F", TEMPERATURE, 37.0),
        ("310.15K", TEMPERATURE, 37.0),
        ("1.25KG", MASS_G, 1250.0),
        ("300 L/min", AIR_FLOW_M3_PER_H, 18.0),
        ("5 L/s", AIR_FLOW_M3_PER_H, 18.0),
        ("20m³/h", AIR_FLOW_M3_PER_H, 20.0),
        ("766 hPa", PRESSURE_KPA, 76.6),
    ],
)
def test_a_number_with_its_unit_is_read(text, units, value):
    """Point or comma, with or without a space, capitals as they come."""
    assert quantity(text, units, "--x") == pytest.approx(value)


def test_a_bare_number_is_read_only_where_the_option_says_so():
    """Percent and metres need no unit; grams do."""
    assert quantity("60", PERCENT, "--rh", bare=True) == 60.0
    assert optional(None, PERCENT, "--rh") is None
    with pytest.raises(OutOfRange, match=r"--wet '60' is not understood.*units: g, kg, mg"):
        quantity("60", MASS_G, "--wet")


@pytest.mark.parametrize("text", ["", "mL", "sixty mL", "60 cups", "6 0mL", "60mL 5", "1e3mL", "nanmL"])
def test_anything_else_is_refused(text):
    """The message names the option, the text and the units."""
    with pytest.raises(OutOfRange, match=rf"--trap '{text}' is not understood.*mL, L"):
        quantity(text, VOLUME_ML, "--trap")


def test_a_comma_before_three_digits_is_never_guessed():
    """1,250 g is a thousand in one country and a little over one in another."""
    with pytest.raises(
        OutOfRange, match=r"--wet '1,250 g' may be a thousand or a fraction. Write 1250 or 1.250"
    ):
        quantity("1,250 g", MASS_G, "--wet")


def test_a_number_beyond_measure_is_refused():
    """Four hundred digits are no weight."""
    with pytest.raises(OutOfRange, match="beyond all measure"):
        quantity("9" * 400 + "g", MASS_G, "--wet")
