"""Look-backs told as stories, each with exactly the people it must find."""

from datetime import timedelta

import pytest
from ward_book import START, WardBook

from lungwort.errors import UnknownName
from lungwort.records.chain.event import Thing
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
from lungwort.records.look_back.result import LookBack


def asked(book: WardBook, question: Question) -> LookBack:
    """Return the answer as of now."""
    return look_back(book.view(), question)


def patients(answer: LookBack, direction: str = "forward") -> list[str]:
    """Return the exposed patients in order of time."""
    return [e.patient for e in answer.exposures if e.direction == direction]


def path_of(answer: LookBack, patient: str) -> list[str]:
    """Return the codes along the path to a patient's first exposure."""
    path = next(e.path for e in answer.exposures if e.patient == patient)
    return [path[0].start.code, *(step.end.code for step in path)]


# ---- a failed cycle ----


def test_a_failed_cycle_exposes_the_patients_of_its_load_until_each_part_passed_again(book):
    """C-1 reached P-1 and, since nothing treated it, P-2; C-2 reached P-3; after a passed cycle nobody."""
    book.enrol("C-1 C-2 C-3")
    book.cycle("Y-1", "C-1 C-2", "failed")
    book.cycle("Y-2", "C-3")
    book.use("S-1", "C-1 M-1", "P-1")
    book.use("S-2", "C-1 M-2", "P-2", ward="West")
    book.use("S-3", "C-2 C-3 M-1", "P-3")
    book.cycle("Y-3", "C-1 C-2 C-3")
    book.use("S-4", "C-1 C-2 C-3 M-1", "P-4")
    answer = asked(book, failed_cycle("Y-1"))
    assert patients(answer) == ["P-1", "P-2", "P-3"]
    assert [e.parts for e in answer.exposures] == [("C-1",), ("C-1",), ("C-2",)]
    assert answer.wards == ("East", "West")
    assert answer.still_out == ()
    assert [(p.code, p.good_since.kind, p.good_since.code) for p in answer.parts] == [
        ("C-1", "cycle", "Y-3"),
        ("C-2", "cycle", "Y-3"),
    ]


def test_a_leg_that_began_with_another_cycle_that_did_not_pass_goes_on(book):
    """Not shown, and not judged at all, are no more evidence than failed; the path names every cycle between."""
    book.enrol("C-1")
    book.cycle("Y-1", "C-1", "failed")
    book.cycle("Y-2", "C-1", "not shown")
    book.use("S-1", "C-1 M-1", "P-1")
    book.cycle("Y-3", "C-1", "")
    book.use("S-2", "C-1 M-1", "P-2")
    answer = asked(book, failed_cycle("Y-1"))
    assert patients(answer) == ["P-1", "P-2"]
    assert path_of(answer, "P-2") == ["Y-1", "C-1", "Y-2", "C-1", "Y-3", "C-1", "P-2"]
    assert [(c.code, c.outcome, c.doubted) for c in answer.cycles] == [
        ("Y-1", "failed", True),
        ("Y-2", "not shown", False),
        ("Y-3", "", False),
    ]


def test_what_is_still_on_a_patient_or_ready_comes_first(book):
    """C-1 is on P-1 in East, C-2 waits ready, C-3 was washed and is out for nobody."""
    book.enrol("C-1 C-2 C-3")
    book.cycle("Y-1", "C-1 C-2 C-3", "")
    for code in ("C-1", "C-2", "C-3"):
        book.release(code)
    book.connect("S-1", "C-1 M-1", "P-1")
    book.note("Ada", "part.washed", part="C-3")
    answer = asked(book, failed_cycle("Y-1"))
    assert [(p.code, p.status, p.patient, p.ward, p.set_up) for p in answer.still_out] == [
        ("C-1", "in use", "P-1", "East", "S-1"),
        ("C-2", "ready", "", "", ""),
    ]
    assert answer.exposures[0].disconnected_at == ""
    assert [p.code for p in answer.parts] == ["C-1", "C-2", "C-3"]


def test_a_cycle_judged_twice_counts_by_its_last_judgement(book):
    """Y-2 was passed first and failed later: it is no evidence."""
    book.enrol("C-1")
    book.cycle("Y-1", "C-1", "failed")
    book.cycle("Y-2", "C-1", "passed")
    book.use("S-1", "C-1 M-1", "P-1")
    assert patients(asked(book, failed_cycle("Y-1"))) == []
    book.judge("Y-2", "C-1", "failed")
    assert patients(asked(book, failed_cycle("Y-1"))) == ["P-1"]


def test_a_passed_cycle_with_a_positive_indicator_is_no_good_evidence(book):
    """The log passed, the spores lived."""
    book.enrol("C-1")
    book.cycle("Y-1", "C-1", "failed")
    book.cycle("Y-2", "C-1", "passed", growth="positive")
    book.use("S-1", "C-1 M-1", "P-1")
    assert patients(asked(book, failed_cycle("Y-1"))) == ["P-1"]


def test_a_use_entered_afterwards_is_found_where_it_happened(book):
    """It was recorded after the passed cycle, but happened before it; the answer says so."""
    book.enrol("C-1")
    ended = book.cycle("Y-1", "C-1", "failed")
    happened = book.now + timedelta(minutes=5)
    book.now += timedelta(hours=1)
    book.cycle("Y-2", "C-1")
    book.connect("S-1", "C-1 M-1", "P-1", at=happened, late="power cut")
    book.leave("S-1", at=happened + timedelta(minutes=20))
    answer = asked(book, failed_cycle("Y-1"))
    assert ended.happened_at < answer.exposures[0].connected_at
    assert (patients(answer), answer.exposures[0].late) == (["P-1"], True)
    assert any("entered afterwards" in text and "S-1" in text for text in answer.not_shown)


def test_a_use_that_was_struck_is_no_exposure_and_a_corrected_one_counts_as_corrected(book):
    """The wrong patient was written down, and a use that never was."""
    book.enrol("C-1")
    book.cycle("Y-1", "C-1", "failed")
    wrong = book.connect("S-1", "C-1 M-1", "P-1")
    book.leave("S-1")
    never = book.connect("S-2", "C-1 M-1", "P-2")
    told = {"event": wrong.id, "why": "wrong bed", "what": "set_up.connected", "data": {}}
    at = START.fromisoformat(wrong.happened_at)
    book.note("Ben", "event.corrected", at, told, set_up="S-1", part="C-1 M-1", patient="P-9", ward="East")
    book.note(
        "Ben", "event.struck", None, {"event": never.id, "why": "never was"}, set_up="S-2", part="C-1 M-1"
    )
    assert patients(asked(book, failed_cycle("Y-1"))) == ["P-9"]


def test_an_abandoned_cycle_is_looked_back_upon_from_its_loading(book):
    """The autoclave stopped; somebody took C-1 out and used it."""
    book.enrol("C-1")
    book.use("S-1", "C-1 M-1", "P-1")
    told = {"process": "steam", "setting": "134", "protocol": "1", "kinds": ["Silicone circuit"]}
    book.note("Ada", "cycle.loaded", data=told, cycle="Y-1", part="C-1", equipment="A-1")
    book.note("Ada", "cycle.abandoned", data={"process": "steam"}, cycle="Y-1", part="C-1", equipment="A-1")
    book.use("S-2", "C-1 M-1", "P-2")
    assert patients(asked(book, failed_cycle("Y-1"))) == ["P-2"]


def test_the_people_are_named_with_what_they_did(book):
    """Ada ended, judged and released, Ben connected and disconnected, Chi checked, Dot agreed to the exception."""
    book.enrol("C-1 C-2")
    book.cycle("Y-1", "C-1 C-2", "failed")
    book.release("C-2")
    book.release_anyway("C-1")
    book.use("S-1", "C-1 C-2 M-1", "P-1")
    answer = asked(book, failed_cycle("Y-1"))
    assert {p.code: p.did for p in answer.persons} == {
        "Ada": (
            "ended the cycle",
            "judged the cycle",
            "loaded the cycle",
            "released",
            "released by exception",
            "started the cycle",
        ),
        "Ben": ("connected", "disconnected", "joined the set-up"),
        "Chi": ("checked",),
        "Dot": ("agreed to an exception",),
    }
    assert answer.exposures[0].by_exception
    assert any("by exception" in text and "S-1" in text for text in answer.not_shown)


def test_a_failed_cycle_tells_whose_use_it_had_to_make_good(book):
    """P-2 and P-3 used its parts since their last good cycle, P-1 before it; P-4 by way of another failed load."""
    book.enrol("C-1 C-2 C-3")
    book.use("S-1", "C-1 M-1", "P-1")
    book.cycle("Y-1", "C-1")
    book.use("S-2", "C-1 M-1", "P-2")
    book.use("S-3", "C-2 M-2", "P-3")
    book.use("S-4", "C-3 M-2", "P-4")
    book.cycle("Y-2", "C-2 C-3", "failed")
    book.cycle("Y-3", "C-1 C-2", "failed")
    book.use("S-5", "C-1 M-1", "P-5")
    answer = asked(book, failed_cycle("Y-3"))
    assert [e.patient for e in answer.sources] == ["P-2", "P-3", "P-4"]
    assert {e.direction for e in answer.sources} == {"backward"}
    assert [link.end.code for link in answer.sources[0].path] == ["C-1", "P-2"]
    assert [link.end.code for link in answer.sources[2].path][-2:] == ["C-3", "P-4"]
    assert answer.patients == ("P-5",)  # whom the failed cycle exposed; the sources were not


def test_a_missing_disconnection_on_the_parts_own_page_is_asked_of_the_set_up(book):
    """The disconnection forgot to name C-1; the next cycle began before."""
    book.enrol("C-1")
    book.cycle("Y-1", "C-1", "failed")
    book.connect("S-1", "C-1 M-1", "P-1")
    ended = book.note("Ben", "set_up.disconnected", set_up="S-1", part="M-1", patient="P-1", ward="East")
    book.cycle("Y-2", "C-1")
    assert asked(book, failed_cycle("Y-1")).exposures[0].disconnected_at == ended.happened_at


def test_what_lies_ready_after_a_passed_cycle_is_not_still_out(book):
    """C-1 was treated well and released again; C-2 was released on nothing."""
    book.enrol("C-1 C-2")
    book.cycle("Y-1", "C-1 C-2", "")
    book.use("S-1", "C-1 C-2 M-1", "P-1")
    book.cycle("Y-2", "C-1")
    book.release("C-1 C-2")
    answer = asked(book, failed_cycle("Y-1"))
    assert [p.status for p in answer.parts] == ["ready", "ready"]
    assert [p.code for p in answer.still_out] == ["C-2"]


def test_good_evidence_counts_only_after_the_last_doubted_cycle_of_a_part(book):
    """C-1 passed on another autoclave between Y-1 and Y-3, both doubted."""
    book.enrol("C-1")
    book.cycle("Y-1", "C-1", growth="positive")
    book.note("Ada", "part.washed", part="C-1")
    book.cycle("Y-2", "C-1", on="A-2")
    book.cycle("Y-3", "C-1")
    book.release("C-1")
    answer = asked(book, positive_indicator("Y-1"))
    assert [(p.code, p.good_since.kind) for p in answer.still_out] == [("C-1", "")]


def test_a_part_that_was_loaded_counts_even_where_the_end_does_not_name_it(book):
    """Somebody ended Y-1 for C-1 alone; C-2 had been put in."""
    book.enrol("C-1 C-2")
    told = {"process": "steam", "setting": "134", "protocol": "1", "kinds": ["Silicone circuit"]}
    book.note("Ada", "cycle.loaded", data=told, cycle="Y-1", part="C-1 C-2", equipment="A-1")
    book.note("Ada", "cycle.ended", data={"process": "steam"}, cycle="Y-1", part="C-1", equipment="A-1")
    book.use("S-1", "C-2 M-1", "P-1")
    assert patients(asked(book, failed_cycle("Y-1"))) == ["P-1"]


# ---- wipes ----


def test_a_wipe_counts_for_what_the_rules_then_released_and_is_told_as_not_proved(book):
    """The machine was wiped and released; the circuit was wiped and used all the same."""
    book.enrol("C-1")
    book.enrol("M-1", "Ventilator", machine=True)
    book.use("S-1", "C-1 M-1", "P-1")
    book.wipe("M-1")
    book.release("M-1")
    book.wipe("C-1")
    book.release_anyway("C-1")
    book.use("S-2", "M-1", "P-2")
    book.use("S-3", "C-1 M-9", "P-3")
    answer = asked(book, infected_patient("P-1"))
    assert patients(answer) == ["P-3"]
    machine = next(p for p in answer.parts if p.code == "M-1")
    assert machine.good_since.kind == "wipe"
    assert any("Wiped since" in text and "M-1" in text for text in answer.not_shown)


def test_a_wipe_while_the_machine_is_on_a_patient_ends_nothing(book):
    """M-1 was wiped at the bedside; the next patient got it as it was left."""
    book.enrol("M-1", "Ventilator", machine=True)
    book.connect("S-1", "M-1", "P-1")
    book.wipe("M-1")
    book.leave("S-1")
    book.release("M-1")
    book.use("S-2", "M-1", "P-2")
    assert patients(asked(book, infected_patient("P-1"))) == ["P-2"]
    assert patients(asked(book, infected_patient("P-2")), "backward") == ["P-1"]


# ---- an indicator with growth ----


def autoclave_weeks(book: WardBook) -> None:
    """Y-1 to Y-7 on A-1, Y-9 on A-2; Y-2 and Y-6 with a negative indicator, Y-4 with a positive one."""
    book.enrol("C-1 C-2 C-3 C-4 C-5 C-6 C-7 C-9")
    for name in ("A-1", "A-2"):
        book.note("Ada", "equipment.enrolled", data={"name": "Autoclave"}, equipment=name)
    growth = {"2": "negative", "4": "positive", "6": "negative"}
    for number in "1234567":
        book.cycle(f"Y-{number}", f"C-{number}", growth=growth.get(number, ""))
        book.use(f"S-{number}", f"C-{number} M-1", f"P-{number}")
    book.cycle("Y-9", "C-9", on="A-2")
    book.use("S-9", "C-9 M-1", "P-9")


def test_growth_doubts_all_cycles_between_the_negative_indicators_before_and_after(book):
    """Y-3 and Y-5 passed by their logs and are doubted all the same; the other autoclave is not."""
    autoclave_weeks(book)
    answer = asked(book, positive_indicator("Y-4"))
    assert patients(answer) == ["P-3", "P-4", "P-5"]
    assert [c.code for c in answer.cycles if c.doubted] == ["Y-3", "Y-4", "Y-5"]
    assert [(x.thing, x.evidence.kind, x.evidence.code) for x in answer.last_good] == [
        (Thing("A-1", "equipment"), "indicator", "Y-2")
    ]
    assert path_of(answer, "P-5") == ["Y-4", "A-1", "Y-5", "C-5", "P-5"]
    assert path_of(answer, "P-4") == ["Y-4", "C-4", "P-4"]


def test_a_part_treated_again_in_a_doubted_cycle_is_not_made_good_by_it(book):
    """C-4 went through Y-5 next, which passed by its log, and reached P-8."""
    book.enrol("C-4 C-5")
    book.cycle("Y-1", "C-5", growth="negative")
    book.cycle("Y-4", "C-4", growth="positive")
    book.cycle("Y-5", "C-4 C-5")
    book.use("S-8", "C-4 M-1", "P-8")
    book.cycle("Y-6", "C-4", on="A-2")
    book.use("S-9", "C-4 M-1", "P-9")
    answer = asked(book, positive_indicator("Y-4"))
    assert patients(answer) == ["P-8"]
    assert [(p.code, p.good_since.code) for p in answer.parts] == [("C-4", "Y-6"), ("C-5", "")]


def test_without_any_negative_indicator_the_last_passed_cycle_is_the_evidence(book):
    """Y-1 passed, Y-2 did not, Y-3 had growth."""
    book.enrol("C-1 C-2 C-3")
    for number, outcome in (("1", "passed"), ("2", "not shown"), ("3", "passed")):
        book.cycle(f"Y-{number}", f"C-{number}", outcome, growth="positive" if number == "3" else "")
        book.use(f"S-{number}", f"C-{number} M-1", f"P-{number}")
    answer = asked(book, positive_indicator("Y-3"))
    assert patients(answer) == ["P-2", "P-3"]
    assert answer.last_good[0].evidence.kind == "cycle"


def test_cycles_after_the_equipment_was_freed_are_not_doubted(book):
    """Y-2 ran while A-1 was held; Y-3 after it was mended and freed."""
    book.enrol("C-1 C-2 C-3")
    book.cycle("Y-1", "C-1", growth="positive")
    book.note("Ada", "equipment.held", data={"reason": "growth"}, equipment="A-1")
    book.cycle("Y-2", "C-2")
    book.note("Ada", "equipment.freed", equipment="A-1")
    book.cycle("Y-3", "C-3")
    for number in "123":
        book.use(f"S-{number}", f"C-{number} M-1", f"P-{number}")
    assert patients(asked(book, positive_indicator("Y-1"))) == ["P-1", "P-2"]


# ---- equipment, batch, part ----


def test_a_faulty_autoclave_is_asked_about_since_a_moment_or_since_its_last_good_evidence(book):
    """Since its last negative indicator: P-7 alone; since the start of Y-3: all from then on."""
    autoclave_weeks(book)
    assert patients(asked(book, faulty_equipment("A-1"))) == ["P-7"]
    third = next(e for e in book.store.events(book.place) if e.what == "cycle.ended" and "Y-3" in e.payload)
    fifth = next(e for e in book.store.events(book.place) if e.what == "cycle.ended" and "Y-5" in e.payload)
    since, until = third.happened_at, fifth.happened_at
    assert patients(asked(book, faulty_equipment("A-1", since))) == ["P-3", "P-4", "P-5", "P-6", "P-7"]
    assert patients(asked(book, faulty_equipment("A-1", since, until))) == ["P-3", "P-4", "P-5"]


def test_a_wrong_batch_exposes_through_its_cycles_and_its_wipes(book):
    """B-1 was in the bath of Y-1 and on the cloth for M-2; B-2 was in Y-2."""
    book.enrol("C-1 C-2")
    book.enrol("M-2", "Ventilator", machine=True)
    for batch in ("B-1", "B-2"):
        book.note("Ada", "batch.enrolled", data={"stock": "bleach"}, batch=batch)
    book.cycle("Y-1", "C-1", batch="B-1")
    book.cycle("Y-2", "C-2", batch="B-2")
    book.wipe("M-2", batch="B-1")
    book.release("M-2")
    book.use("S-1", "C-1 M-1", "P-1")
    book.use("S-2", "C-2 M-1", "P-2")
    book.use("S-3", "M-2", "P-3")
    book.wipe("M-2", batch="B-2")
    book.release("M-2")
    book.use("S-4", "M-2", "P-4")
    answer = asked(book, wrong_batch("B-1"))
    assert patients(answer) == ["P-1", "P-3"]
    assert path_of(answer, "P-1") == ["B-1", "Y-1", "C-1", "P-1"]
    assert path_of(answer, "P-3") == ["B-1", "M-2", "P-3"]
    assert answer.batches == ("B-1",)
    assert [w.parts for w in answer.wipes] == [("M-2",)]


def test_a_defective_part_exposes_since_its_last_inspection_without_defect(book):
    """P-1 before the good inspection is not among them."""
    book.enrol("C-1")
    book.use("S-1", "C-1 M-1", "P-1")
    good = book.inspect("C-1")
    book.use("S-2", "C-1 M-1", "P-2")
    book.use("S-3", "C-1 M-1", "P-3")
    book.inspect("C-1", "crack")
    answer = asked(book, defective_part("C-1"))
    assert patients(answer) == ["P-2", "P-3"]
    assert answer.last_good[0].evidence.at == good.happened_at
    assert answer.parts[0].held == ("defect:crack",)
    assert path_of(answer, "P-2") == ["C-1", "P-2"]


def test_a_defective_part_since_a_moment_counts_the_use_that_was_going_on(book):
    """The moment lies within the use of P-1."""
    book.enrol("C-1")
    book.use("S-0", "C-1 M-1", "P-0")
    book.connect("S-1", "C-1 M-1", "P-1")
    since = book.moment
    book.now += timedelta(minutes=1)
    book.leave("S-1")
    book.inspect("C-1")
    book.use("S-2", "C-1 M-1", "P-2")
    later = asked(book, defective_part("C-1", since=since.replace(":00.", ":30.")))
    assert patients(later) == ["P-1", "P-2"]


def test_a_defect_found_before_a_repair_is_asked_about_up_to_then(book):
    """Since the repair a good inspection stands before it; `until` looks past that."""
    book.enrol("C-1")
    book.inspect("C-1")
    book.use("S-1", "C-1 M-1", "P-1")
    found = book.inspect("C-1", "crack")
    book.note("Ada", "part.repaired", data={"reason": "new cuff"}, part="C-1")
    book.inspect("C-1")
    assert patients(asked(book, defective_part("C-1"))) == []
    answer = asked(book, defective_part("C-1", until=found.happened_at))
    assert patients(answer) == ["P-1"]
    assert answer.parts[0].good_since.kind == "inspection"


# ---- an infected patient ----


def test_an_infected_patient_reaches_forward_and_backward_to_good_evidence(book):
    """P-1 and P-3 shared C-1 with P-2; before Y-1 and after Y-2, both passed, nobody."""
    book.enrol("C-1 C-2")
    book.use("S-0", "C-1 M-1", "P-0")
    good = book.cycle("Y-1", "C-1")
    book.use("S-1", "C-1 M-1", "P-1")
    book.use("S-2", "C-1 C-2 M-2", "P-2")
    book.use("S-3", "C-1 M-3", "P-3")
    book.cycle("Y-2", "C-1 C-2")
    book.use("S-4", "C-1 C-2 M-4", "P-4")
    answer = asked(book, infected_patient("P-2"))
    assert patients(answer) == ["P-3"]
    assert patients(answer, "backward") == ["P-1"]
    stops = {x.thing.code: x.evidence for x in answer.last_good}
    assert (stops["C-1"].code, stops["C-1"].at) == ("Y-1", good.happened_at)
    assert stops["C-2"].kind == ""
    assert any("C-2" in text and "not shown, back to enrolment" in text for text in answer.not_shown)


def test_a_load_that_did_not_pass_ties_its_parts_together_both_ways(book):
    """C-1 of P-1 and C-2 of P-0 met in Y-1; after it C-2 reached P-2: forward from P-1, and P-0 lies behind P-3."""
    book.enrol("C-1 C-2")
    book.cycle("Y-0", "C-1 C-2")
    book.use("S-0", "C-2 M-1", "P-0")
    book.use("S-1", "C-1 M-2", "P-1")
    book.cycle("Y-1", "C-1 C-2", "not shown")
    book.use("S-2", "C-2 M-3", "P-2")
    book.use("S-3", "C-1 M-4", "P-3")
    forward = asked(book, infected_patient("P-1"))
    assert patients(forward) == ["P-2", "P-3"]
    assert patients(forward, "backward") == []
    assert path_of(forward, "P-2") == ["P-1", "C-1", "Y-1", "C-2", "P-2"]
    backward = asked(book, infected_patient("P-3"))
    assert patients(backward, "backward") == ["P-0", "P-1"]
    assert path_of(backward, "P-0") == ["P-3", "C-1", "Y-1", "C-2", "P-0"]


def test_what_is_on_the_infected_patient_stays_and_is_not_called_still_out(book):
    """C-1 is on P-1 now; C-2 went on to the shelf."""
    book.enrol("C-1 C-2")
    book.use("S-0", "C-2 M-2", "P-1")
    book.release_anyway("C-2")
    book.connect("S-1", "C-1 M-1", "P-1")
    assert [p.code for p in asked(book, infected_patient("P-1")).still_out] == ["C-2"]


def test_a_single_patient_part_came_new(book):
    """Its walk back ends at its enrolment, and that is good evidence."""
    book.enrol("F-1", "Filter", single_patient=True)
    book.use("S-1", "F-1 M-1", "P-1")
    stops = {x.thing.code: x.evidence.kind for x in asked(book, infected_patient("P-1")).last_good}
    assert stops == {"F-1": "new", "M-1": ""}


def test_a_period_takes_only_the_uses_that_reach_into_it(book):
    """P-1 used C-1 in the morning and C-2 in the evening."""
    book.enrol("C-1 C-2")
    book.use("S-1", "C-1 M-1", "P-1")
    evening = book.moment
    book.now += timedelta(hours=8)
    book.use("S-2", "C-2 M-2", "P-1")
    book.use("S-3", "C-1 M-3", "P-3")
    book.use("S-4", "C-2 M-4", "P-4")
    assert patients(asked(book, infected_patient("P-1"))) == ["P-3", "P-4"]
    after = evening.replace(":00.", ":01.")
    assert patients(asked(book, infected_patient("P-1", since=after))) == ["P-4"]
    assert patients(asked(book, infected_patient("P-1", until=evening))) == ["P-3"]


def test_patients_of_the_same_ward_at_the_same_time_are_apart_and_only_if_asked(book):
    """P-2 came before and stayed, P-3 came meanwhile; P-4 left before, P-5 came after, P-6 was in West."""
    book.connect("S-2", "M-2", "P-2")
    book.use("S-4", "M-4", "P-4")
    book.connect("S-1", "M-1", "P-1")
    book.connect("S-3", "M-3", "P-3")
    book.connect("S-6", "M-6", "P-6", ward="West")
    book.leave("S-1")
    book.use("S-5", "M-5", "P-5")
    assert asked(book, infected_patient("P-1")).same_ward == ()
    answer = asked(book, infected_patient("P-1", same_ward=True))
    assert [mate.patient for mate in answer.same_ward] == ["P-2", "P-3"]
    assert patients(answer) == []
    book.leave("S-2")
    answer = asked(book, infected_patient("P-1", same_ward=True))
    assert [mate.patient for mate in answer.same_ward] == ["P-2", "P-3"]


# ---- limits ----


def test_it_never_says_that_nobody_else_was_exposed(book):
    """The last sentences stand in every answer, even in an empty one."""
    book.enrol("C-1")
    book.cycle("Y-1", "C-1", "failed")
    answer = asked(book, failed_cycle("Y-1"))
    assert answer.exposures == ()
    assert "not shown that nobody else was exposed" in answer.not_shown[-1]
    assert "never entered" in answer.not_shown[-2]


def test_a_search_without_end_stops_at_its_limit_and_says_so(book):
    """Ten cycles that did not pass, one leg each; three are asked for."""
    book.enrol("C-1")
    for number in range(10):
        book.cycle(f"Y-{number}", "C-1", "not shown")
        book.use(f"S-{number}", "C-1 M-1", f"P-{number}")
    answer = look_back(book.view(), failed_cycle("Y-0"), most_legs=3)
    assert patients(answer) == ["P-0", "P-1", "P-2"]
    assert "stopped at its limit" in answer.not_shown[0]
    assert "stopped at its limit" not in asked(book, failed_cycle("Y-0")).not_shown[0]


@pytest.mark.parametrize(
    ("question", "kind"),
    [(failed_cycle("Y-7"), "cycle"), (infected_patient("P-7"), "patient"), (wrong_batch("B-7"), "batch")],
)
def test_what_is_not_recorded_is_refused_by_name(book, question, kind):
    """A mistyped code must not pass for an empty answer."""
    book.enrol("C-1")
    with pytest.raises(UnknownName, match=f"nothing is recorded at Hill Hospital about {kind} '.-7'"):
        asked(book, question)
