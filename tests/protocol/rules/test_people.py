"""Who does it."""

from datetime import date, timedelta

import pytest
from protocol_making import TODAY, check, duty, findings, kind, line, protocol, role, training, wash

from lungwort.protocol.finding import Severity


def of(trainings, roles=("technician",), **changes):
    """A protocol in which the technician washes a circuit."""
    usual = {"steps": [wash()], "checks": [], "duties": []}
    return protocol(roles=[role(r) for r in roles], trainings=trainings, kinds=[kind(**{**usual, **changes})])


def two(**changes):
    """Two people in training as technicians."""
    return [training("A1", "technician", **changes), training("B2", "technician")]


def test_two_people_in_training_pass():
    """On the first and on the last day of their training too."""
    assert findings("people", of(two())) == []
    assert findings("people", of(two(passed_on=TODAY))) == []
    (found,) = findings("people", of(two(passed_on=TODAY, expires_on=TODAY)))
    assert "lapses on 2026-11-25, in 0 days" in found.says


@pytest.mark.parametrize(
    ("changes", "at"),
    [
        ({"steps": [wash(by="porter")]}, 'by = "porter"'),
        ({"steps": [wash()], "checks": [check(by="porter")]}, 'by = "porter"'),
        ({"steps": [wash()], "duties": [duty(by="porter")]}, 'by = "porter"'),
    ],
)
def test_a_role_that_is_not_listed_is_an_error_where_it_stands(changes, at):
    """Step, check or duty."""
    text = of([*two(), *(training(p, "porter") for p in "XY")], **changes)
    found = [f for f in findings("people", text) if "by" in f.path]
    assert [(f.severity, f.line) for f in found] == [(Severity.ERROR, line(text, at))]
    assert "There is no role called porter in this document: nobody owns this." in found[0].says


def test_a_misspelt_role_is_asked_about():
    """The near one is named."""
    (found,) = findings("people", of(two(), steps=[wash(), wash(by="Techncian")]))
    assert found.remedy.startswith("Was technician meant?")


def test_one_person_is_a_warning_and_none_an_error():
    """At the role."""
    text = of([training("A1", "technician")])
    (found,) = findings("people", text)
    assert (found.severity, found.line) == (Severity.WARNING, line(text, 'name = "technician"'))
    assert "Only one person, A1, is in training as technician today." in found.says
    (found,) = findings("people", of([]))
    assert (found.severity, found.line) == (Severity.ERROR, line(of([]), 'name = "technician"'))
    assert "Nobody's training as technician holds today." in found.says


@pytest.mark.parametrize(
    "second",
    [
        training("B2", "technician", expires_on=TODAY - timedelta(days=1)),
        training("B2", "technician", passed_on=TODAY + timedelta(days=1)),
        training("A1", "technician", passed_on=date(2026, 9, 1)),
        training("B2", "nurse"),
    ],
    ids=["lapsed", "not yet passed", "the same person", "another role"],
)
def test_training_that_does_not_hold_today_does_not_count(second):
    """Nor does a second training of the same person."""
    text = of([training("A1", "technician"), second], roles=("technician", "nurse"), checks=[check()])
    assert any(
        "Only one person, A1, is in training as technician" in f.says for f in findings("people", text)
    )


@pytest.mark.parametrize(("days", "found"), [(0, 1), (31, 1), (32, 0)])
def test_training_that_lapses_within_a_month_is_a_warning_with_code_and_day(days, found):
    """At its last day, which still counts."""
    last = TODAY + timedelta(days=days)
    text = of(two(expires_on=last))
    lapsing = findings("people", text)
    assert [(f.severity, f.line) for f in lapsing] == [
        (Severity.WARNING, line(text, f"expires_on = {last}"))
    ] * found
    assert all(
        f"The training of A1 as technician lapses on {last}, in {days} days." == f.says for f in lapsing
    )


def test_training_that_is_already_renewed_is_not_warned_of():
    """The later one counts."""
    renewed = [*two(expires_on=TODAY + timedelta(days=5)), training("A1", "technician")]
    assert findings("people", of(renewed)) == []


def test_training_for_an_unknown_role_is_an_error():
    """At the role's name."""
    text = of([*two(), training("C3", "technican")])
    (found,) = findings("people", text)
    assert (found.severity, found.line) == (Severity.ERROR, line(text, 'role = "technican"'))
    assert "Was technician meant?" in found.remedy


def test_a_role_that_owns_nothing_is_a_note_and_needs_nobody():
    """It is not also asked for two people."""
    text = of(two(), roles=("technician", "porter"))
    (found,) = findings("people", text)
    assert (found.severity, found.line) == (Severity.NOTE, line(text, 'name = "porter"'))
    assert "The role porter owns no step, no check and no duty." in found.says
