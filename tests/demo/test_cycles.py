"""The five invented cycles hold what their words say, and are written the same each time."""

from dataclasses import FrozenInstanceError

import numpy as np
import pytest

from lungwort.demo.cycles import SEED, demo_cycles, recording_of, write_demo_logs
from lungwort.errors import LungwortError
from lungwort.evidence.instrument import parse_sensor
from lungwort.library.catalogue import find_criterion
from lungwort.science.lethality import longest_hold
from lungwort.science.uncertainty import pt100_tolerance_k

CYCLES = {c.name: c for c in demo_cycles()}


def columns(name, seed=SEED):
    """The written columns of one cycle by name."""
    return {c.name: c.written for c in recording_of(CYCLES[name], seed).columns}


def test_there_are_five_cycles_each_with_its_own_name_and_file():
    """The demonstration tells five different stories in five files."""
    assert len(CYCLES) == 5
    assert len({c.file_name for c in CYCLES.values()}) == 5


@pytest.mark.parametrize("cycle", CYCLES.values(), ids=CYCLES)
def test_each_cycle_asks_for_criteria_and_sensors_that_exist(cycle):
    """What a cycle needs to be judged is known to the library and to the reader of sensors."""
    assert [find_criterion(n).name for n in cycle.criteria] == list(cycle.criteria)
    assert parse_sensor(cycle.sensor).stated
    assert len(cycle.intended) == len(cycle.criteria)
    assert set(cycle.intended) <= {"passed", "failed", "not shown"}


@pytest.mark.parametrize("cycle", CYCLES.values(), ids=CYCLES)
def test_what_to_notice_is_said_in_one_to_three_sentences(cycle):
    """A reader in a hurry gets no more than three sentences, and never the word safe."""
    assert 1 <= cycle.notice.count(". ") + 1 <= 3
    assert "safe" not in cycle.notice.lower()


def test_the_same_seed_writes_the_same_bytes(tmp_path):
    """Anyone who runs the demonstration sees the very figures that the documents name."""
    first = [c.path.read_bytes() for c in write_demo_logs(tmp_path / "a")]
    assert first == [c.path.read_bytes() for c in write_demo_logs(tmp_path / "b")]


def test_another_seed_writes_other_readings(tmp_path):
    """The noise comes from the seed, so every file changes with it."""
    pairs = zip(write_demo_logs(tmp_path / "a"), write_demo_logs(tmp_path / "b", seed=SEED + 1), strict=True)
    assert all(a.path.read_bytes() != b.path.read_bytes() for a, b in pairs)


def test_logs_written_again_replace_the_old_ones(tmp_path):
    """Running the demonstration twice in one folder leaves five files."""
    write_demo_logs(tmp_path)
    cycles = write_demo_logs(tmp_path)
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted(c.file_name for c in cycles)


def test_a_folder_that_is_a_file_is_refused_in_a_sentence(tmp_path):
    """Where nothing can be written the message names the place and the remedy."""
    (tmp_path / "taken").write_text("a file")
    with pytest.raises(LungwortError, match=r"taken \(File exists\); name a folder you may write to"):
        write_demo_logs(tmp_path / "taken")


def test_a_cycle_cannot_be_changed_by_accident():
    """Cycles are frozen; a path is set only on a copy."""
    with pytest.raises(FrozenInstanceError, match="path"):
        CYCLES["warm-bath-71"].path = None
    assert all(c.path is None for c in demo_cycles())


@pytest.mark.parametrize("seed", range(10))
def test_the_good_cycle_keeps_its_hold_whatever_the_noise(seed):
    """All sensors stay 210 s and more inside the band less IEC 60751 class A, within 1 K of each other."""
    temperatures = np.array(
        [v for n, v in columns("good-steam-134", seed).items() if n != "Chamber pressure"]
    )
    guard_k = float(pt100_tolerance_k(134.0, "A"))
    inside = np.all((temperatures >= 134.0 + guard_k) & (temperatures <= 137.0 - guard_k), axis=0)
    first, last = longest_hold(np.arange(inside.size, dtype=float), inside)
    held = slice(first, last + 1)
    assert last - first > 210
    assert np.ptp(temperatures[:, held], axis=0).max() < 1.0


def test_the_sea_level_cycle_shows_its_setting_on_the_gauge_and_117_degrees_inside():
    """The gauge reaches the sea's 103.7 kPa; no thermometer reaches 118 °C."""
    shown = columns("sea-level-steam-121")
    assert shown["Pressure"].max() == pytest.approx(103.7, abs=0.8)
    assert 116.5 < max(shown["Drain"].max(), shown["Circuit lumen"].max()) < 117.5


def test_with_air_left_the_chamber_alone_would_look_good():
    """The chamber's sensor stays in the band for over three minutes while the lumen never enters it."""
    shown = columns("air-left-134")
    assert np.count_nonzero(shown["Chamber"] >= 134.42) > 200
    assert shown["Circuit lumen"].max() < 133.0
    assert shown["Pressure"].max() == pytest.approx(3.16, abs=0.02)


@pytest.mark.parametrize("seed", range(10))
def test_the_warm_bath_holds_half_an_hour_above_70_and_reaches_about_half_of_a0_600(seed):
    """Even the lumen stays above 70.29 °C for 32 min; its A0 by plain sum lies near 300 s."""
    lumen_c = columns("warm-bath-71", seed)["Circuit lumen"]
    held = np.flatnonzero(lumen_c >= 70.0 + float(pt100_tolerance_k(70.0, "A")))
    assert held[-1] - held[0] + 1 == len(held) >= 32 * 6
    assert 250.0 < np.sum(np.where(lumen_c >= 65.0, 10.0 ** ((lumen_c - 80.0) / 10.0), 0.0)) * 10.0 < 350.0


@pytest.mark.parametrize("seed", range(10))
def test_the_hand_log_proves_a0_600_by_its_lower_neighbours_a_degree_low(seed):
    """Taking each pair's lower reading less 1 K, and a minute off the whole, still makes more than 600 s."""
    recording = recording_of(CYCLES["hand-bath-83"], seed)
    minutes = recording.elapsed_s // 60
    lower_c = np.minimum(recording.columns[0].written[1:], recording.columns[0].written[:-1]) - 1.0
    a0_s = np.diff(minutes) * 60.0 * 10.0 ** ((lower_c - 80.0) / 10.0)
    assert minutes[-1] == 16
    assert set(np.diff(minutes)) <= {2, 3, 4, 5}
    assert a0_s.sum() * 15 / 16 > 600.0


@pytest.mark.parametrize("seed", range(10))
def test_the_hand_log_stays_between_82_and_84_5_degrees(seed):
    """The pot's thermometer is read to half degrees near its setting."""
    shown = columns("hand-bath-83", seed)["bath"]
    assert shown.min() >= 82.0
    assert shown.max() <= 84.5
