"""Words and numbers on paper."""

import math
from datetime import UTC, datetime

import pytest

from lungwort.evidence.verdict import Outcome
from lungwort.paper.words import (
    duration,
    moment,
    outcome_meaning,
    shortened,
    shortened_apart,
    value_and_limit,
)


def test_rounding_never_flatters() -> None:
    """What was held is rounded down and what was needed up, where the caller says so."""
    assert duration(179.9, math.floor) == "2 min 59 s"
    assert duration(179.2, math.ceil) == "3 min"


def test_a_value_never_looks_like_its_limit() -> None:
    """A value just short of its limit gets decimals until both differ on paper."""
    assert value_and_limit(599.96, 600.0, "s") == ("599.96 s", "600.00 s")
    assert value_and_limit(600.0, 600.0, "s") == ("600 s", "600 s")
    assert value_and_limit(None, 15.0, "s") == ("–", "15 s")


def test_a_moment_names_its_zone_only_where_known() -> None:
    """A log without a zone gets none."""
    assert moment(datetime(2026, 5, 18, 14, 5)) == "18 May 2026 14:05"
    assert moment(datetime(2026, 5, 18, 14, 5, tzinfo=UTC)) == "18 May 2026 14:05 UTC"


@pytest.mark.parametrize("outcome", [Outcome.FAILED, Outcome.NOT_SHOWN])
def test_a_load_that_is_not_proved_is_held_back(outcome: Outcome) -> None:
    """Both lesser outcomes say what to do with the load."""
    assert "Hold the load back" in outcome_meaning(outcome, 0.95)


def test_no_outcome_calls_anything_safe() -> None:
    """The word is never used: a proof speaks of what was measured."""
    assert all("safe" not in outcome_meaning(o, 0.95).lower() for o in Outcome)


def test_shortened_names_stay_different() -> None:
    """Names that differ in any place still differ when cut."""
    names = [f"{a}{'x' * 30}{b}" for a in "ab" for b in "cd"]
    assert len(set(shortened_apart(names, 12))) == 4
    middle = ["x" * 20 + a + "y" * 20 for a in "ab"]
    found = shortened_apart(middle, 12)
    assert len(set(found)) == 2
    assert all(len(name) <= 12 for name in found)


def test_a_shortened_text_has_the_length_asked_for() -> None:
    """No more, and no less, than asked."""
    assert [len(shortened("a" * 50, n)) for n in (7, 8, 50)] == [7, 8, 50]
