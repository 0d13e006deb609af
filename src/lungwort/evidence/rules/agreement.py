"""Agreement of steam with its pressure: saturation, air left behind, superheat, and the setting itself."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lungwort.evidence.rules.common import between, finding, plateau, unmeasured
from lungwort.evidence.verdict import Finding, Outcome
from lungwort.evidence.view import View
from lungwort.language import _, number
from lungwort.library.criteria import Basis, Criterion, Limit
from lungwort.science.steam import (
    absolute_kpa,
    air_fraction,
    saturation_pressure_kpa,
    saturation_temperature_c,
)

SETTING_SOURCE = "IAPWS-IF97 region 4; ISO 2533"


@dataclass(frozen=True)
class Agreement:
    """Means over the plateau: pressure in kPa absolute, the steam's temperature, each channel's difference in K."""

    pressure_kpa: float
    steam_c: float
    above_k: dict[str, float]
    guard_k: float

    @property
    def coldest(self) -> tuple[str, float]:
        """The channel that lies deepest below the steam's temperature, and by how much (negative)."""
        return min(self.above_k.items(), key=lambda item: item[1])

    @property
    def hottest(self) -> tuple[str, float]:
        """The channel that lies highest above the steam's temperature, and by how much."""
        return max(self.above_k.items(), key=lambda item: item[1])


def agreement(view: View, criterion: Criterion) -> Agreement | None:
    """Return how the channels agree with the pressure over the plateau; None where the pressure is unknown."""
    rows = plateau(view, criterion)
    return None if rows is None else view.once(_agreement_over, rows.start, rows.stop)


def _agreement_over(view: View, start: int, stop: int) -> Agreement | None:
    if view.absolute_kpa is None or view.steam_c is None:
        return None
    steam_c, pressure_kpa = view.steam_c[start:stop], view.absolute_kpa[start:stop]
    known = np.isfinite(steam_c)
    if not known.any():
        return None
    pick: slice | np.ndarray = slice(None) if known.all() else known
    mean_c, mean_kpa = float(steam_c[pick].mean()), float(pressure_kpa[pick].mean())
    zero_c = mean_c + view.circumstances.sensor.bias_at(mean_c).offset_k
    above_k = {c.name: float(view.values(c)[start:stop][pick].mean()) - zero_c for c in view.log.temperatures}
    return Agreement(mean_kpa, mean_c, above_k, view.agreement_guard_k(mean_c, mean_kpa))


def judge_saturation(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Judge the mean of all channels against the temperature that the pressure means."""
    found = agreement(view, criterion)
    if found is None or limit.at_most is None:
        return unmeasured(limit, why_no_pressure(view), limit.at_most)
    above_k = float(np.mean(list(found.above_k.values())))
    says = _("{kpa} kPa absolute means saturated steam of {steam} °C; on average the channels lie {off} it.")
    text = says.format(kpa=number(found.pressure_kpa), steam=number(found.steam_c), off=_off(above_k))
    outcome = _judged(abs(above_k), found.guard_k, limit.at_most)
    if outcome is not Outcome.PASSED:
        text += _other_kind(view, criterion, found.guard_k)
    return finding(limit, outcome, text, abs(above_k), limit.at_most)


def _off(above_k: float) -> str:
    words = _("{k} K above") if above_k >= 0 else _("{k} K below")
    return words.format(k=number(abs(above_k), 2))


def _judged(size_k: float, guard_k: float, at_most_k: float) -> Outcome:
    return between(size_k + guard_k <= at_most_k, size_k - guard_k > at_most_k)


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
        return unmeasured(limit, why_no_pressure(view))
    name, above_k = found.coldest
    percent = 100 * float(air_fraction(found.steam_c + above_k, found.pressure_kpa))
    allowed = 100 * float(air_fraction(found.steam_c - limit.at_most, found.pressure_kpa))
    says = _(
        "{name} lies {below} K below saturated steam: as much as {percent} % air would cause ({allowed} % allowed)."
    )
    text = says.format(
        name=name, below=number(max(0.0, -above_k), 2), percent=number(percent), allowed=number(allowed)
    )
    return finding(limit, _judged(-above_k, found.guard_k, limit.at_most), text, percent, allowed)


def judge_superheat(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Judge how far the hottest channel lies above the steam's temperature."""
    found = agreement(view, criterion)
    if found is None or limit.at_most is None:
        return unmeasured(limit, why_no_pressure(view), limit.at_most)
    name, above_k = found.hottest
    text = _("{name}, the hottest, lies {off} saturated steam.").format(name=name, off=_off(above_k))
    return finding(limit, _judged(above_k, found.guard_k, limit.at_most), text, above_k, limit.at_most)


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


def why_no_pressure(view: View) -> str:
    """Return why the steam cannot be held against its pressure, and what would help."""
    if not view.log.pressures:
        return _("No pressure was logged: hot air cannot be told from steam. Log the chamber pressure too.")
    if view.log.pressures[0].pressure_kind is None:
        return _("Nobody said whether the pressure is gauge or absolute: give --gauge or --absolute.")
    if view.absolute_kpa is None:
        return _("A gauge pressure needs the air pressure of the place: give --altitude or --barometer.")
    return _("No plateau with a usable pressure was found.")
