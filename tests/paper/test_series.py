"""What the chart draws agrees with the verdict and with arithmetic."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from lungwort.evidence.log import Channel
from lungwort.evidence.verdict import HeatVerdict
from lungwort.paper.series import MOST_POINTS, coldest_figures, scene, thinned

Judged = Callable[..., HeatVerdict]


def test_thinning_keeps_the_extremes_and_the_ends() -> None:
    """A spike of one reading among 100,000 is still drawn."""
    values = np.sin(np.arange(100_000) / 700.0)
    values[54_321] = 9.0
    values[12_345] = -9.0
    times, kept = thinned(np.arange(100_000.0), values)
    assert len(times) <= MOST_POINTS
    assert (kept.max(), kept.min()) == (9.0, -9.0)
    assert (times[0], times[-1]) == (0.0, 99_999.0)
    assert np.all(np.diff(times) > 0)


def test_both_curves_end_at_the_figures_of_the_verdict(bath: HeatVerdict) -> None:
    """Chart, finding and table say the same."""
    filling = scene(bath).filling
    assert filling is not None
    assert filling.best.values[-1] == pytest.approx(
        1800.0
    )  # 1800 s at 80 °C: A0 1800 by definition (ISO 15883-1)
    assert filling.low.values[-1] == pytest.approx(bath.findings[0].value)


def test_the_target_is_reached_when_the_proof_reaches_it(bath: HeatVerdict) -> None:
    """At a constant temperature the proof grows evenly: reached at target over end, of the whole time."""
    filling = scene(bath).filling
    assert filling is not None
    assert filling.reached_s == pytest.approx(1800.0 * 600.0 / filling.low.values[-1], rel=1e-6)


def test_a_target_never_reached_has_no_moment(cool_bath: HeatVerdict) -> None:
    """Ten minutes at 70 °C are an A0 of 60."""
    filling = scene(cool_bath).filling
    assert filling is not None
    assert filling.reached_s is None
    assert filling.best.values[-1] == pytest.approx(60.0)


def test_the_hold_is_the_longest_run_inside_the_band(steam: HeatVerdict) -> None:
    """The lumen is at 134 °C or more from second 198 on, the chamber until it cools below at second 507."""
    held = scene(steam).held_s
    assert held is not None
    assert held[0] == pytest.approx(199.0, abs=1.5)
    assert held[1] == pytest.approx(506.0, abs=1.5)


def test_steam_is_drawn_from_its_pressure(steam: HeatVerdict) -> None:
    """Saturated steam made from the chamber's temperature gives that temperature back."""
    drawn = scene(steam)
    assert drawn.saturation is not None
    chamber = next(c for c in drawn.curves if c.name == "chamber")
    assert np.nanmax(drawn.saturation.values) == pytest.approx(np.nanmax(chamber.values), abs=0.01)


def test_a_gauge_pressure_without_the_places_air_is_not_drawn(steam: HeatVerdict) -> None:
    """Nothing is guessed: no air pressure, no steam line."""
    channels = tuple(
        replace(c, pressure_kind="gauge") if c.quantity == "pressure" else c for c in steam.log.channels
    )
    unplaced = replace(
        steam,
        log=replace(steam.log, channels=channels),
        circumstances=replace(steam.circumstances, air_pressure_kpa=None),
    )
    assert scene(unplaced).saturation is None


def test_a_silence_breaks_the_line(make: Judged) -> None:
    """No line is drawn across an hour without readings."""
    times = np.concatenate([np.arange(0.0, 600.0, 10.0), np.arange(4200.0, 4800.0, 10.0)])
    verdict = make(times, [Channel("bath", "temperature", np.full(len(times), 81.0), "°C")], ["A0-600"])
    curve = scene(verdict).curves[0]
    assert np.count_nonzero(np.isnan(curve.values)) == 1
    assert 590.0 < curve.times_s[np.isnan(curve.values)][0] < 4200.0


def test_the_coldest_channel_decides(make: Judged) -> None:
    """Of two baths the cooler one is drawn filling."""
    times = np.arange(0.0, 900.0, 10.0)
    channels = [Channel(n, "temperature", np.full(90, t), "°C") for n, t in (("warm", 84.0), ("cool", 81.0))]
    verdict = make(times, channels, ["A0-600"])
    figures = coldest_figures(verdict)
    assert figures is not None
    assert figures.name == "cool"
