from datetime import UTC, date, datetime
from random import Random

import numpy as np
import pytest

from lungwort.demo.history.document import protocol_published
from lungwort.demo.history.evidence import PRESSURE_ERROR_KPA, bath_lines, soak_lines, steam_log
from lungwort.evidence.reading import Declared
from lungwort.protocol.proving import prove_hand, prove_log, prove_soak
from lungwort.protocol.reading import parse_protocol

DAY = date(2026, 3, 2)
STARTED = datetime(2026, 3, 2, 9, 30, tzinfo=UTC)
PROTOCOL = parse_protocol(protocol_published(DAY, "2026-1", {})).protocol
SETTINGS = {"134 wrapped": "steam-134C-3min", "121 wrapped": "steam-121C-15min"}


def proved(setting, fault, seed):
    """Return what a log proves of its setting's criterion."""
    found = PROTOCOL.autoclaves[0].setting(setting)
    log = steam_log(found, fault, STARTED, Random(seed), np.random.default_rng(seed))
    criteria, told = [SETTINGS[setting]], {"pressure_error_kpa": PRESSURE_ERROR_KPA, "others": False}
    verdict = prove_log(PROTOCOL, criteria, "Autoclave 1", log, "run.csv", Declared(), DAY, **told)
    return str(verdict.outcome)


@pytest.mark.parametrize("setting", SETTINGS)
@pytest.mark.parametrize("seed", range(6))
def test_a_good_run_passes_whichever_it_is(setting, seed):
    """Every variant of both programmes is proved by its own log."""
    assert proved(setting, "", seed) == "passed"


@pytest.mark.parametrize("setting", SETTINGS)
@pytest.mark.parametrize(
    ("fault", "outcome"),
    [("air left", "failed"), ("hold cut short", "failed"), ("logged too seldom", "not shown")],
)
def test_what_goes_wrong_shows_in_the_log(setting, fault, outcome):
    """Air and a short hold fail; a logger set too slow shows neither."""
    assert proved(setting, fault, 1) == outcome


def test_a_bath_read_often_passes_and_one_read_at_the_end_does_not():
    """Five readings over 26 min at 85 °C prove A0 3000; two readings five minutes apart do not."""
    outcomes = []
    for often in (True, False):
        lines = bath_lines(85.0, 25.0, often, STARTED, Random(1)).decode().splitlines()
        verdict = prove_hand(PROTOCOL, ["A0-3000"], "Bath 1", lines, "C", DAY)
        outcomes.append(str(verdict.outcome) == "passed")
    assert outcomes == [True, False]


@pytest.mark.parametrize(("strength", "outcome"), [(1100.0, "passed"), (800.0, "failed")])
def test_a_soak_passes_by_its_strength(strength, outcome):
    """20 min in 1000 mg/L, titrated to 5 %: 1100 is enough, 800 is not."""
    lines = soak_lines(20.0, strength, 2, STARTED, Random(1)).decode().splitlines()
    assert str(prove_soak(PROTOCOL, ["hypochlorite-parts-1000mgL"], lines, DAY).outcome) == outcome


def test_evidence_of_two_days_is_never_the_same_file():
    """What is written by hand carries its day, since the same file is no evidence of two cycles."""
    days = (STARTED, STARTED.replace(day=3))
    assert len({soak_lines(20.0, 1100.0, 1, day, Random(1)) for day in days}) == 2
    assert len({bath_lines(85.0, 25.0, True, day, Random(1)) for day in days}) == 2
