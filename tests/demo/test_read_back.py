"""The written logs are read back as they were written, and proved from their files."""

import numpy as np
import pytest

from lungwort.demo.cycles import demo_cycles, recording_of, write_demo_logs
from lungwort.demo.proof import prove_demo_cycle
from lungwort.evidence.reading import Declared, read_log

NAMES = [c.name for c in demo_cycles()]
KPA = {"kPa": 1.0, "kPa abs": 1.0, "bar(a)": 100.0}


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """The five cycles by name, their logs written once for this file."""
    return {c.name: c for c in write_demo_logs(tmp_path_factory.mktemp("demo"))}


def read(cycle):
    """A cycle's file as the reader of logs hands it on."""
    return read_log(cycle.path, Declared(**cycle.declared))


@pytest.mark.parametrize("name", NAMES)
def test_every_reading_comes_back_as_it_was_written(written, name):
    """Names, values and units survive the dialect: temperatures in °C, pressures in kPa as written."""
    log, recording = read(written[name]), recording_of(written[name])
    assert [c.name for c in log.channels] == [c.name for c in recording.columns]
    for channel, column in zip(log.channels, recording.columns, strict=True):
        assert channel.values == pytest.approx(column.written * KPA.get(column.unit, 1.0), abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_the_highest_temperature_read_lies_near_the_truth(written, name):
    """Offset, noise and rounding together stay within what the cycle states: 0.42 K, by hand 1 K."""
    log, recording = read(written[name]), recording_of(written[name])
    tolerance_k = 1.0 if log.hand or name == "hand-bath-83" else 0.42
    truths = [c.true.max() for c in recording.columns if c.unit == "°C"]
    assert [c.values.max() for c in log.temperatures] == pytest.approx(truths, abs=tolerance_k)


@pytest.mark.parametrize("name", NAMES)
def test_the_times_come_back_as_they_were_written(written, name):
    """Start and spacing survive the dialect; a hand-written log keeps its minutes."""
    log, recording = read(written[name]), recording_of(written[name])
    step_s = log.clock_step_s
    assert np.array_equal(log.elapsed_s, recording.elapsed_s // step_s * step_s)
    assert step_s == (60.0 if name == "hand-bath-83" else 1.0)


def test_pressure_keeps_the_kind_that_was_declared_or_written(written):
    """Gauge where the cycle declares it, absolute where the heading says so."""
    kinds = [read(written[name]).pressures[0].pressure_kind for name in NAMES[:3]]
    assert kinds == ["absolute", "gauge", "absolute"]


@pytest.mark.parametrize("name", NAMES)
def test_each_cycle_is_proved_from_its_file_as_its_story_says(written, name):
    """The whole way, from the file on disk to the verdict on each criterion."""
    verdict = prove_demo_cycle(written[name])
    assert tuple(str(c.outcome) for c in verdict.criteria) == written[name].intended


def test_a_cycle_whose_log_is_not_written_cannot_be_proved():
    """Proving needs the file, and the message says how to get it."""
    with pytest.raises(ValueError, match="call write_demo_logs first"):
        prove_demo_cycle(demo_cycles()[0])
