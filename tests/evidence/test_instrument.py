"""Descriptions of thermometers."""

import pytest

from lungwort.errors import UnknownName
from lungwort.evidence.instrument import parse_sensor, unstated_sensor


@pytest.mark.parametrize(
    ("text", "at_c", "half_width_k"),
    [
        ("Pt100 A", 121, 0.392),  # IEC 60751 (from memory): 0.15 + 0.002 t
        ("pt100 class B", 134, 0.970),
        ("Pt100 AA", 0, 0.10),
        ("type K class 1", 121, 1.5),  # IEC 60584-1 (from memory)
        ("T 1", 134, 0.536),
        ("±0.5 K", 90, 0.5),
        ("+/-0,5 °C", 90, 0.5),
    ],
)
def test_a_class_or_tolerance_gives_its_half_width(text, at_c, half_width_k):
    """The half width is the class's tolerance at that temperature."""
    assert parse_sensor(text).bias_at(at_c).half_width_k == pytest.approx(half_width_k, abs=0.0005)


def test_a_certificate_gives_offset_and_standard_uncertainty():
    """The expanded uncertainty of a certificate has k = 2 (GUM)."""
    bias = parse_sensor("calibrated +0.12 ±0.20 K").bias_at(100)
    assert (bias.offset_k, bias.u_k, bias.half_width_k) == (0.12, 0.10, 0.0)


@pytest.mark.parametrize("text", ["", "Pt100", "Pt1000 A", "type Q class 1", "0.5", "good"])
def test_an_unknown_description_is_refused_with_what_is_allowed(text):
    """The message quotes the text and shows each form."""
    with pytest.raises(UnknownName, match="say 'Pt100 A'"):
        parse_sensor(text)


def test_the_stand_in_says_that_nobody_stated_it():
    """An unstated sensor is marked as such."""
    assert not unstated_sensor().stated
    assert "±2.5 K" in unstated_sensor().says
