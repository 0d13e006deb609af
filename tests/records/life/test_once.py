"""What is sent twice over a weak network is recorded once."""

import pytest

from lungwort.records.chain.event import Thing
from lungwort.records.life import corrections, parts
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


def test_what_was_sent_once_is_corrected_and_keeps_its_word(house):
    """Sent again after that, neither the deed nor its correction is recorded twice."""
    one, two = house.new("Mask"), house.new("Mask")
    parts.take_apart(house.technician, [one, two])
    wash = house.technician.just_once("a1b2c3")
    wrong = parts.wash(wash, [one])
    correct = house.technician.just_once("d4e5f6")
    told = (correct, wrong.id, "wrong label")
    right = corrections.correct(*told, things=[Thing(two, "part")])
    assert corrections.correct(*told, things=[Thing(two, "part")]) == right
    assert parts.wash(wash, [one]) == right
    assert (house.status(one), house.status(two)) == ("soiled", "washed")
