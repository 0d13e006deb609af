"""Strengths as people write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import LungwortError, OutOfRange, UnknownName
from lungwort.evidence.strengths import Liquid, Powder, Tablet, parse_strength, substance_of
from lungwort.library.agents import all_agents, find_agent
from lungwort.science.chlorine import available_from_naocl
from lungwort.science.dilution import from_percent_w_w_mg_per_l


def read(text, agent="hypochlorite", **more):
    """Read a strength of an agent by name."""
    return parse_strength(text, substance_of(find_agent(agent)), **more)


@pytest.mark.parametrize(
    ("text", "mg_per_l", "tolerance"),
    [
        # definitions: 1 % w/v = 10 000 mg/L, 1 g/L = 1000 mg/L; 3.17 g/L a chlorometric degree
        ("5 % w/v", 50_000, 0),
        ("5 % available chlorine", 50_000, 0),
        ("0.5 %", 5000, 0),
        ("0,5 %", 5000, 0),
        ("1000 ppm", 1000, 0),
        ("1000 mg/L", 1000, 0),
        ("10 000 mg/L", 10_000, 0),
        ("38 g/L", 38_000, 0),
        ("≥ 3.8 % w/v available chlorine", 38_000, 0),
        ("min. 38 g/L", 38_000, 0),
        ("12 °Chl", 38_040, 0),
        ("12° chl", 38_040, 0),
        ("36 degrés chlorométriques", 114_120, 0),
        ("12.5 % trade", 125_000, 0),
        ("2,5 % chlore actif", 25_000, 0),
        # 5 % NaOCl w/v · 0.9525
        ("5 % NaOCl w/v", 47_625, 0.5),
        ("5 % sodium hypochlorite", 47_625, 0.5),
        # 5.25 % NaOCl w/w · 0.9525 · 1.080 kg/L = 54.0 g/L
        ("5.25 % NaOCl w/w", 54_000, 50),
        ("5,25% NaOCl m/m", 54_000, 50),
        ("NaOCl 5.25 % (w/w)", 54_000, 50),
    ],
)
def test_a_liquid_in_any_spelling(text, mg_per_l, tolerance):
    """Each comes out as mg/L of available chlorine."""
    liquid = read(text)
    assert isinstance(liquid, Liquid)
    assert liquid.written == text
    assert liquid.strength_mg_per_l == pytest.approx(mg_per_l, abs=tolerance or 1e-6)
    assert liquid.low_mg_per_l <= liquid.strength_mg_per_l


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("5 %", "a bare per cent is taken as available chlorine, weight in volume"),
        ("5 % w/v", "taken as available chlorine, since it does not say sodium hypochlorite"),
        ("5 % NaOCl", "taken as weight in volume, since it does not say w/w"),
        ("1000 ppm", "ppm is taken as mg/L"),
        ("5.25 % NaOCl w/w", "no density given, 1.080 kg/L taken, typical (from memory); 1.039 kg/L"),
        ("12.5 % trade NaOCl", "count available chlorine by definition"),
    ],
)
def test_what_is_assumed_is_said(text, says):
    """One sentence names the assumption."""
    assert any(says in sentence for sentence in read(text).says)


@pytest.mark.parametrize(
    "text", ["5 % NaOCl w/v", "5 % available chlorine w/v", "38 g/L", "12 °Chl", "12.5 % trade"]
)
def test_nothing_is_said_where_nothing_is_assumed(text):
    """A complete strength needs no sentence."""
    assert read(text).says == ()


def test_a_density_on_the_label_replaces_the_typical_one():
    """5 % available chlorine by weight at 1.10 kg/L is 55 g/L, best and cautious."""
    liquid = read("5 % available chlorine w/w", density_kg_per_l=1.10)
    assert liquid == Liquid("5 % available chlorine w/w", pytest.approx(55_000), pytest.approx(55_000), ())


@given(st.floats(0.01, 15.0), st.floats(1.0, 1.25))
def test_bases_never_mix(percent, density):
    """The same number means four different strengths on four bases, each by its own factor."""
    text = f"{percent:.3f} %"
    value = float(f"{percent:.3f}")
    if value == 0.0:
        return
    by_volume = read(f"{text} w/v available chlorine").strength_mg_per_l
    assert by_volume == pytest.approx(value * 1e4)
    naocl = read(f"{text} w/v NaOCl").strength_mg_per_l
    assert naocl == pytest.approx(available_from_naocl(by_volume))
    by_weight = read(f"{text} w/w available chlorine", density_kg_per_l=density).strength_mg_per_l
    assert by_weight == pytest.approx(from_percent_w_w_mg_per_l(value, density))
    both = read(f"{text} w/w NaOCl", density_kg_per_l=density).strength_mg_per_l
    assert both == pytest.approx(available_from_naocl(by_weight))


@pytest.mark.parametrize(
    ("text", "agent", "share"),
    [
        ("70 % powder", "hypochlorite", 0.70),
        ("70 %", "calcium hypochlorite", 0.70),
        ("65 % granules available chlorine", "calcium hypochlorite", 0.65),
        ("68 % Ca(OCl)2 powder", "calcium hypochlorite", 0.68 * 0.9918),  # 2 · 70.906 / 142.98
        ("100 % NaDCC powder", "NaDCC", 0.554),  # dihydrate: 2 · 70.906 / 255.98
    ],
)
def test_a_powder(text, agent, share):
    """A share of available chlorine by weight; a dry agent needs no word powder."""
    powder = read(text, agent)
    assert isinstance(powder, Powder)
    assert powder.share == pytest.approx(share, abs=5e-5)


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("2.5 g/tablet", 2.5),
        ("2500 mg per tablet", 2.5),
        ("1 g available chlorine per tablet", 1.0),
        ("5 g tablet at 50 %", 2.5),
        ("5,0 g tablets, 50 % available chlorine", 2.5),
    ],
)
def test_a_tablet(text, grams):
    """Grams of available chlorine in each, given or worked out from its own weight."""
    tablet = read(text, "NaDCC")
    assert isinstance(tablet, Tablet)
    assert tablet.active_g == pytest.approx(grams)


def test_grams_a_tablet_are_said_to_be_of_the_active_substance():
    """The tablet's own weight would halve the strength."""
    assert "not as the tablet's own weight" in read("2.5 g/tablet", "NaDCC").says[0]
    assert read("2.5 g available chlorine/tablet", "NaDCC").says == ()


@pytest.mark.parametrize(
    ("text", "agent", "mg_per_l"),
    [
        ("5 % peracetic acid", "peracetic acid", 50_000),
        ("5 % w/v", "PAA", 50_000),
        ("5 % w/w", "peracetic acid", 49_900),  # density of water, 0.998: the cautious end
        ("0.55 % ortho-phthalaldehyde", "OPA", 5500),
        ("0.55 % OPA", "OPA", 5500),
        ("70 % v/v", "ethanol", 552_300),  # 0.789 kg/L
        ("70 % alcohol", "ethanol", 552_300),
        ("70 %", "isopropanol", 549_500),  # 0.785 kg/L
        ("2 % w/v glutaraldehyde", "glutaraldehyde", 20_000),
    ],
)
def test_other_agents(text, agent, mg_per_l):
    """mg/L of the substance itself; alcohols by volume."""
    assert read(text, agent).strength_mg_per_l == pytest.approx(mg_per_l)


@pytest.mark.parametrize("agent", [agent.name for agent in all_agents()])
def test_every_agent_of_the_library_reads_milligrams_in_a_litre(agent):
    """mg/L is a strength of anything."""
    assert read("500 mg/L", agent, kind="target").strength_mg_per_l == 500.0


@pytest.mark.parametrize(
    ("text", "agent", "error", "message"),
    [
        ("200 %", "hypochlorite", OutOfRange, "more than 100 %"),
        ("150 % powder", "NaDCC", OutOfRange, "more than 100 %"),
        ("0 %", "hypochlorite", OutOfRange, "is nothing; give one above 0"),
        ("-5 %", "hypochlorite", OutOfRange, "is nothing; give one above 0"),
        ("70 %", "hypochlorite", OutOfRange, "stronger than any such liquid.*70 % powder"),
        ("18 % NaOCl w/w", "hypochlorite", OutOfRange, "stronger than any such liquid"),
        ("40 % w/w", "hypochlorite", OutOfRange, "stronger than any such liquid"),
        ("70 %", "NaDCC", OutOfRange, r"than the pure substance has \(64.5 %\)"),
        ("900 g/L", "ethanol", OutOfRange, "stronger than any such liquid"),
        ("5", "hypochlorite", UnknownName, "has no unit; write for instance '5.25 % NaOCl w/w'"),
        ("", "hypochlorite", UnknownName, "has 0 numbers"),
        ("5-6 %", "hypochlorite", UnknownName, "has 2 numbers; give one, for a stock the lowest"),
        (
            "5 % strong",
            "hypochlorite",
            UnknownName,
            "'strong' in the strength '5 % strong' is not understood",
        ),
        ("5 % w/w w/v", "hypochlorite", UnknownName, "says both w/w and w/v"),
        ("5 % v/v", "hypochlorite", UnknownName, "is no way to give the strength of liquid bleach"),
        ("1,000 ppm", "hypochlorite", UnknownName, "may mean thousands or a decimal; write 1000 or 1"),
        ("1.500 mg/L", "hypochlorite", UnknownName, r"write 1500 or 1\.5"),
        ("5000 mg/L w/w", "hypochlorite", UnknownName, "w/w belongs to per cent"),
        ("5 % tablet", "NaDCC", UnknownName, "cannot be used as a stock"),
        ("2.5 g", "NaDCC", UnknownName, "cannot be used as a stock"),
        (
            "70 g/L powder",
            "hypochlorite",
            UnknownName,
            "cannot be used as a stock; write a powder as '70 % powder'",
        ),
        (
            "12 °Chl",
            "peracetic acid",
            UnknownName,
            "is a strength of chlorine, but the agent is peracetic acid",
        ),
        ("5 % v/v", "peracetic acid", UnknownName, "without its density; give % w/v"),
        ("70 % w/w", "ethanol", UnknownName, "without its density; give % v/v"),
    ],
)
def test_what_would_have_to_be_guessed_is_refused(text, agent, error, message):
    """The message shows the text and a way out."""
    with pytest.raises(error, match=message):
        read(text, agent)


@pytest.mark.parametrize("text", ["5 % powder", "2.5 g/tablet"])
def test_a_target_is_a_liquid(text):
    """Nobody mixes to a powder."""
    with pytest.raises(UnknownName, match="cannot be used as a target"):
        read(text, "NaDCC", kind="target")


@pytest.mark.parametrize("density", [0.0, -1.0, 108.0])
def test_an_impossible_density_is_refused(density):
    """Per cent for kg/L, or a slip."""
    with pytest.raises(OutOfRange, match=r"0\.7 to 1\.5, such as 1\.08"):
        read("5 % w/w", density_kg_per_l=density)


@given(st.text(alphabet="0123456789.,-% °/()abcdegilmnoprtvwhlNaOClPDk", max_size=30))
def test_any_text_is_read_or_refused_with_a_sentence(text):
    """Never another error, never a strength that is nothing or not a number."""
    try:
        strength = read(text)
    except LungwortError as error:
        refusal = str(error)
    else:
        value = {Liquid: "strength_mg_per_l", Powder: "share", Tablet: "active_g"}[type(strength)]
        assert 0.0 < getattr(strength, value) <= 200_000.0
        return
    assert len(refusal) > 20
