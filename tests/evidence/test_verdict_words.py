"""A verdict in words."""

import pytest

from lungwort.evidence.verdict import Outcome
from lungwort.evidence.verdict_words import outcome_meaning


@pytest.mark.parametrize("outcome", [Outcome.FAILED, Outcome.NOT_SHOWN])
def test_a_load_that_is_not_proved_is_held_back(outcome: Outcome) -> None:
    """Both lesser outcomes say what to do with the load."""
    assert "Hold the load back" in outcome_meaning(outcome, 0.95)


def test_no_outcome_calls_anything_safe() -> None:
    """The word is never used: a proof speaks of what was measured."""
    assert all("safe" not in outcome_meaning(o, 0.95).lower() for o in Outcome)
