"""The rule of units: values that are in another unit by their magnitude."""

import pytest
from protocol_making import (
    TODAY,
    autoclave,
    bath,
    dry,
    findings,
    hot_water,
    kind,
    line,
    maker,
    place,
    protocol,
    setting,
    soak,
    steam,
    stock,
    treated,
    wash,
)

from lungwort.protocol.finding import Severity
from lungwort.protocol.reading import parse_protocol
from lungwort.protocol.vet import vet


def programme(**changes) -> str:
    """Return a protocol with one programme of the autoclave changed."""
    return protocol(autoclaves=[autoclave(setting=[setting(**changes)])])


@pytest.mark.parametrize(
    "text",
    [
        protocol(),
        treated(hot_water(temperature_c=66, hold_min=300)),
        treated(soak(contact_min=60)),
        programme(temperature_c=134, pressure=1.4),
        protocol(place=place(altitude_m=4300)),
    ],
)
def test_usual_values_and_mistakes_of_other_kinds_pass(text):
    """Long holds, high towns and wrong pressures are not unlikely units."""
    assert findings("units", text) == []


@pytest.mark.parametrize(
    ("text", "key", "says", "remedy"),
    [
        (programme(temperature_c=273), "temperature_c = 273", "looks like °F", "write 133.9"),
        (programme(temperature_c=407), "temperature_c = 407", "looks like K", "write 133.9"),
        (programme(temperature_c=13.4), "temperature_c = 13.4", "no temperature of steam", "100 to 150 °C"),
        (programme(hold_min=180), "hold_min = 180", "looks like seconds", "write 3:"),
        (programme(hold_min=1080), "hold_min = 1080", "looks like seconds", "write 18:"),
        (treated(hot_water(temperature_c=185)), "temperature_c = 185", "looks like °F", "write 85.0"),
        (treated(hot_water(temperature_c=353)), "temperature_c = 353", "looks like K", "write 79.9"),
        (treated(hot_water(hold_min=600)), "hold_min = 600", "looks like seconds", "write 10:"),
        (treated(soak(temperature_c=68)), "temperature_c = 68", "looks like °F", "write 20.0"),
        (treated(soak(contact_min=1200)), "contact_min = 1200", "looks like seconds", "write 20:"),
        (protocol(baths=[bath(highest_c=194)]), "highest_c = 194", "looks like °F", "write 90.0"),
        (
            treated(steam(), place=place(room={"lowest_c": 50, "highest_c": 60})),
            "room =",
            "looks like °F",
            "write 10.0",
        ),
        (
            protocol(kinds=[kind(makers=[maker(highest_steam_c=250)])]),
            "highest_steam_c = 250",
            "looks like °F",
            "write 121.1",
        ),
    ],
)
def test_a_temperature_or_time_in_another_unit_is_an_error_that_says_which(text, key, says, remedy):
    """°F and K for °C, seconds for minutes: each with what to write if it is that."""
    (found,) = findings("units", text)
    assert (found.severity, found.line) == ("error", line(text, key))
    assert says in found.says
    assert remedy in found.remedy


def test_a_quick_step_of_600_minutes_looks_like_seconds_and_a_long_drying_does_not():
    """Nobody washes for ten hours; drying over night is usual."""
    text = protocol(kinds=[kind(steps=[wash(minutes=600), steam(), dry(minutes=720)])])
    (found,) = findings("units", text)
    assert found.line == line(text, "minutes = 600")
    assert "If it is seconds, write 10" in found.remedy


@pytest.mark.parametrize(
    ("unit", "shown", "really"),
    [
        ("psi", 2.28, "bar"),
        ("bar", 33.1, "psi"),
        ("bar", 228, "kPa"),
        ("MPa", 2.28, "bar"),
        ("kPa", 2280, "mbar"),
    ],
)
def test_a_pressure_that_fits_in_another_unit_names_it(unit, shown, really):
    """134 °C at 2,300 m is 228 kPa above the air: 2.28 bar, 33.1 psi, 2280 mbar (worked by hand)."""
    programmes = [setting(temperature_c=134, pressure=shown)]
    text = protocol(autoclaves=[autoclave(gauge_unit=unit, setting=programmes)])
    (found,) = findings("units", text)
    assert (found.severity, found.line) == ("error", line(text, f"pressure = {shown}"))
    assert f"looks like {really}" in found.says
    assert f'gauge_unit = "{really}"' in found.remedy


def test_a_pressure_that_fits_in_no_unit_says_what_is_needed():
    """90 bar is no pressure of steam in an autoclave, in whatever unit."""
    text = programme(temperature_c=134, pressure=90)
    (found,) = findings("units", text)
    assert "is no pressure of steam" in found.says
    assert "134.0 °C needs 2.28 bar here" in found.remedy


@pytest.mark.parametrize("strength", ["1000", "500 %", "0 %", "5 % °Chl"])
def test_a_strength_that_cannot_be_is_an_error(strength):
    """A strength without a unit, above everything, of nothing, or in two units."""
    text = treated(soak(strength=strength))
    found = findings("units", text)
    assert [(f.severity, f.line) for f in found] == [("error", line(text, f'strength = "{strength}"'))]


def test_a_label_that_cannot_be_is_an_error_at_the_stock():
    """The stock's own strength is read too."""
    text = protocol(stocks=[stock(strength="60 %")])
    (found,) = findings("units", text)
    assert found.line == line(text, 'strength = "60 %"')
    assert "stronger than any such liquid" in found.says


def test_an_altitude_in_feet_is_told_by_the_barometer():
    """4,900 ft is 1,494 m, where the air is near 84.6 kPa (table of altitudes: 84.56 at 1,500 m)."""
    text = protocol(place=place(altitude_m=4900, barometer_kpa=84.5), autoclaves=[])
    (found,) = findings("units", text)
    assert (found.severity, found.line) == ("error", line(text, "altitude_m"))
    assert found.remedy.startswith("If it is feet, write 1494")


def test_an_altitude_in_feet_is_told_by_the_gauges_and_only_once():
    """121 and 134 °C at 1,500 m need 120.5 and 219.6 kPa (table of altitudes); nothing else is said of them."""
    programmes = [
        setting(name="121", temperature_c=121, pressure=1.205, hold_min=16),
        setting(temperature_c=134, pressure=2.196),
    ]
    text = protocol(place=place(altitude_m=4921), autoclaves=[autoclave(setting=programmes)])
    (found,) = findings("units", text)
    assert (found.severity, found.line) == ("error", line(text, "altitude_m"))
    assert findings("pressure", text) == []


def test_an_altitude_above_all_hospitals_is_a_warning_unless_a_barometer_bears_it_out():
    """5,100 m is a town, and an unlikely one."""
    text = protocol(place=place(altitude_m=5100), autoclaves=[])
    assert [f.severity for f in findings("units", text)] == ["warning"]
    sure = protocol(place=place(altitude_m=5100, barometer_kpa=53.2), autoclaves=[])
    assert findings("units", sure) == []


@pytest.mark.parametrize(
    "text",
    [
        programme(temperature_c=275),
        programme(hold_min=240),
        programme(pressure=34.4),
        treated(hot_water(temperature_c=185)),
        treated(hot_water(hold_min=900)),
        treated(soak(contact_min=1800)),
        treated(soak(strength="1000")),
    ],
)
def test_one_value_in_another_unit_gives_one_error_in_the_whole_vetting(text):
    """No other rule repeats it."""
    errors = vet(parse_protocol(text), TODAY).of(Severity.ERROR)
    assert [f.rule for f in errors] == ["units"], errors
