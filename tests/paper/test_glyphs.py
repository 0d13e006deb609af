"""What the page can print, held against the typesetting library itself."""

import json

import pytest
import typst

from lungwort.paper.glyphs import _PRINTABLE, STAND_IN, distinct, drawable, missing, printable

SET = b"""
#set text(font: "Libertinus Serif", fallback: false)
#for c in json(bytes(sys.inputs.d)) [#c #text(weight: "bold", c) #text(weight: "semibold", c) #emph(c) ]
"""


def test_every_character_called_printable_is_printed() -> None:
    """PDF/A-2b refuses a missing glyph, so one compilation checks the whole table in every cut of the page."""
    characters = [chr(point) for run in _PRINTABLE for point in run]
    inputs = {"d": json.dumps(characters)}
    made = typst.compile(SET, pdf_standards="a-2b", ignore_system_fonts=True, sys_inputs=inputs)
    assert made.startswith(b"%PDF")
    assert len(characters) > 1400


def test_a_character_outside_the_table_is_indeed_refused() -> None:
    """The check above can fail: an Ethiopic syllable is refused."""
    with pytest.raises(typst.TypstError, match="could not be displayed"):
        typst.compile(SET, pdf_standards="a-2b", ignore_system_fonts=True, sys_inputs={"d": '["የ"]'})


def test_ethiopic_is_spelt_by_the_names_of_its_syllables() -> None:
    """Unicode names ው 'ETHIOPIC SYLLABLE WE'; the page prints 'we'."""
    assert printable("የውሃ") == "yawehaa"
    assert missing("የውሃ") == ("U+12E8", "U+12CD", "U+1203")


def test_controls_surrogates_and_direction_marks_become_boxes() -> None:
    """Nothing invisible stays in a name."""
    assert printable("a\x00\udcff\u202eb") == drawable("a\x00\udcff\u202eb") == f"a{STAND_IN * 3}b"


def test_names_rewritten_alike_stay_different() -> None:
    """Two channels never print as one."""
    assert len(set(distinct(("水", "火", "土")))) == 3
