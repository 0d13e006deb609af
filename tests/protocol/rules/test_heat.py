"""The rules of heat and water: what each treat step reaches, and what the place allows."""

import pytest
from protocol_making import (
    adoption,
    autoclave,
    bath,
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
    wash,
)


def treated(*steps, contact="semi-critical", **changes) -> str:
    """Return a protocol whose one kind is washed, treated so, and dried."""
    return protocol(kinds=[kind(contact=contact, steps=[wash(), *steps, dry()])], **changes)


@pytest.mark.parametrize("treat", [steam(), hot_water(), soak()])
def test_a_heat_that_meets_its_criteria_and_the_level_passes(treat):
    """Steam of 135 °C, water of 85 °C for 15 min, and bleach of 0.1 % are enough for a semi-critical part."""
    assert findings("heat", treated(treat)) == []


def test_water_too_little_for_its_a0_is_an_error_with_the_time_it_needs():
    """70 °C for 30 min is A0 180 (ISO 15883-1 formula, worked by hand), and A0 600 takes 100 min at 70 °C."""
    text = treated(hot_water(temperature_c=70, hold_min=30))
    (found,) = findings("heat", text)
    assert (found.severity, found.line) == ("error", line(text, "hold_min = 30"))
    assert found.says == "70 °C for 30 min does not meet A0-600: too little."
    assert "= 180; 600 asked" in found.computed
    assert "At 70 °C it takes 100.0 min" in found.remedy


def test_exactly_the_time_that_the_formula_asks_passes():
    """80 °C for 10 min is A0 600, which is enough."""
    assert findings("heat", treated(hot_water(temperature_c=80, hold_min=10))) == []
    assert findings("heat", treated(hot_water(temperature_c=80, hold_min=9.9))) != []


def test_water_below_65_counts_nothing():
    """A0 counts from 65 °C, so the temperature is at fault, not the time."""
    text = treated(hot_water(temperature_c=60, hold_min=300))
    (found,) = findings("heat", text)
    assert found.line == line(text, "temperature_c = 60")
    assert found.says.endswith("does not meet A0-600: too cold.")
    assert "65 °C or more" in found.remedy


def test_a_programme_below_or_above_its_band_is_an_error():
    """The band of steam-134C-3min is 134 to 137 °C."""
    for named_c, bar, fault in ((132, 2.1, "too cold"), (139, 2.74, "too hot")):
        programmes = [autoclave(setting=[setting(temperature_c=named_c, pressure=bar)])]
        text = treated(steam(), autoclaves=programmes)
        (found,) = findings("heat", text)
        assert found.says == f"{named_c} °C for 4 min does not meet steam-134C-3min: {fault}."
        assert found.line == line(text, 'setting = "134"')


def test_a_hold_that_is_only_too_short_is_left_to_the_minimums():
    """One mistake gives one finding: heat is silent about 2 min at 135 °C."""
    text = treated(steam(), autoclaves=[autoclave(setting=[setting(hold_min=2)])])
    assert findings("heat", text) == []
    assert len(findings("minimums", text)) == 1


def test_steam_too_short_for_its_f0_is_an_error_at_the_programme():
    """121 °C for 10 min is F0 10 at the reference of 121 °C, and F0-15 asks 15."""
    programme = setting(temperature_c=121, pressure=1.285, hold_min=10)
    text = treated(steam(proved_by=["F0-15"]), autoclaves=[autoclave(setting=[programme])])
    (found,) = findings("heat", text)
    assert found.line == line(text, "hold_min = 10")
    assert "= 10.0; 15 asked" in found.computed


def test_a_gauge_that_falls_a_little_short_is_a_warning():
    """2.2 bar at 2,300 m is about 133.1 °C, which misses 134 °C by more than the weather."""
    programme = setting(temperature_c=134, pressure=2.2)
    text = treated(steam(), autoclaves=[autoclave(setting=[programme])])
    (found,) = findings("heat", text)
    assert (found.severity, found.line) == ("warning", line(text, "pressure = 2.2"))
    assert "133.1 °C, not 134 °C" in found.says


def test_a_gauge_far_off_is_left_to_the_rule_of_pressure():
    """1.4 bar for 134 °C is the pressure rule's, and heat does not repeat it."""
    programme = setting(temperature_c=134, pressure=1.4)
    text = treated(steam(), autoclaves=[autoclave(setting=[programme])])
    assert findings("heat", text) == []
    assert len(findings("pressure", text)) == 1


def test_70_for_30_min_is_noted_where_another_tradition_asks_more():
    """70 °C for 30 min meets the US rule; A0 180 is under a third of 600, adopted or not."""
    pasteurised = hot_water(temperature_c=70, hold_min=30, proved_by=["hot-water-70C-30min"])
    for adoptions in (
        [adoption("hot-water-70C-30min")],
        [adoption("hot-water-70C-30min"), adoption("A0-600")],
    ):
        text = treated(pasteurised, adoptions=adoptions)
        (found,) = findings("heat", text)
        assert found.severity == "note"
        assert "meets hot-water-70C-30min, but not A0-600" in found.says
        assert ("adopted here" in found.says) == (len(adoptions) == 2)


def test_an_adopted_stricter_rule_set_that_is_missed_is_noted():
    """85 °C for 15 min meets A0-600 and misses A0-3000, which the hospital adopted too."""
    text = treated(hot_water(), adoptions=[adoption("A0-600"), adoption("A0-3000")])
    (found,) = findings("heat", text)
    assert found.severity == "note"
    assert "but not A0-3000" in found.says


def test_an_adopted_criterion_of_another_programme_is_no_news():
    """An autoclave with programmes of 121 and 134 °C has both criteria adopted; neither is held against the other."""
    text = treated(steam(), adoptions=[adoption("steam-134C-3min"), adoption("steam-121C-15min")])
    assert findings("heat", text) == []


def test_a_criterion_for_vacuum_with_a_gravity_autoclave_is_a_warning():
    """EN criteria speak of autoclaves that draw the air out."""
    text = treated(steam(), autoclaves=[autoclave(removal="gravity")])
    (found,) = findings("heat", text)
    assert (found.severity, found.line) == ("warning", line(text, "proved_by"))
    assert "lets it sink out" in found.says


# ---- levels ----


@pytest.mark.parametrize(
    ("treat", "reached"),
    [
        (hot_water(proved_by=["A0-60"]), "low"),
        (hot_water(hold_min=35, proved_by=["hot-water-71C-3min"]), "low"),
        (soak(strength="500 mg/L", proved_by=["hypochlorite-immersion-500mgL"]), "intermediate"),
    ],
)
def test_a_criterion_below_the_level_of_a_semi_critical_part_is_an_error(treat, reached):
    """A0 60, and 500 mg/L of chlorine, do not prove what a part on the airway needs."""
    text = treated(treat)
    found = [f for f in findings("heat", text) if f.severity == "error"]
    assert [f.line for f in found] == [line(text, "proved_by")]
    assert found[0].says == (
        f"A semi-critical part needs high level; what is planned is shown to reach {reached} only."
    )


def test_a_semi_critical_part_that_nothing_treats_is_an_error_at_its_contact():
    """A part that is only washed and dried does not reach its level."""
    text = treated()
    (found,) = findings("heat", text)
    assert found.says == "A semi-critical part needs high level, and no step treats it."
    assert found.line == line(text, "contact =")


def test_a_non_critical_part_needs_no_treat_step():
    """A trolley that is washed and dried is enough for this rule."""
    assert findings("heat", treated(contact="non-critical")) == []


def test_a_critical_part_needs_sterilization():
    """Steam and a sterilant for its whole time do; hot water and a high-level soak do not."""
    glutaral = stock(name="G", agent="glutaraldehyde", strength="2 %")
    in_it = {"stock": "G", "strength": "2 %", "contact_min": 600}
    for treat, errors in (
        (steam(), 0),
        (soak(**in_it, proved_by=["glutaraldehyde-2pc-sterilant"]), 0),
        (soak(**in_it, proved_by=["glutaraldehyde-2pc-high-level"]), 1),
        (hot_water(), 1),
    ):
        found = findings("heat", treated(treat, contact="critical", stocks=[glutaral]))
        assert len(found) == errors
        assert all("needs sterilization" in f.says for f in found)


def test_without_a_criterion_the_plan_itself_is_weighed():
    """Without proved_by, 85 °C for 15 min reaches high level and 60 °C does not; the missing name is proof's."""
    assert findings("heat", treated(hot_water(proved_by=None))) == []
    (found,) = findings("heat", treated(hot_water(temperature_c=60, proved_by=None)))
    assert "shown to reach low only" in found.says


def test_wiping_with_alcohol_does_not_reach_a_semi_critical_part():
    """Alcohol wiped on is of intermediate level."""
    spirit = stock(name="Alcohol", agent="ethanol", strength="70 % v/v")
    wipe = step("treat", process="wipe", stock="Alcohol", strength="70 % v/v", contact_min=5)
    (found,) = findings("heat", treated(wipe, stocks=[spirit]))
    assert "shown to reach intermediate only" in found.says


def test_single_patient_parts_and_parts_without_steps_are_left_to_their_own_rule():
    """Their rule is another; this one does not ask for heat."""
    for part in (kind(steps=[], reuse="single patient"), kind(steps=[])):
        assert findings("heat", protocol(kinds=[part])) == []


def test_a_step_that_units_or_references_doubt_is_not_judged():
    """Water of 185 (°F) and a bath that is not there give no finding of heat."""
    for doubtful in (hot_water(temperature_c=185), steam(setting="135")):
        assert findings("heat", treated(doubtful)) == []


# ---- water ----


def test_water_above_its_boiling_point_here_is_an_error():
    """At 3,640 m water boils at 87.8 °C (IAPWS-IF97, ISO 2533: the table of altitudes), so 88 °C cannot be held."""
    text = treated(hot_water(temperature_c=88), place=place(altitude_m=3640))
    (found,) = findings("water", text)
    assert (found.severity, found.line) == ("error", line(text, "temperature_c = 88"))
    assert found.says == "Water cannot be held at 88 °C here: it boils at 87.8 °C."
    assert "Choose 86.5 °C at most" in found.remedy


def test_water_1_k_below_boiling_passes_and_nearer_does_not():
    """At 2,000 m water boils at 93.3 °C: 92 °C can be held in a bath that reaches it, 93 °C cannot."""
    for asked_c, errors in ((92, 0), (93, 1)):
        text = treated(
            hot_water(temperature_c=asked_c), place=place(altitude_m=2000), baths=[bath(highest_c=99)]
        )
        assert len(findings("water", text)) == errors


def test_water_above_what_its_bath_reaches_is_an_error():
    """A bath of 90 °C cannot give 91 °C."""
    text = treated(hot_water(temperature_c=91))
    (found,) = findings("water", text)
    assert found.says == "Bath 1 reaches 90 °C at most, and 91 °C is asked of it."
    assert found.line == line(text, "temperature_c = 91")


def test_water_above_both_gives_one_finding():
    """99 °C is beyond the bath and beyond boiling, and is said once."""
    assert len(findings("water", treated(hot_water(temperature_c=99)))) == 1
