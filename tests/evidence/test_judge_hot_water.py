"""Judging hot water: A0 of the coldest channel, guarded by the sensor, and what other rules would say."""

import numpy as np
import pytest
from making import log_of, perfect, steady, with_sensor

from lungwort.evidence.judge import judge
from lungwort.evidence.verdict import Outcome
from lungwort.library.catalogue import find_criterion


def verdict_of(log, *names, circumstances=None):
    """Return the verdict on a log by criteria named."""
    return judge(log, [find_criterion(n) for n in names], circumstances or perfect())


@pytest.mark.parametrize(
    ("temperature_c", "for_s", "criterion", "outcome"),
    [
        # ISO 15883-1 equivalences (from memory; arithmetic of the A0 definition): 80 °C 10 min, 90 °C 1 min = A0 600
        (80.0, 600, "A0-600", Outcome.PASSED),
        (80.0, 599, "A0-600", Outcome.FAILED),
        (90.0, 60, "A0-600", Outcome.PASSED),
        (90.0, 300, "A0-3000", Outcome.PASSED),
        (93.0, 150, "A0-3000", Outcome.FAILED),
        (93.0, 151, "A0-3000", Outcome.PASSED),
        # CDC 2003/2008 wet-heat pasteurization (from memory): 70 °C for 30 min; its A0 is 180
        (70.0, 1800, "hot-water-70C-30min", Outcome.PASSED),
        (70.0, 1799, "hot-water-70C-30min", Outcome.NOT_SHOWN),
        (70.0, 1790, "hot-water-70C-30min", Outcome.FAILED),
        (70.0, 1800, "A0-600", Outcome.FAILED),
        (70.0, 6000, "A0-600", Outcome.PASSED),
        (64.9, 36000, "A0-60", Outcome.FAILED),
    ],
)
def test_published_pairs_of_time_and_temperature_get_their_verdict(temperature_c, for_s, criterion, outcome):
    """With instruments that do not err, the published pair passes and the next smaller one does not."""
    log = steady(temperature_c, for_s, every_s=1.0 if for_s < 1799 else 10.0 if for_s % 10 == 0 else 1.0)
    assert verdict_of(log, criterion).outcome is outcome


def test_the_coldest_channel_decides_though_the_mean_would_pass():
    """Four sensors at 90.0, 90.2, 89.0 and 90.1 °C for 60 s give A0 476.6, not 576."""
    t = np.arange(0, 61.0)
    log = log_of(t, a=np.full(61, 90.0), b=np.full(61, 90.2), c=np.full(61, 89.0), d=np.full(61, 90.1))
    verdict = verdict_of(log, "A0-600")
    assert verdict.outcome is Outcome.FAILED
    assert verdict.findings[0].value == pytest.approx(476.6, abs=0.05)
    assert "c (best estimate" in verdict.findings[0].says


def test_a_sensor_that_may_err_turns_a_bare_pass_into_not_shown():
    """At 80 °C for 610 s a Pt100 of class B can be 0.7 K off: A0 600 is neither shown nor excluded."""
    verdict = verdict_of(steady(80.0, 610), "A0-600", circumstances=with_sensor("Pt100 B"))
    assert verdict.outcome is Outcome.NOT_SHOWN
    assert "more minutes at 80.0 °C" in verdict.findings[0].says


def test_a_sensor_nobody_described_is_taken_as_coarse_and_said_so():
    """Without --sensor the proof allows for 2.5 K and lists that as an assumption."""
    verdict = judge(steady(80.0, 700), [find_criterion("A0-600")], with_sensor("±2.5 K"))
    unstated = judge(steady(80.0, 700), [find_criterion("A0-600")], type(verdict.circumstances)())
    assert unstated.findings[0].value == pytest.approx(verdict.findings[0].value)
    assert unstated.outcome is Outcome.NOT_SHOWN
    assert any("not stated; ±2.5 K" in a for a in unstated.assumptions)


def test_minutes_still_needed_are_those_of_the_present_temperature():
    """70 °C for 30 min is A0 180; 600 needs 70 more minutes at 70 °C (ISO table: 100 min in all)."""
    says = verdict_of(steady(70.0, 1800, 10.0), "A0-600").findings[0].says
    assert "70 more minutes at 70.0 °C would have been enough" in says


def test_water_too_cold_to_count_is_told_so():
    """Below 65 °C no time is ever enough by A0."""
    assert "counts nothing (it counts from 65 °C)" in verdict_of(steady(60.0, 600), "A0-600").findings[0].says


def test_what_other_published_rules_would_say_stands_beside_the_verdict():
    """70 °C for 30 min passes one tradition; the verdict shows that A0 600 would not."""
    verdict = verdict_of(steady(70.0, 1800, 10.0), "hot-water-70C-30min")
    others = {c.criterion.name: c.outcome for c in verdict.others}
    assert verdict.outcome is Outcome.PASSED
    assert others["A0-600"] is Outcome.FAILED
    assert others["A0-60"] is Outcome.PASSED
    assert "steam-134C-3min" not in others


def test_lethality_of_separate_heatings_is_not_added_up_in_the_proof():
    """Two heatings of A0 400 each, with a night at 40 °C between, do not prove A0 600."""
    temperatures = np.concatenate([np.full(401, 80.0), np.full(4000, 40.0), np.full(401, 80.0)])
    verdict = verdict_of(log_of(np.arange(len(temperatures)), T1=temperatures), "A0-600")
    assert verdict.channels[0].a0_s == pytest.approx(800, abs=1.5)
    assert verdict.channels[0].a0_low_s == pytest.approx(400, abs=0.5)
    assert verdict.outcome is Outcome.NOT_SHOWN


def test_nothing_is_proved_across_a_gap():
    """Ten minutes at 90 °C of which nine were not recorded prove no more than the readings there are."""
    t = np.concatenate([np.arange(0, 31.0), np.arange(570, 601.0)])
    verdict = verdict_of(log_of(t, T1=np.full(len(t), 90.0)), "A0-600")
    assert verdict.outcome is Outcome.NOT_SHOWN
    assert verdict.findings[0].value == pytest.approx(300, abs=0.5)
    assert any("1 gap longer than 3 s" in a for a in verdict.assumptions)


def test_times_written_to_the_minute_cost_one_minute():
    """Readings at 14:00 and 14:10 may be nine minutes apart: 80 °C gives A0 540 for sure."""
    from dataclasses import replace

    log = replace(log_of([0, 300, 600], T1=[80.0, 80.0, 80.0]), clock_step_s=60.0)
    assert verdict_of(log, "A0-600").findings[0].value == pytest.approx(540)


def test_a_channel_without_any_reading_leaves_the_verdict_open():
    """A dead sensor proves nothing and disproves nothing."""
    log = log_of(np.arange(0, 601.0), T1=np.full(601, 90.0), T2=np.full(601, np.nan))
    verdict = verdict_of(log, "A0-600")
    assert verdict.outcome is Outcome.NOT_SHOWN
    assert verdict.channels[1].readings == 0
    assert verdict.channels[1].max_c is None


def test_a_missing_reading_now_and_then_is_bridged():
    """One reading in thirty missing costs the proof nothing on a plateau."""
    values = np.full(601, 80.0)
    values[::30] = np.nan
    verdict = verdict_of(log_of(np.arange(0, 601.0), T1=values), "A0-60")
    assert verdict.channels[0].a0_s == pytest.approx(599, abs=1)
