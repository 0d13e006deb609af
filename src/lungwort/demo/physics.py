"""A small physical model of an autoclave chamber and a hot-water bath: invented, for demonstration and tests.

No number here was fitted to a real machine. Saturation is IAPWS-IF97 (lungwort.science.steam); everything
else is kept as simple as will still show what a log can show. `docs/why/demo_model.md` says what is left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lungwort.science.steam import saturation_pressure_kpa, saturation_temperature_c

FloatArray = NDArray[np.float64]
PhaseKind = Literal["draw", "steam", "hold", "purge", "air"]

WATER_HEAT_J_PER_KG_K = (
    4190.0  # liquid water between 65 and 95 °C, within 0.5 % (tests compare with CoolProp)
)
FILM_KEPT = 0.5  # share of its condensate that a surface keeps, the rest runs off (invented)
FILM_AT_MOST_K = 45.0  # cooling that the thickest film can do (invented)


def _times(first: int, for_s: float, step_s: float) -> FloatArray:
    return np.arange(first, round(for_s / step_s) + 1, dtype=np.float64) * step_s


# ---- autoclave ----


@dataclass(frozen=True)
class Phase:
    """One step of a chamber's programme, `for_s` long, leading the pressure to `to_kpa` (absolute).

    draw: gas leaves, well mixed, exponentially with `lag_s`. steam: steam enters at an even rate.
    hold: the steam valve keeps the pressure between `to_kpa` and `swing_kpa` below. purge: steam sweeps the
    air out at constant pressure, exponentially with `lag_s`. air: filtered room air enters at an even rate.
    """

    kind: PhaseKind
    for_s: float
    to_kpa: float = 0.0
    lag_s: float = 30.0
    swing_kpa: float = 0.0


@dataclass(frozen=True)
class Place:
    """Where a sensor sits: its first-order lag wet and dry, and its odds of air over those of the chamber."""

    name: str
    lag_s: float
    dry_lag_s: float = 900.0
    air_odds: float = 1.0


@dataclass(frozen=True, eq=False)
class ChamberRun:
    """A chamber over time (n,): absolute `pressure_kpa`, mean `air_fraction` of the gas, `phase` index."""

    elapsed_s: FloatArray
    pressure_kpa: FloatArray
    air_fraction: FloatArray
    phase: NDArray[np.int_]


def chamber_run(phases: Sequence[Phase], air_pressure_kpa: float, step_s: float = 1.0) -> ChamberRun:
    """Run a programme in a chamber that starts full of room air, and return pressure and air over time.

    `phases` in order, `air_pressure_kpa` of the place, `step_s` the time step in s.
    Air follows Dalton: gas that leaves takes its share of air along, steam that enters only thins it.

    >>> run = chamber_run([Phase("steam", 10.0, 153.2)], air_pressure_kpa=76.6)
    >>> float(run.pressure_kpa[-1]), round(float(run.air_fraction[-1]), 3)
    (153.2, 0.5)
    """
    pressures, airs = [np.array([air_pressure_kpa])], [np.array([air_pressure_kpa])]
    for phase in phases:
        passed_s = _times(1, phase.for_s, step_s)
        pressures.append(_pressure(phase, passed_s, float(pressures[-1][-1])))
        airs.append(_air(phase, passed_s, pressures[-2][-1:], pressures[-1], float(airs[-1][-1])))
    pressure_kpa = np.concatenate(pressures)
    index = np.repeat(np.arange(-1, len(phases)), [len(p) for p in pressures])
    elapsed_s = _times(0, (len(pressure_kpa) - 1) * step_s, step_s)
    return ChamberRun(elapsed_s, pressure_kpa, np.concatenate(airs) / pressure_kpa, np.maximum(index, 0))


def _pressure(phase: Phase, passed_s: FloatArray, start_kpa: float) -> FloatArray:
    if phase.kind == "draw":
        return phase.to_kpa + (start_kpa - phase.to_kpa) * np.exp(-passed_s / phase.lag_s)
    if phase.kind == "hold":
        return phase.to_kpa - _swing(passed_s, phase.swing_kpa)
    if phase.kind == "purge":
        return np.full_like(passed_s, start_kpa)
    return start_kpa + (phase.to_kpa - start_kpa) * passed_s / phase.for_s


def _swing(
    passed_s: FloatArray, swing_kpa: float, falling_s: float = 9.0, rising_s: float = 3.0
) -> FloatArray:
    """How far the pressure stands below its setting: down as steam condenses, up as the valve opens."""
    period_s = falling_s + rising_s
    return np.interp(passed_s % period_s, [0.0, falling_s, period_s], [0.0, swing_kpa, 0.0])


def _air(
    phase: Phase, passed_s: FloatArray, start_kpa: FloatArray, pressure_kpa: FloatArray, air_kpa: float
) -> FloatArray:
    """Partial pressure of air through a phase."""
    if phase.kind == "draw":
        return air_kpa / start_kpa * pressure_kpa
    if phase.kind == "purge":
        return air_kpa * np.exp(-passed_s / phase.lag_s)
    if phase.kind == "air":
        return air_kpa + pressure_kpa - start_kpa
    return np.full_like(pressure_kpa, air_kpa)


def air_at_place(air_fraction: ArrayLike, air_odds: float) -> FloatArray:
    """Return the air fraction where the odds of air are `air_odds` times those of the whole chamber.

    Odds keep pure air pure and pure steam pure, and scale small fractions in proportion.

    >>> air_at_place([0.0, 0.03, 1.0], air_odds=3.0).round(3).tolist()
    [0.0, 0.085, 1.0]
    """
    air = np.asarray(air_fraction, dtype=float)
    return air_odds * air / (1.0 - air + air_odds * air)


def steam_temperature_c(pressure_kpa: ArrayLike, air_fraction: ArrayLike, ambient_c: float) -> FloatArray:
    """Return the temperature at which the steam's own partial pressure condenses, never below `ambient_c`.

    `pressure_kpa` absolute and `air_fraction` of the same shape. Source: Dalton; IAPWS-IF97 region 4.

    >>> steam_temperature_c([101.325], [0.0], ambient_c=20.0).round(2).tolist()
    [99.97]
    """
    steam_kpa = np.asarray(pressure_kpa, dtype=float) * (1.0 - np.asarray(air_fraction, dtype=float))
    floor_kpa = float(saturation_pressure_kpa(ambient_c))
    return np.asarray(saturation_temperature_c(np.maximum(steam_kpa, floor_kpa)), dtype=float)


def follow(
    target_c: FloatArray, start_c: float, step_s: float, lag_s: float, dry_lag_s: float | None = None
) -> FloatArray:
    """Return what a body shows that follows `target_c` (n,) with a lag of first order, exact where steady.

    `start_c` its first temperature; the lags in s, above 0. With `dry_lag_s` the body warms by condensing
    steam and keeps part of the condensate: boiling that off cools it as fast as it warmed; once dry, it cools
    slowly. Without `dry_lag_s` it cools as it warms.

    >>> follow(np.array([0.0, 100.0, 100.0]), 0.0, step_s=10.0, lag_s=10.0).round(1).tolist()
    [0.0, 63.2, 86.5]
    """
    wet, dry = (1.0 - np.exp(-step_s / lag) for lag in (lag_s, dry_lag_s or lag_s))
    shown, film_k = [start_c], 0.0
    for target in target_c[1:].tolist():
        gap = target - shown[-1]
        change = gap * (wet if gap > 0 or film_k > 0 else dry)
        film_k = _film_k(film_k, change)
        shown.append(shown[-1] + change)
    return np.array(shown, dtype=float)


def _film_k(film_k: float, change_k: float) -> float:
    """By how many kelvin the condensate can still cool a body: part of each warming, up to a film's worth."""
    kept = FILM_KEPT if change_k > 0 else 1.0
    return min(max(film_k + kept * change_k, 0.0), FILM_AT_MOST_K)


def place_temperature_c(run: ChamberRun, place: Place, ambient_c: float) -> FloatArray:
    """Return the true temperature (n,) of one place through a chamber's run that starts at `ambient_c`.

    >>> run = chamber_run([Phase("purge", 600.0, lag_s=30.0)], air_pressure_kpa=101.325)
    >>> float(place_temperature_c(run, Place("drain", lag_s=5.0), 20.0)[-1].round(2))
    99.97
    """
    step_s = float(run.elapsed_s[1] - run.elapsed_s[0])
    local_air = air_at_place(run.air_fraction, place.air_odds)
    target_c = steam_temperature_c(run.pressure_kpa, local_air, ambient_c)
    return follow(target_c, ambient_c, step_s, place.lag_s, place.dry_lag_s)


# ---- hot-water bath ----


@dataclass(frozen=True)
class Bath:
    """A stirred bath: water, heater, loss to the room, thermostat (off above, on below set ± `swing_k`)."""

    water_kg: float
    heater_w: float
    loss_w_per_k: float
    set_c: float
    swing_k: float
    boiling_c: float
    ambient_c: float


@dataclass(frozen=True)
class Load:
    """Parts put into a bath at `added_s`: heat capacity, how fast they take heat, how warm they come."""

    heat_j_per_k: float
    transfer_w_per_k: float
    added_s: float
    start_c: float


@dataclass(frozen=True, eq=False)
class BathRun:
    """A bath over time (n,): true temperatures of water and load, heater power, power leaving as vapour."""

    elapsed_s: FloatArray
    water_c: FloatArray
    load_c: FloatArray
    heater_w: FloatArray
    boiling_w: FloatArray


def bath_run(bath: Bath, load: Load, start_c: float, for_s: float, step_s: float = 1.0) -> BathRun:
    """Run a bath from `start_c` for `for_s` seconds and return its temperatures and powers over time.

    Water never passes `bath.boiling_c`: heat beyond it leaves as vapour. Explicit steps of `step_s`; keep
    them well below the load's own lag, heat_j_per_k / transfer_w_per_k.

    >>> pot = Bath(10.0, 2000.0, 8.0, set_c=99.0, swing_k=0.5, boiling_c=92.3, ambient_c=20.0)
    >>> run = bath_run(pot, Load(1000.0, 20.0, added_s=0.0, start_c=20.0), start_c=90.0, for_s=1800.0)
    >>> float(run.water_c.max())
    92.3
    """
    elapsed_s = _times(0, for_s, step_s)
    states = [_BathState(start_c, load.start_c, 0.0, 0.0)]
    for at_s in elapsed_s[:-1].tolist():
        states.append(_bath_step(bath, load, states[-1], at_s, step_s))
    table = np.array([(s.water_c, s.load_c, s.heater_w, s.boiling_w) for s in states], dtype=float)
    return BathRun(elapsed_s, *table.T)


@dataclass(frozen=True)
class _BathState:
    """The bath at one moment; the powers are those of the step that led here."""

    water_c: float
    load_c: float
    heater_w: float
    boiling_w: float


def _bath_step(bath: Bath, load: Load, now: _BathState, at_s: float, step_s: float) -> _BathState:
    heater_w = _thermostat_w(bath, now)
    lost_w = bath.loss_w_per_k * (now.water_c - bath.ambient_c)
    given_w = load.transfer_w_per_k * (now.water_c - now.load_c) if at_s >= load.added_s else 0.0
    heat_j_per_k = bath.water_kg * WATER_HEAT_J_PER_KG_K
    water_c = now.water_c + (heater_w - lost_w - given_w) * step_s / heat_j_per_k
    boiling_w = max(water_c - bath.boiling_c, 0.0) * heat_j_per_k / step_s
    load_c = now.load_c + given_w * step_s / load.heat_j_per_k
    return _BathState(min(water_c, bath.boiling_c), load_c, heater_w, boiling_w)


def _thermostat_w(bath: Bath, now: _BathState) -> float:
    if now.water_c >= bath.set_c + bath.swing_k:
        return 0.0
    return bath.heater_w if now.water_c <= bath.set_c - bath.swing_k else now.heater_w
