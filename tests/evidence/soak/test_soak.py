"""Soaks written by hand, judged."""

import pytest

from lungwort.errors import UnknownName, UnreadableLog
from lungwort.evidence.soak import judge_soak, read_soak
from lungwort.evidence.strengths import substance_of
from lungwort.evidence.verdict import Outcome
from lungwort.library.agents import find_agent
from lungwort.library.catalogue import find_criterion

BLEACH = substance_of(find_agent("hypochlorite"))
GOOD = ["14:00 in", "strip 1500 mg/L", "14:25 out", "made 13:30", "rinse sterile"]


def judged(lines, criterion="hypochlorite-parts-1000mgL", agent="hypochlorite"):
    """Return the verdict on lines by one criterion."""
    return judge_soak(read_soak(lines, substance_of(find_agent(agent))), [find_criterion(criterion)])


def found(verdict, rule):
    """Return the finding of one rule."""
    return next(f for f in verdict.findings if f.rule == rule)


def changed(**lines):
    """Return the good soak with some lines replaced (None: left out)."""
    places = {"into": 0, "strength": 1, "out": 2, "made": 3, "rinse": 4}
    kept = dict(enumerate(GOOD)) | {places[name]: line for name, line in lines.items()}
    return [line for _place, line in sorted(kept.items()) if line is not None]


def test_a_good_soak_passes_every_rule():
    """1000 mg/L for 20 min, a fresh solution, sterile water (WHO 2016, CDC 2003: from memory)."""
    verdict = judged(GOOD)
    assert verdict.outcome is Outcome.PASSED
    assert [f.rule for f in verdict.findings] == ["strength", "contact", "age", "rinse"]
    assert any("wholly under the solution" in a for a in verdict.assumptions)


@pytest.mark.parametrize(
    ("lines", "rule", "outcome"),
    [
        ({"strength": "strip 1200 mg/L"}, "strength", Outcome.NOT_SHOWN),  # 1200 less 25 % is 900
        ({"strength": "strip 700 mg/L"}, "strength", Outcome.FAILED),
        ({"strength": "titration 1060 mg/L"}, "strength", Outcome.PASSED),  # less 5 %: 1007
        ({"strength": "titration 1020 mg/L ±1 %"}, "strength", Outcome.PASSED),
        ({"strength": None}, "strength", Outcome.NOT_SHOWN),
        ({"out": "14:21 out"}, "contact", Outcome.PASSED),
        ({"out": "14:20 out"}, "contact", Outcome.NOT_SHOWN),  # minutes only: 19 min for sure
        ({"out": "14:18 out"}, "contact", Outcome.FAILED),
        ({"out": None}, "contact", Outcome.NOT_SHOWN),
        ({"made": None}, "age", Outcome.NOT_SHOWN),
        ({"rinse": "rinse tap x3"}, "rinse", Outcome.FAILED),
        ({"rinse": "rinse filtered water"}, "rinse", Outcome.PASSED),
        ({"rinse": None}, "rinse", Outcome.NOT_SHOWN),
    ],
)
def test_each_rule_decides_by_itself(lines, rule, outcome):
    """What is missing is not shown; what is excluded fails."""
    verdict = judged(changed(**lines))
    assert found(verdict, rule).outcome is outcome
    others = {f.rule: f.outcome for f in verdict.findings if f.rule != rule and "out" not in lines}
    assert set(others.values()) <= {Outcome.PASSED}


def test_an_old_solution_fails():
    """A working dilution is thrown away daily (WHO, from memory)."""
    lines = [
        "2026-05-18 14:00 in",
        "strip 1500 mg/L",
        "2026-05-18 14:25 out",
        "made 2026-05-16 14:00",
        "rinse sterile",
    ]
    assert found(judged(lines), "age").outcome is Outcome.FAILED
    assert found(judged(lines), "age").value == pytest.approx(2 + 25 / 1440)


def test_one_date_alone_gives_no_age():
    """An age across unknown days is not guessed."""
    verdict = judged(changed(made="made 2026-05-18 13:00"))
    assert found(verdict, "age").outcome is Outcome.NOT_SHOWN
    assert any("carries a date" in a for a in verdict.assumptions)


def test_a_soak_past_midnight_is_one_soak():
    """23:50 to 00:15 is 25 minutes."""
    soak = read_soak(["23:50 in; 00:15 out"], BLEACH)
    assert soak.contact_s == 1500
    assert "The soak ran past midnight." in soak.assumptions


@pytest.mark.parametrize(
    ("temperature", "outcome"),
    [
        ("22 C", Outcome.PASSED),
        ("20,5 °C", Outcome.NOT_SHOWN),
        ("17 C", Outcome.FAILED),
        (None, Outcome.NOT_SHOWN),
    ],
)
def test_glutaraldehyde_asks_for_its_temperature(temperature, outcome):
    """At least 20 °C (CDC 2008, from memory), the thermometer's kelvin against it."""
    lines = ["09:00 in", "strip 2.5 %", "09:50 out", "made 08:00", "rinse sterile x3", temperature]
    verdict = judged([x for x in lines if x], "glutaraldehyde-2pc-high-level", "glutaraldehyde")
    assert found(verdict, "temperature").outcome is outcome


def test_strength_above_the_range_a_rule_speaks_of_is_not_shown():
    """The rule of 650 to 675 mg/L says nothing of 1500."""
    strength = found(judged(GOOD, "hypochlorite-parts-650mgL"), "strength")
    assert strength.outcome is Outcome.NOT_SHOWN
    assert "above 675 the rule does not speak" in strength.says


def test_a_solution_that_served_its_loads_is_used_up():
    """A machine's dose of peracetic acid serves one load."""
    lines = ["09:00 in; strip 4000 mg/L; 09:20 out; 52 C; made 08:50; rinse sterile; load 2"]
    verdict = judged(lines, "peracetic-acid-machine-2000mgL", "peracetic acid")
    assert found(verdict, "loads").outcome is Outcome.FAILED
    assert found(judged([lines[0].replace("load 2", "load 1")], "peracetic-acid-machine-2000mgL", "peracetic acid"),
                 "loads").outcome is Outcome.PASSED  # fmt: skip


def test_seconds_in_the_times_are_used():
    """14:00:00 to 14:20:05 is 20 min for sure."""
    lines = changed(into="14:00:00 in", out="14:20:05 out")
    assert found(judged(lines), "contact").outcome is Outcome.PASSED


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("in the evening", "'in the evening' is no line of a soak; write lines such as: 14:00 in"),
        ("in", "'in' says no time"),
        ("25:00 in", "'25:00 in' carries no time of day"),
        ("strip 1000 mg/L ±100 %", "from 0 up to 99 %"),
        ("120 C", "120.0 °C is not possible"),
        ("14:00 in; 14:05 in", "said already"),
        ("made 2026-13-40", "no time of day"),
        ("2026-05-18 14:00 in; 14:10 out", "mend the times or write dates"),
        ("2026-05-18 14:00 in; 2026-05-18 13:00 out", "not after they went in"),
        ("2026-05-18 14:00 in; 2026-05-18 14:20 out; made 2026-05-19 08:00", "after the parts came out"),
    ],
)
def test_a_line_that_cannot_be_meant_is_refused(line, says):
    """The message quotes it and says what is allowed."""
    with pytest.raises(UnreadableLog, match=says):
        read_soak([line], BLEACH)


def test_other_uses_of_the_same_agent_stand_beside():
    """Rules of other agents say nothing here."""
    names = {c.criterion.name for c in judged(GOOD).others}
    assert names == {"hypochlorite-parts-650mgL", "hypochlorite-immersion-500mgL"}


def test_a_strength_that_is_none_is_refused():
    """The strength's own message tells what is missing."""
    with pytest.raises(UnknownName, match="'lots' has 0 numbers"):
        read_soak(["strip lots"], BLEACH)


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        (GOOD, "The solution was 55 min old; 24 hours at most."),
        (
            ["2026-05-18 14:00 in", "2026-05-18 14:25 out", "made 2026-05-16 12:00"],
            "The solution was 2 d 3 h old; 24 hours at most.",
        ),
    ],
)
def test_the_age_is_said_in_the_units_that_matter(lines, says):
    """Rounded up, so that no solution looks fresher than it was."""
    assert found(judged(lines), "age").says == says


@pytest.mark.parametrize(
    ("rinse", "says"), [("sterile", "Rinsed 1 time with"), ("sterile x2", "Rinsed 2 times with")]
)
def test_rinses_are_counted_in_words(rinse, says):
    """One time, two times."""
    finding = found(judged(changed(rinse=f"rinse {rinse}")), "rinse")
    assert finding.says.startswith(says)
    assert finding.says.endswith(", 1 time.")
