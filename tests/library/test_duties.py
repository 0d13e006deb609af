"""What is usually checked and done."""

import pytest

from lungwort.errors import UnknownName, UnusableLibrary
from lungwort.library.duties import all_duties, find_duty, names, parse_duties, usual_for
from lungwort.library.loading import Basis, plain
from lungwort.library.parts import all_parts, parts_by_name

USABLE = """
[[usual]]
name = "squeeze it"
parts = ["mask"]
when = "in use"
known_by = ["squeeze"]
every_h_at_most = 8
source = "S"
basis = "common practice"
"""


def test_every_part_for_breathing_or_beside_it_has_something_usual():
    """No generic part is without a check or a duty."""
    assert [part.name for part in all_parts() if not usual_for(part.name)] == []


def test_every_duty_names_parts_by_their_own_names():
    """An alias would never be found by a part's name."""
    own = {part.name for part in all_parts()}
    assert {part for usual in all_duties().usual for part in usual.parts} <= own
    assert {usual.unless_listed for usual in all_duties().usual if usual.unless_listed} <= own


def test_nothing_is_called_published_that_was_not_read():
    """All is common practice or memory, with a source in words."""
    rows = [*all_duties().usual, *all_duties().habits]
    assert {row.basis for row in rows} == {Basis.COMMON_PRACTICE, Basis.FROM_MEMORY}
    assert all(len(row.source) > 15 for row in rows)


def test_names_stand_once():
    """A `like` means one of them."""
    found = [plain(usual.name) for usual in all_duties().usual]
    assert len(found) == len(set(found))


def test_each_name_is_known_by_its_own_words():
    """Who copies the library's name into a protocol is understood."""
    assert [usual.name for usual in all_duties().usual if not usual.meant_by(usual.name)] == []


def test_intervals_are_those_of_the_named_practice():
    """Inlet filter three months (common practice); a trap of 100 mL and more is not half full in 4 h."""
    assert find_duty("clean or change the inlet filter").every_h_at_most == 90 * 24
    # condensate at 10 L/min from 37 to 24 °C: 0.318 L a day (computed, simple difference)
    trap_h = find_duty("empty the trap before it is half full").every_h_at_most
    assert 318 * trap_h / 24 == pytest.approx(53, abs=0.5)


@pytest.mark.parametrize(
    ("text", "known_by", "found"),
    [
        ("Leak-test of the circuit", ["leak"], True),
        ("Test for LEAKS", ["leak"], True),
        ("bleak outlook", ["leak"], False),
        ("change the circuit", ["change circuit"], True),
        ("circuit: change, weekly", ["change circuit"], True),
        ("change the filter", ["change circuit"], False),
        ("", ["leak"], False),
    ],
)
def test_a_text_is_known_by_beginnings_of_words(text, known_by, found):
    """All words of one entry, in any order and case."""
    assert names(text, known_by) is found


@pytest.mark.parametrize(
    ("text", "habit"),
    [
        ("change circuit", True),
        ("Replace the tubing every week", True),
        ("change the circuit if soiled", False),
        ("change the filter of the circuit", False),
        ("drain the circuit", False),
    ],
)
def test_only_a_change_of_circuit_by_the_calendar_is_a_habit(text, habit):
    """A change for cause is no habit."""
    assert any(each.meant_by(text) for each in all_duties().habits) is habit


def test_a_duty_is_found_by_name_and_a_slip_is_asked_about():
    """Near names are listed."""
    assert find_duty("LIGHT shines").parts == ("laryngoscope blade",)
    with pytest.raises(
        UnknownName, match="no usual check or duty called 'light shone'; near ones: light shines"
    ):
        find_duty("light shone")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('source = "S"', "", "duty squeeze it in duties.toml is not usable .*source"),
        ('"mask"', '"hat"', "names parts that parts.toml does not have: hat"),
        ("every_h_at_most = 8", "", "a duty in use needs every_h_at_most"),
        ('"in use"', '"before use"', "a duty in use needs every_h_at_most, and a check has none"),
    ],
)
def test_a_row_that_lacks_something_is_refused(old, new, says):
    """The message names row and file."""
    assert parse_duties(USABLE).usual[0].every_h_at_most == 8
    with pytest.raises(UnusableLibrary, match=says):
        parse_duties(USABLE.replace(old, new))


def test_parts_are_looked_up_as_they_are_shipped():
    """The generic parts that the issue lists are all there."""
    assert {"inlet filter", "water trap", "hme", "bacterial filter", "trolley"} <= set(parts_by_name())
