"""`lungwort humidity`."""

import json

import pytest
from running import Done, lungwort, words

WARD = ("--minute-volume", "10", "--gas", "37C", "--room", "24C")


def run(*arguments: object) -> Done:
    """Run the command."""
    return lungwort("humidity", *arguments)


def test_the_ward_s_circuit():
    """Chamber use, both condensate bases, and an interval that is rounded down."""
    done = run(*WARD, "--trap", "60mL", "--chamber", "250mL")
    text = words(done)
    assert done.code == 0
    assert "into dry gas: 0.632 L/day" in text
    assert "simple difference: 22.1 mg/L of gas, 13.3 mL/h" in text
    assert "dry-gas mass: 23.7 mg/L of gas, 14.2 mL/h" in text
    assert "Empty the 60 mL trap at least every 2 h, before it holds 40 mL." in text
    assert "Fill the chamber (250 mL between its marks) at least every 7 h." in text


def test_hazards_come_before_the_plan():
    """What to beware of is read first."""
    text = words(run(*WARD, "--trap", "60mL"))
    assert text.index("never back to the chamber") < text.index("Empty the 60 mL trap")


def test_what_was_assumed_is_said():
    """Nobody said what a litre is nor how high the place is."""
    text = words(run(*WARD))
    assert "Nobody said what a litre is" in text
    assert "Nobody said how high the place is" in text
    assert "below the 33 mg/L asked for" in text
    stated = words(run(*WARD, "--volume-at", "gas", "--altitude", "2300"))
    assert "Nobody said" not in stated
    assert "Air pressure 76.6 kPa" in stated


def test_stating_more_never_shortens_the_interval():
    """What is unstated is taken cautiously."""
    unstated = json.loads(run(*WARD, "--trap", "600mL", "--json").out)
    stated = json.loads(run(*WARD, "--trap", "600mL", "--volume-at", "gas", "--altitude", "0", "--json").out)
    assert (
        unstated["trap_cautious_h"] < stated["trap_cautious_h"] <= stated["trap_h"] < stated["trap_simple_h"]
    )


def test_json_has_the_figures_and_what_they_rest_on():
    """Programs get every figure, the targets' basis and the assumptions."""
    data = json.loads(run(*WARD, "--trap", "60 mL", "--json").out)
    assert data["forecast"]["chamber_gross_l_per_day"] == pytest.approx(0.632, abs=0.0005)
    assert data["forecast"]["condensate_simple_mg_per_l"] == pytest.approx(22.1, abs=0.05)
    assert data["trap_cautious_h"] == 2.0
    assert data["target_mg_per_l"]["low"]["basis"] == "from memory"
    assert data["assumed"]
    assert data["cautions"]


def test_damp_inlet_gas_saves_water_on_both_bases():
    """0.492 L/day by plain difference, 0.505 on the mass of dry gas."""
    text = words(run(*WARD, "--inlet", "22C", "--inlet-rh", "50"))
    assert "net of inlet gas, simple difference: 0.492 L/day" in text
    assert "net of inlet gas, dry-gas mass: 0.505 L/day" in text


def test_a_heated_limb_as_warm_as_its_gas_gets_no_interval():
    """Nothing condenses by the model, and the answer says to look all the same."""
    done = run(*WARD, "--limb", "heated", "--wall", "38C", "--trap", "60mL")
    assert "No interval for the trap: by this model nothing condenses." in words(done)
    assert (
        json.loads(run(*WARD, "--limb", "heated", "--wall", "38C", "--trap", "60mL", "--json").out)["trap_h"]
        is None
    )


def test_an_example_patient_is_marked_as_an_example():
    """The newborn's continuous flow counts, and what was typed overrules the example."""
    done = run("--patient", "newborn", "--room", "28C", "--limb", "heated", "--wall", "36C", "--json")
    data = json.loads(done.out)
    assert data["circuit"]["bias_flow_l_per_min"] == 8.0
    assert "from memory" in data["assumed"][0]
    own = json.loads(run("--patient", "adult", "--minute-volume", "7,5", "--room", "24C", "--json").out)
    assert own["circuit"]["minute_volume_l_per_min"] == 7.5


def test_gas_too_hot_for_a_patient_is_pointed_out():
    """Above 41 °C it must have cooled first."""
    text = words(run("--minute-volume", "10", "--gas", "50C", "--room", "24C"))
    assert "Above 41 °C gas burns the airway" in text
    assert "burns the airway" not in words(run(*WARD))


def test_a_trap_too_small_is_said_to_be():
    """No interval shorter than five minutes is offered."""
    assert "take a larger one" in words(run(*WARD, "--trap", "1mL"))


def test_a_share_to_fill_can_be_stated():
    """Half of 60 mL is 30 mL."""
    assert "before it holds 30 mL" in words(run(*WARD, "--trap", "60mL", "--safe-fill", "50"))


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("--gas", "37C", "--room", "24C"), "Give --minute-volume and --gas as the machine shows them"),
        (("--minute-volume", "10", "--gas", "37C"), "--room is missing: give the room's temperature"),
        ((*WARD, "--limb", "heated"), "A heated limb needs --wall"),
        ((*WARD, "--wall", "36C"), "Add --limb heated"),
        ((*WARD, "--limb", "warm"), "--limb 'warm' is not known; give plain or heated"),
        ((*WARD, "--limb", "heated", "--wall", "20C"), "colder than the room"),
        ((*WARD, "--inlet", "22C"), "--inlet and --inlet-rh go together"),
        ((*WARD, "--inlet", "22C", "--inlet-rh", "200"), "outside 0 to 100 %"),
        ((*WARD, "--volume-at", "sea"), "--volume-at 'sea' is not known"),
        ((*WARD, "--patient", "horse"), "give one of adult, child, newborn"),
        ((*WARD, "--trap", "0mL"), "A volume of 0 mL cannot be"),
        ((*WARD, "--trap", "60"), "Give a number with one of these units: mL, L"),
        ((*WARD, "--trap", "60mL", "--safe-fill", "200"), "A share of the volume of 2"),
        ((*WARD, "--barometer", "1013"), "hPa"),
        (("--minute-volume", "500", "--gas", "37C", "--room", "24C"), "litres a minute"),
        (("--minute-volume", "10", "--gas", "310K", "--room", "24"), "--room '24' is not understood"),
        (("--minute-volume", "10", "--gas", "98C", "--room", "24C"), "Gas temperature 98 °C is outside"),
    ],
)
def test_nonsense_gets_a_sentence_and_exit_2(arguments, message):
    """The sentence names what was typed and what to give."""
    done = run(*arguments)
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith("lungwort: ")
    assert message in done.err


def test_a_chamber_that_gives_nothing_or_too_little_is_said_to():
    """Inlet gas wetter than the outlet gives no interval, a millilitre none worth keeping, 20 mL one in minutes."""
    soaked = ("--inlet", "45C", "--inlet-rh", "100")
    assert "No interval for the chamber" in words(run(*WARD, *soaked, "--chamber", "250mL"))
    assert "would run low within five minutes" in words(run(*WARD, "--chamber", "1mL"))
    assert "at least every 35 min" in words(run(*WARD, "--chamber", "20mL"))


def test_what_a_litre_is_decides_how_much_condenses():
    """Room litres give more condensate than gas litres, standard ones most."""
    rates = [
        json.loads(run(*WARD, "--altitude", "2300", "--volume-at", kind, "--json").out)["forecast"][
            "condensate_most_ml_per_h"
        ]
        for kind in ("gas", "room", "standard")
    ]
    assert rates == sorted(rates)
    assert rates[0] < rates[1] < rates[2]
