"""One pass over a log gives the same sums as the plain functions of lethality, stretch by stretch."""

import numpy as np
import pytest

from lungwort.errors import OutOfRange
from lungwort.science.lethality import (
    accumulated,
    accumulated_high,
    accumulated_low,
    best_stretch,
    lethal_rate,
)
from lungwort.science.stretches import SHORT_BLOCK, Floors, lethal_sums

FLOORS = Floors(65.0, 63.0, 67.0)


def wavy_log(seed: int, readings: int):
    """Return times with gaps and temperatures that go up and down through the floors."""
    rng = np.random.default_rng(seed)
    elapsed_s = np.cumsum(rng.choice([1.0, 2.0, 10.0], readings))
    slow = rng.uniform(3, 500)
    return elapsed_s, 60 + 15 * np.sin(np.arange(readings) / slow) + rng.normal(0, 2, readings)


@pytest.mark.parametrize("seed", range(60))
def test_one_pass_equals_the_plain_functions(seed):
    """Estimate, upper bound and the best stretch with its rows, over gaps, floors and blocks."""
    readings = int(np.random.default_rng(seed).integers(2, 300)) if seed % 10 else 3 * SHORT_BLOCK + seed
    elapsed_s, temperature_c = wavy_log(seed, readings)
    (sums,) = lethal_sums(elapsed_s, temperature_c, 80.0, [FLOORS], longest_gap_s=5.0)
    rate = np.asarray(lethal_rate(temperature_c, 80.0))
    certain = np.where(temperature_c >= FLOORS.low_c, rate, 0.0)
    low = accumulated_low(elapsed_s, certain, 5.0)
    rows = best_stretch(elapsed_s, certain > 0, low, 5.0)
    assert sums.estimate == pytest.approx(
        accumulated(elapsed_s, np.where(temperature_c >= 65.0, rate, 0), 5.0)[-1]
    )
    assert sums.high == pytest.approx(
        accumulated_high(elapsed_s, np.where(temperature_c >= 63.0, rate, 0))[-1]
    )
    assert sums.low == pytest.approx(0.0 if rows is None else low[rows[1]] - low[rows[0]], abs=1e-9)
    if sums.low > 0:
        assert (sums.start, sums.stop) == rows


@pytest.mark.parametrize("at", [0, 1, SHORT_BLOCK - 1, SHORT_BLOCK, SHORT_BLOCK + 1, 2 * SHORT_BLOCK])
def test_a_break_at_the_edge_of_a_block_breaks_the_stretch_once(at):
    """One cold reading at any place leaves two stretches; the longer one counts."""
    temperature_c = np.full(2 * SHORT_BLOCK + 3, 80.0)
    temperature_c[at] = 20.0
    (sums,) = lethal_sums(np.arange(temperature_c.size), temperature_c, 80.0, [FLOORS])
    longer = max(at - 1, temperature_c.size - at - 2)
    assert sums.low == pytest.approx(longer)


def test_several_floors_cost_one_pass_and_do_not_mix():
    """A set of floors answers as it does alone."""
    elapsed_s, temperature_c = wavy_log(7, 500)
    other = Floors(None, 70.0, 72.0)
    both = lethal_sums(elapsed_s, temperature_c, 80.0, [FLOORS, other], 5.0)
    alone = [lethal_sums(elapsed_s, temperature_c, 80.0, [floors], 5.0)[0] for floors in (FLOORS, other)]
    assert list(both) == alone


def test_nothing_hot_enough_gives_nothing():
    """No stretch: rows -1."""
    (sums,) = lethal_sums([0.0, 1.0, 2.0], [20.0, 30.0, 20.0], 80.0, [FLOORS])
    assert (sums.estimate, sums.high, sums.low, sums.start, sums.stop) == (0.0, 0.0, 0.0, -1, -1)


def test_a_z_of_nothing_is_refused():
    """The message names the value."""
    with pytest.raises(OutOfRange, match="z is 0 K"):
        lethal_sums([0.0, 1.0], [80.0, 80.0], 80.0, [FLOORS], z_k=0)
