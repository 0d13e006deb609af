"""The rule of stock: what a stock still has, at its age and the warmth of the store."""

from datetime import date, datetime, timedelta

import pytest
from protocol_making import TODAY, dry, findings, kind, line, place, protocol, rinse, soak, stock, wash

from lungwort.science.chlorine import strength_after_mg_per_l


def soaked(asked: str = "0.1 %", warm_c: float = 22, **of_stock) -> str:
    """Return a protocol with a soak from one stock."""
    steps = [wash(), soak(strength=asked), rinse(), dry()]
    store = {"lowest_c": 12, "highest_c": warm_c}
    return protocol(kinds=[kind(steps=steps)], stocks=[stock(**of_stock)], place=place(store=store))


def test_a_fresh_stock_passes():
    """Bleach of 5 %, 24 days old and kept cool, gives 0.1 % easily."""
    assert findings("stock", soaked()) == []


def test_a_stock_too_old_for_what_is_asked_is_an_error_at_its_date():
    """Four years at 30 °C leave 5 % bleach far below 4 %; the strength left and the day are named."""
    text = soaked("4 %", 30, made_on=date(2022, 11, 25))
    (found,) = findings("stock", text)
    assert (found.severity, found.line) == ("error", line(text, "made_on"))
    assert "Bleach is too old for 4 %: since" in found.says
    best = strength_after_mg_per_l(50_000, [(30.0, (TODAY - date(2022, 11, 25)).days * 86_400.0)])
    assert f"{best:.0f} mg/L left by the best estimate" in found.computed


def test_the_day_it_becomes_too_weak_is_the_day_the_finding_turns():
    """Until the named day there is no error, after it there is; a month before it the warning begins."""
    text = soaked("4 %", 30, made_on=date(2022, 11, 25))
    (found,) = findings("stock", text)
    named = datetime.strptime(found.says.split("since ")[1].split(" it ")[0], "%d %B %Y").date()
    severities = [
        next((f.severity for f in findings("stock", text, named + timedelta(days=n))), "")
        for n in (-31, -30, 0, 1)
    ]
    assert severities == ["", "warning", "warning", "error"]


def test_a_stock_weaker_by_its_label_is_an_error_at_the_strength_asked():
    """No dilution makes 5 % into 10 %."""
    text = soaked("10 %")
    (found,) = findings("stock", text)
    assert (found.severity, found.line) == ("error", line(text, 'strength = "10 %"'))
    assert "no dilution makes it stronger" in found.says
    assert found.computed == "5 % is 50000 mg/L, 10 % is 100000 mg/L"


def test_the_strongest_solution_asked_decides():
    """A second step that asks 10 % is the one named."""
    steps = [wash(), soak(), rinse(), soak(strength="10 %"), rinse(), dry()]
    text = protocol(kinds=[kind(steps=steps)])
    assert [f.line for f in findings("stock", text)] == [line(text, 'strength = "10 %"')]


def test_a_stock_without_a_date_is_a_warning_at_its_table():
    """What an undated stock still has is not shown."""
    text = soaked(made_on=None)
    (found,) = findings("stock", text)
    assert (found.severity, found.line) == ("warning", line(text, "[[stock]]"))
    assert "not shown" in found.says


def test_a_date_in_the_future_is_an_error():
    """An expiry date written as the date of making is found where it lies ahead."""
    (found,) = findings("stock", soaked(made_on=date(2027, 11, 1)))
    assert found.severity == "error"
    assert "Bleach was made on 1 November 2027, which is after 25 November 2026" in found.says


@pytest.mark.parametrize(
    "other",
    [
        {"agent": "NaDCC", "strength": "2.5 g/tablet"},
        {"agent": "calcium hypochlorite", "strength": "70 % powder"},
        {"agent": "peracetic acid", "strength": "5 %"},
    ],
)
def test_a_stock_whose_decay_is_not_modelled_is_noted(other):
    """Tablets, powders and other agents have no model, and that is said."""
    (found,) = findings("stock", soaked(**other))
    assert (found.severity, "not modelled" in found.says) == ("note", True)


def test_a_stock_that_no_step_uses_or_that_cannot_be_read_gives_nothing():
    """An unused stock needs no date, and an unreadable strength is the rule of units'."""
    assert findings("stock", protocol(stocks=[stock(made_on=None)])) == []
    assert findings("stock", soaked(strength="much")) == []


def test_a_very_old_stock_and_a_very_weak_solution_do_not_overflow():
    """A date of the first century and a strength of next to nothing are judged, not stumbled over."""
    assert findings("stock", soaked(made_on=date(1, 1, 1)))[0].severity == "error"
    assert findings("stock", soaked("0.0000001 mg/L")) == []
