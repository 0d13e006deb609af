"""Parts for one patient and their way back."""

import pytest
from protocol_making import findings, kind, line, look, protocol, soak, store, wash

from lungwort.protocol.finding import Severity

EXCHANGER = {"name": "Exchanger", "like": "HME", "reuse": "single patient"}


def test_a_part_for_one_patient_without_steps_passes_and_so_does_a_reusable_one_with_steps():
    """Neither has anything to explain."""
    assert findings("single patient", protocol(kinds=[kind(**EXCHANGER, steps=[]), kind()])) == []


@pytest.mark.parametrize("step", [wash(), soak(), store()])
def test_a_part_for_one_patient_with_a_way_back_is_an_error(step):
    """At the first step that leads it back."""
    text = protocol(kinds=[kind(**EXCHANGER, steps=[look(), step])])
    (found,) = findings("single patient", text)
    assert (found.severity, found.line) == (Severity.ERROR, line(text, f'do = "{step["do"]}"'))
    assert f"Exchanger is for one patient, and yet the document leads it back: {step['do']}." in found.says
    assert "discard it after its patient" in found.remedy


def test_steps_are_named_once_each():
    """One finding for the kind, however many steps it has."""
    (found,) = findings(
        "single patient", protocol(kinds=[kind(**EXCHANGER, steps=[wash(), wash(), store()])])
    )
    assert "leads it back: wash, store." in found.says
    assert found.path == ("kind", 0, "step", 0, "do")
    assert found.source == "The document itself: the part is for a single patient"


def test_a_part_called_reusable_but_like_one_for_one_patient_is_an_error():
    """The generic part decides, by its own source, until the maker's word is written down."""
    text = protocol(kinds=[kind(name="Filter", like="bacterial filter", steps=[wash()])])
    (found,) = findings("single patient", text)
    assert found.severity is Severity.ERROR
    assert "without this `like`, with the maker's clause" in found.remedy
    assert found.source == "Makers of breathing filters: for one patient"


def test_a_part_without_generic_is_believed():
    """What the hospital writes of its own part counts."""
    text = protocol(kinds=[kind(like=None, materials=["silicone"], reuse="single patient", steps=[wash()])])
    assert len(findings("single patient", text)) == 1


def test_a_reusable_kind_without_any_step_is_an_error_at_its_name():
    """Nothing says how it gets to the next patient."""
    text = protocol(kinds=[kind(), kind(name="Mask", like="mask", steps=[])])
    (found,) = findings("single patient", text)
    assert (found.severity, found.line) == (Severity.ERROR, line(text, 'name = "Mask"'))
    assert "Mask is reusable, and no step says how it gets from one patient to the next" in found.says
