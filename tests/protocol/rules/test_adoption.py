"""Criteria used without adoption, and adoptions that stand on nothing."""

from datetime import date

import pytest
from protocol_making import TODAY, adoption, findings, hot_water, kind, line, protocol, steam

from lungwort.protocol.finding import Severity


def of(*adoptions, steps=None):
    """A protocol with these adoptions, its circuit treated by steam unless `steps` say otherwise."""
    return protocol(adoptions=list(adoptions), kinds=[kind(steps=[steam()] if steps is None else steps)])


def test_a_criterion_adopted_after_the_hospitals_own_guideline_passes():
    """Memory is enough for us to suggest, their guideline for them to adopt."""
    assert findings("adoption", of(adoption("steam-134C-3min"))) == []


def test_a_criterion_that_nobody_adopted_is_an_error_at_its_step():
    """One finding for each step that leans on it, at proved_by."""
    text = of(adoption("steam-134C-3min"), steps=[steam(), hot_water(), hot_water(proved_by=["A0-3000"])])
    found = findings("adoption", text)
    assert [f.severity for f in found] == [Severity.ERROR] * 2
    assert [f.line for f in found] == [line(text, "proved_by", 2), line(text, "proved_by", 3)]
    assert found[0].path == ("kind", 0, "step", 1, "proved_by", 0)
    assert "Circuit, adult, step 2: A0-600 is to prove it, and nobody has adopted that" in found[0].says
    assert "[[adoption]]" in found[0].remedy


@pytest.mark.parametrize(
    "source",
    [
        "from memory",
        "Our memory of the course",
        "common practice",
        "Not known yet",
        "suggested by Lungwort",
        "EN 285 and HTM 01-01 part C: sterilization temperature, band and holding time",  # the library's own words
    ],
)
def test_a_criterion_known_by_memory_and_adopted_after_no_document_is_a_warning(source):
    """Two memories are no source."""
    text = of(adoption("steam-134C-3min", source=source))
    (found,) = findings("adoption", text)
    assert (found.severity, found.line) == (Severity.WARNING, line(text, "source ="))
    assert "is known here by memory only, and its adoption names no document" in found.says
    assert source in found.says
    assert found.basis == "from memory"


@pytest.mark.parametrize("source", ["King Memorial Hospital, SOP 12", "HTM 01-01 part C, own copy, table 3"])
def test_a_document_whose_name_sounds_like_memory_passes(source):
    """Memorial is not memory, and naming the same standard is not repeating our words."""
    assert findings("adoption", of(adoption("steam-134C-3min", source=source))) == []


def test_an_adoption_in_the_future_is_an_error_at_its_date_and_holds_from_its_day_on():
    """It does not hold yet."""
    text = of(adoption("steam-134C-3min", on=date(2026, 12, 1)))
    (found,) = findings("adoption", text)
    assert (found.severity, found.line) == (Severity.ERROR, line(text, "on = 2026-12-01"))
    assert "adopted on 2026-12-01, which is after today, 2026-11-25" in found.says
    assert findings("adoption", text, date(2026, 12, 1)) == []
    assert findings("adoption", of(adoption("steam-134C-3min", on=TODAY))) == []


def test_an_adoption_that_proves_no_step_is_a_note():
    """It informs, and forbids nothing."""
    text = of(adoption("steam-134C-3min"), adoption("A0-600"))
    (found,) = findings("adoption", text)
    assert (found.severity, found.line) == (Severity.NOTE, line(text, 'criterion = "A0-600"'))
    assert "A0-600 is adopted, and no step is proved by it" in found.says


def test_a_drying_criterion_needs_adoption_too():
    """Whatever step it proves."""
    text = of(
        adoption("steam-134C-3min"),
        steps=[steam(), {"do": "dry", "by": "technician", "minutes": 30, "proved_by": ["dry-1-percent"]}],
    )
    (found,) = findings("adoption", text)
    assert "dry-1-percent" in found.says
