"""A kind's turnaround as a card for the ward."""

from datetime import date

import pytest
from documents import protocols
from hypothesis import HealthCheck, given, settings

from lungwort.demo.protocol import DEMO_TODAY, demo_protocol_path
from lungwort.protocol.card import card_of
from lungwort.protocol.reading import parse_protocol, read_protocol

TEXT = demo_protocol_path().read_text("utf-8")
DEMO = read_protocol(demo_protocol_path()).protocol


def card(name, protocol=DEMO, today=DEMO_TODAY):
    """Return a kind's card."""
    return card_of(protocol, protocol.kind(name), today)


def how(card, what):
    """Return how the first step of a name is done, as one text."""
    return " ".join(next(step for step in card.steps if step.what == what).how)


def test_a_steam_card_says_what_the_gauge_must_show_here():
    """135 °C is 313.2 kPa absolute (IAPWS-IF97); less 76.6 kPa of air at 2,300 m (ISO 2533) that is 2.37 bar."""
    said = how(card("Silicone circuit, adult"), "Treat with steam")
    assert "Autoclave 1, programme 134 wrapped: 135 °C, held 4 min." in said
    assert "the gauge must show 2.37 bar here (gauge; 313 kPa absolute)" in said


@pytest.mark.parametrize(
    ("altitude", "unit", "kind", "shown"),
    [
        # IAPWS-IF97 at 135 °C: 313.20 kPa; ISO 2533: 101.325 kPa at 0 m, 76.6 kPa at 2,300 m; 1 psi = 6.894757 kPa
        (0, "bar", "gauge", "2.12 bar"),
        (0, "kPa", "gauge", "212 kPa"),
        (0, "psi", "gauge", "30.7 psi"),
        (2300, "psi", "gauge", "34.3 psi"),
        (2300, "kPa", "absolute", "313 kPa"),
    ],
)
def test_the_gauge_is_told_in_its_own_unit_for_the_place(altitude, unit, kind, shown):
    """Even where the document's own pressure is wrong: the card gives what the temperature needs."""
    text = TEXT.replace("altitude_m = 2300", f"altitude_m = {altitude}")
    text = text.replace('gauge_unit = "bar"', f'gauge_unit = "{unit}"').replace(
        'gauge_kind = "gauge"', f'gauge_kind = "{kind}"'
    )
    said = how(card("Silicone circuit, adult", parse_protocol(text).protocol), "Treat with steam")
    assert f"must show {shown} here" in said


def test_hazards_of_the_agent_come_first_with_what_it_must_not_meet():
    """Bleach: what it does, what to wear, and never with the alcohol that stands in the same store."""
    sensor = card("Flow sensor")
    assert any("chlorine" in text for text in sensor.hazards)
    assert any("wear gloves" in text for text in sensor.hazards)
    assert any(
        text.startswith("Never ethanol with hypochlorite: it gives chloroform") for text in sensor.hazards
    )
    assert card("Bacterial filter").hazards == ()


def test_a_soak_card_gives_the_recipe_for_what_the_stock_still_has():
    """The older the bleach, the more of it; never less than the label alone would ask."""
    fresh, old = (
        how(card("Flow sensor", today=day), "Soak") for day in (date(2026, 10, 27), date(2027, 10, 27))
    )
    # 10 L of 1000 mg/L from 50 g/L by the label: 200 mL
    assert int(fresh.split("For 10 L: ")[1].split(" mL")[0]) in (200, 201)
    assert int(old.split("For 10 L: ")[1].split(" mL")[0]) > 300
    assert "Under the liquid for 20 min." in fresh
    assert "Throw the solution away after 0.5 days" in fresh


@pytest.mark.parametrize(
    ("was", "becomes", "says"),
    [
        ("made_on = 2026-10-26\n", "", "Nobody wrote when it was made: check with a strip."),
        ("made_on = 2026-10-26", "made_on = 1926-10-26", "No recipe: the stock had 50000 mg/L when made"),
        ('"5 % available chlorine w/v"', '"some"', "No recipe: "),
        (
            'stock = "Bleach", strength = "1000 mg/L"',
            'stock = "Blech", strength = "1000 mg/L"',
            "No recipe: the stock 'Blech' is not",
        ),
    ],
)
def test_where_no_recipe_can_be_shown_the_card_says_so(was, becomes, says):
    """Never a guess: the reason in place of the recipe."""
    assert was in TEXT
    protocol = parse_protocol(TEXT.replace(was, becomes, 1)).protocol
    assert says in how(card("Flow sensor", protocol), "Soak")


def test_tablets_and_powder_are_told_as_they_are_measured():
    """10 L of 1000 mg/L: 4 tablets of 2.5 g, or 14.3 g of a 70 % powder (definitions)."""
    for agent, strength, says in (
        ("NaDCC", "2.5 g/tablet", "4 tablets of Bleach into 10 L of water."),
        ("calcium hypochlorite", "70 % powder", "For 10 L: 14 g of Bleach into all the water."),
    ):
        text = TEXT.replace('agent = "hypochlorite"', f'agent = "{agent}"').replace(
            "5 % available chlorine w/v", strength
        )
        assert says in how(card("Flow sensor", parse_protocol(text).protocol), "Soak")


def test_what_is_sold_ready_is_used_as_it_is():
    """Alcohol of 70 % for wiping with 70 %."""
    assert "Use Alcohol as it is, undiluted." in how(card("Trolley"), "Wipe")


def test_a_proof_says_whether_its_criterion_is_adopted():
    """By whom and when; or that it opens no gate."""
    (said,) = next(s.proof for s in card("Silicone circuit, adult").steps if s.proof)
    assert said.startswith(
        "steam-134C-3min: Steam 134 °C, held 3 min (adopted on 2026-08-20 by Infection control lead"
    )
    text = TEXT.replace('criterion = "steam-134C-3min"', 'criterion = "F0-15"', 1)
    (said,) = next(
        s.proof for s in card("Silicone circuit, adult", parse_protocol(text).protocol).steps if s.proof
    )
    assert "NOT ADOPTED: shows, but opens no gate" in said


def test_checks_duties_limits_and_failure_stand_with_their_roles():
    """What a ward asks: before, in and after use, and when it goes wrong."""
    trap = card("Water trap")
    assert trap.before_use == ("Upright at the lowest point, valve springs back (nurse).",)
    assert trap.in_use == (
        "Empty the trap before it is half full, away from the patient, every 4 h (nurse).",
    )
    assert trap.after_use == ("Emptied away from the patient (nurse).",)
    assert trap.maker == (
        "Trap of polysulfone; steam at most 124 °C; at most 100 cycles (Instructions (invented), 2.2).",
    )
    assert "Quarantine the set" in trap.on_failure
    assert trap.minutes == sum(step.minutes for step in trap.steps) == 177


def test_steps_are_numbered_in_order_with_role_minutes_and_water():
    """As the protocol has them."""
    steps = card("Flow sensor").steps
    assert [step.number for step in steps] == list(range(1, 11))
    assert [step.what for step in steps][:5] == ["Take apart", "Wash", "Rinse", "Look it over", "Soak"]
    assert steps[5].how == ("Water: sterile. 2 times, each with fresh water.",)
    assert {step.by for step in steps} == {"technician", "engineer"}


def test_a_part_for_one_patient_says_so():
    """No steps, and the way out."""
    filter_ = card("Bacterial filter")
    assert filter_.about.startswith("For one patient, then thrown away;")
    assert filter_.steps == ()


@given(protocols)
@settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))
def test_every_valid_document_has_its_cards(protocol):
    """Faulty ones too: the ward sees what is missing, not a traceback."""
    for kind in protocol.kinds:
        made = card_of(protocol, kind, date(2026, 1, 1))
        assert len(made.steps) == len(kind.steps)
