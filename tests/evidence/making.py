"""Logs made by hand for the tests of judging: plain shapes whose answers can be worked out on paper."""

import numpy as np

from lungwort.evidence.circumstances import Circumstances, circumstances_at
from lungwort.evidence.instrument import parse_sensor
from lungwort.evidence.log import Channel, Log
from lungwort.science.steam import saturation_pressure_kpa


def log_of(elapsed_s, pressure_kpa=None, pressure_kind="absolute", **temperatures) -> Log:
    """Return a log of temperature channels, and a pressure channel where one is given."""
    elapsed_s = np.asarray(elapsed_s, float)
    channels = [Channel(n, "temperature", np.asarray(v, float), "°C") for n, v in temperatures.items()]
    if pressure_kpa is not None:
        channels.append(Channel("P", "pressure", np.asarray(pressure_kpa, float), "kPa", pressure_kind))
    return Log(elapsed_s, tuple(channels))


def steady(temperature_c: float, for_s: float, every_s: float = 1.0) -> Log:
    """Return a log of one channel that stands at one temperature."""
    elapsed_s = np.arange(0, for_s + every_s / 2, every_s)
    return log_of(elapsed_s, T1=np.full(len(elapsed_s), temperature_c))


def steam_cycle(
    hold_c: float = 135.2, hold_s: float = 240.0, below_k: float = 0.0, pressure_off_kpa: float = 0.0
) -> Log:
    """Return a steam cycle of two channels, the second `below_k` under saturation, sampled each second."""
    rise, hold, fall = (
        np.linspace(90, hold_c, 120),
        np.full(int(hold_s) + 1, hold_c),
        np.linspace(hold_c, 90, 60),
    )
    steam_c = np.concatenate([rise, hold, fall])
    pressure = saturation_pressure_kpa(steam_c) + pressure_off_kpa
    return log_of(np.arange(len(steam_c)), pressure, drain=steam_c, lumen=steam_c - below_k)


def perfect(altitude_m: float | None = 0.0) -> Circumstances:
    """Return circumstances with instruments that do not err, so that only the rule itself is tested."""
    sensor = parse_sensor("±0 K")
    return circumstances_at(altitude_m=altitude_m, sensor=sensor, pressure_error_kpa=0.0)


def with_sensor(text: str, **others) -> Circumstances:
    """Return circumstances at sea level with a thermometer of this description."""
    return circumstances_at(altitude_m=0.0, sensor=parse_sensor(text), **others)
