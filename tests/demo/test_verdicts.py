"""Each invented cycle is judged as its story says, whatever the noise."""

import pytest

from lungwort.demo.cycles import SEED, demo_cycles, recording_of
from lungwort.demo.hospital import RIDGEWAY
from lungwort.evidence.circumstances import circumstances_at
from lungwort.evidence.instrument import parse_sensor
from lungwort.evidence.judge import judge
from lungwort.evidence.log import Channel, Log
from lungwort.library.catalogue import find_criterion

CYCLES = {c.name: c for c in demo_cycles()}
KPA = {"kPa": 1.0, "kPa abs": 1.0, "bar(a)": 100.0}


def channel_of(column, kind):
    """One written column as the reader of logs would hand it on."""
    if column.unit == "°C":
        return Channel(column.name, "temperature", column.written, "°C")
    return Channel(column.name, "pressure", column.written * KPA[column.unit], column.unit, kind)


def log_of(cycle, seed):
    """A cycle's readings as a log, without the detour through a file; by hand, whole minutes only."""
    recording = recording_of(cycle, seed)
    hand = cycle.name == "hand-bath-83"
    elapsed_s = recording.elapsed_s // 60 * 60 if hand else recording.elapsed_s
    kind = cycle.declared.get("pressure_kind", "absolute")
    channels = tuple(channel_of(c, kind) for c in recording.columns)
    return Log(elapsed_s, channels, recording.started, clock_step_s=60.0 if hand else 1.0, hand=hand)


def verdict_of(cycle, seed=SEED):
    """The verdict of a cycle under the circumstances that it states."""
    here = circumstances_at(
        cycle.altitude_m, sensor=parse_sensor(cycle.sensor), pressure_error_kpa=cycle.pressure_error_kpa
    )
    return judge(log_of(cycle, seed), [find_criterion(n) for n in cycle.criteria], here)


def finding(cycle, rule):
    """The finding of one rule among a cycle's criteria."""
    return next(f for f in verdict_of(CYCLES[cycle]).findings if f.rule == rule)


@pytest.mark.parametrize("seed", [SEED, *range(8)])
@pytest.mark.parametrize("cycle", CYCLES.values(), ids=CYCLES)
def test_each_cycle_gets_the_intended_verdict_whatever_the_noise(cycle, seed):
    """Nine seeds give nine logs and one and the same answer for each criterion."""
    assert tuple(str(c.outcome) for c in verdict_of(cycle, seed).criteria) == cycle.intended


def test_the_sea_level_setting_is_called_out_though_steam_and_pressure_agree():
    """The setting contradicts the nominal temperature while saturation, air and superheat pass."""
    assert "contradict" in finding("sea-level-steam-121", "setting").says
    agreeing = [finding("sea-level-steam-121", rule).outcome for rule in ("saturation", "air", "superheat")]
    assert [str(outcome) for outcome in agreeing] == ["passed", "passed", "passed"]


def test_air_left_is_found_as_air_in_the_lumen():
    """The air rule fails, names the lumen, and finds the 8 to 10 % that the model put there."""
    found = finding("air-left-134", "air")
    assert (str(found.outcome), found.says.split(" lies")[0]) == ("failed", "Circuit lumen")
    assert 8.0 < found.value < 10.0


def test_the_cycle_with_air_left_would_pass_by_its_chamber_sensor_alone():
    """Leaving out drain and lumen hides the fault from the hold: why the notice tells of it."""
    cycle = CYCLES["air-left-134"]
    log = log_of(cycle, SEED)
    alone = Log(log.elapsed_s, (log.temperatures[0], log.pressures[0]), log.started)
    here = circumstances_at(RIDGEWAY.altitude_m, sensor=parse_sensor("Pt100 A"), pressure_error_kpa=1.5)
    assert str(judge(alone, [find_criterion("steam-134C-3min")], here).outcome) == "passed"
