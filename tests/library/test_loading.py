"""Rows with source and basis, and names found in them."""

from dataclasses import dataclass, field

import pytest

from lungwort.errors import UnknownName, UnusableLibrary
from lungwort.library.loading import Basis, find, plain, row, tables, weakest


@dataclass(frozen=True)
class Fact:
    """Something known."""

    name: str
    source: str
    basis: Basis
    tags: tuple[str, ...] = field(default_factory=tuple)


RAW = {"name": "a", "source": "S", "basis": "common practice"}


def test_a_row_becomes_a_dataclass_with_a_basis_and_tuples():
    """Lists are frozen, the basis is one of the four."""
    fact = row(Fact, {**RAW, "tags": ["x", "y"]}, "fact a", "facts.toml")
    assert (fact.basis, fact.tags) == (Basis.COMMON_PRACTICE, ("x", "y"))


@pytest.mark.parametrize(
    ("raw", "why"),
    [
        ({**RAW, "basis": "hearsay"}, "hearsay"),
        ({**RAW, "source": ""}, "empty: source"),
        ({"name": "a", "basis": "computed"}, "'source'"),
        ({"name": "a", "source": "S"}, "'basis'"),
        ({**RAW, "colour": "red"}, "colour"),
    ],
)
def test_a_bare_or_strange_row_is_refused(raw, why):
    """The message names row, file, cause and what is needed."""
    says = rf"fact a in facts\.toml is not usable \(.*{why}.*\); give name, source, basis$"
    with pytest.raises(UnusableLibrary, match=says):
        row(Fact, raw, "fact a", "facts.toml")


def test_broken_toml_is_a_sentence():
    """With the file and the place."""
    with pytest.raises(UnusableLibrary, match=r"facts\.toml cannot be read as TOML \(.*line 1.*\); mend"):
        tables("name = \n", "facts.toml")


def test_names_are_compared_without_case_hyphens_or_spare_spaces():
    """What people type varies."""
    assert plain(" Hot-Water_90 ") == plain("hot water  90") == "hot water 90"


def test_an_unknown_name_gets_near_ones_and_a_strange_one_gets_all():
    """Never an empty hint."""
    known = {plain(n): Fact(n, "S", Basis.COMPUTED) for n in ("silicone", "EPDM")}
    with pytest.raises(UnknownName, match="no 'silicon', near silicone$"):
        find("silicon", known, "no {name!r}, near {hint}")
    with pytest.raises(UnknownName, match="no 'zzz', near silicone, EPDM$"):
        find("zzz", known, "no {name!r}, near {hint}")


def test_the_weakest_basis_is_the_last_in_order():
    """Memory is weaker than practice, practice than arithmetic."""
    assert weakest([Basis.COMMON_PRACTICE, Basis.COMPUTED]) is Basis.COMMON_PRACTICE
    assert weakest(Basis) is Basis.FROM_MEMORY
