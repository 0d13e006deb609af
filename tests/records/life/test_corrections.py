"""Corrections: both events stay visible, states are as if it had been right at once, and no gate is opened so."""

import inspect
import re
from datetime import datetime, timedelta

import pytest
from life_cast import TRAINED_UNTIL, code_of, hot_enough, refused, refused_also
from life_protocol import CIRCUIT, FILTER, FOAM, MASK, VENTILATOR

from lungwort.records.chain.event import Attachment, Thing
from lungwort.records.life import (
    corrections,
    cycles,
    judging,
    parts,
    people,
    protocols,
    releases,
    set_ups,
    supplies,
)
from lungwort.records.life.correctable import NEVER, ONLY_STRUCK
from lungwort.records.life.permissions import deed_words
from lungwort.records.life.reasons import time_words
from lungwort.records.states.kinds import PatientState, PersonState
from lungwort.records.verify import verify

WHY = "the wrong label was read"


def last(house, what):
    """Return the last event of a kind."""
    return next(e for e in reversed(house.events()) if e.what == what)


def soiled(house, count=2):
    """Return masks that were taken apart."""
    codes = [house.new(MASK) for _ in range(count)]
    parts.take_apart(house.technician, codes)
    return codes


# ---- both stay visible ----


def test_what_is_struck_stays_visible_and_counts_no_more(house):
    """The state is as if it had never been; the chain is whole."""
    (part,) = soiled(house, 1)
    before = house.part(part)
    wrong = parts.wash(house.technician, [part])
    struck = corrections.strike(house.technician, wrong.id, WHY)
    assert house.part(part) == before
    assert wrong in house.events()
    assert struck.data == {"event": wrong.id, "why": WHY}
    assert struck.happened_at == wrong.happened_at
    assert struck.recorded_at > wrong.recorded_at
    assert house.view().corrected_by(wrong.id) == struck.id
    assert verify(house.book.store).whole


def test_a_correction_moves_a_deed_to_the_thing_it_was_done_on(house):
    """The one was never washed, the other was."""
    one, two = soiled(house)
    wrong = parts.wash(house.technician, [one])
    event = corrections.correct(house.technician, wrong.id, WHY, things=[Thing(two, "part")])
    assert (house.status(one), house.status(two)) == ("soiled", "washed")
    assert event.data["what"] == "part.washed"
    assert wrong in house.events()


def test_a_correction_moves_a_deed_to_its_time(house):
    """What was looked at after the bath was looked at before it."""
    part = house.new(MASK)
    house.turn_round([part], until="treat")
    house.wait(hours=1)
    before = house.now
    house.wait(hours=1)
    house.treat([part], "hot water")
    parts.dry(house.technician, [part])
    looked = parts.inspect(house.technician, [part], ["look", "assemble", "test"])
    corrections.correct(house.technician, looked.id, "read from the sheet", happened_at=before)
    why = ("order", "not done since its treatment: look", "do it, record it")
    refused_also(releases.release, house.technician, [part], why=why)


def test_a_correction_is_corrected_in_its_turn_and_the_first_never_again(house):
    """A chain of corrections: the last counts."""
    one, two = soiled(house)
    first = parts.wash(house.technician, [one])
    second = corrections.correct(house.technician, first.id, WHY, things=[Thing(two, "part")])
    why = (
        "event",
        f"event {first.id} was corrected or struck already, by event {second.id}",
        "correct that one",
    )
    refused(corrections.strike, house.technician, first.id, WHY, why=why)
    both = [Thing(one, "part"), Thing(two, "part")]
    third = corrections.correct(house.technician, second.id, "both were washed", things=both)
    assert (house.status(one), house.status(two)) == ("washed", "washed")
    fourth = corrections.strike(house.technician, third.id, "neither was")
    assert (house.status(one), house.status(two)) == ("soiled", "soiled")
    why = (
        "event",
        f"event {fourth.id} struck another, which cannot be brought back",
        "record afterwards what happened",
    )
    refused(corrections.strike, house.technician, fourth.id, WHY, why=why)
    refused(corrections.correct, house.technician, fourth.id, WHY, why=why)


def test_an_event_that_is_not_there_is_told(house):
    """Take the identifier from the history."""
    why = ("event", "Hill Hospital has no event 00ff", "take the identifier from the history")
    refused(corrections.strike, house.technician, "00ff", WHY, why=why)
    refused(corrections.correct, house.technician, "00ff", WHY, why=why)


def test_a_correction_needs_a_reason(house):
    """In a few words."""
    soiled(house, 1)
    event = last(house, "part.taken_apart").id
    why = ("reason", "no reason is given", "say why in a few words")
    refused(corrections.strike, house.technician, event, " ", why=why)
    refused(corrections.correct, house.technician, event, "x", why=why)


# ---- who ----


def test_who_recorded_it_or_the_lead_corrects(house):
    """A colleague does not."""
    (part,) = soiled(house, 1)
    people.give_roles(house.lead, "T-02", ["reprocessing"])
    event = last(house, "part.taken_apart")
    why = ("permission", f"event {event.id} was recorded by T-01", "ask them, or the infection control lead")
    refused(corrections.strike, house.who("T-02"), event.id, WHY, why=why)
    refused(corrections.correct, house.who("T-02"), event.id, WHY, why=why)
    corrections.strike(house.who("I-02"), event.id, WHY)
    assert house.part(part).done == ()


def test_the_lead_corrects_what_an_engineer_recorded_who_left(house):
    """Else nobody could."""
    event = supplies.hold_equipment(house.engineer, house.codes["Bath 1"], "leaks")
    people.leave(house.lead, "E-01")
    refused_also(
        corrections.strike, house.engineer, event.id, WHY, why=("person", "no longer works here", "enrols")
    )
    corrections.strike(house.who("I-02"), event.id, "it was the other bath")


def test_the_lead_gives_nobody_a_role_by_a_correction(house):
    """Taking a role back from somebody is not undone by a lead who is no administrator."""
    people.give_roles(house.lead, "I-02", ["infection control lead", "administrator"])
    taken = people.give_roles(house.lead, "I-02", ["infection control lead"])
    why = (
        "permission",
        "I-02 has no role that may record this: giving roles",
        "ask somebody of: administrator",
    )
    refused(corrections.strike, house.who("I-02"), taken.id, WHY, why=why)
    assert house.state(PersonState, "I-02").roles == ("infection control lead",)


# ---- what never, what only by striking ----


def test_a_place_stays_open_and_a_version_is_withdrawn(house):
    """Everything stands on them."""
    for what in NEVER:
        event = last(house, what).id
        why = (
            "event",
            f"{deed_words(what)} stays as it is",
            "withdraw the version, or record what is so now",
        )
        refused(corrections.strike, house.lead, event, WHY, why=why)
        refused(corrections.correct, house.lead, event, WHY, why=why)


def test_decisions_are_struck_and_made_anew_never_written_otherwise(house):
    """A correction would go past the rules by which they are made."""
    part = house.ready(MASK)
    cycle = house.part(part).cycle
    told = {e.what: e.id for e in house.events()}
    assert {"cycle.judged", "part.released", "person.trained", "criterion.adopted"} <= set(told)
    for what in set(ONLY_STRUCK) & set(told):
        why = (
            "event",
            f"{deed_words(what)} is not written otherwise by a correction",
            "strike it and record it anew",
        )
        refused_also(corrections.correct, house.lead, told[what], WHY, why=why)
    soiled_one = house.new(MASK)
    why = ("event", "a release is not written otherwise", "strike it")
    refused_also(
        corrections.correct,
        house.technician,
        told["part.released"],
        WHY,
        things=[Thing(soiled_one, "part")],
        why=why,
    )
    assert house.cycle(cycle).outcome == "passed"


def test_every_decision_is_among_those_that_are_only_struck():
    """All that is done with `decides` is in the list, but corrections themselves and what never is."""
    what = r'"[a-z_]+\.[a-z_]+"'
    last_named = re.compile(rf"({what})(?:(?!{what}|\ndef ).)*?decides=True", re.DOTALL)
    modules = (people, protocols, releases, judging, parts, set_ups, cycles, supplies)
    decided = {
        told.strip('"') for module in modules for told in last_named.findall(inspect.getsource(module))
    }
    assert decided == {*ONLY_STRUCK, *NEVER} - {"cycle.evidence_attached", "set_up.checked"}


# ---- what rests on what ----


def test_a_judgement_struck_takes_the_release_with_it(house):
    """What stood on it is not ready any more, and not connected."""
    part, machine = house.ready(MASK), house.ready(VENTILATOR)
    set_up = house.checked(machine, [part])
    corrections.strike(house.technician, last(house, "cycle.judged").id, "by a wrong sheet")
    assert house.status(part) == "treated"
    why = ("status", f"{part} is treated, not yet released", "dry it, look at it, release it")
    refused(set_ups.connect, house.nurse, set_up, "P-1", "ICU", why=why)


@pytest.mark.parametrize("what", ["part.washed", "part.dried", "part.taken_apart"])
def test_a_step_struck_takes_the_release_with_it(house, what):
    """A wash that was of another part leaves this one unwashed, wherever it stands."""
    part = house.ready(MASK)
    corrections.strike(house.technician, last(house, what).id, WHY)
    assert house.status(part) != "ready"
    refused_also(set_ups.join, house.nurse, house.ready(VENTILATOR), [part], why=("status", f"{part} is", ""))


def test_evidence_that_was_judged_is_struck_after_its_judgement(house):
    """Else the verdict would stand on nothing."""
    part = house.ready(MASK)
    attached, judged = last(house, "cycle.evidence_attached"), last(house, "cycle.judged")
    why = (
        "event",
        f"this rests on it: the judgement of a cycle, {time_words(judged.happened_at)} (event {judged.id})",
        "strike that one first",
    )
    refused(corrections.strike, house.technician, attached.id, WHY, why=why)
    corrections.strike(house.technician, judged.id, WHY)
    corrections.strike(house.technician, attached.id, WHY)
    cycle = house.part(part).cycle
    assert (house.cycle(cycle).status, house.cycle(cycle).evidence) == ("ended", ())
    assert judging.judge(house.technician, cycle).data["outcome"] == "not shown"
    assert house.status(part) == "quarantined"


def test_a_load_that_was_judged_is_corrected_after_its_judgement(house):
    """The verdict was of those parts and that treatment."""
    part, other = house.new(MASK), house.new(MASK)
    house.turn_round([part], until="release")
    house.turn_round([other], until="treat")
    for what in ("cycle.loaded", "cycle.started", "cycle.ended"):
        event = last(house, what)
        refused_also(
            corrections.strike,
            house.technician,
            event.id,
            WHY,
            why=("event", "this rests on it: ", "strike that one"),
        )
    loaded = last(house, "cycle.loaded")
    things = [*(t for t in loaded.things if t.part != "part"), Thing(other, "part")]
    why = ("event", "rests on it", "afterwards record it anew")
    refused_also(corrections.correct, house.technician, loaded.id, WHY, things=things, why=why)


def test_a_set_up_is_taken_back_from_its_end(house):
    """What was done last is struck first; then it was never connected, and its parts are ready."""
    part, machine = house.ready(MASK), house.ready(VENTILATOR)
    set_up = house.in_use([part], "P-117", machine)
    for what in ("set_up.joined", "set_up.connected"):
        if what == "set_up.joined":
            refused_also(
                corrections.strike,
                house.nurse,
                last(house, what).id,
                WHY,
                why=("event", "rests on it", "first"),
            )
    corrections.strike(house.nurse, last(house, "set_up.connected").id, "it was the next bed")
    assert (house.status(part), house.set_up(set_up).status) == ("ready", "checked")
    assert house.view().state(PatientState, "P-117") is None
    set_ups.connect(house.nurse, set_up, "P-118", "ICU")


def test_a_mistyped_patient_is_put_right_everywhere(house):
    """The one was never connected, the other is; nobody is on two."""
    part = house.ready(MASK)
    set_up = house.in_use([part], "P-171")
    event = last(house, "set_up.connected")
    things = [*(t for t in event.things if t.part != "patient"), Thing("P-117", "patient")]
    corrections.correct(house.nurse, event.id, "typed wrongly", things=things)
    assert house.view().state(PatientState, "P-171") is None
    assert house.state(PatientState, "P-117").set_ups == (set_up,)
    assert house.part(part).patient == "P-117"
    set_ups.disconnect(house.nurse, set_up)
    assert house.part(part).last_patient == "P-117"
    assert house.state(PatientState, "P-117").status == "not connected"


def test_a_patient_is_put_right_before_the_disconnection_not_after(house):
    """Else the right one would seem connected for ever."""
    set_up = house.in_use([house.ready(MASK)], "P-171")
    set_ups.disconnect(house.nurse, set_up)
    event, gone = last(house, "set_up.connected"), last(house, "set_up.disconnected")
    things = [*(t for t in event.things if t.part != "patient"), Thing("P-117", "patient")]
    why = (
        "event",
        f"this rests on it: disconnecting a patient, {time_words(gone.happened_at)}",
        "strike that one first; afterwards record it",
    )
    refused(corrections.correct, house.nurse, event.id, "typed wrongly", things=things, why=why)


def test_an_enrolment_is_struck_only_while_nothing_else_is_recorded(house):
    """Later it is corrected, or the part withdrawn."""
    part = house.new(MASK)
    corrections.strike(house.store, last(house, "part.enrolled").id, WHY)
    with pytest.raises(AssertionError, match="nothing is known"):
        house.part(part)
    (part,) = soiled(house, 1)
    why = (
        "event",
        f"more is recorded of {part} than that it was enrolled",
        f"correct what is wrong in it, or withdraw {part}",
    )
    refused(corrections.strike, house.store, last(house, "part.enrolled").id, WHY, why=why)


def test_the_only_administrator_is_not_struck(house):
    """Nobody could be enrolled any more."""
    people.enrol(house.lead, "D-09", ["administrator", "infection control lead"])
    event = last(house, "person.enrolled")
    people.leave(house.lead, "D-01")
    people.give_roles(house.who("D-09"), "I-01", ["infection control lead"])
    why = ("role", "D-09 is the only administrator", "enrol another administrator first")
    refused_also(corrections.strike, house.lead, event.id, WHY, why=why)
    refused(corrections.strike, house.who("D-09"), event.id, WHY, why=why)


# ---- what a correction may say ----


def corrected(house, what, **data):
    """Return how to correct the last event of a kind with some data changed."""
    event = last(house, what)
    return event.id, WHY, {**event.data, **data}


def test_a_serial_number_is_corrected(house):
    """And all else of the part stays."""
    part = house.new(MASK, serial="17")
    house.turn_round([part], until="treat")
    event, why, data = corrected(house, "part.enrolled", serial="71")
    corrections.correct(house.store, event, why, data=data)
    assert (house.part(part).serial, house.status(part)) == ("71", "washed")


def test_a_single_patient_part_is_not_made_reusable_by_a_correction(house):
    """What the protocol says of its kind is not typed."""
    packet = house.new(FILTER)
    set_ups.disconnect(house.nurse, house.in_use([packet]))
    event = next(e for e in house.events() if e.what == "part.enrolled" and Thing(packet, "part") in e.things)
    why = ("protocol", "single_patient of a Bacterial filter is True", "say so, or have the protocol changed")
    data = {**event.data, "single_patient": False}
    refused(corrections.correct, house.store, event.id, WHY, data=data, why=why)
    data = {**event.data, "kind": MASK}
    why = ("protocol", "single_patient of a Mask is False", "say so")
    refused(corrections.correct, house.store, event.id, WHY, data=data, why=why)
    data = {**event.data, "kind": "Msak"}
    why = ("protocol", "has no kind called 'Msak'", "in the words of the protocol")
    refused(corrections.correct, house.store, event.id, WHY, data=data, why=why)
    data = {**event.data, "cycles": -9}
    why = ("cycles", "-9 treatments before enrolment cannot be", "0 where it is new")
    refused(corrections.correct, house.store, event.id, WHY, data=data, why=why)


@pytest.mark.parametrize(
    ("what", "who", "data", "says"),
    [
        (
            "equipment.enrolled",
            "E-01",
            {"calibration_due": "for ever"},
            "calibration_due cannot be 'for ever'",
        ),
        (
            "equipment.enrolled",
            "E-01",
            {"calibration_due": "2027-6-1"},
            "calibration_due cannot be '2027-6-1'",
        ),
        ("equipment.enrolled", "E-01", {"name": 7}, "name cannot be 7"),
        ("batch.enrolled", "S-01", {"expires_on": 20270101}, "expires_on cannot be 20270101"),
        (
            "batch.enrolled",
            "S-01",
            {"strong": True},
            "strong is missing, or is nothing that such an entry says",
        ),
        ("cycle.started", "T-01", {"process": "steam"}, "process follows from the things of this entry"),
        ("set_up.joined", "N-01", {"machine": "P-1"}, "machine follows from the things of this entry"),
        ("cycle.loaded", "T-01", {"kinds": []}, "the kinds of these parts are Mask"),
        ("cycle.loaded", "T-01", {"protocol": "0"}, "the protocol version stays 1"),
    ],
)
def test_a_correction_says_what_such_an_event_says_in_its_form(house, what, who, data, says):
    """Nothing is slipped in by it that the deed itself would not say."""
    part = house.new(MASK)
    house.turn_round([part], until="treat")
    cycles.start(house.technician, house.loaded([part]))
    house.joined(house.ready(VENTILATOR), [])
    event, why, told = corrected(house, what, **data)
    reason = ("form", says, "")
    refused_also(corrections.correct, house.who(who), event, why, data=told, why=reason)


def test_a_correction_leaves_nothing_out(house):
    """What is not said would change nothing."""
    (part,) = soiled(house, 1)
    parts.wash(house.technician, [part])
    parts.dry(house.technician, [part])
    why = (
        "form",
        "done is missing, or is nothing that such an entry says",
        "give all that such an entry says, and no more",
    )
    refused(corrections.correct, house.technician, last(house, "part.dried").id, WHY, data={}, why=why)


def test_the_things_of_a_correction_are_known_and_of_the_same_kinds(house):
    """A deed on nothing would vanish; one on a slip of the hand would begin a part."""
    one, _two = soiled(house)
    event = parts.wash(house.technician, [one]).id
    wash = (house.technician, event, WHY)
    refused(
        corrections.correct,
        *wash,
        things=[Thing("P-X", "part")],
        why=("unknown", "no part P-X is known", "check"),
    )
    why = (
        "event",
        "washing asks for the same kinds of things; part: none",
        "give all the things that took part",
    )
    refused(corrections.correct, *wash, things=[], why=why)
    why = (
        "event",
        "washing asks for the same kinds of things; patient: P-117",
        "give all the things that took part",
    )
    told = [Thing(one, "part"), Thing("P-117", "patient")]
    refused(corrections.correct, *wash, things=told, why=why)
    bleach = Thing(house.codes["Bleach"], "batch")
    corrections.correct(*wash, things=[Thing(one, "part"), bleach])


def test_a_set_up_and_its_parts_are_not_exchanged(house):
    """It is struck, and recorded afterwards as it was."""
    part, other = house.ready(MASK), house.ready(MASK)
    house.in_use([part])
    event = last(house, "set_up.connected")
    things = [Thing(other, "part") if t.code == part else t for t in event.things]
    why = ("event", "cannot be exchanged for", "strike it, and record afterwards what happened")
    refused(corrections.correct, house.nurse, event.id, WHY, things=things, why=why)


def test_parts_of_a_load_are_exchanged_before_it_begins(house):
    """With their kinds."""
    one, two = house.new(MASK), house.new(MASK)
    house.turn_round([one, two], until="treat")
    cycle = house.loaded([one])
    event = last(house, "cycle.loaded")
    things = [Thing(two, "part") if t.code == one else t for t in event.things]
    corrections.correct(house.technician, event.id, WHY, things=things)
    assert house.cycle(cycle).parts == (two,)
    assert (house.part(one).cycle, house.part(two).cycle) == ("", cycle)


def test_a_time_does_not_jump_over_what_else_is_recorded_of_a_set_up(house):
    """Nor into the time to come."""
    set_up = house.in_use([house.ready(MASK)])
    house.wait(hours=1)
    set_ups.disconnect(house.nurse, set_up)
    house.wait(hours=1)
    event = last(house, "set_up.connected")
    correct = (corrections.correct, house.nurse, event.id, WHY)
    why = ("when", "lies this: disconnecting a patient, ", "correct that one first, or give another time")
    refused_also(*correct, happened_at=house.now - timedelta(minutes=5), why=why)
    why = ("when", "is still to come", "give the time at which it happened")
    refused_also(*correct, happened_at=house.now + timedelta(hours=1), why=why)
    corrections.correct(*correct[1:], happened_at=house.now - timedelta(minutes=100))
    assert house.set_up(set_up).status == "ended"


def test_a_correction_of_an_order_or_a_defect_frees_what_it_held(house):
    """It was the other part that was cracked."""
    one, two = house.ready(MASK), house.ready(MASK)
    event = parts.inspect(house.technician, [one], ["look"], defect="crack")
    corrections.correct(house.technician, event.id, WHY, things=[Thing(two, "part")])
    assert (house.status(one), house.status(two)) == ("ready", "quarantined")


def test_a_struck_training_gates_again(house):
    """Who was assessed by mistake does no step."""
    people.train(house.lead, "T-02", "technician", passed=True, expires_on=TRAINED_UNTIL)
    corrections.strike(house.lead, last(house, "person.trained").id, "it was T-03")
    why = ("training", "T-02 was not trained as technician", "let somebody trained do it")
    refused(parts.take_apart, house.who("T-02"), [house.new(MASK)], why=why)


def test_a_disconnection_struck_keeps_the_patient_connected(house):
    """The part is in use until it is really off."""
    part = house.ready(MASK)
    set_up = house.in_use([part], "P-117")
    corrections.strike(house.nurse, set_ups.disconnect(house.nurse, set_up).id, "the next bed")
    assert (house.status(part), house.set_up(set_up).status) == ("in use", "in use")
    assert house.state(PatientState, "P-117").set_ups == (set_up,)


def test_a_wrong_sheet_is_exchanged_for_the_right_one(house):
    """Strike the judgement, strike the sheet, attach the right one, judge, release."""
    part = house.new(CIRCUIT)
    house.turn_round([part], until="treat")
    cycle = house.loaded([part], "steam")
    house.run(cycle)
    wrong = cycles.attach(house.technician, cycle, "log", [Attachment("a.csv", hot_enough(house.now))])
    judged = judging.judge(house.technician, cycle)
    assert judged.data["outcome"] == "not shown"
    corrections.strike(house.technician, judged.id, "the bath's sheet")
    corrections.strike(house.technician, wrong.id, "the bath's sheet")
    assert house.prove(cycle) == "passed"
    assert house.status(part) == "treated"
    assert code_of(judged, "cycle") == cycle


# ---- claims that a correction does not make ----


def test_a_failed_check_is_not_passed_by_a_correction(house):
    """It is checked anew."""
    set_up = house.joined(house.ready(VENTILATOR), [])
    event = set_ups.check(house.nurse, set_up, house.checks(set_up), failed=["Alarms heard"])
    why = (
        "event",
        "a check before use is not written otherwise by a correction",
        "strike it and record it anew",
    )
    refused_also(corrections.correct, house.nurse, event.id, WHY, data={"checks": [], "failed": []}, why=why)


def test_an_inspection_is_not_widened_by_a_correction(house):
    """What the engineer tests is not tested by a nurse who looked."""
    machine = house.new(VENTILATOR)
    event = parts.inspect(house.nurse, [machine], ["look"])
    why = ("form", "more was checked than was recorded", "record the other checks by themselves")
    refused(corrections.correct, house.nurse, event.id, WHY, data={"checks": ["look", "test"]}, why=why)


def test_a_duty_is_not_turned_into_another(house):
    """Nor one of the nurse into one of the engineer."""
    set_up = house.in_use([])
    event = set_ups.do_duty(house.nurse, set_up, "Look at the alarms")
    why = ("form", "duty follows from the things of this entry", "leave it as it was")
    refused(corrections.correct, house.nurse, event.id, WHY, data={"duty": "Check calibration"}, why=why)


def test_a_deed_is_not_moved_to_a_part_of_another_kind(house):
    """Another kind has other steps, by other people."""
    part, circuit = soiled(house, 1)[0], house.new(CIRCUIT)
    event = parts.wash(house.technician, [part])
    why = ("event", f"{circuit} is a {CIRCUIT}, a part of another kind", "strike it, and record afterwards")
    refused(corrections.correct, house.technician, event.id, WHY, things=[Thing(circuit, "part")], why=why)


def test_an_enrolment_is_not_moved_to_another_part(house):
    """Its treatments would be counted from none again."""
    old, new = house.new(MASK, cycles=4), house.new(MASK)
    why = ("event", f"{new} cannot be exchanged for {old}", "strike it, and record afterwards")
    refused(
        corrections.correct,
        house.store,
        last(house, "part.enrolled").id,
        WHY,
        things=[Thing(old, "part")],
        why=why,
    )
    assert house.part(old).cycles == 4


def test_a_part_whose_kind_is_put_right_is_not_ready_by_the_steps_of_the_wrong_one(house):
    """It is released by what its own kind asks."""
    part = house.ready(FOAM)
    event = last(house, "part.enrolled")
    corrections.correct(house.store, event.id, "it is a mask", data={**event.data, "kind": MASK})
    assert (house.part(part).of_kind, house.status(part)) == (MASK, "washed")


def test_a_load_that_was_judged_keeps_its_setting_and_its_time(house):
    """The verdict was by them."""
    house.ready(CIRCUIT)
    loaded, ended = last(house, "cycle.loaded"), last(house, "cycle.ended")
    why = ("event", "this rests on it: the judgement of a cycle", "strike that one first")
    data = {**loaded.data, "setting": "121"}
    refused_also(corrections.correct, house.technician, loaded.id, WHY, data=data, why=why)
    earlier = datetime.fromisoformat(ended.happened_at) - timedelta(minutes=1)
    refused_also(corrections.correct, house.technician, ended.id, WHY, happened_at=earlier, why=why)


def test_a_ward_is_put_right_after_the_patient_has_left(house):
    """Nothing rests on it."""
    set_up = house.in_use([])
    set_ups.disconnect(house.nurse, set_up)
    event = last(house, "set_up.connected")
    things = [Thing("East", "ward") if thing.part == "ward" else thing for thing in event.things]
    corrections.correct(house.nurse, event.id, "the bed was in the other ward", things=things)
    assert house.set_up(set_up).ward == "East"
