"""Room air where chemicals give off vapour."""

import pytest
from protocol_making import findings, kind, line, place, protocol, soak, step, stock

from lungwort.protocol.finding import Severity

GLUTARALDEHYDE = stock(name="Glut", agent="glutaraldehyde", strength="2 %")


def of(agent="glutaraldehyde", air=12, room=60, kinds=None, **changes):
    """A protocol of one circuit soaked in an agent."""
    soaked = soak(stock="It", **changes)
    return protocol(
        place=place(air_changes_per_h=air, room_m3=room),
        stocks=[stock(name="It", agent=agent, strength="2 %")],
        kinds=kinds or [kind(steps=[soaked])],
    )


@pytest.mark.parametrize("agent", ["glutaraldehyde", "OPA", "peracetic acid", "hypochlorite"])
def test_ten_air_changes_pass(agent):
    """As practice asks for aldehydes (from memory)."""
    assert findings("ventilation", of(agent, air=10)) == []


@pytest.mark.parametrize(
    ("agent", "severity"),
    [("glutaraldehyde", Severity.ERROR), ("OPA", Severity.ERROR), ("peracetic acid", Severity.WARNING)],
)
def test_fewer_than_ten_air_changes_are_found_at_the_place(agent, severity):
    """For the agents that want them."""
    text = of(agent, air=9.5)
    (found,) = findings("ventilation", text)
    assert (found.severity, found.line) == (severity, line(text, "air_changes_per_h"))
    assert f"{agent} without extract wants at least 10 air changes an hour; the place has 9.5" in found.says
    assert (found.basis, found.computed) == ("from memory", "")


def test_bleach_is_not_asked_for_ten():
    """Nobody gives that number for it."""
    assert findings("ventilation", of("hypochlorite", air=2)) == []


def test_a_covered_bath_under_extract_passes():
    """Its vapour does not reach the room."""
    assert findings("ventilation", of(air=2, extracted=True)) == []
    assert findings("ventilation", of(air=None, extracted=True)) == []


def test_unknown_air_is_a_warning_that_says_not_shown_once():
    """However many kinds are soaked."""
    steps = [soak(stock="Glut"), soak()]
    text = protocol(
        place=place(air_changes_per_h=None),
        stocks=[stock(), GLUTARALDEHYDE],
        kinds=[kind(steps=steps), kind(name="Mask", steps=steps)],
    )
    (found,) = findings("ventilation", text)
    assert (found.severity, found.line) == (Severity.WARNING, line(text, "[place]"))
    assert "glutaraldehyde, hypochlorite are used here" in found.says
    assert "not shown that it is enough" in found.says


def test_where_nothing_is_soaked_the_air_is_not_asked_about():
    """Steam needs no extract; wiping with spirit none either."""
    assert findings("ventilation", protocol(place=place(air_changes_per_h=None))) == []
    wiped = step("treat", process="wipe", stock="It", strength="70 %", contact_min=1)
    assert findings("ventilation", of("ethanol", air=None, kinds=[kind(steps=[wiped])])) == []


def test_wiping_with_an_aldehyde_is_asked_about():
    """It gives off more than a covered bath."""
    wiped = step("treat", process="wipe", stock="It", strength="2 %", contact_min=1)
    (found,) = findings("ventilation", of(air=4, kinds=[kind(steps=[wiped])]))
    assert found.severity is Severity.ERROR


def test_evaporation_beyond_the_limit_is_an_error_with_the_air_changes_needed():
    """60 mg/h in 30 m³ to 0.205 mg/m³ (ACGIH, from memory) with a mixing factor of 5: 48.8 an hour."""
    text = of(air=12, room=30, evaporation_mg_per_h=60)
    (found,) = findings("ventilation", text)
    needed = 5 * 60 / (0.205 * 30)
    assert needed == pytest.approx(48.8, abs=0.05)
    assert (found.severity, found.line) == (Severity.ERROR, line(text, "evaporation_mg_per_h"))
    assert "12.0 air changes an hour leave its vapour above the limit; 48.8 are needed" in found.says
    assert "5 · 60.0 mg/h / (0.2050 mg/m³ · 30.0 m³) = 48.8" in found.computed
    assert found.source.startswith("ACGIH TLV ceiling")


def test_evaporation_within_the_limit_passes_and_below_ten_is_only_a_warning():
    """The computation stands beside the floor that practice asks for."""
    assert findings("ventilation", of(air=12, room=60, evaporation_mg_per_h=1)) == []
    (found,) = findings("ventilation", of(air=4, room=60, evaporation_mg_per_h=1))
    assert (found.severity, "= 0.4 air changes" in found.computed) == (Severity.WARNING, True)


def test_the_step_that_gives_off_most_decides():
    """One finding for the agent, at that step."""
    steps = [soak(stock="It", evaporation_mg_per_h=rate) for rate in (1, 80, 2)]
    text = of(room=30, kinds=[kind(steps=steps)])
    (found,) = findings("ventilation", text)
    assert found.line == line(text, "evaporation_mg_per_h = 80")


def test_an_unknown_room_is_a_warning_where_evaporation_is_known():
    """Not shown."""
    text = of(room=None, evaporation_mg_per_h=60)
    (found,) = findings("ventilation", text)
    assert (found.severity, found.line) == (Severity.WARNING, line(text, "[place]"))
    assert "not shown that its air is enough" in found.says
    assert "room_m3" in found.remedy


@pytest.mark.parametrize(("room", "count"), [(1e-6, 0), (0.5, 0), (1, 1), (10_000, 1)])
def test_no_room_that_a_document_may_have_upsets_it(room, count):
    """A room smaller than a cupboard is not computed with."""
    assert len(findings("ventilation", of(room=room, evaporation_mg_per_h=1e9))) == count
