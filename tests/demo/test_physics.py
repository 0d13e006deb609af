"""The demonstration's model obeys the physics it claims: Dalton, saturation, lag, energy, boiling."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from lungwort.demo.hospital import AUTOCLAVE_PLACES, RIDGEWAY, boiling_here_c, here_kpa, washroom_bath
from lungwort.demo.physics import (
    WATER_HEAT_J_PER_KG_K,
    Bath,
    Load,
    Phase,
    Place,
    air_at_place,
    bath_run,
    chamber_run,
    follow,
    place_temperature_c,
    steam_temperature_c,
)
from lungwort.demo.recordings import airy_steam_run, good_steam_run, sea_level_steam_run

RUNS = {"good": good_steam_run, "airy": airy_steam_run, "sea level": sea_level_steam_run}


# ---- chamber: pressure and air ----


def test_a_chamber_starts_full_of_room_air():
    """Before anything happens the gas is air at the pressure of the place."""
    run = chamber_run([Phase("hold", 10.0, 76.6)], air_pressure_kpa=76.6)
    assert (run.pressure_kpa[0], run.air_fraction[0], run.elapsed_s[0]) == (76.6, 1.0, 0.0)


def test_gas_that_is_drawn_off_takes_its_share_of_air_along():
    """Drawing a mixture down leaves its air fraction as it was."""
    run = chamber_run(
        [Phase("steam", 20.0, 160.0), Phase("draw", 60.0, 10.0, lag_s=15.0)], air_pressure_kpa=80.0
    )
    assert run.air_fraction[20:] == pytest.approx(0.5, abs=1e-12)
    assert run.pressure_kpa[-1] == pytest.approx(10.0 + 150.0 * np.exp(-4.0), abs=1e-9)


def test_three_pulses_leave_the_air_that_dalton_says():
    """After each pulse the air fraction shrinks by low pressure over high pressure (hand calculation)."""
    pulse = (Phase("draw", 600.0, 10.0, lag_s=15.0), Phase("steam", 30.0, 200.0))
    run = chamber_run(pulse * 3, air_pressure_kpa=100.0)
    assert run.air_fraction[-1] == pytest.approx((10.0 / 200.0) ** 3, rel=1e-9)


def test_a_purge_thins_the_air_at_constant_pressure():
    """Steam sweeping through for three lags leaves e^-3 of the air."""
    run = chamber_run([Phase("purge", 90.0, lag_s=30.0)], air_pressure_kpa=76.6)
    assert np.ptp(run.pressure_kpa) == 0.0
    assert run.air_fraction[-1] == pytest.approx(np.exp(-3.0), rel=1e-9)


def test_room_air_let_in_is_counted_as_air():
    """Air admitted to a chamber of pure steam makes up the whole rise in pressure."""
    phases = [
        Phase("purge", 3000.0, lag_s=30.0),
        Phase("draw", 600.0, 20.0, lag_s=15.0),
        Phase("air", 30.0, 80.0),
    ]
    run = chamber_run(phases, air_pressure_kpa=80.0)
    assert run.air_fraction[-1] == pytest.approx(60.0 / 80.0, rel=1e-9)


def test_a_hold_stays_between_its_setting_and_its_swing():
    """The steam valve keeps the pressure within the swing below the setting, and uses all of it."""
    run = chamber_run([Phase("steam", 60.0, 300.0), Phase("hold", 240.0, 300.0, swing_kpa=2.0)], 76.6)
    held = run.pressure_kpa[run.phase == 1]
    assert (held.min(), held.max()) == pytest.approx((298.0, 300.0))


def test_the_time_step_does_not_move_the_end_of_a_run():
    """The programme is solved in closed form: halving the step leaves pressure and air where they were."""
    phases = [Phase("draw", 60.0, 10.0, lag_s=15.0), Phase("steam", 60.0, 200.0)]
    coarse, fine = (chamber_run(phases, 76.6, step_s=s) for s in (1.0, 0.5))
    assert coarse.pressure_kpa[-1] == pytest.approx(fine.pressure_kpa[-1], rel=1e-12)
    assert coarse.air_fraction[-1] == pytest.approx(fine.air_fraction[-1], rel=1e-12)


@pytest.mark.parametrize("name", RUNS)
def test_no_run_of_the_demonstration_jumps_in_pressure_or_holds_impossible_air(name):
    """Phases join without a step, and the air fraction stays between none and all."""
    run = RUNS[name]()
    per_second = np.abs(np.diff(run.pressure_kpa)) / np.diff(run.elapsed_s)
    assert per_second.max() < 10.0
    assert run.air_fraction.min() >= 0.0
    assert run.air_fraction.max() <= 1.0


def test_odds_of_air_scale_small_fractions_in_proportion():
    """A place with three times the odds holds nearly three times a small fraction of air."""
    assert air_at_place(0.001, 3.0) == pytest.approx(0.003, rel=3e-3)
    assert air_at_place([0.0, 0.2, 1.0], 1.0) == pytest.approx([0.0, 0.2, 1.0])


def test_odds_of_air_keep_pure_air_pure_and_multiply_odds():
    """One part in five is odds of 1 to 4; three times that, 3 to 4, is three parts in seven."""
    assert air_at_place([0.0, 0.2, 1.0], 3.0) == pytest.approx([0.0, 3.0 / 7.0, 1.0])


# ---- chamber: temperature ----


@pytest.mark.parametrize("temperature_c", [100.0, 115.0, 121.0, 134.0, 137.0])
def test_pure_steam_condenses_where_coolprop_says(temperature_c):
    """CoolProp 8 (IAPWS-95) as outside source; it and IAPWS-IF97 agree here within 0.01 K."""
    pressure_kpa = PropsSI("P", "T", temperature_c + 273.15, "Q", 1, "Water") / 1000.0
    shown = steam_temperature_c(np.array([pressure_kpa]), np.array([0.0]), 21.0)[0]
    assert shown == pytest.approx(temperature_c, abs=0.01)


def test_air_lowers_the_temperature_as_dalton_says():
    """With 9.07 % of air, 205.0 kPa stand for 118 °C and no more (computed with IAPWS-IF97)."""
    assert steam_temperature_c(205.0, 0.0907, 21.0) == pytest.approx(118.0, abs=0.005)


def test_pure_air_leaves_a_place_at_room_temperature():
    """Without steam nothing condenses and nothing warms."""
    assert steam_temperature_c(76.6, 1.0, 21.0) == pytest.approx(21.0, abs=1e-6)


@pytest.mark.parametrize("lag_s", [2.0, 6.0, 45.0])
def test_the_lag_can_be_recovered_from_a_step(lag_s):
    """The logarithm of what is left of a step falls by one each lag."""
    shown = follow(np.full(200, 100.0), 20.0, 1.0, lag_s)
    left = np.log((100.0 - shown[:10]) / 80.0)
    assert -1.0 / np.polyfit(np.arange(10.0), left, 1)[0] == pytest.approx(lag_s, rel=1e-6)


def test_on_a_steady_ramp_a_body_trails_by_rate_times_lag():
    """The textbook result for a first-order lag: 0.1 K/s and 20 s make 2 K."""
    target_c = 20.0 + 0.1 * np.arange(0.0, 400.0, 0.1)
    shown = follow(target_c, 20.0, 0.1, 20.0)
    assert target_c[-1] - shown[-1] == pytest.approx(2.0, abs=0.01)


def test_a_wet_body_cools_fast_and_a_dry_one_slowly():
    """Condensate boils off first; when it is gone the body keeps its heat."""
    target_c = np.concatenate([np.full(200, 120.0), np.full(200, 40.0)])
    shown = follow(target_c, 100.0, 1.0, lag_s=5.0, dry_lag_s=900.0)
    fast, slow = shown[199] - shown[200], shown[398] - shown[399]
    assert fast > 10.0
    assert 0.0 < slow < 0.1


def test_the_condensate_kept_can_undo_half_of_a_warming():
    """Half of the condensate of a 20 K warming stays, so 10 K are lost at once and the rest slowly."""
    target_c = np.concatenate([np.full(600, 120.0), np.full(50, 40.0)])
    shown = follow(target_c, 100.0, 0.1, lag_s=5.0, dry_lag_s=900.0)
    assert shown[599] - shown[-1] == pytest.approx(10.0, abs=2.0)


@pytest.mark.parametrize("place", AUTOCLAVE_PLACES, ids=lambda p: p.name)
@pytest.mark.parametrize("name", RUNS)
def test_no_place_is_ever_hotter_than_the_hottest_saturated_steam_so_far(name, place):
    """Steam heats by condensing, so no place passes the highest saturation temperature there has been."""
    run = RUNS[name]()
    shown = place_temperature_c(run, place, RIDGEWAY.ambient_c)
    pure_c = steam_temperature_c(run.pressure_kpa, np.zeros_like(run.pressure_kpa), RIDGEWAY.ambient_c)
    assert np.all(shown <= np.maximum.accumulate(pure_c) + 1e-9)


@pytest.mark.parametrize("place", AUTOCLAVE_PLACES, ids=lambda p: p.name)
def test_during_the_hold_of_the_good_cycle_steam_agrees_with_its_pressure(place):
    """Once settled, every place lies within 0.3 K of saturation."""
    run = good_steam_run()
    held = np.flatnonzero(run.phase == run.phase[np.argmax(run.pressure_kpa)] + 1)[20:]
    pure_c = steam_temperature_c(run.pressure_kpa[held], np.zeros(len(held)), RIDGEWAY.ambient_c)
    shown = place_temperature_c(run, place, RIDGEWAY.ambient_c)[held]
    assert len(held) == 220
    assert np.abs(shown - pure_c).max() < 0.3


def test_air_left_chills_the_lumen_by_three_kelvin_and_spares_the_chamber():
    """The cycle with air left holds 8 to 10 % of air in the lumen, whose temperature shows it."""
    run = airy_steam_run()
    at = int(np.flatnonzero(run.phase == 3)[-1])
    chamber_c, _, lumen_c = (place_temperature_c(run, p, RIDGEWAY.ambient_c)[at] for p in AUTOCLAVE_PLACES)
    assert 0.08 < air_at_place(run.air_fraction[at], AUTOCLAVE_PLACES[2].air_odds) < 0.10
    assert 2.5 < chamber_c - lumen_c < 3.5


def test_a_sea_level_setting_makes_117_degrees_at_2300_m():
    """103.7 kPa gauge at 2,300 m: between 117.46 at 2,000 m and 116.87 at 2,355 m (ISO 2533, IAPWS-IF97)."""
    run = sea_level_steam_run()
    drain_c = place_temperature_c(run, Place("Drain", lag_s=4.0), RIDGEWAY.ambient_c)
    assert 116.5 < drain_c.max() < 117.0


# ---- bath ----

POT = Bath(
    water_kg=10.0, heater_w=2000.0, loss_w_per_k=8.0, set_c=80.0, swing_k=0.5, boiling_c=92.3, ambient_c=20.0
)
LOAD = Load(heat_j_per_k=3000.0, transfer_w_per_k=30.0, added_s=300.0, start_c=20.0)


@pytest.mark.parametrize("water_c", [65.0, 80.0, 95.0])
def test_the_heat_capacity_of_water_is_that_of_coolprop(water_c):
    """CoolProp 8 as outside source, within half a percent from 65 to 95 °C."""
    heat = PropsSI("C", "T", water_c + 273.15, "P", 101325, "Water")
    assert pytest.approx(heat, rel=5e-3) == WATER_HEAT_J_PER_KG_K


@pytest.mark.parametrize("bath", [POT, Bath(10.0, 4000.0, 8.0, 99.0, 0.5, 92.3, 20.0), washroom_bath()])
def test_energy_is_neither_made_nor_lost(bath):
    """What the heater gave is in the water, in the load, in the room or in the vapour."""
    run = bath_run(bath, LOAD, start_c=70.0, for_s=3600.0)
    given_j = run.heater_w[1:].sum() + 0.0
    lost_j = (bath.loss_w_per_k * (run.water_c[:-1] - bath.ambient_c)).sum() + run.boiling_w[1:].sum()
    stored_j = bath.water_kg * 4190.0 * (run.water_c[-1] - 70.0) + 3000.0 * (run.load_c[-1] - 20.0)
    assert given_j == pytest.approx(lost_j + stored_j, rel=1e-9)


def test_water_never_passes_the_boiling_point_of_the_place():
    """A pot told to reach 99 °C stays at the 92.3 °C of 2,300 m and boils the rest of its heat away."""
    bath = Bath(10.0, 4000.0, 8.0, 99.0, 0.5, boiling_here_c(), 20.0)
    run = bath_run(bath, LOAD, start_c=85.0, for_s=3600.0)
    assert run.water_c.max() == pytest.approx(92.3, abs=0.05)
    assert run.boiling_w[-1] == pytest.approx(4000.0 - 8.0 * (boiling_here_c() - 20.0), rel=0.01)


def test_water_boils_here_where_coolprop_says():
    """CoolProp 8 as outside source for the boiling point at the hospital's air pressure."""
    expected_c = PropsSI("T", "P", here_kpa() * 1000.0, "Q", 0, "Water") - 273.15
    assert boiling_here_c() == pytest.approx(expected_c, abs=0.01)


def test_a_cold_load_dips_the_bath_to_the_mixing_temperature():
    """Without heater or loss, water and load meet at the mean weighted by heat capacity (by hand)."""
    still = Bath(10.0, 0.0, 0.0, 80.0, 0.5, 92.3, 20.0)
    run = bath_run(still, LOAD, start_c=75.0, for_s=3600.0)
    mixed_c = (10.0 * 4190.0 * 75.0 + 3000.0 * 20.0) / (10.0 * 4190.0 + 3000.0)
    assert (run.water_c[-1], run.load_c[-1]) == pytest.approx((mixed_c, mixed_c), abs=1e-6)


def test_the_load_stays_cold_until_it_is_put_in():
    """Before `added_s` the load keeps its temperature; after it, it warms."""
    run = bath_run(POT, LOAD, start_c=75.0, for_s=400.0)
    assert np.all(run.load_c[:301] == 20.0)
    assert run.load_c[302] > 20.0


def test_the_thermostat_keeps_water_near_its_setting():
    """Once settled, the water stays within the swing and one step's overshoot, and the heater switches."""
    run = bath_run(POT, LOAD, start_c=75.0, for_s=7200.0)
    settled = run.water_c[3600:]
    assert settled.max() < 80.5 + 0.06
    assert settled.min() > 79.5 - 0.06
    assert set(run.heater_w[3600:]) == {0.0, 2000.0}
