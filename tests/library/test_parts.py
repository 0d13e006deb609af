"""Kinds of part."""

import pytest

from lungwort.errors import UnknownName, UnusableLibrary
from lungwort.library.agents import Level
from lungwort.library.loading import Basis, plain
from lungwort.library.materials import materials_by_name
from lungwort.library.parts import all_parts, find_part, parse_parts

USABLE = """
made_of_source = "M"
made_of_basis = "common practice"
[[part]]
name = "hose"
aliases = ["tube"]
spaulding = "semi-critical"
level = "high"
materials = ["silicone"]
source = "S"
basis = "from memory"
"""


@pytest.mark.parametrize(
    ("name", "spaulding", "level"),
    [
        # CDC 2003 and 2008 (from memory): gas path and airway semi-critical; case, cables, trolley non-critical
        ("circuit", "semi-critical", Level.HIGH),
        ("Y-piece", "semi-critical", Level.HIGH),
        ("mask", "semi-critical", Level.HIGH),
        ("humidifier chamber", "semi-critical", Level.HIGH),
        ("exhalation valve", "semi-critical", Level.HIGH),
        ("water trap", "semi-critical", Level.HIGH),
        ("temperature probe", "semi-critical", Level.HIGH),
        ("resuscitation bag", "semi-critical", Level.HIGH),
        ("laryngoscope blade", "semi-critical", Level.HIGH),
        ("housing", "non-critical", Level.LOW),
        ("trolley", "non-critical", Level.LOW),
        ("monitor leads", "non-critical", Level.LOW),
    ],
)
def test_classes_are_those_of_the_named_guidelines(name, spaulding, level):
    """What carries the gas breathed needs high level; what hands touch needs low."""
    part = find_part(name)
    assert (part.spaulding, part.level) == (spaulding, level)


def test_a_class_asks_for_its_level():
    """Spaulding: semi-critical high, critical sterilant; non-critical never high."""
    for part in all_parts():
        if part.spaulding == "semi-critical":
            assert part.level is Level.HIGH
        else:
            assert part.level in (Level.LOW, Level.INTERMEDIATE)


@pytest.mark.parametrize("name", ["HME", "breathing filter"])
def test_exchangers_and_filters_are_for_one_patient(name):
    """They are not treated at all."""
    assert find_part(name).reuse == "single patient"


def test_every_part_says_from_where_its_class_and_materials_are_known():
    """Neither was published to us."""
    for part in all_parts():
        assert len(part.source) > 10
        assert part.basis in (Basis.FROM_MEMORY, Basis.COMMON_PRACTICE)
        assert part.reuse == "single patient" or (part.materials and part.made_of_source)
        assert part.made_of_basis is Basis.FROM_MEMORY


def test_no_name_means_two_things():
    """Neither two parts nor a part and a material."""
    names = [plain(n) for part in all_parts() for n in (part.name, *part.aliases)]
    assert len(names) == len(set(names))
    assert not set(names) & set(materials_by_name())


def test_an_unknown_part_gets_near_ones():
    """The message suggests."""
    with pytest.raises(
        UnknownName, match="no kind of part called 'humidifer'; near ones: humidifier chamber"
    ):
        find_part("humidifer")


@pytest.mark.parametrize(
    ("was", "becomes", "match"),
    [
        ('source = "S"\n', "", r"part hose in parts\.toml is not usable \('source'\)"),
        ('basis = "from memory"\n', "", r"part hose in parts\.toml is not usable \('basis'\)"),
        ('level = "high"', 'level = "tall"', "'tall' is not a valid Level"),
        ('["silicone"]', '["cheese"]', "materials.toml does not have: cheese; put it under `unknown`"),
        ('["silicone"]', "[]", "part hose .* needs materials and made_of_source"),
        ('made_of_source = "M"\n', "", "part hose .* needs materials and made_of_source"),
    ],
)
def test_a_part_that_hides_something_is_refused(was, becomes, match):
    """Source, basis, level, materials: all or nothing."""
    assert parse_parts(USABLE)[0].made_of_basis is Basis.COMMON_PRACTICE
    with pytest.raises(UnusableLibrary, match=match):
        parse_parts(USABLE.replace(was, becomes, 1))
