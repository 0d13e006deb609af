"""Chemicals that must never meet, and bleach kept too warm."""

import pytest
from protocol_making import (
    dry,
    findings,
    hot_water,
    kind,
    line,
    place,
    protocol,
    rinse,
    soak,
    steam,
    stock,
    wash,
)

from lungwort.protocol.finding import Severity

PERACID = stock(name="Peracid", agent="peracetic acid", strength="0.2 %")
SPIRIT = stock(name="Spirit", agent="ethanol", strength="70 %")
GLUTARALDEHYDE = stock(name="Glut", agent="glutaraldehyde", strength="2 %")
STORED_APART = "must never meet"


def of(*steps):
    """What the rule finds in the steps of one circuit, with four stocks; and the text."""
    text = protocol(stocks=[stock(), PERACID, SPIRIT, GLUTARALDEHYDE], kinds=[kind(steps=list(steps))])
    return [f for f in findings("mixtures", text) if STORED_APART not in f.says], text


@pytest.mark.parametrize(
    "steps",
    [
        [soak(), rinse(water="tap"), soak(stock="Peracid")],
        [soak(), rinse(water="tap"), hot_water()],
        [soak(), soak()],
        [soak(stock="Glut"), soak(stock="Peracid")],  # nothing is known against it; order asks for the rinse
        [soak(stock="Spirit"), dry(), hot_water()],
        [hot_water(), soak()],
        [soak(stock="No such stock"), soak()],
    ],
)
def test_chemicals_rinsed_off_between_pass(steps):
    """So does spirit that has dried, and what no danger is known of."""
    assert of(*steps)[0] == []


@pytest.mark.parametrize(
    ("steps", "at", "says"),
    [
        # general chemistry, from memory (library/mixtures.toml)
        ([soak(), soak(stock="Peracid")], 'stock = "Peracid"', "hypochlorite meets peracetic acid"),
        ([soak(stock="Peracid"), wash(), soak()], 'stock = "Bleach"', "peracetic acid meets hypochlorite"),
        ([soak(), dry(), soak(stock="Spirit")], 'stock = "Spirit"', "It gives chloroform"),
        ([soak(), hot_water()], 'process = "hot water"', "hypochlorite meets hot water"),
        ([soak(), steam()], 'process = "steam"', "hypochlorite meets steam"),
        ([soak(stock="Spirit"), hot_water()], 'process = "hot water"', "It gives alcohol vapour"),
    ],
)
def test_chemicals_that_meet_unrinsed_are_an_error_at_the_later_one(steps, at, says):
    """With what comes of it."""
    (found,), text = of(*steps)
    assert (found.severity, found.line) == (Severity.ERROR, line(text, at))
    assert says in found.says
    assert "with no rinse between" in found.says
    assert found.basis == "from memory"


def test_the_rule_of_order_leaves_a_dangerous_meeting_to_this_one():
    """One mistake gives one finding."""
    _found, text = of(wash(), soak(), soak(stock="Peracid"), rinse(), dry())
    assert findings("order", text) == []


def test_stocks_dangerous_together_are_a_warning_at_the_later_one():
    """One for each stock, naming all before it that it must never meet."""
    text = protocol(stocks=[stock(), stock(name="Bleach 2"), GLUTARALDEHYDE, SPIRIT])
    (found,) = findings("mixtures", text)
    assert (found.severity, found.line) == (Severity.WARNING, line(text, 'agent = "ethanol"'))
    assert "Spirit must never meet Bleach, Bleach 2: together they give chloroform" in found.says
    assert "different rooms or closed cupboards" in found.remedy


def test_one_stock_alone_passes():
    """There is nothing to keep it from."""
    assert findings("mixtures", protocol()) == []


@pytest.mark.parametrize(("warmest_c", "half_life_days"), [(35, 246), (40, 128)])
def test_bleach_in_a_store_above_30_degrees_is_a_warning_at_the_store(warmest_c, half_life_days):
    """The rate over that at 20 °C is that of the half-lives of 5 % bleach, 1974 days at 20 °C (computed table)."""
    text = protocol(place=place(store={"lowest_c": 20, "highest_c": warmest_c}))
    (found,) = findings("mixtures", text)
    assert (found.severity, found.line) == (Severity.WARNING, line(text, "store = "))
    assert found.path == ("place", "store", "highest_c")
    assert f"Bleach stands in a store of up to {warmest_c}.0 °C; above 30 °C" in found.says
    assert found.basis == "common practice"
    written = float(found.computed.split(": ")[1].split(" ")[0])
    half_a_day = 0.5
    assert (
        1973.5 / (half_life_days + half_a_day) - 0.05
        <= written
        <= 1974.5 / (half_life_days - half_a_day) + 0.05
    )


@pytest.mark.parametrize(
    ("warmest_c", "stocks"), [(30, [stock()]), (38, [GLUTARALDEHYDE]), (38, [stock(agent="NaDCC")])]
)
def test_30_degrees_and_other_agents_pass(warmest_c, stocks):
    """Only liquid bleach is spoken of."""
    warm = place(store={"lowest_c": 20, "highest_c": warmest_c})
    assert findings("mixtures", protocol(place=warm, stocks=stocks)) == []


def test_a_store_in_another_unit_is_left_to_the_rule_of_units():
    """A store that never cools below 40 is one in °F."""
    assert findings("mixtures", protocol(place=place(store={"lowest_c": 50, "highest_c": 60}))) == []
