"""The rule of references: names that stand for nothing in the document."""

import pytest
from protocol_making import TODAY, findings, hot_water, kind, line, protocol, soak, steam, thermometer, wash

from lungwort.protocol.finding import Severity
from lungwort.protocol.reading import parse_protocol
from lungwort.protocol.vet import vet


def test_names_that_the_document_has_pass():
    """Every name of the usual document stands for something."""
    assert findings("references", protocol()) == []


@pytest.mark.parametrize(
    ("wrong", "key", "says"),
    [
        (steam(equipment="Autoclave 2"), 'equipment = "Autoclave 2"', "no autoclave called 'Autoclave 2'"),
        (steam(equipment="Bath 1"), 'equipment = "Bath 1"', "no autoclave called 'Bath 1'"),
        (steam(setting="121"), 'setting = "121"', "no programme of Autoclave 1 called '121'"),
        (hot_water(equipment="Bath 2"), 'equipment = "Bath 2"', "no bath called 'Bath 2'"),
        (soak(stock="Bleech"), 'stock = "Bleech"', "no stock called 'Bleech'"),
    ],
)
def test_a_name_that_stands_for_nothing_is_one_error_with_near_names(wrong, key, says):
    """The step's key is named, and no other of these rules repeats it as an error."""
    text = protocol(kinds=[kind(steps=[wash(), wrong])])
    (found,) = findings("references", text)
    assert (found.severity, found.line) == ("error", line(text, key))
    assert says in found.says
    assert "there are: " in found.remedy
    own = ("heat", "water", "minimums", "stock", "materials", "proof", "units", "pressure")
    assert [f for f in vet(parse_protocol(text), TODAY).of(Severity.ERROR) if f.rule in own] == []


def test_a_thermometer_on_nothing_is_an_error():
    """used_on names an autoclave or a bath."""
    text = protocol(thermometers=[thermometer(used_on=["Autoclave 1", "Bath 1", "Oven"])])
    (found,) = findings("references", text)
    assert (found.severity, found.line) == ("error", line(text, "used_on"))
    assert "no autoclave or bath called 'Oven'" in found.says
