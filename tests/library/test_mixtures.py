"""Which two substances must never meet."""

from itertools import combinations, combinations_with_replacement

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import UnknownName, UnusableLibrary
from lungwort.library.agents import all_agents
from lungwort.library.loading import plain
from lungwort.library.mixtures import (
    all_mixtures,
    dangerous,
    dangers,
    mixing_words,
    parse_mixtures,
)

EVERYTHING = sorted(
    {name for family in all_mixtures().families for name in (family.name, *family.members)}
    | {name for agent in all_agents() for name in (agent.name, *agent.aliases)}
)

FAMILY = '[[family]]\nname = "acid"\nmembers = ["vinegar"]\n[[family]]\nname = "base"\nmembers = ["lye"]\n'
DANGER = """
[[danger]]
between = ["acid", "lye"]
gives = "heat"
effect = "It spits."
source = "S"
basis = "computed"
"""


def test_danger_is_symmetric_for_all_pairs():
    """What a does to b, b does to a."""
    for a, b in combinations_with_replacement(EVERYTHING, 2):
        assert dangers(a, b) == dangers(b, a), (a, b)


def test_a_name_and_its_aliases_have_the_same_dangers():
    """Bleach is hypochlorite, whatever it is mixed with."""
    for agent in all_agents():
        for alias, other in ((alias, other) for alias in agent.aliases for other in EVERYTHING):
            assert dangers(alias, other) == dangers(agent.name, other), (alias, other)


def test_each_member_has_its_familys_dangers():
    """A danger of a family is a danger of all its members, except with what is the same substance."""
    for danger in all_mixtures().dangers:
        first, second = (members_of(name) for name in danger.between)
        pairs = [(a, b) for a in first for b in second]
        assert any(danger in dangers(a, b) for a, b in pairs)
        for a, b in pairs:
            assert danger in dangers(a, b) or dangers(a, b) == dangers(a, a) == (), (a, b)


def members_of(name):
    """A family's members, or the substance itself."""
    return next((f.members for f in all_mixtures().families if plain(f.name) == plain(name)), (name,))


@pytest.mark.parametrize(
    ("a", "b", "gives"),
    [
        # general chemistry, from memory
        ("bleach", "vinegar", "chlorine"),
        ("bleach", "descaler", "chlorine"),
        ("NaDCC", "citric acid", "chlorine"),
        ("hypochlorite", "ammonia", "chloramines"),
        ("bleach", "urine", "chloramines"),
        ("bleach", "quaternary ammonium", "chloramines"),
        ("bleach", "glass cleaner", "chloramines"),
        ("bleach", "ethanol", "chloroform"),
        ("bleach", "rubbing alcohol", "chloroform"),
        ("bleach", "acetone", "chloroform"),
        ("bleach", "hydrogen peroxide", "oxygen"),
        ("bleach", "peracetic acid", "chlorine and oxygen"),
        ("bleach", "hot water", "chlorine"),
        ("peracetic acid", "iron", "oxygen"),
        ("peracetic acid", "oil", "fire"),
        ("NaDCC", "a few drops of water", "nitrogen trichloride"),
        ("chlorine powder", "grease", "fire"),
        ("chlorine powder", "NaDCC tablets", "nitrogen trichloride"),
    ],
)
def test_the_mixtures_everybody_must_know_are_there(a, b, gives):
    """The worst stands first."""
    assert gives in dangerous(a, b).gives


def test_no_two_chlorine_free_acids_borrow_the_danger_of_chlorine():
    """Families do not leak: vinegar and citric acid give no chlorine."""
    acids = members_of("acid")
    assert all("chlorine" not in d.gives for a, b in combinations(acids, 2) for d in dangers(a, b))


def test_an_unlisted_pair_is_not_shown_and_never_called_harmless():
    """Silence is not consent."""
    assert dangerous("glutaraldehyde", "window putty") is None
    words = mixing_words("glutaraldehyde", "window putty")
    assert "not shown" in words
    assert "do not mix" in words
    assert "never" in mixing_words("javel", "Vinegar")


@pytest.mark.parametrize(
    ("slip", "meant"), [("vineger", "vinegar"), ("amonia", "ammonia"), ("bleech", "bleach")]
)
def test_a_slip_of_the_pen_is_asked_about_and_not_passed_over(slip, meant):
    """A misspelt danger must not come back as nothing known, on either side."""
    for a, b in ((slip, "hypochlorite"), ("hypochlorite", slip)):
        with pytest.raises(
            UnknownName, match=f"no substance called '{slip}' .* one of these meant: .*{meant}"
        ):
            dangerous(a, b)


@given(st.text(max_size=20))
def test_any_text_is_answered_or_asked_about_alike_from_both_sides(text):
    """Nothing else escapes, whatever is typed."""
    assert outcome("bleach", text) == outcome(text, "bleach")


def outcome(a, b):
    """The danger, or the question asked."""
    try:
        return dangerous(a, b)
    except UnknownName as question:
        return str(question)


def test_every_danger_says_what_it_gives_and_does_with_source_and_basis():
    """All of it from memory, and said so."""
    for danger in all_mixtures().dangers:
        assert danger.gives
        assert danger.effect.endswith(".")
        assert len(danger.source) > 10
        assert danger.basis == "from memory"


@pytest.mark.parametrize("gone", ["gives", "effect", "source", "basis"])
def test_a_bare_danger_is_refused(gone):
    """The message names both substances."""
    lines = [line for line in DANGER.splitlines() if not line.startswith(gone)]
    with pytest.raises(UnusableLibrary, match="danger between acid and lye in mixtures.toml is not usable"):
        parse_mixtures(FAMILY + "\n".join(lines))


@pytest.mark.parametrize("between", ['"acid", "soup"', '"acid"'])
def test_a_danger_between_unknown_or_too_few_is_refused(between):
    """A misspelt family would never be found."""
    assert parse_mixtures(FAMILY + DANGER).dangers
    with pytest.raises(UnusableLibrary, match="must name two families or members of families"):
        parse_mixtures(FAMILY + DANGER.replace('"acid", "lye"', between))
