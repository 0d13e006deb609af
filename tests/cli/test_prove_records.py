"""`lungwort prove --hand` with a soak or weights."""

import json

import pytest
from running import lungwort, words

SOAK = "14:00 in; strip 1500 mg/L; 14:25 out; made 13:30; rinse sterile"


def test_a_soak_is_proved_in_the_same_form_as_heat():
    """The word first, then each rule."""
    done = lungwort("prove", "--hand", SOAK, "--criterion", "hypochlorite-parts-1000mgL")
    assert done.code == 0
    assert done.out.startswith("■ PASSED")
    assert "with every stated error against it" in words(done)


def test_a_soak_as_json_has_the_same_keys():
    """Verdict, criteria, findings, assumptions; no channels, for there are none."""
    done = lungwort(
        "prove", "--hand", SOAK.replace("1500", "700"), "-c", "hypochlorite-parts-1000mgL", "--json"
    )
    data = json.loads(done.out)
    assert (done.code, data["verdict"]) == (1, "failed")
    assert {"criteria", "findings", "others", "assumptions"} <= data.keys()
    assert "channels" not in data


def test_weights_are_proved():
    """Dry by weight."""
    done = lungwort("prove", "--hand", "dry 412 g; now 412.4 g; scale ±0.1 g", "-c", "dry-0.2-percent")
    assert done.code == 0


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--hand", SOAK, "-c", "hypochlorite-parts-1000mgL", "-c", "A0-600"), "different evidence"),
        (("--hand", SOAK, "-c", "hypochlorite-parts-1000mgL", "-c", "OPA-0.55pc-20C"), "different agents"),
        (("-c", "hypochlorite-parts-1000mgL"), "lines written by hand"),
        (("--hand", "hello", "-c", "hypochlorite-parts-1000mgL"), "no line of a soak"),
        (("--hand", SOAK, "-c", "hypochlorite-parts-1000mgL", "--chart", "x.svg"), "has no curve"),
    ],
)
def test_what_cannot_be_used_gets_a_sentence(arguments, says):
    """Exit code 2 and the remedy."""
    done = lungwort("prove", *arguments)
    assert done.code == 2
    assert says in done.err
