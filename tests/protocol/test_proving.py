"""Proving a cycle by the hospital's protocol, as records do it: no command line, no clock."""

import io
import subprocess
import sys
from datetime import date, datetime, timedelta

import openpyxl
import pytest

from lungwort.demo.cycles import write_demo_logs
from lungwort.demo.protocol import demo_protocol_path
from lungwort.errors import UnknownName, UnreadableLog
from lungwort.evidence.circumstances import circumstances_at
from lungwort.evidence.instrument import parse_sensor
from lungwort.evidence.judge import judge
from lungwort.evidence.plain_data import verdict_data
from lungwort.evidence.reading import Declared, read_log, read_log_bytes
from lungwort.evidence.reading.source import BIG_BYTES
from lungwort.library.catalogue import find_criterion
from lungwort.protocol.given import LeftOpenError
from lungwort.protocol.people import Adoption
from lungwort.protocol.proving import (
    calibration_lapsed,
    prove_dryness,
    prove_hand,
    prove_log,
    prove_soak,
    required_criteria,
)
from lungwort.protocol.reading import parse_protocol

TEXT = demo_protocol_path().read_text("utf-8")
RIDGEWAY = parse_protocol(TEXT).protocol
CYCLE_DAY = date(2026, 9, 17)
AT_134 = ("Autoclave 1", "134 wrapped", "steam")
AT_121 = ("Autoclave 1", "121 wrapped", "steam")
SOAK = "14:00 in; strip 1500 mg/L ±20 %; 14:25 out; made 13:30; rinse sterile"
BATH = b"time,T1 (C)\n" + b"".join(f"14:{m:02d}:00,85.0\n".encode() for m in range(40))


def changed(*changes):
    """Return the demo protocol with parts of its text changed."""
    text = TEXT
    for was, becomes in changes:
        assert was in text
        text = text.replace(was, becomes)
    return parse_protocol(text).protocol


UNDATED = changed(("calibration_due = 2027-06-30\n", ""))
SECOND_LOGGER = """[[thermometer]]
name = "Logger 0"
sensor = "Pt100 A"
used_on = ["Autoclave 1"]
interval_s = 1
"""
TWO_ALIKE = changed(("[[scale]]", SECOND_LOGGER + "calibration_due = 2026-01-31\n\n[[scale]]"))
ONE_OF_TWO_UNDATED = changed(("[[scale]]", SECOND_LOGGER + "\n[[scale]]"))
TWO_UNLIKE = changed(('used_on = ["Bath 1"]', 'used_on = ["Bath 1", "Autoclave 1"]'))


@pytest.fixture(scope="module")
def steam_log(tmp_path_factory):
    """Return the path of the demo's good steam cycle."""
    return write_demo_logs(tmp_path_factory.mktemp("logs"))[0].path


def prove(log, protocol=RIDGEWAY, criteria=("steam-134C-3min",), on=CYCLE_DAY, **others):
    """Prove a log of steam from its bytes."""
    return prove_log(protocol, criteria, "Autoclave 1", log.read_bytes(), log.name, Declared(), on, **others)


# ---- what a cycle must meet ----


def test_a_load_must_meet_the_criteria_of_all_its_kinds_each_once():
    """Three kinds in one load, named in any case; of one of them more is asked."""
    load = ("WATER TRAP", "humidifier chamber", "Expiratory valve", "Water trap")
    assert required_criteria(RIDGEWAY, load, *AT_121) == ("steam-121C-15min",)
    before, trap, after = TEXT.partition('name = "Water trap"')
    after = after.replace('"steam-121C-15min"', '"F0-15", "steam-121C-15min"', 1)
    more = parse_protocol(before + trap + after).protocol
    assert required_criteria(more, load, *AT_121) == ("F0-15", "steam-121C-15min")
    assert required_criteria(more, load[1:], *AT_121) == ("steam-121C-15min", "F0-15")
    assert required_criteria(more, load[1:3], *AT_121) == ("steam-121C-15min",)


@pytest.mark.parametrize(
    ("kind", "equipment", "setting", "process", "criteria"),
    [
        ("Mask, adult", "Bath 1", None, "hot water", ("A0-3000",)),
        ("Mask, adult", "Bath 1", "whatever the panel said", "hot water", ("A0-3000",)),
        ("Flow sensor", "Bleach", None, "soak", ("hypochlorite-parts-1000mgL",)),
        ("Ventilator with turbine", "Alcohol", None, "wipe", ()),
        ("Ventilator with turbine", None, None, "wipe", ()),
    ],
)
def test_a_step_is_the_cycles_own_by_what_it_names(kind, equipment, setting, process, criteria):
    """A bath by its name, a soak by its stock; a wipe needs no criterion."""
    assert required_criteria(RIDGEWAY, [kind], equipment, setting, process) == criteria


@pytest.mark.parametrize(
    ("kinds", "equipment", "setting", "process", "says"),
    [
        (["hose"], *AT_134, r"no kind of part called 'hose'; it has: Ventilator with turbine; "),
        (
            ["Water trap"],
            "Autoclave 1",
            "134 wrapped",
            "plasma",
            "no process called 'plasma'; give one of steam",
        ),
        (
            ["Water trap", "Mask, adult"],
            *AT_121,
            r"does not treat Mask, adult with steam, Autoclave 1, 121 wrapped; it allows: \d: hot water, Bath 1\. "
            "Treat it in one of these ways, or have the protocol changed",
        ),
        (
            ["Water trap"],
            "Autoclave 2",
            "121 wrapped",
            "steam",
            "it allows: 6: steam, Autoclave 1, 121 wrapped",
        ),
        (
            ["Water trap"],
            *AT_134,
            "with steam, Autoclave 1, 134 wrapped; it allows",
        ),
        (
            ["Water trap"],
            "Autoclave 1",
            None,
            "steam",
            "does not treat Water trap with steam, Autoclave 1; it",
        ),
        (
            ["Flow sensor"],
            "Alcohol",
            None,
            "soak",
            "does not treat Flow sensor with soak, Alcohol; it allows",
        ),
        (["Ventilator with turbine"], "Bleach", None, "wipe", r"allows: \d: wipe, Alcohol"),
        (["Water trap"], None, None, "wipe", "does not treat Water trap with wipe; it allows"),
        (["Trolley"], "Bath 1", None, "hot water", "does not treat Trolley with hot water, Bath 1"),
    ],
)
def test_what_the_protocol_does_not_do_is_refused(kinds, equipment, setting, process, says):
    """The message names the kind, what was done, what is allowed and what would help."""
    with pytest.raises(UnknownName, match=says):
        required_criteria(RIDGEWAY, kinds, equipment, setting, process)


def test_a_step_without_a_criterion_is_no_step_that_needs_none():
    """Else a load would be released on the criteria of the other kinds in it."""
    silent = changed(('proved_by = ["steam-134C-3min"]', "proved_by = []"))
    with pytest.raises(
        LeftOpenError, match="step 6, names no criterion that proves it; write proved_by there$"
    ):
        required_criteria(silent, ["Silicone circuit, adult"], *AT_134)


# ---- logs and hand readings ----


def test_a_log_is_judged_in_the_places_air_with_the_thermometer_listed(steam_log):
    """The same findings as with all of it told; the assumptions say where it came from."""
    verdict = prove(steam_log, pressure_error_kpa=1.5)
    told = circumstances_at(2300, None, parse_sensor("Pt100 A"), 1.5)
    same = judge(read_log(steam_log), [find_criterion("steam-134C-3min")], told)
    assert verdict.outcome == same.outcome == "passed"
    assert (verdict.findings, verdict.channels) == (same.findings, same.channels)
    assert verdict_data(verdict)["log"] == verdict_data(same)["log"]
    assert verdict.circumstances.air_pressure_kpa == told.air_pressure_kpa
    assert verdict.assumptions[:3] == (
        "From the protocol Turnaround of ventilator parts, version 2026-2: to be proved by steam-134C-3min.",
        "Air of Ridgeway Hospital by the protocol: 76.6 kPa, give or take 3 kPa for the weather.",
        "Thermometer by the protocol: Logger 1 on Autoclave 1, Pt100 A.",
    )
    assert verdict.assumptions[3:] == same.assumptions


def test_another_thermometer_told_takes_the_place_of_the_one_listed(steam_log):
    """And nothing is said of the protocol's; without either, the cautious stand-in is taken."""
    verdict = prove(steam_log, sensor="±1 K")
    assert verdict.circumstances.sensor.says == "±1 K"
    assert not any("Thermometer by the protocol" in said for said in verdict.assumptions)
    bath = prove_log(RIDGEWAY, ["A0-600"], "Bath 9", BATH, "bath.csv", Declared(), CYCLE_DAY)
    assert not bath.circumstances.sensor.stated


def test_a_barometer_in_the_protocol_is_not_that_of_the_day(steam_log):
    """The weather moves the air by 3 kPa, whatever was read when the protocol was written."""
    protocol = changed(("altitude_m = 2300", "barometer_kpa = 76.6"))
    assert prove(steam_log, protocol).circumstances.air_pressure_error_kpa == 3.0


@pytest.mark.parametrize(("on", "adopted"), [(date(2026, 8, 19), False), (date(2026, 8, 20), True)])
def test_a_criterion_counts_as_adopted_from_its_day_on(steam_log, on, adopted):
    """As of the day of the cycle, whatever day it is now."""
    (judged,) = prove(steam_log, on=on).criteria
    assert bool(judged.adopted) is adopted
    assert judged.adopted.startswith("Adopted on 2026-08-20 by Infection control lead") is adopted


def test_adoptions_recorded_stand_in_place_of_the_documents(steam_log):
    """The last one up to the day; none at all where none is recorded."""
    recorded = [
        Adoption(criterion="steam-134c-3min", by=who, on=date(2026, month, 1), source="Our own copy, page 4")
        for who, month in (("I-01", 9), ("I-02", 5), ("I-03", 10))
    ]
    (judged,) = prove(steam_log, adoptions=recorded).criteria
    assert judged.adopted == "Adopted on 2026-09-01 by I-01 after Our own copy, page 4."
    assert prove(steam_log, adoptions=[]).not_adopted == ("steam-134C-3min",)


def test_what_other_rules_would_say_can_be_left_out(steam_log):
    """The verdict itself is the same."""
    whole, short = prove(steam_log), prove(steam_log, others=False)
    assert len(whole.others) > 5
    assert short.others == ()
    assert (short.criteria, short.channels) == (whole.criteria, whole.channels)


def test_readings_by_hand_are_proved_like_a_log():
    """A0 of ten minutes at 85 °C is 1,897 s by its formula; the thermometer and the clock take some of it."""
    verdict = prove_hand(
        RIDGEWAY, ["A0-600", "a0-600"], "Bath 1", ["14:00 85; 14:05 85", "14:10 85"], "C", CYCLE_DAY
    )
    assert verdict.outcome == "passed"
    assert len(verdict.criteria) == 1
    assert verdict.log.hand
    assert verdict.channels[0].a0_s == pytest.approx(600 * 10**0.5, abs=0.5)  # ISO 15883-1, formula of A0
    assert "Thermometer by the protocol: Logger 2 on Bath 1, ±0.3 K." in verdict.assumptions
    assert prove_hand(RIDGEWAY, ["A0-600"], "Bath 1", ["14:00 185 F", "14:10 185"], "F", CYCLE_DAY).log.hand


def test_thermometers_that_err_differently_are_not_chosen_between(steam_log):
    """The message names them, and no option; one told settles it."""
    says = r"several thermometers are used on Autoclave 1 \(Logger 1: Pt100 A; Logger 2: ±0.3 K\); say which of them"
    with pytest.raises(LeftOpenError, match=says) as caught:
        prove(steam_log, TWO_UNLIKE)
    assert "--" not in str(caught.value)
    assert prove(steam_log, TWO_UNLIKE, sensor="±0.3 K").circumstances.sensor.says == "±0.3 K"


# ---- the bytes of a file ----


def test_the_bytes_of_a_file_read_as_the_file_does(steam_log, tmp_path):
    """Text and spreadsheet alike, with hash, name and notes."""
    book = openpyxl.Workbook()
    for row in (("time", "T1 (C)"), ("14:00:00", 82.0), ("14:00:30", 82.5)):
        book.active.append(row)
    held = io.BytesIO()
    book.save(held)
    (tmp_path / "bath.xlsx").write_bytes(held.getvalue())
    for path in (steam_log, tmp_path / "bath.xlsx"):
        log, same = read_log_bytes(path.read_bytes(), path.name), read_log(path)
        assert (log.file_name, log.sha256, log.assumptions) == (path.name, same.sha256, same.assumptions)
        assert log.elapsed_s.tolist() == same.elapsed_s.tolist()
        assert [c.values.tolist() for c in log.channels] == [c.values.tolist() for c in same.channels]


def test_a_big_file_held_whole_reads_as_from_the_disk(tmp_path):
    """From five megabytes on a file is read in blocks; its bytes give the same log."""
    path = tmp_path / "big.csv"
    day = datetime(2026, 3, 1)
    rows = (f"{day + timedelta(seconds=s)},{80 + s % 7}.25{'0' * 40}\n" for s in range(80_000))
    path.write_text("time,T1 (C)\n" + "".join(rows), "utf-8")
    assert path.stat().st_size > BIG_BYTES
    log, same = read_log_bytes(path.read_bytes(), "big.csv"), read_log(path)
    assert (log.sha256, log.assumptions) == (same.sha256, same.assumptions)
    assert (log.channels[0].values == same.channels[0].values).all()
    assert (log.elapsed_s == same.elapsed_s).all()


@pytest.mark.parametrize(
    ("content", "says"),
    [(b"", r"^run.csv: the file is empty"), (b"time,T1 (C)\n14:00:00,x\n", r"^run.csv: ")],
)
def test_bytes_that_are_no_log_are_refused_by_the_files_name(content, says):
    """Only the name, not the folders it may have come from."""
    with pytest.raises(UnreadableLog, match=says):
        prove_log(RIDGEWAY, ["A0-600"], "Bath 1", content, "ward/run.csv", Declared(), CYCLE_DAY)


# ---- soaks and weights ----


def test_a_soak_and_its_adoption():
    """The demo's bleach; not adopted the day before its adoption; recorded adoptions stand instead."""
    names = ["hypochlorite-parts-1000mgL"]
    verdict = prove_soak(RIDGEWAY, names, [SOAK], CYCLE_DAY)
    assert (verdict.outcome, verdict.not_adopted) == ("passed", ())
    assert verdict.assumptions[0].endswith("to be proved by hypochlorite-parts-1000mgL.")
    assert not any("by the protocol" in said for said in verdict.assumptions)
    assert prove_soak(RIDGEWAY, names, [SOAK], date(2026, 8, 19)).not_adopted == tuple(names)
    assert prove_soak(RIDGEWAY, names, [SOAK], CYCLE_DAY, adoptions=()).not_adopted == tuple(names)


def test_dryness_by_weight():
    """0.4 g of 412 g is 0.1 %, of which the rule allows twice as much."""
    verdict = prove_dryness(RIDGEWAY, ["dry-0.2-percent"], "dry 412 g; now 412.4 g; scale ±0.1 g", CYCLE_DAY)
    assert (verdict.outcome, verdict.not_adopted) == ("passed", ("dry-0.2-percent",))
    assert verdict.findings[0].value == pytest.approx(0.0971, abs=5e-5)
    own = Adoption(criterion="dry-0.2-percent", by="I-01", on=CYCLE_DAY, source="Our own trial")
    line = "dry 412 g; now 414 g; scale ±0.1 g"
    wet = prove_dryness(RIDGEWAY, ["dry-0.2-percent"], line, CYCLE_DAY, adoptions=[own])
    assert (wet.outcome, wet.not_adopted) == ("failed", ())


def _log(names):
    return prove_log(RIDGEWAY, names, "Bath 1", BATH, "bath.csv", Declared(), CYCLE_DAY)


def _hand(names):
    return prove_hand(RIDGEWAY, names, "Bath 1", ["14:00 85; 14:10 85"], "C", CYCLE_DAY)


def _soak(names):
    return prove_soak(RIDGEWAY, names, [SOAK], CYCLE_DAY)


def _dry(names):
    return prove_dryness(RIDGEWAY, names, "dry 412 g; now 412.4 g", CYCLE_DAY)


@pytest.mark.parametrize("judged", [_log, _hand, _soak, _dry])
def test_without_a_criterion_nothing_is_judged(judged):
    """No verdict that nobody asked for."""
    with pytest.raises(UnknownName, match="no criterion was named, so nothing can be shown; name one"):
        judged([])


@pytest.mark.parametrize(
    ("judged", "name", "its", "allowed"),
    [
        (_log, "hypochlorite-parts-1000mgL", "chemical", "steam, hot water"),
        (_hand, "dry-0.2-percent", "drying", "steam, hot water"),
        (_soak, "A0-600", "hot water", "chemical"),
        (_dry, "steam-134C-3min", "steam", "drying"),
    ],
)
def test_evidence_of_one_process_cannot_show_another(judged, name, its, allowed):
    """Refused in words, with what would help."""
    says = f"{name} is a criterion for {its}; this evidence can show criteria for {allowed} only. Give evidence of"
    with pytest.raises(UnknownName, match=says):
        judged([name])


def test_a_soak_in_one_agent_cannot_show_another():
    """Two agents, one record."""
    with pytest.raises(
        UnknownName, match=r"different agents \(hypochlorite, OPA\); prove them one at a time"
    ):
        _soak(["hypochlorite-parts-1000mgL", "OPA-0.55pc-20C"])


# ---- calibration ----


@pytest.mark.parametrize(
    ("protocol", "equipment", "on", "says"),
    [
        (RIDGEWAY, "Autoclave 1", date(2027, 6, 30), None),
        (
            RIDGEWAY,
            "Autoclave 1",
            date(2027, 7, 1),
            "The calibration of Logger 1 lapsed on 2027-06-30, before this cycle: that its error is still so is not "
            "shown.",
        ),
        (
            UNDATED,
            "Bath 1",
            CYCLE_DAY,
            "No calibration date is listed for Logger 2: that its error is as stated is not shown.",
        ),
        (
            RIDGEWAY,
            "Bath 9",
            CYCLE_DAY,
            "No thermometer and so no calibration date is listed for Bath 9: that its error is as stated is not shown.",
        ),
        (
            RIDGEWAY,
            None,
            CYCLE_DAY,
            "No thermometer and so no calibration date is listed for this cycle: that its error is as stated is not "
            "shown.",
        ),
        (
            TWO_ALIKE,
            "Autoclave 1",
            date(2026, 2, 1),
            "The calibration of Logger 0 lapsed on 2026-01-31, before this cycle: that its error is still so is not "
            "shown.",
        ),
        (TWO_ALIKE, "Autoclave 1", date(2026, 1, 31), None),
        (
            ONE_OF_TWO_UNDATED,
            "Autoclave 1",
            date(2026, 1, 31),
            "No calibration date is listed for Logger 0: that its error is as stated is not shown.",
        ),
    ],
)
def test_a_calibration_holds_up_to_its_day(protocol, equipment, on, says):
    """Of two alike, nobody knows which was read; a date not listed is not shown."""
    assert calibration_lapsed(protocol, equipment, on) == says


def test_thermometers_told_apart_by_what_was_read_answer_for_themselves():
    """One lapsed beside another that holds."""
    protocol = changed(
        ('used_on = ["Bath 1"]', 'used_on = ["Bath 1", "Autoclave 1"]'),
        ("interval_s = 10\ncalibration_due = 2027-06-30", "interval_s = 10\ncalibration_due = 2026-06-30"),
    )
    assert "Logger 2 lapsed on 2026-06-30" in calibration_lapsed(protocol, "Autoclave 1", CYCLE_DAY)
    assert calibration_lapsed(protocol, "Autoclave 1", CYCLE_DAY, sensor="Pt100 A") is None
    assert "listed for Autoclave 1, ±9 K" in calibration_lapsed(
        protocol, "Autoclave 1", CYCLE_DAY, sensor="±9 K"
    )


def test_a_verdict_says_what_is_wrong_with_the_calibration(steam_log):
    """On the day of the cycle, which the log's own date does not change."""
    late = prove(steam_log, on=date(2027, 7, 1))
    assert any("The calibration of Logger 1 lapsed on 2027-06-30" in said for said in late.assumptions)
    assert not any("alibration" in said for said in prove(steam_log).assumptions)
    undated = prove(steam_log, UNDATED)
    assert any("No calibration date is listed for Logger 1" in said for said in undated.assumptions)


# ---- starting ----


def test_a_proof_without_a_protocol_does_not_load_its_form(tmp_path):
    """The library that reads documents takes longer to load than a proof takes."""
    path = tmp_path / "bath.csv"
    path.write_bytes(BATH)
    code = f"""
import sys
sys.argv = ["lungwort", "prove", {str(path)!r}, "--criterion", "A0-600"]
from lungwort.cli.app import main
try:
    main()
except SystemExit:
    pass
print("LOADED", [m for m in ("pydantic", "lungwort.protocol.proving") if m in sys.modules])
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "A0" in done.stdout
    assert done.stdout.strip().endswith("LOADED []")
