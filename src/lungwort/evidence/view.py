"""A log seen for judging: the coldest and hottest channel at each moment, gaps, the steam's own temperature."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from lungwort.evidence.circumstances import PRESSURE_UNSTATED_KPA, Circumstances
from lungwort.evidence.log import Channel, FloatArray, Log
from lungwort.science.arrays import middle
from lungwort.science.lethality import longest_hold
from lungwort.science.steam import absolute_kpa, saturation_temperature_c
from lungwort.science.uncertainty import Bias, bias_quantile, combined_u

GAP_INTERVALS = 3.0  # a silence longer than this many usual intervals is a gap: nothing is proved across it
LONGEST_GAP_S = (
    1800.0  # nor across half an hour unwatched, however seldom readings are taken (common practice)
)
T = TypeVar("T")


def usual_interval_s(elapsed_s: FloatArray) -> float:
    """Return the median time between readings in s; NaN for fewer than two readings.

    >>> usual_interval_s(np.array([0.0, 10.0, 20.0, 80.0]))
    10.0
    """
    return middle(np.diff(elapsed_s))


def longest_gap_s(interval_s: float) -> float:
    """Return the longest silence across which readings usually `interval_s` apart prove anything, in s.

    >>> longest_gap_s(10.0), longest_gap_s(36_000.0)
    (30.0, 1800.0)
    """
    return min(GAP_INTERVALS * interval_s, LONGEST_GAP_S)


@dataclass(frozen=True, eq=False)
class View:
    """One log with the circumstances it was made in; everything below is derived and computed once."""

    log: Log
    circumstances: Circumstances

    @cached_property
    def complete(self) -> NDArray[np.bool_]:
        """Where every temperature channel has a reading, shape (n,)."""
        whole = np.ones(len(self.log.elapsed_s), bool)
        for channel in self.log.temperatures:
            whole &= np.isfinite(channel.values)
        return whole

    @cached_property
    def elapsed_s(self) -> FloatArray:
        """The times of the complete rows."""
        return self.log.elapsed_s if self.all_complete else self.log.elapsed_s[self.complete]

    @cached_property
    def all_complete(self) -> bool:
        """Whether no reading of any temperature channel is missing."""
        return bool(self.complete.all())

    def values(self, channel: Channel) -> FloatArray:
        """The channel's readings in the complete rows."""
        return channel.values if self.all_complete else channel.values[self.complete]

    def present(self, channel: Channel) -> tuple[FloatArray, FloatArray]:
        """The times and readings of a channel where it has any."""
        if self.all_complete:
            return self.log.elapsed_s, channel.values
        there = np.isfinite(channel.values)
        return self.log.elapsed_s[there], channel.values[there]

    @cached_property
    def coldest_c(self) -> FloatArray:
        """The lowest temperature among the channels at each complete row."""
        return self._across(np.minimum)

    @cached_property
    def hottest_c(self) -> FloatArray:
        """The highest temperature among the channels at each complete row."""
        return self._across(np.maximum)

    def _across(self, pick: np.ufunc) -> FloatArray:
        first, *rest = (self.values(c) for c in self.log.temperatures)
        found = first.copy()
        for values in rest:
            pick(found, values, out=found)
        return found

    @cached_property
    def interval_s(self) -> float:
        """The usual time between readings."""
        return usual_interval_s(self.elapsed_s)

    @cached_property
    def longest_gap_s(self) -> float:
        """The longest silence of all channels together across which anything is proved."""
        return longest_gap_s(self.interval_s)

    def gap_of(self, channel: Channel) -> float:
        """Return the longest silence of one channel across which it proves anything, in s."""
        if self.all_complete:
            return self.longest_gap_s
        return longest_gap_s(usual_interval_s(self.present(channel)[0]))

    @cached_property
    def breaking_gap_s(self) -> float:
        """The longest silence that does not break a run; infinite where there is no longer one, which is quicker."""
        pauses = np.diff(self.elapsed_s)
        return self.longest_gap_s if pauses.size and pauses.max() > self.longest_gap_s else float("inf")

    @cached_property
    def clock_slack_s(self) -> float:
        """What coarse written times can hide: a whole step where they carry minutes only, else nothing."""
        return self.log.clock_step_s if self.log.clock_step_s >= 60 else 0.0

    @cached_property
    def channel_confidence(self) -> float:
        """The confidence each channel needs so that all together reach the one asked for."""
        count = 1 if self.circumstances.shared_bias else max(1, len(self.log.temperatures))
        return float(self.circumstances.confidence ** (1 / count))

    def error_k(self, temperature_c: float) -> tuple[float, float]:
        """Return the lowest and highest error of indication to reckon with near a temperature, in K."""
        return self.once(View._find_error_k, temperature_c)

    def _find_error_k(self, temperature_c: float) -> tuple[float, float]:
        bias = self.circumstances.sensor.bias_at(temperature_c)
        low, high = 1 - self.channel_confidence, self.channel_confidence
        return float(bias_quantile(bias, low)), float(bias_quantile(bias, high))

    def in_band(
        self, at_least_c: float, at_most_c: float | None, below_k: float = 0.0, above_k: float = 0.0
    ) -> NDArray[np.bool_]:
        """Return where coldest - `below_k` and hottest - `above_k` lie within a band, in the complete rows."""
        inside = self.coldest_c >= at_least_c + below_k
        if at_most_c is not None:
            inside &= self.hottest_c <= at_most_c + above_k
        return np.asarray(inside)

    def surely_in_band(self, at_least_c: float, at_most_c: float | None) -> NDArray[np.bool_]:
        """Return where all channels lie within a band though the sensor errs against them."""
        low_k, high_k = self.error_k(at_least_c)
        return self.in_band(at_least_c, at_most_c, high_k, low_k)

    def run(self, inside: NDArray[np.bool_]) -> slice | None:
        """Return the longest unbroken run of `inside` as a slice of the complete rows, or None."""
        found = longest_hold(self.elapsed_s, inside, self.breaking_gap_s)
        return None if found is None else slice(found[0], found[1] + 1)

    @cached_property
    def _remembered(self) -> dict[tuple[object, ...], object]:
        return {}

    def once(self, make: Callable[..., T], *arguments: object) -> T:
        """Return make(self, *arguments), worked out the first time it is asked for."""
        key = (make, *arguments)
        if key not in self._remembered:
            self._remembered[key] = make(self, *arguments)
        return cast(T, self._remembered[key])

    @cached_property
    def absolute_kpa(self) -> FloatArray | None:
        """The first pressure channel as absolute pressure in the complete rows; None where that is unknown."""
        return self.absolute_of(self.log.pressures[0]) if self.log.pressures else None

    def absolute_of(self, channel: Channel) -> FloatArray | None:
        """Return a pressure channel as absolute pressure in the complete rows; None where that is unknown."""
        air = self.circumstances.air_pressure_kpa
        if channel.pressure_kind == "absolute":
            return self.values(channel)
        if channel.pressure_kind == "gauge" and air is not None:
            return np.asarray(absolute_kpa(self.values(channel), air))
        return None

    @cached_property
    def steam_c(self) -> FloatArray | None:
        """The temperature of saturated steam at each row's pressure; NaN where the pressure is no steam pressure."""
        if self.absolute_kpa is None:
            return None
        usable = np.where(self.absolute_kpa > 1.0, self.absolute_kpa, np.nan)
        return np.asarray(saturation_temperature_c(usable))

    def pressure_half_widths_kpa(self, channel: Channel) -> list[float]:
        """Return the largest errors that add up in a channel's absolute pressure, in kPa."""
        stated = self.circumstances.pressure_error_kpa
        widths = [PRESSURE_UNSTATED_KPA if stated is None else stated]
        return (
            [*widths, self.circumstances.air_pressure_error_kpa]
            if channel.pressure_kind == "gauge"
            else widths
        )

    @property
    def pressure_u_kpa(self) -> float:
        """The standard uncertainty of the absolute pressure, in kPa."""
        return float(combined_u(half_widths=self.pressure_half_widths_kpa(self.log.pressures[0])))

    def agreement_guard_k(self, temperature_c: float, pressure_kpa: float) -> float:
        """Return the guard for comparing a thermometer with the steam's own temperature, in K."""
        step = saturation_temperature_c(np.array([pressure_kpa, pressure_kpa + 1.0]))
        slope_k_per_kpa = float(step[1] - step[0])
        bias = self.circumstances.sensor.bias_at(temperature_c)
        u_k = combined_u(
            half_widths=(bias.half_width_k,), normals=(bias.u_k, slope_k_per_kpa * self.pressure_u_kpa)
        )
        return float(bias_quantile(Bias(u_k=u_k), self.channel_confidence))
