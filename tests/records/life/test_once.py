"""What is sent twice over a weak network is recorded once."""

import pytest

from lungwort.records.life import parts
from lungwort.records.life.reasons import Refused


def test_a_deed_sent_twice_is_recorded_once(house):
    """The second answer is the first event; a later deed without the word is one of its own."""
    nurse = house.technician.just_once("a1b2c3")
    part = house.new("Mask")
    first = parts.take_apart(nurse, [part])
    assert parts.take_apart(nurse, [part]) == first
    assert parts.take_apart(house.technician, [part]) != first


def test_a_word_belongs_to_one_deed(house):
    """Another deed or another person cannot use it."""
    part = house.new("Mask")
    parts.take_apart(house.technician.just_once("a1b2c3"), [part])
    with pytest.raises(Refused, match="belongs to another deed"):
        parts.wash(house.technician.just_once("a1b2c3"), [part])
