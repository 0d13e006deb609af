"""Ways in which a log or a record once got a verdict that its evidence does not bear; each stays mended."""

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from making import log_of, perfect, steady, with_sensor

from lungwort.cli.mix_cautions import DangerousMixture, refuse_surroundings
from lungwort.errors import OutOfRange, UnreadableLog
from lungwort.evidence.instrument import parse_sensor
from lungwort.evidence.judge import judge
from lungwort.evidence.log import Channel, Log
from lungwort.evidence.period import moment_s
from lungwort.evidence.soak import judge_soak, read_soak
from lungwort.evidence.strengths import substance_of
from lungwort.evidence.verdict import Outcome
from lungwort.library.agents import find_agent
from lungwort.library.catalogue import find_criterion
from lungwort.science.steam import saturation_pressure_kpa

RISE, FALL = np.linspace(90, 135.3, 120), np.linspace(135.3, 90, 60)
CYCLE_C = np.concatenate([RISE, np.full(400, 135.3), FALL])


def verdict_of(log, name, circumstances=None):
    """Return the verdict on a log by one criterion."""
    return judge(log, [find_criterion(name)], circumstances or perfect())


def found(verdict, rule):
    """Return the finding of one rule."""
    return next(f for f in verdict.findings if f.rule == rule)


def cycle(pressure_kpa=None, **temperatures):
    """Return a log of one row a second, in saturated steam where no other pressure is given."""
    channels = temperatures or {"T1": CYCLE_C}
    first = next(iter(channels.values()))
    pressure = saturation_pressure_kpa(first) if pressure_kpa is None else pressure_kpa
    return log_of(np.arange(len(first)), pressure, **channels)


def test_one_reading_of_the_pressure_does_not_speak_for_the_whole_hold():
    """Of 400 s at 135.3 °C the pressure was read once: hot air would look the same for the rest."""
    pressure = saturation_pressure_kpa(CYCLE_C)
    pressure[110:300] = pressure[301:] = np.nan
    verdict = verdict_of(cycle(pressure), "steam-134C-3min")
    assert verdict.outcome is Outcome.NOT_SHOWN
    assert "No usable pressure was read for" in found(verdict, "saturation").says


def test_a_missing_pressure_now_and_then_costs_nothing():
    """Each tenth pressure missing leaves the agreement shown."""
    pressure = saturation_pressure_kpa(CYCLE_C)
    pressure[::10] = np.nan
    assert verdict_of(cycle(pressure), "steam-134C-3min").outcome is Outcome.PASSED


def test_steam_is_judged_where_the_hold_was_not_where_the_load_stayed_longest():
    """The hold of 121 °C was in hot air; a longer time at 130 °C, above the band, was in steam."""
    shape = [np.linspace(60, 122, 60), np.full(1000, 122.0), np.linspace(122, 100, 30)]
    shape += [np.linspace(100, 130, 60), np.full(1300, 130.0), np.linspace(130, 60, 60)]
    temperature_c = np.concatenate(shape)
    pressure = saturation_pressure_kpa(temperature_c)
    pressure[60:1060] = 105.0
    verdict = verdict_of(cycle(pressure, T1=temperature_c), "steam-121C-15min")
    assert found(verdict, "hold").outcome is Outcome.PASSED
    assert found(verdict, "superheat").outcome is Outcome.FAILED
    assert verdict.outcome is Outcome.FAILED


@pytest.mark.parametrize(("seconds_of_steam", "outcome"), [(15, Outcome.FAILED), (60, Outcome.PASSED)])
def test_f0_counts_as_proved_only_where_steam_agrees_with_its_pressure(seconds_of_steam, outcome):
    """20 min of hot air at 130 °C prove nothing; 60 s of steam at 134 °C are F0 19.5 by themselves, 15 s are 4.9."""
    shape = [np.linspace(60, 130, 60), np.full(1200, 130.0), np.linspace(130, 134, 10)]
    temperature_c = np.concatenate([*shape, np.full(seconds_of_steam, 134.0), np.linspace(134, 60, 60)])
    pressure = saturation_pressure_kpa(temperature_c)
    pressure[60:1262] = 110.0
    assert verdict_of(cycle(pressure, T1=temperature_c), "F0-12").outcome is outcome


def test_a_bad_half_does_not_hide_in_a_good_mean():
    """3.6 K below saturation for half the hold, 0.4 K above for the rest: 1.6 K on average, yet not shown."""
    pressure = saturation_pressure_kpa(CYCLE_C)
    pressure[120:320] = saturation_pressure_kpa(138.9)
    pressure[320:520] = saturation_pressure_kpa(134.9)
    verdict = verdict_of(cycle(pressure), "steam-134C-3min")
    assert verdict.outcome is Outcome.NOT_SHOWN
    assert "In the worst minute or so it lies 3.60 K below" in found(verdict, "air").says


def test_two_pressures_that_tell_of_different_steam_prove_nothing():
    """The jacket agrees with the thermometer, the chamber does not: which is which, the hospital must say."""
    log = cycle()
    chamber = Channel("P2", "pressure", saturation_pressure_kpa(CYCLE_C + 6), "kPa", "absolute")
    verdict = verdict_of(replace(log, channels=(*log.channels, chamber)), "steam-134C-3min")
    assert verdict.outcome is Outcome.NOT_SHOWN
    assert "--leave-out" in found(verdict, "saturation").says


def test_two_pressures_that_agree_are_no_hindrance():
    """A second gauge 1 kPa off is within two gauges of ±5 kPa."""
    log = cycle()
    second = Channel("P2", "pressure", log.channels[1].values + 1.0, "kPa", "absolute")
    here = with_sensor("±0 K", pressure_error_kpa=5.0)
    says = found(
        verdict_of(replace(log, channels=(*log.channels, second)), "steam-134C-3min", here), "saturation"
    )
    assert "kPa absolute means saturated steam of 135.3" in says.says


def test_hot_gas_above_saturation_is_not_said_to_be_free_of_air():
    """5 K above saturation the depression by air cannot be seen."""
    verdict = verdict_of(cycle(np.full(len(CYCLE_C), 270.0)), "steam-134C-3min")
    assert found(verdict, "air").outcome is Outcome.NOT_SHOWN
    assert "cannot be told" in found(verdict, "air").says


def test_a_log_that_begins_hot_shows_no_equilibration():
    """Both places stand at 135.3 °C from the first row: how far apart they got there was not recorded."""
    hot = np.full(300, 135.3)
    verdict = verdict_of(cycle(T1=hot, T2=hot), "steam-134C-3min-mapping")
    assert found(verdict, "equilibration").outcome is Outcome.NOT_SHOWN
    assert "Log the rise too" in found(verdict, "equilibration").says


def test_a_touch_in_an_earlier_pulse_is_no_equilibration():
    """Both places touch 134 °C in a pulse; in the cycle itself the lumen comes 90 s late."""
    pulse = [np.linspace(60, 135.3, 60), np.full(5, 135.3), np.linspace(135.3, 80, 60)]
    drain = np.concatenate([*pulse, np.linspace(80, 135.3, 60), np.full(400, 135.3), FALL])
    lumen = drain.copy()
    lumen[170:275] = np.linspace(90, 133, 105)
    verdict = verdict_of(cycle(drain=drain, lumen=lumen), "steam-134C-3min-mapping")
    assert found(verdict, "equilibration").outcome is Outcome.FAILED
    assert found(verdict, "equilibration").value == pytest.approx(91, abs=2)


def test_a_hole_in_the_hold_is_seen_though_readings_are_usually_close():
    """Overnight readings a minute apart make 170 s look bridgeable; in a hold of 3 min they are not."""
    hold_s = np.concatenate([np.arange(0, 5), np.arange(175, 185)])
    times = np.concatenate([np.arange(0, 36_000, 60), 36_000 + np.arange(120), 36_120 + hold_s])
    times = np.concatenate([times, 36_305 + np.arange(60)])
    temperature_c = np.concatenate([np.full(600, 25.0), RISE, np.full(15, 135.3), FALL])
    log = log_of(times, saturation_pressure_kpa(temperature_c), T1=temperature_c)
    verdict = verdict_of(log, "steam-134C-3min")
    assert verdict.outcome is Outcome.NOT_SHOWN
    assert "Once there was none for 171 s" in found(verdict, "sampling").says


def test_two_readings_ten_hours_apart_prove_nothing_between_them():
    """Half an hour unwatched is the longest that is bridged, however seldom readings are taken."""
    verdict = verdict_of(log_of([0, 36_000], T1=[80.0, 80.0]), "A0-3000")
    assert verdict.outcome is Outcome.NOT_SHOWN
    assert found(verdict, "a0").value == 0
    assert verdict_of(log_of([0, 1800], T1=[80.0, 80.0]), "A0-600").outcome is Outcome.PASSED


@pytest.mark.parametrize("criterion", ["A0-600", "hot-water-70C-30min"])
def test_a_gap_that_may_hide_the_whole_treatment_excludes_nothing(criterion):
    """Forty degrees before and after an hour and a half of silence say nothing of what was between."""
    times = np.concatenate([np.arange(0, 600, 10), np.arange(6000, 6600, 10)])
    verdict = verdict_of(log_of(times, T1=np.full(120, 40.0)), criterion)
    assert verdict.outcome is Outcome.NOT_SHOWN


@pytest.mark.parametrize(
    ("criterion", "off_k", "rule"), [("steam-134C-3min", 0, "hold"), ("A0-600", 50, "a0")]
)
def test_a_sensor_that_dies_in_the_hold_excludes_nothing(criterion, off_k, rule):
    """After 60 s of the hold one channel falls silent; the other goes on: not shown, never failed."""
    dying = CYCLE_C.copy()
    dying[180:] = np.nan
    log = log_of(
        np.arange(len(CYCLE_C)), saturation_pressure_kpa(CYCLE_C), T1=CYCLE_C - off_k, T2=dying - off_k
    )
    assert found(verdict_of(log, criterion), rule).outcome is Outcome.NOT_SHOWN


def test_a_channel_that_is_surely_too_cold_fails_the_hold_though_another_is_silent():
    """A missing reading excludes nothing, a reading of 120 °C does."""
    log = log_of(
        np.arange(len(CYCLE_C)),
        saturation_pressure_kpa(CYCLE_C),
        T1=CYCLE_C - 15,
        T2=np.full(len(CYCLE_C), np.nan),
    )
    assert found(verdict_of(log, "steam-134C-3min"), "hold").outcome is Outcome.NOT_SHOWN  # no complete row
    whole = replace(log, channels=(log.channels[0], log.channels[2]))
    assert found(verdict_of(whole, "steam-134C-3min"), "hold").outcome is Outcome.FAILED


def test_channels_read_in_turn_keep_their_own_intervals():
    """Two channels read alternately have no moment in common; each still has its A0 of 1,190 s at 90 °C."""
    times, odd = np.arange(0, 1200, 5), np.arange(240) % 2 == 1
    log = log_of(times, T1=np.where(odd, np.nan, 90.0), T2=np.where(odd, 90.0, np.nan))
    verdict = verdict_of(log, "A0-600")
    assert verdict.outcome is Outcome.PASSED
    assert verdict.channels[0].a0_s == pytest.approx(11_900)


def test_thirteen_bounds_together_are_as_sure_as_one():
    """A0 567 by a sensor of ±0.25 K excludes 600, by each of 13 sensors apart from each other it does not.

    The upper bound of one is 566.9 · 10^0.0225 = 597.1, that of 13 is 566.9 · 10^0.0248 = 600.2 (closed form).
    """
    one = steady(80.0 + 10 * np.log10(566.9 / 600), 600)
    many = log_of(one.elapsed_s, **{f"T{i}": one.channels[0].values for i in range(13)})
    here = with_sensor("±0.25 K")
    assert verdict_of(one, "A0-600", here).outcome is Outcome.FAILED
    assert verdict_of(many, "A0-600", here).outcome is Outcome.NOT_SHOWN


def test_a_clock_of_whole_minutes_may_hide_a_minute_of_heat():
    """89 °C from 14:00 to 60 °C at 14:01 may be two minutes at 89 °C: A0 953, so 600 is not excluded."""
    log = replace(log_of([0, 60], T1=[89.0, 60.0]), clock_step_s=60.0)
    assert verdict_of(log, "A0-600").outcome is Outcome.NOT_SHOWN


def test_f0_is_not_excluded_where_the_whole_curve_would_reach_it():
    """38 h at 99 °C are F0 14.4 by definition; the proof counts from 100 °C, so 8 is not shown, not failed."""
    t = np.arange(0, 36_000 * 3.8, 30.0)
    log = log_of(t, np.full(len(t), float(saturation_pressure_kpa(99.0))), T1=np.full(len(t), 99.0))
    assert found(verdict_of(log, "F0-8"), "f0").outcome is Outcome.NOT_SHOWN


def test_whole_degrees_cost_half_a_degree():
    """A logger of whole degrees shows 80 from 79.5 on: 610 s then prove A0 543 (10^-0.05), not 610."""
    rise = np.arange(20.0, 80.0)
    values = np.concatenate([rise, np.full(611, 80.0)])
    verdict = verdict_of(log_of(np.arange(len(values)), T1=values), "A0-600")
    assert verdict.outcome is Outcome.NOT_SHOWN
    assert any("steps of 1.00 K" in a for a in verdict.assumptions)


def test_minutes_still_needed_do_not_add_a_heating_that_is_over():
    """After A0 400 at 80 °C and a night at 40 °C, 70 °C needs the whole 100 min (ISO table), not a third of it."""
    temperatures = np.concatenate([np.full(401, 80.0), np.full(4000, 40.0), np.full(11, 70.0)])
    says = verdict_of(log_of(np.arange(len(temperatures)), T1=temperatures), "A0-600").findings[0].says
    assert "100 more minutes at 70.0 °C" in says


def test_minutes_still_needed_are_never_none_while_the_target_is_not_shown():
    """Among many channels the joint bound decides, so the advice is reckoned from it too."""
    log = steady(80.0, 660)
    many = log_of(log.elapsed_s, **{f"T{i}": log.channels[0].values for i in range(13)})
    verdict = verdict_of(many, "A0-600", with_sensor("±0.45 K"))
    assert verdict.outcome is Outcome.NOT_SHOWN
    assert " 0 more minutes" not in verdict.findings[0].says


def test_a_log_without_a_temperature_is_refused():
    """Pressure alone is no treatment."""
    log = Log(np.arange(3.0), (Channel("P", "pressure", np.full(3, 300.0), "kPa", "absolute"),))
    with pytest.raises(UnreadableLog, match=r"no temperature among its channels \(P\)"):
        verdict_of(log, "A0-600")


def test_a_log_that_ends_hot_says_what_is_taken_of_the_rest():
    """The verdict speaks of the readings there are; a reader must know that they are taken for the whole."""
    assert any("hold the whole treatment" in a for a in verdict_of(steady(80.0, 60), "A0-600").assumptions)


def test_water_hotter_than_it_can_be_is_remarked():
    """At 2,300 m water boils at 92.3 °C (ISO 2533, IAPWS-IF97): 98 °C is no open bath."""
    says = verdict_of(steady(98.0, 600), "A0-600", perfect(altitude_m=2300)).assumptions
    assert any("water boils at 92.3 °C in the open" in a for a in says)
    assert not any("boils" in a for a in verdict_of(steady(90.0, 600), "A0-600").assumptions)


def test_a_certificate_s_offset_is_said_in_words():
    """A sign mistaken is found only where its effect is told."""
    verdict = verdict_of(steady(80.0, 600), "A0-600", with_sensor("calibrated +0.5 ±0.2"))
    assert any("shows 0.50 K too much, which is taken off" in a for a in verdict.assumptions)


@pytest.mark.parametrize("text", ["±1000000000", "calibrated -30 ±0.2", "calibrated 0.3 ±9000"])
def test_an_error_no_thermometer_has_is_refused(text):
    """Such numbers were once a traceback, or an A0 of millions from a bath at 80 °C."""
    with pytest.raises(OutOfRange, match="K off; at most"):
        parse_sensor(text)


STARTED = datetime(2026, 5, 18, 9, 12, 5)
CLOCKED = replace(steady(80.0, 3990, 10.0), started=STARTED)


@pytest.mark.parametrize("text", ["09:12", "08:00"])
def test_a_time_before_the_log_is_not_taken_for_the_next_day(text):
    """--to 08:00 on a log from 09:12 to 10:18 once judged the whole log."""
    with pytest.raises(OutOfRange, match="is not in the log, which starts at 09:12:05"):
        moment_s(CLOCKED, text)


def test_a_zone_is_neither_a_traceback_nor_ignored():
    """The log has no zone, so a moment with one cannot be found in it."""
    with pytest.raises(OutOfRange, match="have no zone"):
        moment_s(CLOCKED, "2026-05-18 09:20+00:00")
    with pytest.raises(OutOfRange, match="is not a moment of the log"):
        moment_s(CLOCKED, "09:20+05:00")


def test_moments_after_summer_time_begins_are_found_where_they_are():
    """In Lisbon 2026-03-29 01:00 is followed by 02:00: from 23:00 to 03:00 are three hours."""
    started = datetime(2026, 3, 28, 23, 0, tzinfo=ZoneInfo("Europe/Lisbon"))
    assert (
        moment_s(replace(CLOCKED, started=started, elapsed_s=np.arange(0, 14_400, 60.0)), "03:00") == 10_800
    )


BLEACH = substance_of(find_agent("hypochlorite"))


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ("14:00 in; 14:25 out; made 14:10", "made at 14:10:00, after the parts went in"),
        ("14:25 in; 14:00 out", "before they went in"),
        ("strip <1500 mg/L", "only a bound"),
        ("load 0", "the first is load 1"),
    ],
)
def test_a_record_that_cannot_be_meant_is_refused(lines, says):
    """Each of these once passed in silence."""
    with pytest.raises(UnreadableLog, match=says):
        read_soak([lines], BLEACH)


def test_one_time_without_seconds_makes_the_whole_contact_coarse():
    """14:00 to 14:20:30 may be 19 min 31 s."""
    assert read_soak(["14:00 in; 14:20:30 out"], BLEACH).clock_step_s == 60


def test_a_solution_made_without_a_date_is_said_to_be_of_the_last_such_time():
    """Made at 13:30 may have been a week ago."""
    assert any(
        "the last 13:30" in a for a in read_soak(["14:00 in; 14:25 out; made 13:30"], BLEACH).assumptions
    )


def test_tap_water_that_an_agent_allows_under_a_condition_is_not_shown_rather_than_failed():
    """OPA: tap water only where alcohol and forced air follow, of which the record says nothing."""
    opa = find_agent("OPA")
    soak = read_soak(["14:00 in; 14:25 out; rinse tap x3"], substance_of(opa))
    assert found(judge_soak(soak, [find_criterion("OPA-0.55pc-20C")]), "rinse").outcome is Outcome.NOT_SHOWN


def test_a_spread_among_many_sensors_fails_only_beyond_what_the_worst_two_can_err():
    """2.45 K apart as read: too much for two sensors of ±0.25 K (guard 0.34), not for the worst two of 13 (0.5)."""
    rise = np.linspace(90, 135.8, 120)
    steam_c = np.concatenate([rise, np.full(241, 135.8)])
    apart = {"T0": steam_c, "T1": np.minimum(steam_c, 135.8 - 2.45)}
    others = {f"T{i}": np.minimum(steam_c, 134.5) for i in range(2, 13)}
    here = with_sensor("±0.25 K", pressure_error_kpa=0.0)
    assert found(verdict_of(cycle(**apart), "steam-134C-3min", here), "spread").outcome is Outcome.FAILED
    assert (
        found(verdict_of(cycle(**apart, **others), "steam-134C-3min", here), "spread").outcome
        is Outcome.NOT_SHOWN
    )


@pytest.mark.parametrize("place", ["gas stove", "kerosene lamp", "hot plate", "electric heater"])
def test_a_flame_by_a_longer_name_is_still_a_flame(place):
    """Alcohol beside a gas stove once got its recipe."""
    with pytest.raises(DangerousMixture, match="It catches fire"):
        refuse_surroundings(find_agent("ethanol"), [place])
