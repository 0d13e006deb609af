"""Hold: every channel within the band, unbroken, for the time asked; the band guarded by the sensor's error."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from lungwort.evidence.log import FloatArray
from lungwort.evidence.plateau import plateau
from lungwort.evidence.rules.common import between, finding, unmeasured
from lungwort.evidence.verdict import Finding, Outcome
from lungwort.evidence.view import View
from lungwort.language import _, number
from lungwort.library.criteria import Criterion, Limit


def judge_hold(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Pass where all channels are in the guarded band long enough; fail where even the widened band is too short."""
    if limit.at_least is None or limit.for_s is None or not len(view.elapsed_s):
        return unmeasured(limit, _("No moment has a reading of every channel."), limit.for_s)
    surely_s = held_s(view, view.surely_in_band(limit.at_least, limit.at_most)) - view.clock_slack_s
    possibly_s = _possibly_s(view, limit) + view.clock_slack_s
    outcome = between(surely_s >= limit.for_s, possibly_s < limit.for_s)
    says = _says(view, limit, criterion, max(0.0, surely_s), outcome)
    return finding(limit, outcome, says, max(0.0, surely_s), limit.for_s, unit="s")


def held_s(view: View, inside: NDArray[np.bool_]) -> float:
    """Return the length of the longest run of `inside` in s, from its first to its last reading."""
    rows = view.run(inside)
    return 0.0 if rows is None else float(view.elapsed_s[rows.stop - 1] - view.elapsed_s[rows.start])


def _possibly_s(view: View, limit: Limit) -> float:
    """Return the longest time that the hold can have lasted, missing readings and gaps counted as held."""
    times_s, inside = view.log.elapsed_s, _possibly_in_band(view, limit)
    silent = np.flatnonzero(np.diff(times_s) > view.longest_gap_s)
    if silent.size:
        times_s = np.insert(times_s, silent + 1, (times_s[silent] + times_s[silent + 1]) / 2)
        inside = np.insert(inside, silent + 1, True)
    return _stretched_s(times_s, inside, view.interval_s)


def _possibly_in_band(view: View, limit: Limit) -> NDArray[np.bool_]:
    """Return where no reading of any channel is surely outside the band, in all rows."""
    low_k, high_k = view.error_k(limit.at_least or 0.0)
    if view.all_complete:
        return view.in_band(limit.at_least or 0.0, limit.at_most, low_k, high_k)
    inside = np.ones(len(view.log.elapsed_s), bool)
    for channel in view.log.temperatures:  # a missing reading compares false, so it excludes nothing
        inside &= ~(channel.values < (limit.at_least or 0.0) + low_k)
        if limit.at_most is not None:
            inside &= ~(channel.values > limit.at_most + high_k)
    return inside


def _stretched_s(times_s: FloatArray, inside: NDArray[np.bool_], interval_s: float) -> float:
    """Return the longest time that `inside` can have lasted: to the readings before and after."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], inside.astype(np.int8), [0]))))
    starts, stops = edges[::2], edges[1::2]
    if not len(starts):
        return 0.0
    before = times_s[np.maximum(starts - 1, 0)]
    after = times_s[np.minimum(stops, len(inside) - 1)]
    open_ended = (starts == 0) | (stops == len(inside))
    return float(np.where(open_ended, after - before + interval_s, after - before).max())


def _says(view: View, limit: Limit, criterion: Criterion, surely_s: float, outcome: Outcome) -> str:
    read_s = held_s(view, view.in_band(limit.at_least or 0.0, limit.at_most))
    text = _("{band} held for {read} as read, {surely} after allowing for the sensor; {asked} asked.").format(
        band=_band(limit), read=_time(read_s), surely=_time(surely_s), asked=_time(limit.for_s or 0.0)
    )
    return text if outcome is Outcome.PASSED else f"{text} {_why(view, limit, criterion, read_s)}".rstrip()


def _why(view: View, limit: Limit, criterion: Criterion, read_s: float) -> str:
    coldest = float(view.coldest_c.max())
    if coldest < (limit.at_least or 0.0):
        return _("The coldest channel, {name}, read {top} °C at most.").format(
            name=_coldest_name(view), top=number(coldest)
        )
    rows = plateau(view, criterion)
    hottest = float(view.hottest_c[rows].max()) if rows is not None else float("nan")
    if limit.at_most is not None and hottest > limit.at_most:
        return _("The hottest channel read {top} °C.").format(top=number(hottest))
    if read_s < (limit.for_s or 0.0):
        whole = view.all_complete and view.breaking_gap_s == np.inf
        return "" if whole else _("A gap, or a moment without a reading of every channel, ends a hold.")
    low, high = (number(k, 2) for k in view.error_k(limit.at_least or 0.0))
    even = low == number(-view.error_k(limit.at_least or 0.0)[1], 2)
    text = (
        _("The sensor may be up to {high} K off ({sensor}).")
        if even
        else _("The sensor may be {low} to {high} K off ({sensor}).")
    )
    return text.format(low=low, high=high, sensor=view.circumstances.sensor.says)


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
