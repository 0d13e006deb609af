"""`lungwort prove` as a user runs it."""

import json

import pytest
from running import lungwort, words

HOT = "time;T1 °C;T2 °C\n" + "\n".join(f"14:{m:02d}:00;82,{m % 10};83,0" for m in range(30)) + "\n"


@pytest.fixture
def bath(tmp_path):
    """Return a small log of a bath at 82 °C for half an hour."""
    path = tmp_path / "bath.csv"
    path.write_text(HOT, "utf-8")
    return path


def test_a_passed_cycle_exits_with_0_and_says_so_first(bath):
    """The word stands on the first line."""
    done = lungwort("prove", bath, "--criterion", "A0-600", "--sensor", "±0.5 K")
    assert done.code == 0
    assert done.out.splitlines()[0].startswith("■ PASSED")
    assert "basis: from memory" in done.out
    assert "opens no gate" in done.out


def test_a_failed_cycle_exits_with_1(bath):
    """A0 at 82 °C for half an hour is about 3,000; 12000 is out of reach only in another rule: F0."""
    done = lungwort("prove", bath, "--criterion", "F0-8", "--sensor", "±0.5 K")
    assert done.code == 1
    assert "FAILED" in done.out.splitlines()[0]


def test_what_is_not_shown_exits_with_1(bath):
    """A sensor nobody described leaves A0 3000 open."""
    done = lungwort("prove", bath, "--criterion", "A0-3000")
    assert done.code == 1
    assert done.out.splitlines()[0].startswith("○ NOT SHOWN")
    assert "State it with --sensor" in words(done)


def test_json_carries_what_programs_rely_on(bath):
    """The keys of the issue: verdict, criteria, channels, findings, assumptions."""
    done = lungwort("prove", bath, "--criterion", "A0-600", "--channel", "T2", "--json")
    data = json.loads(done.out)
    assert data["verdict"] == "passed"
    assert data["criteria"][0]["name"] == "A0-600"
    assert data["criteria"][0]["basis"] == "from memory"
    assert data["criteria"][0]["adopted"] is False
    channel = data["channels"]["T2"]
    # 83 °C for 29 min: A0 = 1740 s * 10^0.3 = 3471.8 (definition of A0)
    assert channel["a0_s"] == pytest.approx(3471.8, abs=0.05)
    assert channel["a0_low_s"] < channel["a0_s"]
    assert channel["max_c"] == 83.0
    assert channel["readings"] == 30
    assert {"f0_min", "f0_low_min"} <= channel.keys()
    assert {"rule", "says", "value", "limit", "source", "basis"} <= data["findings"][0].keys()
    assert data["assumptions"]
    assert len(data["log"]["sha256"]) == 64


def test_hand_readings_on_the_command_line_are_proved():
    """Seven readings by hand of a bath at 83 °C prove A0 600."""
    readings = [x for m in range(0, 21, 5) for x in ("--hand", f"14:{m:02d} 83,5")]
    done = lungwort("prove", *readings, "--unit", "C", "--criterion", "A0-600", "--sensor", "±1 K")
    assert done.code == 0
    assert "readings by hand" in done.out


def test_a_period_is_judged_alone(bath):
    """Five minutes at 82 °C are A0 475 at best."""
    done = lungwort(
        "prove", bath, "--criterion", "A0-600", "--sensor", "±0 K", "--from", "14:00", "--to", "14:05"
    )
    assert done.code == 1


def test_certificate_and_chart_are_written(bath, tmp_path):
    """One PDF and one chart a run."""
    pdf, svg = tmp_path / "c.pdf", tmp_path / "c.svg"
    lungwort("prove", bath, "--criterion", "A0-600", "--certificate", pdf, "--chart", svg)
    assert pdf.read_bytes().startswith(b"%PDF-")
    assert "<svg" in svg.read_text("utf-8")


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ((), "no criterion was named"),
        (("--criterion", "A0-60O"), "near ones: .*A0-60"),
        (("--criterion", "A0-600", "--sensor", "good"), "the sensor 'good' is not known"),
        (("--criterion", "A0-600", "--gauge", "--absolute"), "exclude each other"),
        (("--criterion", "A0-600", "--date-order", "dym"), "give one of dmy, mdy, ymd"),
        (("--criterion", "A0-600", "--hand", "14:00 80"), "one of the two"),
        (("--criterion", "A0-600", "--channel", "T9"), "T9"),
        (("--criterion", "A0-600", "--barometer", "1013"), "1013"),
        (("--criterion", "A0-600", "--altitude", "99000"), "99000"),
        (("--criterion", "A0-600", "--confidence", "95"), "confidence of 95"),
        (("--criterion", "A0-600", "--from", "noon"), "noon"),
        (("--criterion", "A0-600", "--zone", "Narnia"), "no time zone is called 'Narnia'"),
        (("--criterion", "A0-600", "--chart", "c.bmp"), "bmp"),
        (("--criterion", "A0-600", "--pressure-error", "-1"), "-1"),
        (("--criterion", "A0-600", "--certificate", "/nowhere/at/all/c.pdf"), "nowhere"),
    ],
)
def test_unusable_input_exits_with_2_and_one_sentence(bath, arguments, says):
    """No traceback; the message names the value and the remedy."""
    done = lungwort("prove", bath, *arguments)
    assert done.code == 2
    assert "Traceback" not in done.err
    assert done.err.startswith("lungwort: ")
    assert len(done.err.strip().splitlines()) == 1
    assert __import__("re").search(says, done.err)


@pytest.mark.parametrize("content", [b"", b"\x00\x01\x02" * 99, b"hello\n", b"a,b\n1,2\n"])
def test_a_file_that_is_no_log_exits_with_2(tmp_path, content):
    """Empty, binary, prose, and numbers without a time."""
    path = tmp_path / "x.csv"
    path.write_bytes(content)
    done = lungwort("prove", path, "--criterion", "A0-600")
    assert done.code == 2
    assert "Traceback" not in done.err


def test_a_missing_file_exits_with_2(tmp_path):
    """The message names the file."""
    done = lungwort("prove", tmp_path / "none.csv", "--criterion", "A0-600")
    assert (done.code, "none.csv" in done.err) == (2, True)


def test_the_real_log_gives_the_known_a0(real_logs):
    """Channel T2 of 05_18-19.csv: A0 near 28,604 s by trapezoid, and A0 600 is shown."""
    done = lungwort("prove", real_logs / "05_18-19.csv", "--criterion", "A0-600", "--channel", "T2", "--json")
    data = json.loads(done.out)
    assert data["channels"]["T2"]["a0_s"] == pytest.approx(28603.7, abs=0.05)
    assert (done.code, data["verdict"]) == (0, "passed")


@pytest.mark.parametrize(
    ("name", "verdict"),
    [("05_24-24.csv", "failed"), ("06_06-10.csv", "failed"), ("06_17-24.csv", "passed")],
)
def test_the_other_real_logs_get_the_right_verdict(real_logs, name, verdict):
    """The tank reached 67.1, 50.1 and 69.5 °C at most; only the last held long enough for A0 600 (1,679 s)."""
    done = lungwort("prove", real_logs / name, "--criterion", "A0-600", "--channel", "T2", "--json")
    assert json.loads(done.out)["verdict"] == verdict


def test_all_channels_of_the_real_log_fail_with_the_cold_inflow(real_logs):
    """Without --channel the coldest channel decides: the raw inflow never warmed."""
    done = lungwort("prove", real_logs / "05_24-24.csv", "--criterion", "A0-60", "--json")
    data = json.loads(done.out)
    assert data["verdict"] == "failed"
    assert set(data["channels"]) == {"T1", "T2", "T3"}
    assert any("T4" in a for a in data["assumptions"])


@pytest.mark.parametrize(
    ("reading", "criterion"), [("14:00 82; 14:05 83", "A0-600"), ("14:00 in", "hypochlorite-parts-1000mgL")]
)
def test_an_unknown_zone_is_refused_with_readings_by_hand_too(reading, criterion):
    """They have no use for a zone, but what was typed wrongly is said."""
    done = lungwort("prove", "--hand", reading, "--unit", "C", "--criterion", criterion, "--zone", "Narnia")
    assert (done.code, "no time zone is called 'Narnia'" in done.err) == (2, True)


def test_other_rules_that_would_fail_say_by_which_rule():
    """Three minutes at 82 °C are an A0 of 285: enough for 60, far from 3000."""
    readings = "; ".join(f"14:{m:02d}:00 82" for m in range(4))
    said = words(
        lungwort("prove", "--hand", readings, "--unit", "C", "--criterion", "A0-60", "--sensor", "±0.1 K")
    )
    assert "A0-3000 (A0)" in said
    assert "A0-60 (" not in said
