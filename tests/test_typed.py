"""Numbers as people type them."""

import pytest

from lungwort.typed import two_meanings, typed_number


@pytest.mark.parametrize(
    ("digits", "number"), [("78,5", 78.5), ("78.5", 78.5), ("-3", -3.0), ("+0,25", 0.25)]
)
def test_point_and_comma_are_both_decimal_marks(digits, number):
    """Hospitals write either."""
    assert typed_number(digits) == number


@pytest.mark.parametrize("digits", ["1,250", "12,500", "-1,000", "999,999"])
def test_a_comma_before_three_digits_may_part_thousands(digits):
    """Both ways to write it are offered."""
    shown = two_meanings(digits)
    assert shown == {"whole": digits.replace(",", ""), "fraction": digits.replace(",", ".")}


@pytest.mark.parametrize("digits", ["0,250", "1,25", "1.250", "1250", "1234,567", "1,2500"])
def test_other_commas_are_clear(digits):
    """A leading zero, other than three decimals, or no comma at all."""
    assert two_meanings(digits) is None
