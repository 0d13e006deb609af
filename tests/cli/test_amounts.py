"""Amounts on the command line."""

import pytest

from lungwort.cli.amounts import days_words, degrees_c, duration_s, figure, volume_l, volume_words, weight_g
from lungwort.errors import OutOfRange, UnknownName


@pytest.mark.parametrize(
    ("text", "litres"), [("10L", 10.0), ("10 litres", 10.0), ("1,5 l", 1.5), ("500 mL", 0.5), ("5 cl", 0.05)]
)
def test_volumes(text, litres):
    """Any case, decimal comma, with or without a space."""
    assert volume_l(text, "--volume") == pytest.approx(litres)


@pytest.mark.parametrize(
    ("text", "days"), [("180d", 180), ("2 weeks", 14), ("6 months", 186), ("1 y", 366), ("48h", 2), ("0d", 0)]
)
def test_durations(text, days):
    """A month and a year count as their longest, which is the cautious end for an age."""
    assert duration_s(text, "--age") == days * 86_400.0


@pytest.mark.parametrize(("text", "celsius"), [("32", 32.0), ("32 °C", 32.0), ("-5", -5.0), ("90F", 32.222)])
def test_temperatures(text, celsius):
    """°C, or °F where it says so: (90 - 32) / 1.8 = 32.222."""
    assert degrees_c(text, "--stored-at") == pytest.approx(celsius, abs=0.0005)


def test_weights():
    """Grams or kilograms."""
    assert weight_g("0.5 kg", "--scoop") == 500.0


@pytest.mark.parametrize(
    ("read", "text", "error", "message"),
    [
        (volume_l, "10", UnknownName, "--x '10' cannot be read; give a number and its unit, such as 10L"),
        (volume_l, "10 gal", UnknownName, "cannot be read"),
        (volume_l, "0L", OutOfRange, "--x '0L' is nothing to mix or measure with; give one above 0"),
        (volume_l, "-1L", OutOfRange, "is nothing to mix or measure with"),
        (weight_g, "15mL", UnknownName, "such as 15g"),
        (duration_s, "180", UnknownName, "such as 180d"),
        (duration_s, "-180d", OutOfRange, "--x '-180d' is negative; give how long ago"),
        (degrees_c, "warm", UnknownName, "is not a temperature; write one as 32, 32C or 90F"),
    ],
)
def test_what_cannot_be_an_amount_is_refused(read, text, error, message):
    """The message names the option, the text and a way out."""
    with pytest.raises(error, match=message):
        read(text, "--x")


def test_amounts_in_words():
    """No more digits than needed; mL below a litre; hours below two days."""
    assert [figure(x) for x in (10.0, 0.5, 1.0 / 3.0)] == ["10", "0.5", "0.333"]
    assert [volume_words(x) for x in (0.277, 1.42, 0.00093)] == ["277 mL", "1.42 L", "0.93 mL"]
    assert [days_words(x) for x in (86_400.0, 30 * 86_400.0)] == ["24 hours", "30 days"]
