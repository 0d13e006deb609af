"""The criteria that ship with Lungwort."""

import pytest

from lungwort.errors import UnknownName, UnusableLibrary
from lungwort.evidence.rules import RULES
from lungwort.evidence.soak.rules import SOAK_RULES
from lungwort.library.catalogue import all_criteria, find_criterion
from lungwort.library.criteria import Basis, parse_criteria, weakest

LIMIT = '[[limit]]\nname="a"\nrule="a0"\nunit="s"\nat_least=60\nsource="S"\nbasis="published"\n'
CRITERION = (
    '[[criterion]]\nname="A"\ntitle="t"\nprocess="hot water"\ntradition="x"\nscope="y"\nlimits=["{}"]\n'
)


def test_every_limit_carries_source_basis_and_a_number():
    """No limit is bare."""
    for limit in (limit for c in all_criteria() for limit in c.limits):
        assert len(limit.source) > 10, limit.name
        assert limit.basis in Basis
        assert limit.at_least is not None or limit.at_most is not None, limit.name


def test_every_rule_named_in_the_library_exists():
    """A rule without code could never be judged."""
    named = {limit.rule for c in all_criteria() for limit in c.limits}
    assert named == {*RULES, *SOAK_RULES, "residue"}


def test_names_are_unique():
    """One name, one criterion."""
    names = [c.name.lower() for c in all_criteria()]
    assert len(names) == len(set(names))


@pytest.mark.parametrize(
    ("name", "at_least", "at_most", "for_s"),
    [
        # EN 285 / HTM 01-01 C: 121 °C 15 min, 126 °C 10 min, 134 °C 3 min, band 0 to +3 K (from memory)
        ("steam-121C-15min", 121, 124, 900),
        ("steam-126C-10min", 126, 129, 600),
        ("steam-134C-3min", 134, 137, 180),
        # CDC 2008 table 7, AAMI ST79: gravity 121/30, 132/15, 135/10; dynamic air removal 132/4, 135/3 (from memory)
        ("steam-121C-30min-gravity", 121, None, 1800),
        ("steam-132C-15min-gravity", 132, None, 900),
        ("steam-135C-10min-gravity", 135, None, 600),
        ("steam-132C-4min-prevacuum", 132, None, 240),
        ("steam-135C-3min-prevacuum", 135, None, 180),
        ("hot-water-70C-30min", 70, None, 1800),
    ],
)
def test_holds_are_the_published_ones(name, at_least, at_most, for_s):
    """Temperature, band and time as the named documents give them."""
    hold = find_criterion(name).limit("hold")
    assert (hold.at_least, hold.at_most, hold.for_s) == (at_least, at_most, for_s)


def test_nothing_from_memory_is_called_published():
    """A criterion's basis is its weakest limit's."""
    assert find_criterion("A0-600").basis is Basis.FROM_MEMORY
    assert weakest([Basis.COMPUTED, Basis.COMMON_PRACTICE]) is Basis.COMMON_PRACTICE


def test_an_unknown_name_gets_near_ones():
    """The message suggests."""
    with pytest.raises(UnknownName, match=r"no criterion called 'a0-60O'; near ones: .*A0-600"):
        find_criterion("a0-60O")


@pytest.mark.parametrize("missing", ["source", "basis", "rule", "unit"])
def test_a_limit_without_source_or_basis_is_refused(missing):
    """The library cannot be loaded with a bare limit."""
    lines = [line for line in LIMIT.splitlines() if not line.startswith(missing)]
    with pytest.raises(UnusableLibrary, match=r"limit a in criteria\.toml is not usable"):
        parse_criteria("\n".join(lines) + "\n" + CRITERION.format("a"))


def test_a_criterion_that_names_a_missing_limit_is_refused():
    """The message names both."""
    with pytest.raises(
        UnusableLibrary, match=r"criterion A names limits that criteria\.toml does not have: b"
    ):
        parse_criteria(LIMIT + CRITERION.format("b"))
