"""The printed report of a look-back: as many pages as it takes, every word as it came, nothing evaluated."""

import re
from datetime import UTC, datetime
from io import BytesIO

import pytest
from pypdf import PdfReader

from lungwort.errors import LungwortError
from lungwort.paper.look_back import look_back_pdf, write_look_back

MADE_AT = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)
WORDS = (
    "still_out",
    "steps",
    "same_ward",
    "parts",
    "treatments",
    "last_good",
    "persons",
    "not_shown",
    "seal",
)


def use(number: int) -> dict[str, object]:
    """Return a row of the list of exposures."""
    return {
        "patient": f"R-{number:03}",
        "ward": "East",
        "when": ["2 March 2026 08:00 to 09:00"],
        "set_up": f"S-{number}",
        "parts": ["C-1"],
        "path": f"cycle Y-1 → part C-1 → patient R-{number:03}",
    }


def report(uses: int = 2, **more: object) -> dict[str, object]:
    """Return the words of a report."""
    heads = ["patient", "ward", "when, UTC", "set-up", "parts"]
    return {
        "language": "en",
        "software": "Lungwort",
        "made": "Printed 2 March 2026",
        "date": {"year": 2026, "month": 3, "day": 2},
        "confidential": "Confidential: patient references",
        "title": "Look-back from cycle Y-1",
        "place": "Hill Hospital",
        "headline": "1 part is still out",
        "out": True,
        "summary": "Two patients.",
        "still_out": [["C-1", "Silicone circuit", "in use on patient R-001"]],
        "steps": ["Tell ward East now.", "Seal these records."],
        "exposures": [
            {
                "heading": "Who was exposed",
                "always": True,
                "heads": heads,
                "rows": [use(n) for n in range(uses)],
            },
            {"heading": "Before", "always": False, "heads": heads, "rows": []},
        ],
        "same_ward": [],
        "part_heads": ["part", "kind", "now", "good evidence since"],
        "parts": [
            {"code": "C-1", "kind": "Silicone circuit", "now": "in use", "since": "none found", "held": ""}
        ],
        "treatments": ["Y-1, failed"],
        "last_good": ["equipment A-1: none found"],
        "persons": ["Ben: connected"],
        "not_shown": ["It is not shown that nobody else was exposed."],
        "seal": "lungwort-seal-1 2026-03-02T16:50:00.000000Z 65 " + "ab" * 32 + " Hill Hospital",
        "signature": ["Name", "Role", "Date", "Signature"],
        "words": {name: name for name in WORDS}
        | {"nobody": "Nobody.", "signed": "Read by", "page": "page {n} of {all}"},
        **more,
    }


def pages(told: dict[str, object]) -> list[str]:
    """Return the text of each page without blanks."""
    reader = PdfReader(BytesIO(look_back_pdf(told, MADE_AT)))
    return [re.sub(r"\s+", "", page.extract_text()) for page in reader.pages]


def test_what_is_still_out_stands_before_who_was_exposed_and_the_limits_after():
    """In this order on one page, with the seal and the place to sign."""
    (text,) = pages(report())
    order = [
        "1partisstillout",
        "TellwardEastnow",
        "Whowasexposed",
        "R-000",
        "nobodyelsewasexposed",
        "lungwort-seal-1",
    ]
    found = [text.index(part) for part in order]
    assert found == sorted(found)
    assert "Before" not in text


def test_a_long_list_runs_over_several_pages_none_of_it_cut():
    """Each page says confidential and its number; heads are repeated; every patient is there."""
    found = pages(report(uses=120))
    assert len(found) > 2
    assert all("Confidential:patientreferences" in text for text in found)
    assert all(f"page{n}of{len(found)}" in text for n, text in enumerate(found, 1))
    assert "when,UTC" in found[1]
    assert "Look-backfromcycleY-1" in found[1]
    assert all(f"R-{number:03}" in "".join(found) for number in range(120))


def test_an_empty_list_says_so():
    """Nobody recorded is a sentence, not a blank."""
    (text,) = pages(report(uses=0))
    assert "Nobody." in text


@pytest.mark.parametrize(
    "hostile", ["#pagebreak()", "$x$ @y *b* `r`", "] #set page(height: 9pt) [", "\\u{41} // x"]
)
def test_nothing_that_was_recorded_is_evaluated(hostile):
    """A patient reference is printed as it was written."""
    (text,) = pages(report(still_out=[[hostile, hostile, hostile]], steps=[hostile]))
    assert text.count(re.sub(r"\s+", "", hostile)) >= 4


def test_letters_the_page_cannot_print_are_rewritten_not_dropped():
    """A ward in another script stands there, syllable by syllable or as boxes."""
    (text,) = pages(report(steps=["ማጠቢያ 水"]))
    assert "maathabiyaa□" in text


def test_a_code_of_thirty_characters_stays_on_the_page():
    """GS1 allows that many in an individual asset identifier."""
    code = "8004" + "0123456789ABCDEFGHIJKLMNOP"
    (text,) = pages(report(still_out=[[code, "Silicone circuit", "ready"]]))
    assert code in text


@pytest.mark.parametrize("code", ["P-DYHWDV-Q", "S-WMQHGN-W"])
def test_no_code_of_ours_is_broken_at_its_hyphen(code):
    """A code read over two lines is misread; W and M are wide letters."""
    told = report(1)
    told["still_out"] = [
        [code, "Silicone circuit, adult", "in use on patient R-1, set-up S-1, ward High care"]
    ]
    told["parts"] = [{"code": code, "kind": "Ventilator", "now": "ready", "since": "none found", "held": ""}]
    told["exposures"][0]["rows"] = [use(1) | {"set_up": code, "parts": [code, code]}]
    page = PdfReader(BytesIO(look_back_pdf(told, MADE_AT))).pages[0]
    assert page.extract_text().count(code) == 5


def test_the_same_report_and_moment_give_the_same_bytes():
    """So that two copies can be compared."""
    assert look_back_pdf(report(), MADE_AT) == look_back_pdf(report(), MADE_AT)


def test_a_folder_that_is_not_there_is_told(tmp_path):
    """The remedy is named."""
    with pytest.raises(LungwortError, match="cannot be written .* name a file in a folder that exists"):
        write_look_back(report(), tmp_path / "no" / "report.pdf", MADE_AT)
