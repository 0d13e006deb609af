"""Processes by the names people use."""

import pytest

from lungwort.errors import OutOfRange, UnknownName
from lungwort.library.agents import Level
from lungwort.library.catalogue import all_criteria
from lungwort.library.treatments import find_treatment


@pytest.mark.parametrize(
    ("name", "column", "temperature_c"),
    [
        ("steam-134", "steam 134", 134),
        ("Steam at 121 °C", "steam 121", 121),
        ("autoclave 121", "steam 121", 121),
        ("steam 115", "steam 121", 115),
        ("steam 121.5", "steam 134", 121.5),
        ("steam 126C", "steam 134", 126),
        ("hot water", "hot water", 95),
        ("hot water 82,5", "hot water", 82.5),
        ("hot-water-70C-30min", "hot water", 70),
    ],
)
def test_heat_is_read_with_its_temperature(name, column, temperature_c):
    """Anything hotter than a column's title goes to the next hotter one."""
    treatment = find_treatment(name)
    assert (treatment.column.name, treatment.temperature_c) == (column, temperature_c)


def test_criteria_that_carry_a_temperature_are_processes():
    """The same name serves in `prove` and in `fits`."""
    names = [c.name for c in all_criteria() if c.name.startswith(("steam", "hot-water"))]
    assert names
    for name in names:
        assert f"-{find_treatment(name).temperature_c:.0f}C-" in name


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("javel", "hypochlorite, 0.1 to 0.5 %"),
        ("Ethanol", "ethanol, 70 %"),
        ("alcohol", "alcohol, 70 %"),
        ("grease", "oil"),
    ],
)
def test_agents_and_oils_are_found_by_any_name(name, says):
    """The name says what strength the answers are for."""
    assert find_treatment(name).name == says


def test_the_level_is_that_of_the_agent_and_unknown_for_heat():
    """How far heat goes is a matter of the cycle."""
    assert find_treatment("isopropanol").level is Level.INTERMEDIATE
    assert find_treatment("alcohol").level is Level.INTERMEDIATE
    assert find_treatment("OPA").level is Level.HIGH
    assert find_treatment("steam 134").level is None


@pytest.mark.parametrize(
    ("name", "match"),
    [
        ("steam", "steam is named with its temperature: steam-121 or steam-134"),
        ("steam 134 bananas", "no process called 'steam 134 bananas'; near ones: steam 134"),
        ("A0-600", "no process called 'A0-600'.*Heat is named with its temperature"),
        ("peracetik", "near ones: peracetic acid"),
    ],
)
def test_an_unknown_process_is_a_sentence(name, match):
    """With near names and how heat is named."""
    with pytest.raises(UnknownName, match=match):
        find_treatment(name)


@pytest.mark.parametrize("name", ["steam 99", "steam 151", "hot water 39", "hot water 101", "steam 1340"])
def test_temperatures_that_steam_or_water_do_not_have_are_refused(name):
    """And the ends are accepted."""
    with pytest.raises(OutOfRange, match="is outside .*; give the temperature in °C"):
        find_treatment(name)


@pytest.mark.parametrize("name", ["steam 100", "steam 150", "hot water 40", "hot water 100"])
def test_the_ends_of_the_ranges_are_accepted(name):
    """100 to 150 °C for steam, 40 to 100 °C for water."""
    assert find_treatment(name).temperature_c == float(name.split()[-1])
