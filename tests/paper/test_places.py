"""Labels keep apart and ticks are round."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from lungwort.paper.places import apart, emptiest, ticks, time_ticks

PLACES = st.lists(st.floats(0, 100), min_size=1, max_size=8)


@given(PLACES)
def test_places_stand_apart_in_their_order_and_inside_the_bounds(wanted: list[float]) -> None:
    """Neighbours are at least a step apart, the order is kept, and nothing leaves the bounds."""
    found = apart(wanted, 12.0, 0.0, 100.0)
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    assert np.all(np.diff([found[i] for i in order]) >= 12.0 - 1e-9)
    assert min(found) >= 0
    assert max(found) <= 100 + 1e-9


def test_places_far_enough_apart_stay_where_they_are() -> None:
    """Nothing moves that does not collide."""
    assert apart([5.0, 60.0, 30.0], 12.0, 0.0, 100.0) == [5.0, 60.0, 30.0]


def test_ticks_are_round_and_inside() -> None:
    """A temperature axis gets tens, a clock axis the steps of a clock."""
    assert ticks(18.0, 77.0, 5) == [20.0, 30.0, 40.0, 50.0, 60.0, 70.0]
    assert time_ticks(100.0, 9) == [0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0]


def test_the_emptiest_place_is_the_one_without_lines() -> None:
    """A label goes where no curve runs."""
    line = (np.array([0.0, 100.0]), np.array([10.0, 10.0]))
    assert emptiest([(0, 50, 5, 15), (0, 50, 20, 30)], [line]) == 1
