"""The five cycles of the demonstration: what to notice in each, how to judge it, and its log as a file."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np

from lungwort.demo import recordings
from lungwort.demo.hospital import RIDGEWAY
from lungwort.demo.logs import (
    HAND_WRITTEN,
    NUMBERED_COMMA,
    PLAIN_COMMA,
    TAB_WITH_UNITS_ROW,
    WORKSHOP_SEMICOLON,
    Dialect,
    Recording,
    write_log,
)
from lungwort.errors import LungwortError
from lungwort.language import _

SEED = 2300


@dataclass(frozen=True)
class DemoCycle:
    """One invented cycle: its words, its log, and what judging it needs to be told.

    `criteria` and `intended` (passed, failed or not shown) run side by side; `declared` are the keyword
    arguments of lungwort.evidence.reading.Declared; `sensor` as lungwort.evidence.instrument reads it;
    `pressure_error_kpa` the stated half width of the pressure sensor's error, None where none is logged;
    `path` is None until the log has been written.
    """

    name: str
    file_name: str
    title: str
    notice: str
    criteria: tuple[str, ...]
    intended: tuple[str, ...]
    sensor: str
    record: Callable[[np.random.Generator], Recording]
    dialect: Dialect
    declared: Mapping[str, Any] = field(default_factory=dict)
    pressure_error_kpa: float | None = None
    altitude_m: float = RIDGEWAY.altitude_m
    path: Path | None = None


def demo_cycles() -> tuple[DemoCycle, ...]:
    """Return the five cycles in the order in which to tell them, their logs not yet written."""
    return (_good_steam(), _sea_level_steam(), _airy_steam(), _warm_bath(), _hand_bath())


def recording_of(cycle: DemoCycle, seed: int = SEED) -> Recording:
    """Return a cycle's simulated readings and the truth behind them; the same seed gives the same."""
    number = [c.name for c in demo_cycles()].index(cycle.name)
    return cycle.record(np.random.default_rng([seed, number]))


def write_demo_logs(folder: Path, seed: int = SEED) -> tuple[DemoCycle, ...]:
    """Write the five logs into `folder`, made if missing, and return the cycles with their paths.

    Files of the same names there are written over; the same seed gives the same bytes.
    Raises LungwortError where the folder cannot be written to.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        return tuple(_written(cycle, folder, seed) for cycle in demo_cycles())
    except OSError as error:
        text = _("the demonstration cannot be written to {folder} ({reason}); name a folder you may write to")
        raise LungwortError(text.format(folder=folder, reason=error.strerror)) from error


def _written(cycle: DemoCycle, folder: Path, seed: int) -> DemoCycle:
    path = write_log(folder / cycle.file_name, recording_of(cycle, seed), cycle.dialect)
    return replace(cycle, path=path)


def _good_steam() -> DemoCycle:
    return DemoCycle(
        name="good-steam-134",
        file_name="1-steam-134.csv",
        title=_("A good 134 °C cycle"),
        notice=_(
            "Three vacuum pulses take the air out, then all three sensors stay in the band for four minutes. "
            "Even when every sensor errs as much as its class allows, the hold is long enough. "
            "The temperature also agrees with the pressure, so this is steam and not a mixture with air."
        ),
        criteria=("steam-134C-3min",),
        intended=("passed",),
        sensor="Pt100 A",
        record=recordings.good_steam,
        dialect=PLAIN_COMMA,
        pressure_error_kpa=1.5,
    )


def _sea_level_steam() -> DemoCycle:
    return DemoCycle(
        name="sea-level-steam-121",
        file_name="2-steam-121-sea-level-setting.csv",
        title=_("A 121 °C cycle run by a sea-level gauge setting at 2,300 m"),
        notice=_(
            "The gauge shows the 104 kPa that mean 121 °C at the sea, and the machine reports success. "
            "Up here the air weighs less, so the same gauge reading is steam of about 117 °C. "
            "The thermometers and the pressure agree with each other: it is the setting that is wrong."
        ),
        criteria=("steam-121C-15min",),
        intended=("failed",),
        sensor="Pt100 A",
        record=recordings.sea_level_steam,
        dialect=WORKSHOP_SEMICOLON,
        declared={"pressure_kind": "gauge"},
        pressure_error_kpa=1.5,
    )


def _airy_steam() -> DemoCycle:
    return DemoCycle(
        name="air-left-134",
        file_name="3-steam-134-air-left.txt",
        title=_("A 134 °C cycle with air left in the chamber"),
        notice=_(
            "The pressure is right for 135 °C and the chamber sensor comes close to it. "
            "Inside the circuit the steam is thinned by some 9 % of air and stays three degrees colder. "
            "A printout of pressure and chamber temperature alone would not have shown it."
        ),
        criteria=("steam-134C-3min",),
        intended=("failed",),
        sensor="Pt100 A",
        record=recordings.airy_steam,
        dialect=TAB_WITH_UNITS_ROW,
        pressure_error_kpa=1.5,
    )


def _warm_bath() -> DemoCycle:
    return DemoCycle(
        name="warm-bath-71",
        file_name="4-bath-71.csv",
        title=_("A hot-water bath that meets one tradition and not the other"),
        notice=_(
            "Half an hour above 70 °C is enough by one published rule. "
            "By another it is about half of what parts that carry breathing gas need: A0 600. "
            "Both answers are right for their rule, so a verdict always names the rule."
        ),
        criteria=("hot-water-70C-30min", "A0-600"),
        intended=("passed", "failed"),
        sensor="Pt100 A",
        record=recordings.warm_bath,
        dialect=NUMBERED_COMMA,
    )


def _hand_bath() -> DemoCycle:
    return DemoCycle(
        name="hand-bath-83",
        file_name="5-bath-by-hand.csv",
        title=_("A hand-written log of a hotter bath"),
        notice=_(
            "A thermometer good to 1 °C, a clock and a sheet of paper can prove a bath. "
            "Between two readings the proof takes the lower one, and it still reaches A0 600. "
            "Ten minutes at 80 °C do what a hundred minutes at 70 °C do."
        ),
        criteria=("A0-600",),
        intended=("passed",),
        sensor="±1 °C",
        record=recordings.hand_bath,
        dialect=HAND_WRITTEN,
    )
