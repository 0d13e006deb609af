"""Evidence of invented cycles: logs of the autoclave, readings of the bath by hand, lines about a soak."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from functools import cache
from random import Random
from typing import Literal

import numpy as np

from lungwort.demo.history.document import INTERVAL_S
from lungwort.demo.hospital import AUTOCLAVE_PLACES, PRESSURE_PROBE, PROBES, RIDGEWAY, here_kpa
from lungwort.demo.logs import PLAIN_COMMA, Recording, log_text
from lungwort.demo.physics import ChamberRun, Phase, chamber_run, place_temperature_c
from lungwort.demo.sensing import FloatArray, column
from lungwort.protocol.equipment import Setting
from lungwort.records.chain.event import Attachment
from lungwort.science.steam import saturation_pressure_kpa

Fault = Literal["", "air left", "hold cut short", "logged too seldom"]

PRESSURE_ERROR_KPA = 1.5
VARIANTS_K = (0.15, 0.25, 0.35)
"""How far above its setting the autoclave works, from run to run."""
SELDOM = 6
"""A careless logger keeps one reading in so many."""


# ---- steam ----


def steam_log(
    setting: Setting, fault: Fault, started: datetime, chance: Random, noise: np.random.Generator
) -> bytes:
    """Return the log of a steam cycle as its logger leaves it: three temperatures and the absolute pressure.

    Args:
        setting: the programme.
        fault: what goes wrong; "" for nothing.
        started: when.
        chance: draws which of a few runs it is.
        noise: of the sensors.
    """
    steam_c = setting.temperature_c + chance.choice(VARIANTS_K)
    hold_s = 60.0 * setting.hold_min * (0.4 if fault == "hold cut short" else 1.0)
    run, temperatures = _run(steam_c, hold_s, 1 if fault == "air left" else 3)
    kept = slice(None, None, INTERVAL_S * (SELDOM if fault == "logged too seldom" else 1))
    columns = [column(n, "°C", true_c[kept], PROBES[n], noise) for n, true_c in temperatures]
    pressure = column("Chamber pressure", "kPa abs", run.pressure_kpa[kept], PRESSURE_PROBE, noise)
    whole = replace(_empty(started), elapsed_s=run.elapsed_s[kept], columns=(*columns, pressure))
    return log_text(whole, PLAIN_COMMA).encode()


def _empty(started: datetime) -> Recording:
    return Recording(started.replace(tzinfo=None, microsecond=0), np.empty(0), ())


@cache
def _run(steam_c: float, hold_s: float, pulses: int) -> tuple[ChamberRun, tuple[tuple[str, FloatArray], ...]]:
    """Return one of the few runs there are, and the true temperatures in it by place."""
    run = chamber_run([*_air_out(pulses), *_held(steam_c, hold_s)], here_kpa())
    truths = tuple((p.name, place_temperature_c(run, p, RIDGEWAY.ambient_c)) for p in AUTOCLAVE_PLACES)
    return run, truths


def _air_out(pulses: int) -> list[Phase]:
    """Return vacuum pulses: deep ones, or a single one of a weak pump."""
    deep = 8.0 if pulses > 1 else 9.5
    steam_kpa = [150.0] * (pulses - 1) + [100.0]
    pairs = [(Phase("draw", 75.0, deep, lag_s=15.0), Phase("steam", 50.0, kpa)) for kpa in steam_kpa]
    return [phase for pair in pairs for phase in pair]


def _held(steam_c: float, hold_s: float) -> Sequence[Phase]:
    top_kpa = float(saturation_pressure_kpa(steam_c))
    return (
        Phase("steam", 90.0, top_kpa),
        Phase("hold", hold_s, top_kpa, swing_kpa=2.0),
        Phase("draw", 180.0, here_kpa(), lag_s=45.0),
        Phase("draw", 240.0, 7.0, lag_s=40.0),
        Phase("air", 60.0, here_kpa()),
    )


# ---- by hand ----


def bath_lines(
    temperature_c: float, hold_min: float, often: bool, started: datetime, chance: Random
) -> bytes:
    """Return the temperatures of a bath, read with a clock every few minutes; not `often` is only at the end."""
    passed_min = [0.0, 6.0, 12.0, 19.0, hold_min + 1.0] if often else [hold_min - 4.0, hold_min + 1.0]
    times = [started + timedelta(minutes=passed) for passed in passed_min]
    lines = [f"{at:%Y-%m-%d %H:%M} {temperature_c + chance.uniform(-0.4, 0.7):.1f}" for at in times]
    return "\n".join(lines).encode()


def soak_lines(
    contact_min: float, strength_mg_per_l: float, load: int, started: datetime, chance: Random
) -> bytes:
    """Return what is written down about a soak: when made, in and out, the strength by titration, the rinse."""
    out = started + timedelta(minutes=contact_min + chance.randint(2, 6))
    made = started - timedelta(minutes=20 + 40 * load)
    lines = [
        f"made {made:%Y-%m-%d %H:%M}",
        f"{started:%Y-%m-%d %H:%M} in",
        f"titration {strength_mg_per_l:.0f} mg/L",
        f"{out:%Y-%m-%d %H:%M} out",
        f"load {load}",
        "rinse sterile x2",
    ]
    return "\n".join(lines).encode()


def attached(cycle: str, name: str, content: bytes) -> Attachment:
    """Return evidence as a file named after its cycle."""
    return Attachment(f"{cycle}-{name}", content)
