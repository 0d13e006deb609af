"""Agreement of steam with its pressure: saturation, air left behind, superheat, and the setting itself."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lungwort.evidence.log import FloatArray
from lungwort.evidence.plateau import plateau
from lungwort.evidence.rules.common import between, finding, unmeasured
from lungwort.evidence.verdict import Finding, Outcome
from lungwort.evidence.view import View
from lungwort.language import _, number
from lungwort.library.criteria import Basis, Criterion, Limit
from lungwort.science.arrays import IntArray
from lungwort.science.steam import (
    absolute_kpa,
    air_fraction,
    saturation_pressure_kpa,
    saturation_temperature_c,
)

SETTING_SOURCE = "IAPWS-IF97 region 4; ISO 2533"
PART_S = 60.0  # agreement is judged minute by minute, so that a bad minute does not hide in a good mean
PART_READINGS = 10  # and over no fewer readings, so that noise does not decide


@dataclass(frozen=True)
class Agreement:
    """Over the plateau: mean pressure in kPa absolute, mean temperature of the steam, each channel's difference in K.

    `above_k` holds the difference over the whole plateau, `lowest_k` and `highest_k` that over the part of it where
    it is least and greatest; `all_k` the same three for the mean of the channels.
    """

    pressure_kpa: float
    steam_c: float
    above_k: dict[str, float]
    lowest_k: dict[str, float]
    highest_k: dict[str, float]
    all_k: tuple[float, float, float]
    guard_k: float

    @property
    def coldest(self) -> str:
        """The channel that lies deepest below the steam's temperature over the whole plateau."""
        return min(self.above_k, key=self.above_k.__getitem__)

    @property
    def hottest(self) -> str:
        """The channel that lies highest above the steam's temperature over the whole plateau."""
        return max(self.above_k, key=self.above_k.__getitem__)


def agreement(view: View, criterion: Criterion) -> Agreement | None:
    """Return how the channels agree with the pressure over the plateau; None where the pressure is in doubt."""
    rows = plateau(view, criterion)
    if rows is None or pressure_doubt(view, rows):
        return None
    return view.once(_agreement_over, rows.start, rows.stop)


def _agreement_over(view: View, start: int, stop: int) -> Agreement | None:
    if view.absolute_kpa is None or view.steam_c is None:
        return None
    rows = slice(start, stop)
    steam_c = view.steam_c[rows]
    known = np.isfinite(steam_c)
    mean_c, mean_kpa = float(steam_c[known].mean()), float(view.absolute_kpa[rows][known].mean())
    zero_c = steam_c + view.circumstances.sensor.bias_at(mean_c).offset_k
    starts = _parts(view, rows)
    zero = _sums(zero_c, known, starts)
    counts = np.add.reduceat(known.astype(np.float64), starts)
    off = {
        c.name: _whole_and_parts(_sums(view.values(c)[rows], known, starts) - zero, counts)
        for c in view.log.temperatures
    }
    together = np.mean([np.concatenate(pair) for pair in off.values()], axis=0)
    return Agreement(
        mean_kpa,
        mean_c,
        {name: float(whole[0]) for name, (whole, _parts_k) in off.items()},
        {name: float(parts_k.min()) for name, (_whole, parts_k) in off.items()},
        {name: float(parts_k.max()) for name, (_whole, parts_k) in off.items()},
        (float(together[0]), float(together[1:].min()), float(together[1:].max())),
        view.agreement_guard_k(mean_c, mean_kpa),
    )


def _parts(view: View, rows: slice) -> IntArray:
    """Return the first row, counted from the plateau's, of each of its parts of about a minute and ten readings."""
    count = rows.stop - rows.start
    length_s = float(view.elapsed_s[rows.stop - 1] - view.elapsed_s[rows.start])
    parts = max(1, min(int(length_s / PART_S), count // PART_READINGS))
    return np.asarray(np.arange(parts) * count // parts)


def _sums(values: FloatArray, known: NDArray[np.bool_], starts: IntArray) -> FloatArray:
    """Return the sum of `values` over each part, of the rows that have a pressure."""
    counted = values if known.all() else np.where(known, values, 0.0)
    return np.asarray(np.add.reduceat(counted, starts))


def _whole_and_parts(sums: FloatArray, counts: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the mean over the whole, and over each part that has a pressure."""
    there = counts > 0
    return np.array([sums.sum() / counts.sum()]), sums[there] / counts[there]


def pressure_doubt(view: View, rows: slice) -> str:
    """Return why the pressure on the plateau proves nothing, and what would help; empty where it does."""
    return view.once(_find_doubt, rows.start, rows.stop)


def _find_doubt(view: View, start: int, stop: int) -> str:
    if not view.log.pressures:
        return _("No pressure was logged: hot air cannot be told from steam. Log the chamber pressure too.")
    if view.log.pressures[0].pressure_kind is None:
        return _("Nobody said whether the pressure is gauge or absolute: give --gauge or --absolute.")
    if view.steam_c is None:
        return _("A gauge pressure needs the air pressure of the place: give --altitude or --barometer.")
    times_s, there = view.elapsed_s[start:stop], np.isfinite(view.steam_c[start:stop])
    if not there.any():
        return _("No usable pressure was read on the plateau.")
    silent_s = float(np.diff(np.concatenate((times_s[:1], times_s[there], times_s[-1:]))).max())
    if silent_s > max(PART_S, view.longest_gap_s):
        says = _(
            "No usable pressure was read for {s} s on end on the plateau: hot air cannot be told from steam."
        )
        return says.format(s=number(silent_s, 0))
    return _unlike(view, slice(start, stop))


def _unlike(view: View, rows: slice) -> str:
    """Return a sentence where another pressure column tells of another steam than the first."""
    first, *others = view.log.pressures
    for other in others:
        may_differ_kpa = sum(view.pressure_half_widths_kpa(first) + view.pressure_half_widths_kpa(other))
        kpa = view.absolute_of(other)
        if kpa is None or view.absolute_kpa is None or not np.isfinite(kpa[rows]).any():
            continue
        apart_kpa = abs(float(np.nanmean(kpa[rows]) - np.nanmean(view.absolute_kpa[rows])))
        if apart_kpa > may_differ_kpa:
            says = _(
                "The pressures {first} and {other} lie {kpa} kPa apart on the plateau: "
                "say which is not the chamber's with --leave-out."
            )
            return says.format(first=first.name, other=other.name, kpa=number(apart_kpa))
    return ""


def _why_none(view: View, criterion: Criterion) -> str:
    rows = plateau(view, criterion)
    doubt = _("No moment has a reading of every channel.") if rows is None else pressure_doubt(view, rows)
    return doubt or _("No usable pressure was read on the plateau.")


def judge_saturation(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Judge the mean of all channels against the temperature that the pressure means."""
    found = agreement(view, criterion)
    if found is None or limit.at_most is None:
        return unmeasured(limit, _why_none(view, criterion), limit.at_most)
    whole_k, lowest_k, highest_k = found.all_k
    worst_k = lowest_k if -lowest_k > highest_k else highest_k
    says = _("{kpa} kPa absolute means saturated steam of {steam} °C; on average the channels lie {off} it.")
    text = says.format(kpa=number(found.pressure_kpa), steam=number(found.steam_c), off=_off(whole_k))
    outcome = _judged(abs(whole_k), abs(worst_k), found.guard_k, limit.at_most)
    if outcome is not Outcome.PASSED:
        text += _at_worst(abs(whole_k), worst_k, found.guard_k, limit.at_most)
        text += _other_kind(view, criterion, found.guard_k)
    return finding(limit, outcome, text, abs(whole_k), limit.at_most)


def _off(above_k: float) -> str:
    words = _("{k} K above") if above_k >= 0 else _("{k} K below")
    return words.format(k=number(abs(above_k), 2))


def _judged(whole_k: float, worst_k: float, guard_k: float, at_most_k: float) -> Outcome:
    """Return passed where even the worst part keeps the limit, failed where the whole breaks it."""
    return between(max(whole_k, worst_k) + guard_k <= at_most_k, whole_k - guard_k > at_most_k)


def _other_kind(view: View, criterion: Criterion, guard_k: float) -> str:
    """Return a sentence where the pressure would agree if it were gauge instead of absolute, or the reverse."""
    rows, air = plateau(view, criterion), view.circumstances.air_pressure_kpa
    channel = view.log.pressures[0]
    if rows is None or air is None:
        return ""
    written = float(np.nanmean(view.values(channel)[rows]))
    other = written if channel.pressure_kind == "gauge" else float(absolute_kpa(written, air))
    temperature_c = float(np.mean([np.mean(view.values(c)[rows]) for c in view.log.temperatures]))
    if other < 1 or abs(temperature_c - float(saturation_temperature_c(other))) > 2 * guard_k:
        return ""
    kind = _("absolute") if channel.pressure_kind == "gauge" else _("gauge")
    return " " + _("Read as {kind} pressure it would agree: check which one the instrument gives.").format(
        kind=kind
    )


def judge_air(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Judge the air fraction that would explain how far the coldest channel lies below the steam's temperature."""
    found = agreement(view, criterion)
    if found is None or limit.at_most is None:
        return unmeasured(limit, _why_none(view, criterion))
    name, worst_k = found.coldest, min(found.lowest_k.values())
    above_k = found.above_k[name]
    if above_k - found.guard_k > limit.at_most:
        says = _("{name}, the coldest, lies {off} saturated steam: whether air is left cannot be told there.")
        return finding(limit, Outcome.NOT_SHOWN, says.format(name=name, off=_off(above_k)))
    percent = 100 * float(air_fraction(found.steam_c + above_k, found.pressure_kpa))
    allowed = 100 * float(air_fraction(found.steam_c - limit.at_most, found.pressure_kpa))
    says = _(
        "{name} lies {below} K below saturated steam: as much as {percent} % air would cause ({allowed} % allowed)."
    )
    text = says.format(
        name=name, below=number(max(0.0, -above_k), 2), percent=number(percent), allowed=number(allowed)
    )
    outcome = _judged(-above_k, -worst_k, found.guard_k, limit.at_most)
    if outcome is not Outcome.PASSED:
        text += _at_worst(-above_k, worst_k, found.guard_k, limit.at_most)
    return finding(limit, outcome, text, percent, allowed)


def _at_worst(whole_k: float, worst_k: float, guard_k: float, at_most_k: float) -> str:
    """Return a sentence where the limit is kept over the whole plateau, yet not in one part of it."""
    if whole_k + guard_k > at_most_k:
        return ""
    return " " + _("In the worst minute or so it lies {off} saturated steam.").format(off=_off(worst_k))


def judge_superheat(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Judge how far the hottest channel lies above the steam's temperature."""
    found = agreement(view, criterion)
    if found is None or limit.at_most is None:
        return unmeasured(limit, _why_none(view, criterion), limit.at_most)
    name, worst_k = found.hottest, max(found.highest_k.values())
    above_k = found.above_k[name]
    text = _("{name}, the hottest, lies {off} saturated steam.").format(name=name, off=_off(above_k))
    outcome = _judged(above_k, worst_k, found.guard_k, limit.at_most)
    if outcome is not Outcome.PASSED:
        text += _at_worst(above_k, worst_k, found.guard_k, limit.at_most)
    return finding(limit, outcome, text, above_k, limit.at_most)


def judge_setting(view: View, criterion: Criterion) -> Finding | None:
    """Say what the pressure on the plateau means at this place against the nominal temperature; it only informs."""
    hold, found = criterion.limit("hold"), agreement(view, criterion)
    if criterion.process != "steam" or hold is None or hold.at_least is None or found is None:
        return None
    needed_kpa = float(saturation_pressure_kpa(hold.at_least))
    short_k = hold.at_least - found.steam_c
    guard_k = found.guard_k
    says = _("The pressure means {steam} °C; {nominal} °C needs {needed} here.").format(
        steam=number(found.steam_c), nominal=number(hold.at_least, 0), needed=_needed(view, needed_kpa)
    )
    if short_k > guard_k:
        says = _("Pressure and nominal temperature contradict each other.") + " " + says
    outcome = between(short_k <= 0, short_k > guard_k)
    return Finding(
        "setting", outcome, says, found.pressure_kpa, needed_kpa, "kPa", SETTING_SOURCE, Basis.COMPUTED, False
    )


def _needed(view: View, needed_kpa: float) -> str:
    air = view.circumstances.air_pressure_kpa
    if air is None:
        return _("{kpa} kPa absolute").format(kpa=number(needed_kpa, 0))
    return _("{gauge} kPa gauge ({kpa} kPa absolute)").format(
        gauge=number(needed_kpa - air, 0), kpa=number(needed_kpa, 0)
    )
