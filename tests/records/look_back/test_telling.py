"""What a look-back says: next steps, sentences, plain data."""

import json
from datetime import timedelta, timezone

import pytest
from ward_book import WardBook

from lungwort.records.look_back.ask import look_back
from lungwort.records.look_back.next_steps import next_steps
from lungwort.records.look_back.plain_data import look_back_data
from lungwort.records.look_back.question import (
    defective_part,
    failed_cycle,
    faulty_equipment,
    infected_patient,
    positive_indicator,
    wrong_batch,
)
from lungwort.records.look_back.report import report_data
from lungwort.records.look_back.result import LookBack
from lungwort.records.look_back.sections import sections
from lungwort.records.look_back.words import (
    headline,
    link_words,
    path_words,
    period_words,
    question_words,
    summary,
)

NAIROBI = timezone(timedelta(hours=3), "EAT")


@pytest.fixture
def answer(book: WardBook) -> LookBack:
    """Return the look-back from Y-1: C-1 on P-1 in East, C-2 ready, C-3 washed, P-0 in West before."""
    book.enrol("C-1 C-2 C-3")
    book.cycle("Y-1", "C-1 C-2 C-3", "")
    book.release("C-2")
    book.release_anyway("C-1")
    book.use("S-0", "C-1 M-2", "P-0", ward="West")
    book.connect("S-1", "C-1 M-1", "P-1")
    book.note("Ada", "part.washed", part="C-3")
    book.judge("Y-1", "C-1 C-2 C-3", "not shown")
    book.release_anyway("C-2")
    return look_back(book.view(), failed_cycle("Y-1"))


def test_the_next_steps_begin_with_what_is_on_a_patient(answer):
    """Tell the ward, quarantine the ready, treat the rest, tell those who treat the exposed."""
    steps = next_steps(answer)
    assert steps[0].startswith("Tell ward East now: patient P-1 is on set-up S-1 with C-1.")
    assert "then quarantine C-1" in steps[0]
    assert steps[1] == "Quarantine what lies ready without proof: C-2."
    assert steps[2] == "Wash and treat again before any release: C-3."
    assert steps[3:5] == (
        "Tell those who treat the patients of ward East: P-1.",
        "Tell those who treat the patients of ward West: P-0.",
    )


def test_equipment_batch_and_part_are_to_be_held(book):
    """What caused it must not go on causing it."""
    book.enrol("C-1")
    book.cycle("Y-1", "C-1", growth="positive", batch="B-1")
    first = {
        question.start_kind: " ".join(next_steps(look_back(book.view(), question)))
        for question in (
            positive_indicator("Y-1"),
            faulty_equipment("A-1"),
            wrong_batch("B-1"),
            defective_part("C-1"),
        )
    }
    assert "Hold A-1, if that is not done" in first["positive indicator"]
    assert "Hold A-1, if that is not done" in first["faulty equipment"]
    assert "Hold batch B-1" in first["wrong batch"]
    assert "Keep part C-1 as it is" in first["defective part"]


def test_the_sections_come_in_the_order_of_urgency_and_end_with_what_is_not_shown(answer):
    """Still out, then what to do, then who; empty sections are left out."""
    headings = [section.heading for section in sections(answer)]
    assert headings[:3] == ["Still out: take out first", "What to do now", "Who was exposed"]
    assert headings[-1] == "Not shown"
    assert "Same ward at the same time, no part shared" not in headings


def test_an_exposure_is_told_with_its_path_and_its_people(answer):
    """Who, where, when, by which parts; how linked; who did what."""
    exposed = next(s for s in sections(answer) if s.heading == "Who was exposed").entries
    assert exposed[0].says.startswith("P-0, ward West, 2 March 2026 07:")
    assert exposed[0].says.endswith("set-up S-0, C-1 (released by exception)")
    assert exposed[0].details[0] == "cycle Y-1 → part C-1 → patient P-0"
    assert (
        exposed[0]
        .details[1]
        .startswith("Ben: connected, disconnected; Chi: checked the set-up; Ada: released")
    )
    assert "since 2 March 2026" in exposed[1].says
    assert "still connected" in exposed[1].says


def test_links_of_every_kind_can_be_told(book):
    """A batch, an equipment, an indicator, a wipe: each path reads as sentences."""
    book.enrol("C-1 C-2")
    book.enrol("M-1", "Ventilator", machine=True)
    book.cycle("Y-0", "C-2", growth="negative")
    book.cycle("Y-1", "C-1", batch="B-1")
    book.cycle("Y-2", "C-2", growth="positive")
    book.wipe("M-1", batch="B-1")
    book.use("S-0", "C-1 M-9", "P-0")
    book.use("S-1", "C-1 C-2 M-1", "P-1")
    book.wipe("M-1")
    book.use("S-2", "M-1", "P-2")
    told = [
        link_words(link)
        for question in (wrong_batch("B-1"), positive_indicator("Y-2"), infected_patient("P-1"))
        for exposure in look_back(book.view(), question).exposures
        for link in exposure.path
    ]
    for words in (
        "batch B-1 was used in cycle Y-1, 2 March 2026",
        "cycle Y-1 had part C-1 in its load",
        "part C-1 was on patient P-1",
        "part M-1 was wiped, but not released by the rules",
        "cycle Y-2 was run by equipment A-1",
        "equipment A-1 ran cycle Y-1",
        "patient P-1 was connected to part M-1",
    ):
        assert any(text.startswith(words) for text in told), words
    assert path_words(look_back(book.view(), wrong_batch("B-1")).exposures[0].path).startswith("batch B-1 → ")


def test_the_headline_promises_nothing_where_nothing_is_out(book, answer):
    """It says what is recorded; never safe, never clean, never nobody."""
    assert headline(answer) == "2 parts are still out"
    assert summary(answer) == "2 patients in 2 wards: 2 uses of 1 touched part."
    book.enrol("C-9")
    book.cycle("Y-9", "C-9", "failed")
    empty = look_back(book.view(), failed_cycle("Y-9"))
    assert headline(empty) == "No touched part is recorded as still out"
    assert summary(empty) == "No exposure of a patient is recorded."


def test_moments_are_told_in_the_zone_asked_for():
    """Three hours on in Nairobi; a period over midnight names both days."""
    since, until = "2026-03-02T20:10:00.000000Z", "2026-03-02T21:30:00.000000Z"
    assert period_words(since, until) == "2 March 2026 20:10 to 21:30 UTC"
    assert period_words(since, until, NAIROBI) == "2 March 2026 23:10 to 3 March 2026 00:30 EAT"


def test_the_question_is_told_with_its_period():
    """Both ends, either, none."""
    day, night = "2026-03-02T06:00:00.000000Z", "2026-03-02T20:00:00.000000Z"
    told = [
        question_words(faulty_equipment("A-1", *ends))
        for ends in ((day, night), (day, ""), ("", night), ("", ""))
    ]
    assert told == [
        "Look-back from faulty equipment A-1, 2 March 2026 06:00 to 20:00 UTC",
        "Look-back from faulty equipment A-1, since 2 March 2026 06:00 UTC",
        "Look-back from faulty equipment A-1, until 2 March 2026 20:00 UTC",
        "Look-back from faulty equipment A-1",
    ]


def test_plain_data_is_json_and_carries_every_exposure_with_its_path(answer):
    """It reads back as it was, what is still out before who was exposed."""
    data = look_back_data(answer)
    assert json.loads(json.dumps(data)) == data
    assert list(data).index("still_out") < list(data).index("exposures")
    assert [e["patient"] for e in data["exposures"]] == ["P-0", "P-1"]
    first = data["exposures"][0]["path"][0]
    assert (first["start"], first["end"]) == (
        {"code": "Y-1", "part": "cycle"},
        {"code": "C-1", "part": "part"},
    )
    assert data["still_out"][0]["good_since"] is None
    assert data["confidential"] is True


def test_the_report_says_confidential_where_and_when_and_carries_the_seal(answer, book):
    """The zone stands in the head of the column, once."""
    report = report_data(answer, "lungwort-seal-1 …", book.now, NAIROBI)
    assert report["confidential"] == "Confidential: patient references"
    assert report["seal"] == "lungwort-seal-1 …"
    assert report["exposures"][0]["heads"][2] == "when, EAT"
    assert "EAT" not in report["exposures"][0]["rows"][0]["when"][0]
    assert report["still_out"][0][:1] == ["C-1"]
    assert report["parts"][0]["held"] == "cycle Y-1: not shown"
