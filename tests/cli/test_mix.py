"""`lungwort mix` as a user runs it."""

import json
import re
import subprocess
import sys

import pytest
from running import lungwort, words

BLEACH = ("mix", "--agent", "hypochlorite")
AGED = (*BLEACH, "--stock", "5.25 % NaOCl w/w", "--age", "180d", "--stored-at", "32", "--target", "1000 mg/L")
FRESH = (*BLEACH, "--stock", "5 %", "--target", "0.5 %")
SPIRIT = ("mix", "--agent", "ethanol", "--stock", "96 %", "--target", "70 %")


def test_the_recipe_comes_from_the_strength_now():
    """54.0 g/L half a year at 32 °C: 34.8 g/L best, 27.8 cautious (low density), so 360 mL for 10 L of 1000 mg/L."""
    done = lungwort(*AGED, "--volume", "10L")
    said = words(done)
    assert done.code == 0
    assert "By its label 54.0 g/L of available chlorine, which is 5.40 % w/v or 17.0 °Chl." in said
    assert "Left in it: 34.8 g/L by the best estimate, 27.8 g/L at the cautious end" in said
    assert "Made up to 10 L: 360 mL of stock, then water until the whole is 10 L." in said
    assert "Added to water: 373 mL of stock into 10 L of water" in said
    assert "At least 1000 mg/L; 1251 mg/L by the best estimate; 1940 mg/L if the stock is still" in said


def test_it_says_how_far_a_recipe_from_the_label_falls_short():
    """1 - 34.8/54.0 = 36 %, 1 - 27.8/54.0 = 48 %."""
    said = words(lungwort(*AGED, "--volume", "10L"))
    assert "would take 186 mL and make 645 mg/L by the best estimate, 516 mg/L at the cautious end" in said
    assert "it falls short by 36 %, by up to 48 %" in said


def test_hazards_stand_before_the_recipe():
    """Burns, protection and what it must never meet come first; so too as JSON."""
    out = lungwort(*FRESH).out
    for hazard in ("Burns eyes and skin", "Have ready: gloves", "Never with: acid"):
        assert out.index(hazard) < out.index("Recipe")
    keys = list(json.loads(lungwort(*FRESH, "--json").out))
    assert keys.index("hazards") < keys.index("never_with") < keys.index("plan") < keys.index("recipe_words")


def test_five_per_cent_to_half_a_per_cent_is_one_part_and_nine():
    """CDC's rule of parts; the bare per cent and the missing age are said."""
    said = words(lungwort(*FRESH))
    assert "In parts: 1 part of stock and 9 parts of water." in said
    assert "a bare per cent is taken as available chlorine" in said
    assert "this holds for fresh stock only" in said
    assert "If you went by the label" not in said


def test_powder_of_70_per_cent_to_half_a_per_cent():
    """7.14 g per litre of water; a powder called hypochlorite shows the hazards of calcium hypochlorite."""
    done = lungwort(
        *BLEACH, "--stock", "70 % powder", "--target", "0.5 %", "--scoop", "15g", "--volume", "20L"
    )
    said = words(done)
    assert "7.14 g per litre of water." in said
    assert "Made up to 20 L: 143 g of powder" in said
    assert "In whole scoops: 10, which makes 5250 mg/L, 5.0 % above the target." in said
    assert said.startswith("calcium hypochlorite:")
    assert "never water to the powder" in said


def test_twelve_degrees_is_38_grams_a_litre():
    """3.17 g/L a degree."""
    done = lungwort(*BLEACH, "--stock", "12 °Chl", "--target", "0.05 %", "--json")
    assert json.loads(done.out)["plan"]["stock"]["label_mg_per_l"] == 38_040.0


def test_whole_cups_and_buckets():
    """25 L in buckets of 10 L are three; each takes 2 cups of 50 mL of 5 % for 500 mg/L, right on the target."""
    done = lungwort(
        *BLEACH, "--stock", "5 %", "--target", "0.05 %", "--bucket", "10L", "--cup", "50mL", "--volume", "25L"
    )
    said = words(done)
    assert "3 buckets; for each:" in said
    assert (
        "In whole cups, made up: 2 cups of 50 mL of stock, then water to 10 L: 500 mg/L, right on the target."
        in said
    )


def test_cups_that_are_far_off_are_followed_by_two_steps():
    """One cup of 200 mL is 52 % too strong; seven cups of a tenfold dilution are 6.5 % too strong."""
    done = lungwort(*BLEACH, "--stock", "12 °Chl", "--target", "0.05 %", "--bucket", "10L", "--cup", "200mL")
    said = words(done)
    assert "52.2 % above the target. - In whole cups, added" in said
    assert "Step 1: 1 cup of 200 mL of stock, then water until the whole is 2 L." in said
    assert (
        "Step 2: 7 cups of 200 mL of that, then water until the whole is 10 L: 533 mg/L, 6.5 % above" in said
    )


def test_rounding_below_only_if_asked():
    """5 cups of 50 mL for 5.26 are too weak, and it says so."""
    asked = (*BLEACH, "--stock", "38 g/L", "--target", "1000 mg/L", "--bucket", "10L", "--cup", "50mL")
    assert "6 cups of 50 mL" in words(lungwort(*asked))
    assert "5 cups of 50 mL of stock, then water to 10 L: 950 mg/L, 5.0 % below the target." in words(
        lungwort(*asked, "--allow-below")
    )


def test_tablets():
    """Whole ones, and how much one makes."""
    done = lungwort(
        "mix", "--agent", "NaDCC", "--stock", "2.5 g/tablet", "--target", "1000 mg/L", "--volume", "10L"
    )
    said = words(done)
    assert "4 whole tablets in 10 L: 1000 mg/L, right on the target." in said
    assert "One tablet makes 2.5 L of 1000 mg/L" in said


def test_stays_of_different_warmth_and_a_time_to_hold():
    """Stays add up in any order; a recipe that is to hold takes more stock."""
    stays = ("--stored", "90d at 25", "--stored", "60d@35")
    plan = json.loads(lungwort(*FRESH, *stays, "--json").out)["plan"]
    turned = json.loads(lungwort(*FRESH, *stays[2:], *stays[:2], "--json").out)["plan"]
    assert plan["stock"]["cautious_mg_per_l"] == pytest.approx(turned["stock"]["cautious_mg_per_l"])
    held = lungwort(*FRESH, *stays, "--keep-for", "30d", "--json")
    held_plan = json.loads(held.out)["plan"]
    assert held_plan["recipes"][0]["stock_l"] > plan["recipes"][0]["stock_l"]
    assert any("holds for 30 days from now, with the stock kept at 35 °C" in s for s in held_plan["says"])


def test_contact_time_and_daily_discard_come_with_their_basis():
    """The library's use of that strength; weaker than any use is not shown to disinfect."""
    said = words(lungwort(*AGED))
    assert "high level after 20 min wet or under" in said
    assert "[from memory]" in said
    assert "Throw the mixture away at the end of the day" in said
    weak = words(lungwort(*BLEACH, "--stock", "5 %", "--target", "5 mg/L"))
    assert "that it disinfects is not shown" in weak


def test_other_agents_mix_without_decay_and_say_so():
    """Plain dilution; what was lost is not shown."""
    done = lungwort(
        "mix", "--agent", "peracetic acid", "--stock", "5 % w/v", "--target", "2000 mg/L", "--volume", "5L"
    )
    said = words(done)
    assert "Made up to 5 L: 200 mL of stock" in said
    assert "decay of this stock is not modelled: how much it has lost since it was made is not shown" in said
    assert "Made up to 1 L: 730 mL of stock" in words(lungwort(*SPIRIT))


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((*BLEACH, "--stock", "0.5 %", "--target", "1 %"), "weaker than the 10000 mg/L wanted: no dilution"),
        ((*FRESH, "--volume", "0L"), "--volume '0L' is nothing"),
        ((*FRESH, "--volume", "1,250mL"), "may be a thousand or a fraction. Write 1250 or 1.250"),
        ((*BLEACH, "--stock", "200 %", "--target", "0.5 %"), "more than 100 %"),
        ((*BLEACH, "--stock", "5 %", "--target", "200 %"), "more than 100 %"),
        ((*FRESH, "--age", "-180d", "--stored-at", "20"), "--age '-180d' is negative"),
        ((*FRESH, "--age", "180d", "--stored-at", "90"), "Store temperature 90 °C is outside"),
        ((*FRESH, "--age", "180d"), "how warm was the stock kept?"),
        ((*FRESH, "--stored-at", "32"), "how warm, but not how long"),
        ((*FRESH, "--keep-for", "30d"), "--keep-for needs the age"),
        ((*FRESH, "--age", "9d", "--stored-at", "20", "--stored", "9d at 20"), "exclude each other"),
        ((*FRESH, "--stored", "90d"), "is not a stay"),
        ((*FRESH, "--with", "vinegar"), "hypochlorite with vinegar: never. It gives chlorine."),
        (
            (*FRESH, "--with", "window putty"),
            "not shown. Nothing is known here of mixing these two; do not mix",
        ),
        ((*FRESH, "--with", "vinagar"), "was one of these meant: vinegar"),
        ((*SPIRIT, "--near", "flame"), "ethanol near flame: no. It catches fire"),
        ((*SPIRIT, "--near", "Flame-lit heater"), "near Flame-lit heater: no. It catches fire"),
        ((*FRESH, "--water-temperature", "60"), "water of 60 °C is too hot.*Hot water drives chlorine"),
        ((*SPIRIT, "--water-temperature", "60"), "too hot to mix ethanol"),
        ((*FRESH, "--water-temperature", "-5"), "is not liquid"),
        (
            (*BLEACH, "--stock", "5 %", "--target", "2 %", "--age", "3y", "--stored-at", "40"),
            "cannot be shown to reach",
        ),
        ((*BLEACH, "--stock", "5 %"), "--target is missing"),
        (("mix", "--agent", "blech", "--stock", "5 %", "--target", "1 %"), "no agent called 'blech'"),
        ((*FRESH, "--volume", "1L", "--cup", "2L"), "do not go into 1.00 L"),
    ],
)
def test_nonsense_and_danger_get_a_sentence_and_exit_2(arguments, message):
    """One sentence on the error stream, no recipe."""
    done = lungwort(*arguments)
    assert done.code == 2
    assert done.out == ""
    assert done.err.startswith("lungwort: ")
    assert done.err.count("\n") == 1

    assert re.search(message, done.err)


def test_parts_of_water_are_rounded_down():
    """5 % to 0.17 % is 28.4 parts: 28, so that the mixture is not weaker than asked."""
    assert "1 part of stock and 28 parts" in words(lungwort(*BLEACH, "--stock", "5 %", "--target", "0.17 %"))


def test_water_is_no_dangerous_company_and_an_unknown_neighbour_shows_nothing():
    """Water goes into every recipe; nothing known is said, not taken as harmless."""
    assert lungwort(*FRESH, "--with", "water").code == 0
    done = lungwort(*FRESH, "--near", "window")
    assert done.code == 0
    assert "nothing is known here against it, which shows nothing" in words(done)


def test_json_is_plain_and_carries_the_plan():
    """Numbers with units in their names, and the same sentences as on the terminal."""
    data = json.loads(lungwort(*AGED, "--volume", "10L", "--json").out)
    plan = data["plan"]
    assert data["kind"] == "liquid"
    assert plan["stock"]["label_mg_per_l"] == pytest.approx(54_007, abs=1)
    assert plan["recipes"][0]["way"] == "made up to"
    assert plan["recipes"][0]["stock_l"] == pytest.approx(0.3596, abs=0.0005)
    assert plan["label_shortfall_best"] == pytest.approx(0.355, abs=0.0005)
    assert data["never_with"]["acid"] == "chlorine"
    assert any(line.startswith("Made up to 10 L: 360 mL") for line in data["recipe_words"])


def test_mixing_imports_nothing_heavier_than_numpy():
    """An old PC: no pandas, no scipy."""
    code = """
import sys
from lungwort.cli.mix import mix
mix(agent="bleach", stock="5 %", target="0.5 %", smallest="5mL")
print("IMPORTED", [m for m in ("pandas", "scipy", "rich.console", "typst") if m in sys.modules])
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip().endswith("IMPORTED []")
