"""Dryness by weight."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import UnreadableLog
from lungwort.evidence.dryness import Weights, judge_dryness, read_weights
from lungwort.evidence.verdict import Outcome
from lungwort.library.catalogue import find_criterion

FINE = [find_criterion("dry-0.2-percent")]


@pytest.mark.parametrize(
    ("lines", "outcome"),
    [
        ("dry 412 g; now 412.4 g; scale ±0.1 g", Outcome.PASSED),  # 0.10 % and 0.05 % error; 0.2 % allowed
        ("dry 412 g; now 412.7 g; scale ±0.1 g", Outcome.NOT_SHOWN),
        ("dry 412 g; now 414 g; scale ±0.1 g", Outcome.FAILED),
        ("dry 412 g; now 412.4 g", Outcome.NOT_SHOWN),  # a scale good to 1 g cannot tell
        ("dry 412 g", Outcome.NOT_SHOWN),
        ("now 412 g", Outcome.NOT_SHOWN),
        ("dry 412 g; now 400 g; scale 0.1 g", Outcome.NOT_SHOWN),  # lighter than dry: not the same part
    ],
)
def test_water_left_is_held_against_the_scales_error(lines, outcome):
    """EN 285 (from memory): 0.2 % of the mass of a metal load."""
    assert judge_dryness(read_weights([lines]), FINE).outcome is outcome


def test_kilograms_and_decimal_commas_are_read():
    """People write both."""
    assert read_weights(["dry 1,2 kg", "now 1201,5 g"]) == Weights(
        1200.0, 1201.5, 1.0, read_weights([]).assumptions
    )


def test_a_scale_nobody_described_is_said():
    """It is taken as good to 1 g."""
    assert "good to 1 g" in judge_dryness(read_weights(["dry 1 kg"]), FINE).assumptions[0]


@pytest.mark.parametrize("line", ["wet 3 g", "dry heavy", "dry 3 g; dry 4 g", "dry 3"])
def test_a_line_that_is_no_weight_is_refused(line):
    """The message shows the lines there are."""
    with pytest.raises(UnreadableLog, match="write dry 412 g, now 413.5 g"):
        read_weights([line])


@given(st.floats(50, 5000), st.floats(0, 50), st.floats(0, 2))
def test_more_water_never_makes_a_part_drier(dry_g, left_g, more_g):
    """The verdict gets no better with weight."""
    order = [Outcome.PASSED, Outcome.NOT_SHOWN, Outcome.FAILED]
    before = judge_dryness(Weights(dry_g, dry_g + left_g, 0.1), FINE).outcome
    after = judge_dryness(Weights(dry_g, dry_g + left_g + more_g, 0.1), FINE).outcome
    assert order.index(after) >= order.index(before)


def test_a_comma_that_may_part_thousands_is_refused():
    """1,250 g is a thousand or one and a quarter."""
    with pytest.raises(
        UnreadableLog, match="'dry 1,250 g' may be a thousand or a fraction; write 1250 or 1.250"
    ):
        read_weights(["dry 1,250 g"])
