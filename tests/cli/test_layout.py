"""Text set for a terminal."""

import pytest

from lungwort.cli.layout import NARROWEST, indented, say_json


def test_a_number_stays_on_the_line_of_its_unit(monkeypatch):
    """The line breaks before 134 °C, not inside it."""
    monkeypatch.setenv("COLUMNS", str(NARROWEST))
    text = indented("the coldest channel was held at 134 °C", "  ")
    assert text == "  the coldest channel was held at\n  134 °C"


def test_a_figure_that_is_no_number_is_never_printed():
    """NaN is no JSON."""
    with pytest.raises(ValueError, match="not JSON compliant"):
        say_json({"value": float("nan")})
