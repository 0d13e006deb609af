"""Clean sets against the turnaround."""

import pytest
from protocol_making import findings, kind, line, protocol, step, wash

from lungwort.protocol.finding import Severity


def of(owned, used, hours=32.0, **changes):
    """A protocol of one circuit with so many sets, used so often a day, whose turnaround takes so many hours."""
    usual = {"sets_owned": owned, "used_per_day": used, "steps": [step("store", minutes=hours * 60)]}
    return protocol(kinds=[kind(**{**usual, **changes})])


@pytest.mark.parametrize(("used", "hours", "needed"), [(6, 32, 6 + 13), (5, 24, 5 + 9), (12, 24, 12 + 18)])
def test_fewer_sets_than_needed_are_a_warning_with_the_number(used, hours, needed):
    """Means under way of 8, 5 and 12: 13, 9 and 18 on 95 % of days (facts of the trade, computed)."""
    assert findings("sets", of(needed, used, hours)) == []
    text = of(needed - 1, used, hours)
    (found,) = findings("sets", text)
    assert (found.severity, found.line) == (Severity.WARNING, line(text, "sets_owned"))
    assert f"{needed - 1} sets are owned; about {needed} are needed" in found.says
    assert found.remedy.startswith("Own 1 more")
    assert (found.basis, f"together {needed}" in found.computed) == ("computed", True)
    assert f"= {used * hours / 24:.2f}, at most {needed - used} on 95 % of days" in found.computed


def test_a_part_of_a_use_a_day_keeps_a_whole_set():
    """Half a set cannot be in use: 1 in use, and 0.67 under way on average is 2 at most."""
    assert findings("sets", of(3, 0.5)) == []
    (found,) = findings("sets", of(2, 0.5))
    assert "about 3 are needed" in found.says


def test_what_nobody_uses_needs_no_set():
    """0 a day."""
    assert findings("sets", of(0, 0)) == []


@pytest.mark.parametrize(
    ("owned", "used", "missing"),
    [(5, None, "used_per_day"), (None, 2, "sets_owned"), (None, None, "used_per_day, sets_owned")],
)
def test_what_is_not_written_is_a_note(owned, used, missing):
    """Not shown; nothing is guessed."""
    text = of(owned, used)
    (found,) = findings("sets", text)
    assert (found.severity, found.line) == (Severity.NOTE, line(text, 'name = "Circuit, adult"'))
    assert f"Circuit, adult: {missing} not written, so it is not shown" in found.says


@pytest.mark.parametrize("changes", [{"reuse": "single patient"}, {"like": "HME"}, {"steps": []}])
def test_parts_without_a_turnaround_are_not_asked(changes):
    """They never come back, or another rule speaks of it."""
    assert findings("sets", of(None, None, **changes)) == []


@pytest.mark.parametrize(("used", "count"), [(1e5, 1), (1.1e5, 0), (1e300, 0)])
def test_no_use_that_a_document_may_have_upsets_it(used, count):
    """More than a hundred thousand a day is a slip of the pen, and is not computed with."""
    assert len(findings("sets", of(1, used, hours=1))) == count


def test_minutes_in_another_unit_are_left_to_the_rule_of_units():
    """A wash of 3,600 min is one of 3,600 s."""
    assert findings("sets", of(2, 6, steps=[wash(minutes=3600)])) == []
