"""The rule of pressure: what a gauge setting means at this altitude."""

import pytest
from protocol_making import autoclave, findings, line, place, protocol, setting

# Saturation pressures above the air, in kPa, from the hospital's table of altitudes: 103.7 (121 °C) and 202.9 (134 °C)
# at sea level; at 2,300 m by interpolation between its rows of 2,000 and 2,355 m, 128.5 and 227.6.
RIGHT = [(0, 121, 1.04), (0, 134, 2.03), (2300, 121, 1.28), (2300, 134, 2.28)]
WRONG = [
    (0, 134, 1.4, "126.3 °C", "2.03 bar"),  # 1.4 bar g = 126.25 °C in the same table
    (2300, 134, 1.4, "122.7 °C", "2.28 bar"),
    (2300, 121, 1.0, "116.3 °C", "1.28 bar"),
    (2300, 134, 2.03, "131.1 °C", "2.28 bar"),
]


def at(altitude_m: float, named_c: float, bar: float, **changes) -> str:
    """Return a protocol with one programme at an altitude."""
    programme = setting(temperature_c=named_c, pressure=bar, **changes)
    return protocol(place=place(altitude_m=altitude_m), autoclaves=[autoclave(setting=[programme])])


@pytest.mark.parametrize(("altitude_m", "named_c", "bar"), RIGHT)
def test_the_usual_pairs_pass_where_they_are_right(altitude_m, named_c, bar):
    """121 and 134 °C pass with the gauge pressure that the altitude needs."""
    assert findings("pressure", at(altitude_m, named_c, bar)) == []


def test_121_with_1_bar_passes_at_sea_level():
    """1.0 bar at sea level is steam of 120.4 °C, near enough to 121."""
    assert findings("pressure", at(0, 121, 1.0)) == []


@pytest.mark.parametrize(("altitude_m", "named_c", "bar", "means", "needed"), WRONG)
def test_a_wrong_pair_is_explained_with_what_it_gives_and_what_is_needed(
    altitude_m, named_c, bar, means, needed
):
    """A wrong pair is an error at its line, with the temperature it really gives and the setting needed."""
    text = at(altitude_m, named_c, bar)
    (found,) = findings("pressure", text)
    assert found.severity == "error"
    assert means in found.says
    assert needed in found.remedy
    assert found.line == line(text, "pressure =")


def test_an_absolute_gauge_needs_no_altitude():
    """A gauge of absolute pressure means the same everywhere: 304.2 kPa is steam of 134 °C."""
    programme = setting(temperature_c=134, pressure=304.2)
    kept = autoclave(gauge_unit="kPa", gauge_kind="absolute", setting=[programme])
    for altitude_m in (0, 3640):
        assert findings("pressure", protocol(place=place(altitude_m=altitude_m), autoclaves=[kept])) == []


@pytest.mark.parametrize("changes", [{"temperature_c": 273}, {"temperature_c": 900}, {"pressure": 33.1}])
def test_it_is_silent_where_units_speak(changes):
    """A temperature in °F, one beyond all steam, or a pressure in another unit is left to the rule of units."""
    text = protocol(autoclaves=[autoclave(setting=[setting(**changes)])])
    assert findings("pressure", text) == []
    assert len(findings("units", text)) == 1
