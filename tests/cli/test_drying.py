"""`lungwort drying`."""

import json

import pytest
from running import Done, lungwort, words

WEIGHTS = ("--wet", "1250g", "--dry", "1200g")
AIR = ("--room", "25C", "--rh", "60", "--heated-to", "60C", "--flow", "20m3/h")


def run(*arguments: object) -> Done:
    """Run the command."""
    return lungwort("drying", *arguments)


def test_fifty_grams_and_the_least_air_for_them():
    """50 g at 13.75 g/m³ are 3.64 m³, 10.9 min at 20 m³/h; nothing is shown by a scale of unknown step."""
    done = run(*WEIGHTS, *AIR)
    text = words(done)
    assert done.code == 0
    assert "NOT SHOWN: 50.0 g more than when dry" in text
    assert "heated air, at least: 3.64 m³" in text
    assert "time, no less than: 10.9 min" in text
    assert "wet bulb, as warm as a wet part gets: 28.7 °C" in text
    assert "Nobody said how high the place is" in text


def test_the_most_that_the_scale_allows_is_carried_off():
    """With a step of 1 g and an error of 2 g, 55 g are reckoned with."""
    done = run(*WEIGHTS, *AIR, "--resolution", "1g", "--scale-error", "2g", "--altitude", "0", "--json")
    data = json.loads(done.out)
    assert data["weighing"]["water"] == {"best_g": 50.0, "low_g": 45.0, "high_g": 55.0}
    assert data["need"]["water_g"] == 55.0
    assert data["place_stated"]


def test_hazards_come_first():
    """What to beware of is read before any figure."""
    text = words(run(*WEIGHTS, *AIR))
    assert text.index("Keep alcohol away from heat and flame") < text.index("50.0 g more than when dry")


@pytest.mark.parametrize(
    ("wet", "limit", "outcome", "code"),
    [
        ("1200g", "3g", "passed", 0),
        ("1201g", "3g", "not shown", 1),
        ("1250g", "3g", "failed", 1),
        ("1200g", "1g", "not shown", 1),
    ],
)
def test_a_limit_turns_weights_into_a_verdict(wet, limit, outcome, code):
    """An unstated error of the scale is taken as one step, so 1 g steps show no less than 3 g."""
    done = run("--wet", wet, "--dry", "1200g", "--resolution", "1g", "--limit", limit, "--json")
    assert json.loads(done.out)["weighing"]["outcome"] == outcome
    assert done.code == code


@pytest.mark.parametrize(
    ("wet", "shown"),
    [("1200g", "PASSED, at most 3.0 g"), ("1202g", "NOT SHOWN"), ("1250g", "FAILED, more than 3.0 g")],
)
def test_the_verdict_is_the_first_word(wet, shown):
    """In words, on the terminal."""
    assert shown in words(run("--wet", wet, "--dry", "1200g", "--resolution", "1g", "--limit", "3g"))


def test_without_a_limit_no_weight_shows_dryness():
    """Water can be seen to be left, but never to be absent."""
    assert "WATER LEFT: 50.0 g" in words(run(*WEIGHTS, "--resolution", "1g"))
    dry = run("--wet", "1200g", "--dry", "1200g", "--resolution", "1g")
    assert "NOT SHOWN: 0.0 g more" in words(dry)
    assert "No limit was given" in words(dry)


def test_an_unknown_scale_never_passes():
    """Where the step is not stated, even equal weights show nothing."""
    done = run("--wet", "1200g", "--dry", "1200g", "--limit", "3g")
    assert done.code == 1
    assert "NOT SHOWN" in done.out


@pytest.mark.parametrize(
    "arguments", [("--lumen",), ("--lumen", "--through-flow", "no"), ("--through-flow", "no")]
)
def test_a_lumen_without_flow_is_refused(arguments):
    """A caution with what to do, and exit 2."""
    done = run(*WEIGHTS, *AIR, *arguments)
    assert done.code == 2
    assert (
        "Force filtered air through it, hang it so that it drains at both ends, and check it by weight"
        in done.err
    )


def test_a_lumen_with_flow_is_reckoned_and_one_on_a_scale_is_weighed():
    """Weight speaks for a lumen too."""
    assert run(*WEIGHTS, *AIR, "--lumen", "--through-flow", "yes").code == 0
    assert "WATER LEFT" in run(*WEIGHTS, "--resolution", "1g", "--lumen").out


def test_less_uptake_takes_more_air():
    """At half its capacity the air takes twice as long."""
    whole = json.loads(run(*WEIGHTS, *AIR, "--json").out)["need"]["at_least_s"]
    half = json.loads(run(*WEIGHTS, *AIR, "--uptake", "50", "--json").out)["need"]["at_least_s"]
    assert half == pytest.approx(2.0 * whole)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("--wet", "1250g"), "Give --wet and --dry"),
        (("--wet", "1190g", "--dry", "1200g"), "cannot weigh less than when dry"),
        (("--wet", "1190g", "--dry", "1200g", "--resolution", "1g"), "10.00 g less than when dry"),
        (("--wet", "0g", "--dry", "0g"), "The weights are 0.0 g now"),
        (("--wet", "1,250g", "--dry", "1200g"), "may be a thousand or a fraction. Write 1250 or 1.250"),
        (("--wet", "1250", "--dry", "1200g"), "--wet '1250' is not understood"),
        ((*WEIGHTS, "--room", "25C"), "Air needs --room, --rh and --flow"),
        ((*WEIGHTS, *AIR, "--through-flow", "maybe"), "--through-flow 'maybe' is not known; give yes or no"),
        ((*WEIGHTS, *AIR, "--uptake", "0"), "Give more than 0 and at most 1"),
        ((*WEIGHTS, "--room", "25C", "--rh", "200", "--flow", "20m3/h"), "Relative humidity 200 %"),
        ((*WEIGHTS, "--room", "25C", "--rh", "100", "--flow", "20m3/h"), "is full and carries nothing off"),
        ((*WEIGHTS, "--room", "25C", "--rh", "60", "--flow", "0m3/h"), "air flow is 0 m³/h"),
        ((*WEIGHTS, "--resolution", "1g", "--limit", "0g"), "The limit is 0 g"),
        ((*WEIGHTS, *AIR, "--altitude", "20km"), "Altitude 20000 m"),
    ],
)
def test_nonsense_gets_a_sentence_and_exit_2(arguments, message):
    """The sentence names what was typed and what to give."""
    done = run(*arguments)
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith("lungwort: ")
    assert message in done.err
