"""What each material bears."""

import pytest

from lungwort.errors import UnknownName, UnusableLibrary
from lungwort.library.agents import find_agent
from lungwort.library.loading import Basis, plain
from lungwort.library.materials import (
    Answer,
    all_materials,
    find_material,
    material_table,
    parse_materials,
    worst,
)

# The table as it was handed to us, from memory of plastics and rubber handbooks: + fits, ~ limited, - does not fit.
# Where two answers stood in one cell, the worse is here. The last two numbers: what it bears for long, °C.
COLUMNS = (
    "steam 121",
    "steam 134",
    "hot water",
    "hypochlorite",
    "peracetic acid",
    "alcohol",
    "glutaraldehyde",
    "hydrogen peroxide",
    "oil",
)
TABLE = {
    "silicone": ("+++~~+++-", 200, 230),
    "polysulfone": ("+~+++~++~", 150, 160),
    "polyphenylsulfone": ("++++++++~", 180, None),
    "polycarbonate": ("~-~~~~++-", 115, 125),
    "polypropylene": ("+~+~~+++~", 100, 130),
    "PVC, plasticised": ("---+~~++~", 60, 80),
    "ABS": ("---+~~++-", 80, 85),
    "acrylic": ("---+~-++~", 65, 80),
    "natural rubber": ("~-+--++~-", 80, 100),
    "EPDM": ("++++~+++-", 130, 150),
    "aluminium": ("+++--++++", 400, None),
    "stainless steel": ("+++~~++++", 400, None),
}
ANSWER = {"+": Answer.FITS, "~": Answer.LIMITED, "-": Answer.DOES_NOT_FIT}

USABLE = """
[[process]]
name = "steam 121"
kind = "steam"
[[material]]
name = "wood"
aliases = ["timber"]
long_c = 60
source = "S"
basis = "from memory"
bearings = [ { process = "steam 121", answer = "does not fit" } ]
"""


def test_the_table_is_the_one_handed_to_us():
    """Every cell, and the temperatures borne for long."""
    assert [material.name for material in all_materials()] == list(TABLE)
    for name, (cells, long_c, long_at_most_c) in TABLE.items():
        material = find_material(name)
        said = [material.bearing(column).answer for column in COLUMNS]
        assert said == [ANSWER[cell] for cell in cells], name
        assert (material.long_c, material.long_at_most_c) == (long_c, long_at_most_c), name


def test_all_of_it_is_from_memory_and_says_so():
    """No handbook was opened."""
    for material in all_materials():
        assert {bearing.basis for bearing in material.bearings} == {Basis.FROM_MEMORY}
        assert all(bearing.source for bearing in material.bearings)


def test_every_agent_has_its_column_and_every_column_its_agents():
    """None is forgotten, and none is invented."""
    named = [agent for column in material_table().columns for agent in column.agents]
    assert sorted(named) == sorted({find_agent(agent).name for agent in named})
    assert len(named) == 9


def test_names_are_unique():
    """One name, one material."""
    names = [plain(n) for material in all_materials() for n in (material.name, *material.aliases)]
    assert len(names) == len(set(names))


def test_an_unknown_material_gets_near_ones():
    """The message suggests."""
    with pytest.raises(UnknownName, match="no material called 'silicon'; near ones: silicone"):
        find_material("silicon")


def test_a_cell_has_its_materials_source_unless_it_gives_its_own():
    """Said once, or said better."""
    own = USABLE.replace('answer = "does not fit"', 'answer = "fits", source = "T", basis = "published"')
    assert parse_materials(USABLE).materials[0].bearings[0].source == "S"
    assert parse_materials(own).materials[0].bearings[0].basis is Basis.PUBLISHED


@pytest.mark.parametrize(
    ("line", "match"),
    [
        ('source = "S"\n', r"steam 121 of material wood in materials\.toml is not usable \('source'\)"),
        (
            'basis = "from memory"\n',
            r"steam 121 of material wood in materials\.toml is not usable \('basis'\)",
        ),
        ("long_c = 60\n", r"material wood in materials\.toml is not usable \('long_c'\)"),
        (
            'bearings = [ { process = "steam 121", answer = "does not fit" } ]\n',
            r"material wood .*\(empty: bearings\)",
        ),
    ],
)
def test_a_bare_material_is_refused(line, match):
    """The message names the material and what is missing."""
    with pytest.raises(UnusableLibrary, match=match):
        parse_materials(USABLE.replace(line, ""))


@pytest.mark.parametrize(
    ("was", "becomes", "match"),
    [
        ('{ process = "steam 121"', '{ process = "steam 12"', "material wood .* not there: steam 12;"),
        ('"does not fit"', '"perhaps"', "'perhaps' is not a valid Answer"),
    ],
)
def test_a_cell_that_cannot_be_looked_up_is_refused(was, becomes, match):
    """A misspelt column would be silence."""
    with pytest.raises(UnusableLibrary, match=match):
        parse_materials(USABLE.replace(was, becomes))


def test_not_shown_is_worse_than_limited_and_better_than_does_not_fit():
    """And nothing said at all is not shown."""
    assert worst(Answer) is Answer.DOES_NOT_FIT
    assert worst([Answer.LIMITED, Answer.NOT_SHOWN, Answer.FITS]) is Answer.NOT_SHOWN
    assert worst([]) is Answer.NOT_SHOWN
