"""The plateau of a cycle: the rows that carry the proof, so that steam is judged where it is said to have worked."""

from __future__ import annotations

import numpy as np

from lungwort.evidence.log import FloatArray
from lungwort.evidence.view import View
from lungwort.library.criteria import Criterion, Limit
from lungwort.science.holds import best_stretch
from lungwort.science.lethality import Z_K, accumulated_low, lethal_rate

BELOW_MAX_K = 1.0
FEWEST_READINGS = 5
DEPTHS_K = (
    1.0,
    2.0,
    4.0,
    8.0,
    16.0,
    32.0,
)  # how far below its top the plateau of a lethality may have to reach


def plateau(view: View, criterion: Criterion) -> slice | None:
    """Return the rows of the criterion's plateau, or None where the log has no complete row.

    Of a hold: the longest run surely within its band, where it lasts long enough; else the longest run at or above
    its temperature, where it has 5 readings. Of a lethality: the hottest run that by itself gains the lethality
    asked for. Where there is no such run, the longest within 1 K of the top.
    """
    if not len(view.elapsed_s):
        return None
    hold, f0 = criterion.limit("hold"), criterion.limit("f0")
    if hold is not None and hold.at_least is not None:
        found = view.once(_held, hold)
    else:
        found = None if f0 is None else view.once(_lethal, f0)
    return found if found is not None else view.once(_top)


def _held(view: View, hold: Limit) -> slice | None:
    from_c, asked_s = hold.at_least or 0.0, hold.for_s or 0.0
    run = view.run(view.surely_in_band(from_c, hold.at_most))
    if run is not None and view.elapsed_s[run.stop - 1] - view.elapsed_s[run.start] >= asked_s:
        return run
    run = view.run(view.coldest_c >= from_c)
    return run if run is not None and run.stop - run.start >= FEWEST_READINGS else None


def _top(view: View) -> slice | None:
    return view.run(view.coldest_c >= view.coldest_c.max() - BELOW_MAX_K)


def _lethal(view: View, limit: Limit) -> slice | None:
    """Return the hottest run whose lethality, the sensor erring against it, reaches the limit; None where none does."""
    if limit.at_least is None or limit.reference_c is None or limit.floor_c is None:
        return None
    top_c = float(view.coldest_c.max())
    surely = float(lethal_rate(limit.reference_c - view.error_k(top_c)[1], limit.reference_c))
    needed_s = 60 * limit.at_least / (surely * float(lethal_rate(0.0, limit.reference_c)))
    gained = view.once(_gained_at_zero)
    if top_c < limit.floor_c or gained[-1] < needed_s:
        return None
    for depth_k in DEPTHS_K:
        above = view.coldest_c >= max(top_c - depth_k, limit.floor_c)
        rows = best_stretch(view.elapsed_s, above, gained, view.breaking_gap_s)
        if rows is not None and gained[rows[1]] - gained[rows[0]] >= needed_s:
            return slice(rows[0], rows[1] + 1)
    return None


def _gained_at_zero(view: View) -> FloatArray:
    """Return the lower-neighbour lethality of the coldest channel up to each complete row, in s at 0 °C."""
    rate = np.asarray(lethal_rate(view.coldest_c, 0.0, Z_K))
    return np.asarray(accumulated_low(view.elapsed_s, rate, view.longest_gap_s))
