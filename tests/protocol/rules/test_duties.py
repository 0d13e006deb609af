"""Checks and duties that are usual."""

import pytest
from protocol_making import check, duty, findings, kind, line, protocol

from lungwort.protocol.finding import Severity

EMPTY = duty(what="empty the trap", every_h=4)
UPRIGHT = check(what="hangs upright")


def trap(checks=(UPRIGHT,), duties=(EMPTY,), **changes):
    """A protocol of one water trap."""
    usual = {"name": "Trap", "like": "water trap", "checks": list(checks), "duties": list(duties)}
    return protocol(kinds=[kind(**{**usual, **changes})])


def test_usual_checks_and_duties_pass():
    """Known by their words."""
    assert findings("duties", trap()) == []
    assert findings("duties", protocol()) == []


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"checks": []}, "Trap has no check before use such as: trap upright at the lowest point."),
        ({"checks": [check(when="after use", what="hangs upright")]}, "no check before use such as"),
        ({"duties": []}, "Trap has no in use duty such as: empty the trap before it is half full."),
        ({"duties": [duty(what="look at it")]}, "no in use duty such as: empty the trap"),
    ],
)
def test_a_missing_one_is_a_warning_at_the_kind_that_names_it(changes, says):
    """With source and basis of the library."""
    text = trap(**changes)
    (found,) = findings("duties", text)
    assert (found.severity, found.line) == (Severity.WARNING, line(text, 'name = "Trap"'))
    assert says in found.says
    assert found.source.startswith("Common practice")
    assert found.basis == "common practice"


def test_a_missing_check_after_use_is_named():
    """The circuit wants a look for damage."""
    (found,) = findings("duties", protocol(kinds=[kind(checks=[check()])]))
    assert "has no check after use such as: look for damage and report faults" in found.says


def test_each_missing_one_is_a_finding_of_its_own():
    """Nothing hides behind another."""
    assert len(findings("duties", trap(checks=(), duties=()))) == 2


def test_a_duty_in_other_words_is_known_by_its_like():
    """In any language."""
    text = trap(duties=[duty(what="vaciar", every_h=4, like="empty the trap before it is half full")])
    assert findings("duties", text) == []
    (found,) = findings("duties", trap(duties=[duty(what="vaciar", every_h=4)]))
    assert 'like = "empty the trap before it is half full"' in found.remedy


def test_a_like_overrules_the_words():
    """What is said to be something else is not taken for this."""
    text = trap(duties=[duty(what="empty the trap", every_h=4, like="look at the skin beneath")])
    assert len(findings("duties", text)) == 1


@pytest.mark.parametrize(
    ("interval", "at", "written"),
    [
        ({"every_h": 4.5}, "every_h = 4.5", "4.5 h"),
        ({"every_h": None, "every_days": 2}, "every_days = 2", "2 days"),
        ({"every_h": None, "every_days": 1}, "every_days = 1", "24 h"),
    ],
)
def test_a_duty_less_often_than_usual_is_a_warning_at_its_interval(interval, at, written):
    """Hours and days alike."""
    text = trap(duties=[duty(**{"what": "empty the trap", **interval})])
    (found,) = findings("duties", text)
    assert (found.severity, found.line) == (Severity.WARNING, line(text, at))
    assert f"Trap: “empty the trap” is due every {written}; usual is every 4 h at most." in found.says


def test_the_oftenest_of_several_duties_counts():
    """A weekly deep clean beside the round is no fault."""
    assert findings("duties", trap(duties=[duty(what="empty and scrub", every_h=168), EMPTY])) == []


def test_the_inlet_filter_is_asked_of_the_machine_unless_it_is_a_kind_of_its_own():
    """Three months at most (common practice)."""
    machine = kind(name="Ventilator", like="ventilator", machine=True, duties=[duty(what="look at alarms")])
    filters = kind(
        name="Filter", like="inlet filter", duties=[duty(what="wash it", every_h=None, every_days=91)]
    )
    alone = [f.says for f in findings("duties", protocol(kinds=[machine])) if "inlet filter" in f.says]
    assert alone == [
        "Ventilator has no in use duty such as: clean or change the room-air inlet filter of the machine."
    ]
    both = protocol(kinds=[machine, filters])
    about = [f for f in findings("duties", both) if "Filter" in f.says or "inlet" in f.says]
    assert [f.says for f in about] == [
        "Filter: “wash it” is due every 91 days; usual is every 90 days at most."
    ]


@pytest.mark.parametrize(
    ("what", "found"),
    [
        ("change the circuit", 1),
        ("replace hoses", 1),
        ("change the circuit when soiled", 0),
        ("change filters", 0),
    ],
)
def test_a_change_of_circuit_by_the_calendar_is_a_note_that_cites_cdc_2003(what, found):
    """No routine change by duration of use (summary seen in excerpt)."""
    text = protocol(kinds=[kind(duties=[duty(), duty(what=what, every_h=None, every_days=7)])])
    notes = findings("duties", text)
    assert [(n.severity, n.line) for n in notes] == [(Severity.NOTE, line(text, f'what = "{what}"'))] * found
    assert all("CDC/HICPAC 2003" in n.source and "every 7 days" in n.says for n in notes)


def test_a_kind_like_nothing_is_not_asked():
    """Nobody told us what is usual for it."""
    own = kind(name="Own part", like=None, materials=["silicone"], checks=[], duties=[])
    assert findings("duties", protocol(kinds=[own])) == []
