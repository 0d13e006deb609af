"""Ways in which an exposed patient could be missed: at the ends of periods, by late entries, washes, old holds."""

from collections.abc import Callable

import pytest
from ward_book import HILL, WardBook

from lungwort.records.chain.event import Event
from lungwort.records.chain.identity import moment_of
from lungwort.records.look_back.ask import look_back
from lungwort.records.look_back.question import (
    Question,
    defective_part,
    failed_cycle,
    faulty_equipment,
    infected_patient,
    positive_indicator,
    wrong_batch,
)
from lungwort.records.look_back.sections import sections

LOAD = {"process": "steam", "setting": "134", "protocol": "1", "kinds": ["Silicone circuit"]}


def patients(book: WardBook, question: Question) -> list[str]:
    """Return who was exposed."""
    return list(look_back(book.view(), question).patients)


def told(book: WardBook, what: str, code: str = "") -> Event:
    """Return the first event of a kind that names a thing."""
    return next(e for e in book.store.events(HILL) if e.what == what and code in e.payload)


@pytest.fixture
def begun(book: WardBook) -> Callable[[str, str], Event]:
    """Return what begins a cycle on A-1 and does not end it."""

    def begin(code: str, parts: str) -> Event:
        book.note("Ada", "cycle.loaded", data=LOAD, cycle=code, part=parts, equipment="A-1")
        data = {"process": "steam"}
        return book.note("Ada", "cycle.started", data=data, cycle=code, part=parts, equipment="A-1")

    return begin


def test_a_cycle_that_outlasts_the_period_of_a_fault_ran_in_it(book):
    """The fault was seen while Y-1 ran; Y-1 ended later, and its part went to P-1."""
    book.enrol("C-1")
    book.cycle("Y-1", "C-1")
    book.use("S-1", "C-1 M-1", "P-1")
    seen = told(book, "cycle.started", "Y-1").happened_at
    assert patients(book, faulty_equipment("A-1", seen, seen)) == ["P-1"]
    assert patients(book, faulty_equipment("A-1", until=seen)) == ["P-1"]
    loaded = told(book, "cycle.loaded", "Y-1").happened_at
    book.note("Ada", "equipment.enrolled", data={"name": "Autoclave"}, equipment="A-1")
    assert patients(book, faulty_equipment("A-1", loaded, loaded)) == []


def test_a_cycle_that_never_ended_is_among_those_of_faulty_equipment(book, begun):
    """Nobody noted its end; its part was used. A negative indicator of such a cycle shows nothing."""
    book.enrol("C-0 C-1 C-2")
    book.cycle("Y-0", "C-0", growth="negative")
    started = begun("Y-1", "C-1")
    book.use("S-1", "C-1 M-1", "P-1")
    begun("Y-2", "C-2")
    book.indicator("Y-2", "C-2", "negative")
    book.use("S-2", "C-2 M-1", "P-2")
    assert patients(book, faulty_equipment("A-1")) == ["P-1", "P-2"]
    assert patients(book, faulty_equipment("A-1", started.happened_at)) == ["P-1", "P-2"]


def test_who_freed_equipment_before_growth_was_known_did_not_answer_for_it(book):
    """A-1 was held for its door and freed; two days later the indicator of Y-1 grew."""
    book.enrol("C-1 C-2 C-3")
    book.cycle("Y-1", "C-1")
    book.note("Ada", "equipment.held", data={"reason": "door seal"}, equipment="A-1")
    book.note("Ada", "equipment.freed", equipment="A-1")
    book.cycle("Y-2", "C-2")
    book.use("S-2", "C-2 M-1", "P-2")
    assert patients(book, positive_indicator("Y-1")) == ["P-2"]
    book.indicator("Y-1", "C-1", "positive")
    book.note("Ada", "equipment.freed", equipment="A-1")
    book.cycle("Y-3", "C-3")
    book.use("S-3", "C-3 M-1", "P-3")
    assert patients(book, positive_indicator("Y-1")) == ["P-2"]


def test_growth_without_any_negative_indicator_says_where_the_doubt_was_bounded(book):
    """The readings of Y-1 alone bound it; with a negative indicator nothing is said."""
    book.enrol("C-1 C-2")
    book.cycle("Y-1", "C-1")
    book.cycle("Y-2", "C-2", growth="positive")
    said = "No negative biological indicator was found before: cycles up to Y-1 passed"
    assert any(text.startswith(said) for text in look_back(book.view(), positive_indicator("Y-2")).not_shown)
    book.indicator("Y-1", "C-1", "negative")
    assert not any(said in text for text in look_back(book.view(), positive_indicator("Y-2")).not_shown)


def test_a_wrong_batch_in_the_wash_exposes_up_to_treatment_after_the_next_wash(book):
    """D-1 washed C-1 before Y-1 and Y-2, which passed; it was washed with D-2 before Y-3."""
    book.enrol("C-1")
    for batch in ("D-1", "D-2"):
        book.note("Ada", "batch.enrolled", data={"stock": "detergent"}, batch=batch)
    book.use("S-0", "C-1 M-1", "P-0")
    book.note("Ada", "part.washed", part="C-1", batch="D-1")
    book.cycle("Y-1", "C-1")
    book.cycle("Y-2", "C-1")
    book.use("S-1", "C-1 M-1", "P-1")
    book.note("Ada", "part.washed", part="C-1", batch="D-2")
    book.use("S-2", "C-1 M-1", "P-2")
    book.cycle("Y-3", "C-1")
    book.use("S-3", "C-1 M-1", "P-3")
    answer = look_back(book.view(), wrong_batch("D-1"))
    assert answer.patients == ("P-1", "P-2")
    assert [step.end.code for step in answer.exposures[0].path] == ["C-1", "P-1"]
    assert [(w.batch, w.parts, w.wash) for w in answer.wipes] == [("D-1", ("C-1",), True)]
    assert "washed" in next(p.did for p in answer.persons if p.code == "Ada")
    (treated,) = (s for s in sections(answer) if s.heading == "Cycles, wipes and washes")
    assert "washed with batch D-1" in treated.entries[0].says


def test_what_washed_wrongly_lies_ready_is_still_out(book):
    """Until a treatment after another wash."""
    book.enrol("C-1")
    book.note("Ada", "part.washed", part="C-1", batch="D-1")
    book.cycle("Y-1", "C-1")
    book.release("C-1")
    assert [p.code for p in look_back(book.view(), wrong_batch("D-1")).still_out] == ["C-1"]
    book.note("Ada", "part.washed", part="C-1")
    book.cycle("Y-2", "C-1")
    book.release("C-1")
    assert look_back(book.view(), wrong_batch("D-1")).still_out == ()


def test_a_part_told_of_afterwards_to_have_been_in_a_load_shares_it(book):
    """C-2 was entered late; the end of Y-1, which failed, does not name it."""
    book.enrol("C-1 C-2")
    book.use("S-0", "C-1 M-1", "P-0")
    book.cycle("Y-1", "C-1", "failed")
    at = moment_of(told(book, "cycle.loaded", "Y-1").happened_at)
    book.note(
        "Ada", "cycle.loaded", at, {**LOAD, "late": "forgotten"}, cycle="Y-1", part="C-2", equipment="A-1"
    )
    book.use("S-1", "C-2 M-2", "P-1")
    assert patients(book, infected_patient("P-0")) == ["P-1"]


def test_of_one_moment_nobody_knows_what_came_first(book):
    """Paper tells minutes: the end of Y-1, corrected later, and the connection bear the same one."""
    book.enrol("C-1")
    ended = book.cycle("Y-1", "C-1", "failed")
    at = moment_of(ended.happened_at)
    book.connect("S-1", "C-1 M-1", "P-1", at=at)
    told_anew = {
        "event": ended.id,
        "why": "wrong process",
        "what": "cycle.ended",
        "data": {"process": "steam"},
    }
    book.note("Ada", "event.corrected", at, told_anew, cycle="Y-1", part="C-1", equipment="A-1")
    assert patients(book, failed_cycle("Y-1")) == ["P-1"]


def test_a_connection_corrected_to_another_part_exposes_through_that_part(book):
    """P-1 was on C-2, not on C-1; a correction of the correction counts too."""
    book.enrol("C-1 C-2")
    book.cycle("Y-1", "C-1", "failed")
    book.cycle("Y-2", "C-2", "failed")
    wrong = book.connect("S-1", "C-1 M-1", "P-1")
    assert patients(book, failed_cycle("Y-1")) == ["P-1"]
    for parts, exposed in (("C-2 M-1", ([], ["P-1"])), ("C-1 M-1", (["P-1"], []))):
        data = {"event": wrong.id, "why": "read wrongly", "what": "set_up.connected", "data": {}}
        at, codes = moment_of(wrong.happened_at), {**book.set_ups["S-1"], "part": parts}
        wrong = book.note("Ben", "event.corrected", at, data, set_up="S-1", **codes)
        assert tuple(patients(book, failed_cycle(code)) for code in ("Y-1", "Y-2")) == exposed


def test_a_verdict_that_has_not_seen_the_newest_readings_is_no_good_evidence(book):
    """A log was attached after Y-1 was judged; until it is judged again P-1 counts as exposed to P-0."""
    book.enrol("C-1")
    book.use("S-0", "C-1 M-1", "P-0")
    book.cycle("Y-1", "C-1")
    book.use("S-1", "C-1 M-2", "P-1")
    assert patients(book, infected_patient("P-0")) == []
    book.attach_log("Y-1", "C-1")
    assert patients(book, infected_patient("P-0")) == ["P-1"]
    book.judge("Y-1", "C-1", "passed")
    assert patients(book, infected_patient("P-0")) == []


def test_a_defect_that_was_mended_since_is_named_where_its_uses_are_not_listed(book):
    """Who asks without a period learns that there was one, and how to ask."""
    book.enrol("C-1")
    book.use("S-1", "C-1 M-1", "P-1")
    book.inspect("C-1", "crack")
    book.inspect("C-1")
    answer = look_back(book.view(), defective_part("C-1"))
    assert answer.not_shown[0].startswith(
        "A defect was recorded on 2 March 2026 07:00 UTC, and the part was found"
    )
    crack = told(book, "part.inspected", "crack").happened_at
    assert patients(book, defective_part("C-1", until=crack)) == ["P-1"]
    assert not any(
        "A defect was recorded" in t
        for t in look_back(book.view(), defective_part("C-1", until=crack)).not_shown
    )
