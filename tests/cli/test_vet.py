"""`lungwort vet` as a user runs it."""

import json
import re

import pytest
from running import lungwort

from lungwort.demo.protocol import DEMO_TODAY, demo_protocol_path
from lungwort.protocol.vet import all_rules

TEXT = demo_protocol_path().read_text("utf-8")


@pytest.fixture
def wrong(tmp_path):
    """Return a copy of the demo protocol whose pressure is that of sea level."""
    path = tmp_path / "wrong.toml"
    path.write_text(TEXT.replace("pressure = 2.37", "pressure = 2.12"), "utf-8")
    return path


def vet(path, *options):
    """Vet a file as on the day of the demonstration."""
    return lungwort("vet", path, "--today", DEMO_TODAY, *options)


def words(text):
    """Return a text without its line ends."""
    return " ".join(text.split())


def test_a_protocol_without_error_exits_with_0_and_says_so_first():
    """The word first, then the counts; and never that it is good."""
    done = vet(demo_protocol_path())
    assert done.code == 0
    assert re.match(r"■ NO ERROR FOUND   0 errors, \d+ warnings, \d+ notes\n", done.out)
    assert "does not show that the protocol is good" in words(done.out)


def test_an_error_exits_with_1_and_is_told_with_line_computation_source_and_remedy(wrong):
    """Errors before warnings before notes."""
    done = vet(wrong)
    assert done.code == 1
    assert done.out.startswith("✕ NOT TO BE USED AS IT IS   1 error, ")
    said = words(done.out)
    assert "✕ line 59, error: pressure autoclave Autoclave 1, setting 134 wrapped, pressure" in said
    assert "→ For 135.0 °C the gauge must show 2.37 bar here" in said
    assert "= air 76.6 kPa; saturation at 135.0 °C 313.2 kPa absolute" in said
    assert "IAPWS-IF97 region 4; ISO 2533 [computed]" in said
    marks = [line[0] for line in done.out.splitlines() if re.match(r"[✕▲·] line", line)]
    assert marks == sorted(marks, key="✕▲·".index)
    assert len(marks) > 3


def test_json_carries_every_finding(wrong):
    """Rule, severity, line, path in words and keys, and the counts."""
    done = vet(wrong, "--json")
    data = json.loads(done.out)
    assert (done.code, data["usable"], data["counts"]["error"]) == (1, False, 1)
    (error,) = [f for f in data["findings"] if f["severity"] == "error"]
    assert (error["rule"], error["line"], error["basis"]) == ("pressure", 59, "computed")
    assert error["path"] == ["autoclave", 0, "setting", 0, "pressure"]
    assert error["where"] == "autoclave Autoclave 1, setting 134 wrapped, pressure"
    assert {"says", "remedy", "computed", "source"} <= error.keys()
    assert data["today"] == "2026-11-25"
    assert "changes" not in data


def test_against_an_old_protocol_it_says_what_changed_and_what_that_does(wrong):
    """In words; the same in JSON."""
    said = words(vet(wrong, "--against", demo_protocol_path()).out)
    assert "Changed: autoclave Autoclave 1, setting 134 wrapped, pressure, from 2.37 to 2.12" in said
    assert re.search(r"Findings that came ─+ - line 59, error, pressure: 134 wrapped: 2.12 bar", said)
    assert re.search(r"Findings that went ─+ - None\. Findings that stayed", said)
    data = json.loads(vet(demo_protocol_path(), "--against", wrong, "--json").out)
    assert [f["rule"] for f in data["went"]] == ["pressure"]
    assert data["came"] == []
    assert data["changes"] == [
        {
            "how": "changed",
            "where": "autoclave Autoclave 1, setting 134 wrapped, pressure",
            "was": "2.12",
            "now": "2.37",
        }
    ]


def test_the_day_decides_on_what_lapses():
    """A year on, trainings have lapsed."""
    done = lungwort("vet", demo_protocol_path(), "--today", "2028-01-01")
    assert done.code == 1
    assert "people" in done.out


def test_without_a_day_it_is_vetted_as_of_today():
    """Whatever day that is."""
    done = lungwort("vet", demo_protocol_path())
    assert done.code in (0, 1)
    assert re.search(r"as on \d{4}-\d\d-\d\d", words(done.out))


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("", r"x\.toml, line 1, format: this key is needed"),
        ("format = ", r"x\.toml: .*TOML wants key = value"),
        ("\x00", r"x\.toml"),
        (
            TEXT.replace("minutes = 5,", "minuets = 5,", 1),
            r"x\.toml, line 196, kind 1, step 1, minuets: .*misspelt",
        ),
    ],
)
def test_a_document_that_cannot_be_used_exits_with_2(tmp_path, content, says):
    """With the line and the remedy, and no traceback."""
    path = tmp_path / "x.toml"
    path.write_text(content, "utf-8")
    done = vet(path)
    assert done.code == 2
    assert "Traceback" not in done.err
    assert re.search(says, done.err)


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--today", "25.11.2026"), "--today '25.11.2026' is no day; write year, month, day"),
        (("--against", "none.toml"), "none.toml cannot be read"),
    ],
)
def test_options_that_cannot_be_used_exit_with_2(options, says):
    """The message names the value and the remedy."""
    done = lungwort("vet", demo_protocol_path(), *options)
    assert (done.code, says in done.err) == (2, True)


@pytest.mark.parametrize("columns", ["40", "80", "200"])
def test_the_report_fits_the_terminal(monkeypatch, wrong, columns):
    """No line is wider than a phone's terminal."""
    monkeypatch.setenv("COLUMNS", columns)
    out = vet(wrong, "--against", demo_protocol_path()).out
    assert max(map(len, out.splitlines())) <= int(columns)


# ---- the usual pairs ----

PLACE = "altitude_m = 2300 "
PAIRS = [
    # (altitude in m, temperature in °C, the pair's pressure in bar above the air, steam it means, setting needed)
    # IAPWS-IF97 (CoolProp): 121 °C is 205.0 kPa, 134 °C 304.2 kPa absolute; ISO 2533: 101.3 kPa at 0 m, 76.6 at 2,300 m
    (0, 121, 1.037, None, "1.04"),
    (0, 134, 2.03, None, "2.03"),
    (2300, 121, 1.28, None, "1.28"),
    (2300, 134, 2.28, None, "2.28"),
    (0, 121, 1.0, None, "1.04"),
    (2300, 121, 1.0, "116.3", "1.28"),
    (2300, 121, 1.037, "117.0", "1.28"),
    (0, 134, 1.4, "126.3", "2.03"),
    (2300, 134, 1.4, "122.7", "2.28"),
]


@pytest.mark.parametrize(("altitude_m", "temperature_c", "bar", "means", "needed"), PAIRS)
def test_the_usual_pairs_pass_or_are_explained(tmp_path, altitude_m, temperature_c, bar, means, needed):
    """121 °C with 1 bar and 134 °C with 1.4 bar, at sea level and at 2,300 m: the right ones pass, the others are told.

    The explanation names the temperature that the pressure really gives there, and the setting needed.
    """
    old = "temperature_c = 135" if temperature_c == 134 else "temperature_c = 122"
    pressure = "pressure = 2.37" if temperature_c == 134 else "pressure = 1.35"
    text = TEXT.replace("altitude_m = 2300", f"altitude_m = {altitude_m}")
    for was, becomes in ((old, f"temperature_c = {temperature_c}"), (pressure, f"pressure = {bar}")):
        assert was in text
        text = text.replace(was, becomes, 1)
    path = tmp_path / "pair.toml"
    path.write_text(text, "utf-8")
    line = text[: text.index(f"pressure = {bar}")].count("\n") + 1
    found = json.loads(vet(path, "--json").out)["findings"]
    told = [f for f in found if f["rule"] == "pressure" and f["line"] == line]
    if means is None:
        assert told == []
        return
    (one,) = told
    assert one["severity"] == "error"
    assert f"is steam of {means} °C here, not of {temperature_c}" in one["says"]
    assert f"the gauge must show {needed} bar here" in one["remedy"]


def test_every_rule_is_listed_in_the_lookup_page():
    """By name and sentence."""
    from lungwort.cli.lookup import rules_page

    page = rules_page()
    assert all(f"| {rule.name} | {rule.about} |" in page for rule in all_rules())
