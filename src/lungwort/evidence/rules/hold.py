"""Hold: every channel within the band, unbroken, for the time asked; the band guarded by the sensor's error."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from lungwort.evidence.rules.common import between, finding, unmeasured
from lungwort.evidence.verdict import Finding, Outcome
from lungwort.evidence.view import View
from lungwort.language import _, number
from lungwort.library.criteria import Criterion, Limit


def judge_hold(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Pass where all channels are in the guarded band long enough; fail where even the widened band is too short."""
    if limit.at_least is None or limit.for_s is None or not len(view.elapsed_s):
        return unmeasured(limit, _("No moment has a reading of every channel."), limit.for_s)
    error_low_k, error_high_k = view.error_k(limit.at_least)
    surely_s = held_s(view, in_band(view, limit, error_high_k, error_low_k)) - view.clock_slack_s
    possibly_s = _stretched_s(view, in_band(view, limit, error_low_k, error_high_k))
    outcome = between(surely_s >= limit.for_s, possibly_s < limit.for_s)
    says = _says(view, limit, max(0.0, surely_s), outcome)
    return finding(limit, outcome, says, max(0.0, surely_s), limit.for_s, unit="s")


def in_band(view: View, limit: Limit, below_k: float, above_k: float) -> NDArray[np.bool_]:
    """Return where coldest - `below_k` and hottest - `above_k` lie within the band, shape (n,)."""
    floor_c = limit.at_least if limit.at_least is not None else -np.inf
    inside = view.coldest_c >= floor_c + below_k
    if limit.at_most is not None:
        inside &= view.hottest_c <= limit.at_most + above_k
    return np.asarray(inside)


def held_s(view: View, inside: NDArray[np.bool_]) -> float:
    """Return the length of the longest run of `inside` in s, from its first to its last reading."""
    rows = view.run(inside)
    return 0.0 if rows is None else float(view.elapsed_s[rows.stop - 1] - view.elapsed_s[rows.start])


def _stretched_s(view: View, inside: NDArray[np.bool_]) -> float:
    """Return the longest time that `inside` can have lasted: to the readings before and after, through gaps."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], inside.astype(np.int8), [0]))))
    starts, stops = edges[::2], edges[1::2]
    if not len(starts):
        return 0.0
    before = view.elapsed_s[np.maximum(starts - 1, 0)]
    after = view.elapsed_s[np.minimum(stops, len(inside) - 1)]
    open_ended = (starts == 0) | (stops == len(inside))
    return float(np.where(open_ended, after - before + view.interval_s, after - before).max())


def _says(view: View, limit: Limit, surely_s: float, outcome: Outcome) -> str:
    read_s = held_s(view, in_band(view, limit, 0.0, 0.0))
    text = _("{band} held for {read} as read, {surely} after allowing for the sensor; {asked} asked.").format(
        band=_band(limit), read=_time(read_s), surely=_time(surely_s), asked=_time(limit.for_s or 0.0)
    )
    return text if outcome is Outcome.PASSED else text + " " + _why(view, limit)


def _why(view: View, limit: Limit) -> str:
    coldest = float(view.coldest_c.max())
    if coldest < (limit.at_least or 0.0):
        return _("The coldest channel, {name}, read {top} °C at most.").format(
            name=_coldest_name(view), top=number(coldest)
        )
    rows = view.plateau(limit.at_least)
    hottest = float(view.hottest_c[rows].max()) if rows is not None else float("nan")
    if limit.at_most is not None and hottest > limit.at_most:
        return _("The hottest channel read {top} °C.").format(top=number(hottest))
    low, high = view.error_k(limit.at_least or 0.0)
    return _("The sensor may be {low} to {high} K off ({sensor}).").format(
        low=number(low, 2), high=number(high, 2), sensor=view.circumstances.sensor.says
    )


def _coldest_name(view: View) -> str:
    return min(view.log.temperatures, key=lambda c: float(view.values(c).max())).name


def _band(limit: Limit) -> str:
    if limit.at_most is None:
        return _("{low} °C or more").format(low=number(limit.at_least, 0))
    return _("{low} to {high} °C").format(low=number(limit.at_least, 0), high=number(limit.at_most, 0))


def _time(seconds: float) -> str:
    if seconds < 600:
        return _("{s} s").format(s=number(seconds, 0))
    return _("{m} min").format(m=number(seconds / 60, 1))
