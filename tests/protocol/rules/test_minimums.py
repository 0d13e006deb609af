"""The rule of minimums: holds, strengths, contacts and ages of solutions."""

import pytest
from protocol_making import (
    autoclave,
    dry,
    findings,
    hot_water,
    kind,
    line,
    place,
    protocol,
    setting,
    soak,
    steam,
    step,
    stock,
    treated,
    wash,
)

SPIRIT = {"name": "Alcohol", "agent": "ethanol", "strength": "96 % v/v"}
GLUTARAL = {"name": "G", "agent": "glutaraldehyde", "strength": "2 %"}


def wiped(strength: str, contact_min: float = 5) -> str:
    """Return a protocol whose one kind is wiped with alcohol."""
    wipe = step("treat", process="wipe", stock="Alcohol", strength=strength, contact_min=contact_min)
    return treated(wipe, stocks=[stock(**SPIRIT)])


@pytest.mark.parametrize("treat", [steam(), hot_water(), soak(), soak(contact_min=20)])
def test_a_plan_at_or_above_its_minimum_passes(treat):
    """Holds, strengths and contacts that the published uses ask give nothing."""
    assert findings("minimums", treated(treat)) == []


def test_a_programme_shorter_than_its_criterion_is_an_error_at_its_hold():
    """steam-134C-3min asks 3 min (EN 285, from memory)."""
    text = treated(steam(), autoclaves=[autoclave(setting=[setting(hold_min=2.5)])])
    (found,) = findings("minimums", text)
    assert (found.severity, found.line) == ("error", line(text, "hold_min = 2.5"))
    assert found.says == "A hold of 2.5 min is shorter than the 3 min of steam-134C-3min."


def test_one_short_programme_of_two_kinds_is_said_once_by_vetting():
    """Two kinds in the same programme give equal findings, which vetting keeps once."""
    kinds = [kind(name=name, steps=[wash(), steam(), dry()]) for name in ("A", "B")]
    text = protocol(kinds=kinds, autoclaves=[autoclave(setting=[setting(hold_min=2)])])
    assert len(set(findings("minimums", text))) == 1


def test_water_held_shorter_than_its_criterion_is_an_error():
    """Pasteurisation at 70 °C takes 30 min (CDC 2008, from memory)."""
    text = treated(hot_water(temperature_c=75, hold_min=20, proved_by=["hot-water-70C-30min"]))
    (found,) = findings("minimums", text)
    assert found.line == line(text, "hold_min = 20")
    assert "20 min is shorter than the 30 min of hot-water-70C-30min" in found.says


def test_a_weak_soak_is_an_error_with_its_strength_in_mg_per_l():
    """0.05 % is 500 mg/L (1 % = 10 g/L), and the use asks 1000."""
    text = treated(soak(strength="0.05 %"))
    (found,) = findings("minimums", text)
    assert (found.severity, found.line) == ("error", line(text, 'strength = "0.05 %"'))
    assert "below the 1000 mg/L published for hypochlorite (parts, 1000 mg/L)" in found.says
    assert found.computed == "0.05 % is 500 mg/L"


def test_a_short_contact_is_an_error():
    """10 min are the short end that documents give; the cautious end, 20 min, counts."""
    text = treated(soak(contact_min=10))
    (found,) = findings("minimums", text)
    assert (found.severity, found.line) == ("error", line(text, "contact_min"))
    assert "10 min of contact are fewer than the 20 min" in found.says


def test_a_soak_stronger_than_its_use_is_a_warning():
    """The use of 650 mg/L is listed up to 675 mg/L."""
    text = treated(soak(strength="800 mg/L", proved_by=["hypochlorite-parts-650mgL"]))
    (found,) = findings("minimums", text)
    assert (found.severity, found.line) == ("warning", line(text, 'strength = "800 mg/L"'))


def test_without_a_criterion_any_published_use_will_do():
    """500 mg/L for 30 min is a published use; 300 mg/L is none, and the nearest is named."""
    assert findings("minimums", treated(soak(strength="500 mg/L", proved_by=None))) == []
    (found,) = findings("minimums", treated(soak(strength="300 mg/L", proved_by=None)))
    assert "below the 500 mg/L published for hypochlorite (immersion, 500 mg/L)" in found.says


def test_a_solution_beyond_its_use_life_is_an_error_and_an_unstated_age_a_warning():
    """A working dilution of bleach is thrown away daily (WHO 2016, from memory)."""
    text = treated(soak(solution_days=3))
    (found,) = findings("minimums", text)
    assert (found.severity, found.line) == ("error", line(text, "solution_days"))
    assert found.says.startswith("A solution used for 3 d is older than the 1 d")
    (found,) = findings("minimums", treated(soak(solution_days=None)))
    assert (found.severity, "not stated" in found.says) == ("warning", True)


def test_a_soak_colder_than_its_use_is_a_warning():
    """Glutaraldehyde is published for 20 °C: a room of 14 °C is colder, unless the bath's temperature is planned."""
    usual = soak(
        stock="G",
        strength="2 %",
        contact_min=45,
        solution_days=14,
        proved_by=["glutaraldehyde-2pc-high-level"],
    )
    cool = place(room={"lowest_c": 14, "highest_c": 26})
    stocks = [stock(**GLUTARAL)]
    (found,) = findings("minimums", treated(usual, place=cool, stocks=stocks))
    assert found.severity == "warning"
    assert "may be at 14 °C" in found.says
    assert findings("minimums", treated({**usual, "temperature_c": 21}, place=cool, stocks=stocks)) == []
    text = treated({**usual, "temperature_c": 18}, place=cool, stocks=stocks)
    (found,) = findings("minimums", text)
    assert found.line == line(text, "temperature_c = 18")


@pytest.mark.parametrize("strength", ["70 % v/v", "75 % v/v", "80 % v/v"])
def test_alcohol_of_70_to_80_percent_by_volume_passes(strength):
    """70 to 80 % by volume lie within 60 to 80 % by weight (CDC 2008; 70 % v/v is about 62 % w/w)."""
    assert findings("minimums", wiped(strength)) == []


@pytest.mark.parametrize(
    ("strength", "severity", "says"),
    [("50 % v/v", "error", "below the 60 % w/w"), ("95 % v/v", "warning", "above the 80 % w/w")],
)
def test_alcohol_too_weak_or_too_strong_is_found(strength, severity, says):
    """50 % by volume is about 42 % by weight, 95 % about 92 % (alcohol tables)."""
    text = wiped(strength)
    (found,) = findings("minimums", text)
    assert (found.severity, found.line) == (severity, line(text, f'strength = "{strength}"'))
    assert says in found.says


def test_a_wipe_that_is_too_short_says_how_long_to_keep_it_wet():
    """Alcohol must stay for 5 min at the cautious end."""
    (found,) = findings("minimums", wiped("70 % v/v", contact_min=1))
    assert "1 min of contact are fewer than the 5 min" in found.says
    assert found.remedy == "Keep it wet for 5 min or longer."


def test_it_is_silent_where_another_rule_speaks():
    """A contact in seconds, a strength without a unit and a stock that is not there are others'."""
    for doubtful in (soak(contact_min=1200), soak(strength="1000"), soak(stock="None")):
        assert findings("minimums", treated(doubtful)) == []
