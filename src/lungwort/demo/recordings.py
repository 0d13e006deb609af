"""The five simulated runs of the demonstration, from the model's truth to what the logger kept."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from lungwort.demo.hospital import (
    AUTOCLAVE_PLACES,
    PRESSURE_PROBE,
    PROBES,
    RIDGEWAY,
    here_kpa,
    outpost_bath,
    washroom_bath,
)
from lungwort.demo.logs import Recording
from lungwort.demo.physics import ChamberRun, Load, Phase, Place, bath_run, chamber_run, place_temperature_c
from lungwort.demo.sensing import Column, Probe, column, step_column
from lungwort.science.steam import saturation_pressure_kpa

SEA_LEVEL_121_GAUGE_KPA = 103.7  # saturation pressure at 121 °C less 101.325 kPa, IAPWS-IF97
WORKING_C = 135.3  # the steam temperature for which the 134 °C programme's pressure is set


def _pulse(air_out_kpa: float, steam_kpa: float) -> tuple[Phase, Phase]:
    """One vacuum pulse: draw the chamber down, let steam in."""
    return Phase("draw", 75.0, air_out_kpa, lag_s=15.0), Phase("steam", 50.0, steam_kpa)


def _hold_134(hold_s: float) -> tuple[Phase, ...]:
    """Come-up to working pressure, hold, exhaust, drying vacuum, room air."""
    top_kpa = float(saturation_pressure_kpa(WORKING_C))
    return (
        Phase("steam", 140.0, top_kpa),
        Phase("hold", hold_s, top_kpa, swing_kpa=2.0),
        Phase("draw", 180.0, here_kpa(), lag_s=45.0),
        Phase("draw", 300.0, 7.0, lag_s=40.0),
        Phase("air", 60.0, here_kpa()),
    )


def good_steam_run() -> ChamberRun:
    """Return a 134 °C run with three deep vacuum pulses and a hold of 4 min."""
    pulses = (*_pulse(8.0, 150.0), *_pulse(8.0, 150.0), *_pulse(8.0, 100.0))
    return chamber_run([*pulses, *_hold_134(240.0)], here_kpa())


def airy_steam_run() -> ChamberRun:
    """Return a 134 °C run whose vacuum pump is weak: one shallow pulse, so that air stays in the chamber."""
    return chamber_run([*_pulse(9.5, 100.0), *_hold_134(240.0)], here_kpa())


def sea_level_steam_run() -> ChamberRun:
    """Return a 121 °C run, air swept out by steam, whose pressure switch is set for the sea's level."""
    top_kpa = here_kpa() + SEA_LEVEL_121_GAUGE_KPA
    phases = (
        Phase("purge", 420.0, lag_s=50.0),
        Phase("steam", 300.0, top_kpa),
        Phase("hold", 960.0, top_kpa, swing_kpa=1.5),
        Phase("draw", 240.0, here_kpa(), lag_s=45.0),
    )
    return chamber_run(phases, here_kpa(), step_s=2.0)


def _steam_columns(run: ChamberRun, places: Sequence[Place], rng: np.random.Generator) -> list[Column]:
    truths = {p.name: place_temperature_c(run, p, RIDGEWAY.ambient_c) for p in places}
    return [column(name, "°C", true, PROBES[name], rng) for name, true in truths.items()]


def good_steam(rng: np.random.Generator) -> Recording:
    """Return the good 134 °C cycle: three temperatures and absolute pressure, each second."""
    run = good_steam_run()
    pressure = column("Chamber pressure", "kPa abs", run.pressure_kpa, PRESSURE_PROBE, rng)
    columns = (*_steam_columns(run, AUTOCLAVE_PLACES, rng), pressure)
    return Recording(datetime(2026, 3, 17, 8, 41, 12), run.elapsed_s, columns)


def sea_level_steam(rng: np.random.Generator) -> Recording:
    """Return the 121 °C cycle at a sea-level setting: drain and lumen, and a gauge, every 2 s."""
    run = sea_level_steam_run()
    pressure = column("Pressure", "kPa", run.pressure_kpa, PRESSURE_PROBE, rng, zero=here_kpa())
    columns = (*_steam_columns(run, AUTOCLAVE_PLACES[1:], rng), pressure)
    return Recording(datetime(2026, 3, 16, 14, 5, 30), run.elapsed_s, columns)


def airy_steam(rng: np.random.Generator) -> Recording:
    """Return the 134 °C cycle with air left: three temperatures and absolute pressure in bar, each second."""
    run = airy_steam_run()
    pressure = column("Pressure", "bar(a)", run.pressure_kpa, PRESSURE_PROBE, rng, decimals=3, per_unit=100.0)
    columns = (*_steam_columns(run, AUTOCLAVE_PLACES, rng), pressure)
    return Recording(datetime(2026, 3, 18, 10, 22, 3), run.elapsed_s, columns)


def warm_bath(rng: np.random.Generator) -> Recording:
    """Return the washroom bath near 71.7 °C: water and the inside of a circuit, every 10 s for 39 min."""
    load = Load(heat_j_per_k=5200.0, transfer_w_per_k=65.0, added_s=60.0, start_c=RIDGEWAY.ambient_c)
    run = bath_run(washroom_bath(), load, start_c=71.9, for_s=39 * 60.0)
    kept = slice(None, None, 10)
    water = column("Water", "°C", run.water_c[kept], Probe(0.05, 0.02), rng)
    lumen = column("Circuit lumen", "°C", run.load_c[kept], Probe(-0.07, 0.02), rng)
    return Recording(datetime(2026, 3, 19, 13, 30), run.elapsed_s[kept], (water, lumen))


def hand_bath(rng: np.random.Generator) -> Recording:
    """Return the outpost's pot at 82 to 84 °C, read by eye to half a degree at odd minutes for 16 min."""
    load = Load(heat_j_per_k=1500.0, transfer_w_per_k=30.0, added_s=0.0, start_c=60.0)
    run = bath_run(outpost_bath(), load, start_c=83.6, for_s=30 * 60.0)
    minutes = np.array([0.0, 2.0, 5.0, 7.0, 10.0, 13.0, 16.0])
    read_s = minutes * 60.0 + rng.integers(5, 55, len(minutes))
    since_lit_s = read_s + 600.0
    true_c = np.interp(since_lit_s, run.elapsed_s, run.water_c)
    bath = step_column("bath", "°C", true_c, Probe(0.2, 0.1), 0.5, rng)
    return Recording(datetime(2026, 3, 20, 9, 2), read_s, (bath,))
