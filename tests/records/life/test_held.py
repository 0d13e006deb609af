"""Held, mended, gone: each hold has one way out; an exception is visible ever after and lasts for one use."""

from datetime import timedelta

import pytest
from life_cast import refusal, refused, refused_also, too_cold, too_seldom
from life_protocol import FILTER, MASK, VENTILATOR, life_protocol, mask, ventilator

from lungwort.records.chain.event import Attachment
from lungwort.records.life import corrections, cycles, judging, parts, people, protocols, releases, set_ups
from lungwort.records.life.gate import may_release

WHY = "no other mask in the house"


def washed_again(house, part):
    """Take a part apart and wash it."""
    parts.take_apart(house.technician, [part])
    parts.wash(house.technician, [part])


# ---- by order ----


def test_an_order_holds_until_the_lead_lifts_it(house):
    """Neither a wash, nor a repair, nor a proof frees what was ordered."""
    part = house.ready(MASK)
    parts.quarantine(house.nurse, [part], "smells")
    assert house.status(part) == "quarantined"
    why = (
        "quarantine",
        f"{part} is held: ordered: smells",
        "the infection control lead, who alone can lift it",
    )
    parts.take_apart(house.technician, [part])
    refused(parts.wash, house.technician, [part], why=why)
    parts.repair(house.engineer, [part], "new strap")
    assert house.status(part) == "quarantined"
    refused_also(releases.release, house.technician, [part], why=why)
    parts.lift_quarantine(house.lead, [part], "it was the soap")
    assert (house.status(part), house.part(part).done) == ("soiled", ())
    house.turn_round([part])


def test_what_nobody_ordered_is_not_lifted(house):
    """A failed cycle is no order."""
    part = house.new(MASK)
    house.turn_round([part], until="dry", hot=too_cold)
    why = ("quarantine", f"{part} is not held by an order", "see why it is held; only what frees it helps")
    refused(parts.lift_quarantine, house.lead, [part], "we need it", why=why)


def test_an_order_lifted_on_a_patient_lets_the_part_stay_there(house):
    """It is in use before and after."""
    part = house.ready(MASK)
    set_up = house.in_use([part])
    parts.quarantine(house.nurse, [part], "smells")
    parts.lift_quarantine(house.lead, [part], "it was the soap")
    assert (house.status(part), house.part(part).held) == ("in use", ())
    set_ups.disconnect(house.nurse, set_up)
    assert house.status(part) == "soiled"


def test_an_unused_packet_is_ready_again_once_its_order_is_lifted(house):
    """As after a recall that proved wrong; a used one never is."""
    packet = house.new(FILTER)
    parts.quarantine(house.nurse, [packet], "recalled")
    parts.lift_quarantine(house.lead, [packet], "not of this lot")
    assert house.status(packet) == "ready"
    set_ups.disconnect(house.nurse, house.in_use([packet]))
    why = ("status", "is withdrawn", "what is withdrawn never comes back")
    refused(parts.quarantine, house.nurse, [packet], "recalled", why=why)


@pytest.mark.parametrize("reason", ["", "  ", "x"])
def test_a_reason_is_given_in_words(house, reason):
    """Nobody could tell from it later what was meant."""
    part = house.ready(MASK)
    why = ("reason", "no reason is given", "say why in a few words")
    refused(parts.quarantine, house.nurse, [part], reason, why=why)
    refused(parts.withdraw, house.engineer, [part], reason, why=why)


# ---- by a defect ----


def test_a_defect_holds_until_it_is_repaired(house):
    """The lead's lifting frees an order, not a crack."""
    part = house.ready(MASK)
    parts.inspect(house.technician, [part], ["look"], defect="crack at the rim")
    assert house.status(part) == "quarantined"
    why = ("quarantine", f"{part} is held: defect: crack at the rim", "have it repaired or withdrawn")
    parts.take_apart(house.technician, [part])
    refused(parts.wash, house.technician, [part], why=why)
    parts.quarantine(house.nurse, [part], "see the crack")
    parts.lift_quarantine(house.lead, [part], "seen")
    assert house.part(part).held == ("defect:crack at the rim",)
    parts.repair(house.engineer, [part], "new rim")
    assert house.status(part) == "soiled"
    house.turn_round([part])


def test_a_packet_with_a_defect_is_not_repaired(house):
    """It is thrown away."""
    packet = house.new(FILTER)
    parts.inspect(house.nurse, [packet], ["look"], defect="torn")
    why = ("single patient", f"{packet} is for a single patient", "throw it away")
    refused(parts.repair, house.engineer, [packet], "taped", why=why)


# ---- by a cycle ----


@pytest.mark.parametrize(("hot", "outcome"), [(too_cold, "failed"), (too_seldom, "not shown")])
def test_a_cycle_not_proved_holds_its_parts_until_they_are_washed(house, hot, outcome):
    """From the wash the turnaround begins again."""
    part = house.new(MASK)
    cycle = house.turn_round([part], until="dry", hot=hot)
    assert (house.status(part), house.part(part).held) == ("quarantined", (f"cycle:{cycle}:{outcome}",))
    parts.dry(house.technician, [part])
    why = ("quarantine", f"{part} is held: cycle {cycle}: {outcome}", "treat it again from the wash")
    refused_also(releases.release, house.technician, [part], why=why)
    washed_again(house, part)
    assert (house.status(part), house.part(part).held) == ("washed", ())


def test_better_evidence_frees_what_a_cycle_held(house):
    """The last verdict counts; the release comes after it."""
    part = house.new(MASK)
    cycle = house.turn_round([part], until="dry", hot=too_seldom)
    assert house.prove(cycle) == "not shown"  # the two readings still stand beside the good ones
    first = next(e for e in house.events() if e.what == "cycle.evidence_attached")
    for event in [e for e in house.events() if e.what == "cycle.judged"][::-1]:
        corrections.strike(house.technician, event.id, "by a wrong sheet")
    corrections.strike(house.technician, first.id, "the sheet of another bath")
    assert str(judging.judge(house.technician, cycle).data["outcome"]) == "passed"
    assert house.status(part) == "treated"


def test_a_positive_indicator_holds_at_once_wherever_the_part_is(house):
    """Ready on the shelf it is ready no more; on a patient it is held once it is off."""
    shelf, patient = house.new(MASK), house.new(MASK)
    cycle = house.turn_round([shelf, patient])
    set_up = house.in_use([patient])
    cycles.attach(house.technician, cycle, "biological", result="positive", note="lot 3")
    assert (house.status(shelf), house.status(patient)) == ("quarantined", "in use")
    set_ups.disconnect(house.nurse, set_up)
    assert house.status(patient) == "quarantined"
    assert str(judging.judge(house.technician, cycle).data["outcome"]) == "failed"
    washed_again(house, shelf)
    assert house.status(shelf) == "washed"


def test_a_negative_indicator_holds_nothing_and_needs_no_new_judgement(house):
    """It is read days later."""
    part = house.new(MASK)
    cycle = house.turn_round([part], until="release")
    cycles.attach(house.technician, cycle, "biological", result="negative")
    assert may_release(house.view(), part).yes


def test_readings_added_after_the_judgement_ask_for_another(house):
    """Until then the cycle opens no gate."""
    part = house.new(MASK)
    cycle = house.turn_round([part], until="release")
    file = Attachment("second.txt", too_cold(house.now))
    cycles.attach(house.technician, cycle, "hand", [file])
    why = ("proof", f"cycle {cycle} of {part} is not judged", "attach its evidence and judge it")
    refused(releases.release, house.technician, [part], why=why)


# ---- gone ----


def test_what_is_withdrawn_never_comes_back(house):
    """Not by any step, repair, exception, or verdict, nor told afterwards."""
    part, other = house.new(MASK), house.new(MASK)
    house.turn_round([part, other], until="treat")
    cycle = house.loaded([part, other])
    parts.withdraw(house.engineer, [part], "torn")
    house.run(cycle)
    assert house.prove(cycle) == "passed"
    assert (house.status(part), house.status(other)) == ("withdrawn", "treated")
    why = ("status", f"{part} is withdrawn", "take another; what is withdrawn never comes back")
    for deed in (parts.wash, parts.dry, releases.release):
        refused_also(deed, house.technician, [part], why=why)
    for deed in (parts.repair, parts.quarantine, parts.withdraw):
        refused(deed, house.engineer, [part], "as it was", why=why)
    refused(releases.release_by_exception, house.lead, "I-02", [part], WHY, why=why)
    house.wait(hours=5)
    then = house.now - timedelta(hours=1)
    for deed in (parts.take_apart, parts.wash):
        deed(house.technician.afterwards(then, "power cut"), [part])
    parts.repair(house.engineer.afterwards(then, "power cut"), [part], "mended")
    assert house.status(part) == "withdrawn"


# ---- by exception ----


def test_two_people_may_release_without_proof_and_it_stays_visible(house):
    """The event lists what stood against it; the part keeps its identifier for ever."""
    part = house.new(MASK)
    event = releases.release_by_exception(house.lead, "I-02", [part], WHY)
    assert house.status(part) == "ready"
    assert any(told.startswith("order: ") and "wash" in told for told in event.data["overruled"])
    set_ups.disconnect(house.nurse, house.in_use([part]))
    house.turn_round([part])
    assert (house.part(part).exceptions, house.part(part).excepted) == ((event.id,), False)


def test_an_exception_needs_two_different_leads_who_are_here_and_a_reason(house):
    """Nobody answers alone."""
    part = house.new(MASK)
    release = releases.release_by_exception
    why = ("two people", "I-01 cannot be the second person too", "ask another who may release by exception")
    refused(release, house.lead, "I-01", [part], WHY, why=why)
    why = (
        "permission",
        "N-01 has no role that may record this: a release by exception",
        "ask somebody of: infection",
    )
    refused(release, house.lead, "N-01", [part], WHY, why=why)
    refused(release, house.nurse, "I-02", [part], WHY, why=why)
    refused(
        release,
        house.lead,
        "I-99",
        [part],
        WHY,
        why=("person", "I-99 is not known here", "under your own code"),
    )
    refused(release, house.lead, "I-02", [part], "", why=("reason", "no reason is given", "say why"))
    people.leave(house.lead, "I-02")
    why = ("person", "I-02 no longer works here", "an administrator enrols people")
    refused(release, house.lead, "I-02", [part], WHY, why=why)


def test_what_an_exception_set_aside_holds_again_after_the_use(house):
    """A crack does not heal on a patient."""
    part = house.ready(MASK)
    parts.inspect(house.technician, [part], ["look"], defect="crack")
    releases.release_by_exception(house.lead, "I-02", [part], WHY)
    set_up = house.in_use([part])
    assert house.status(part) == "in use"
    set_ups.disconnect(house.nurse, set_up)
    assert (house.status(part), house.part(part).held) == ("quarantined", ("defect:crack",))


def test_a_new_hold_ends_an_exception(house):
    """The two answered for what they knew."""
    part = house.new(MASK)
    cycle = house.turn_round([part], until="dry", hot=too_seldom)
    releases.release_by_exception(house.lead, "I-02", [part], WHY)
    judging.judge(house.technician, cycle)
    assert house.status(part) == "ready"
    cycles.attach(house.technician, cycle, "biological", result="positive")
    assert house.status(part) == "quarantined"


def test_an_exception_is_not_undone_by_what_it_overruled(house):
    """Where a version was withdrawn or a count is exceeded, the two have said yes already."""
    part, machine = house.ready(MASK), house.ready(VENTILATOR)
    protocols.publish(
        house.lead,
        life_protocol(
            "2", kinds=[ventilator(), mask(makers=[{"what": "Mask", "clause": "5.2", "cycles_at_most": 1}])]
        ),
    )
    parts.quarantine(house.nurse, [part], "one treatment too many")
    releases.release_by_exception(house.lead, "I-02", [part], WHY)
    protocols.withdraw(house.lead, "1", "wrong")
    assert house.part(machine).released_under == "1"
    parts.quarantine(house.nurse, [machine], "version withdrawn")
    releases.release_by_exception(house.lead, "I-02", [machine], WHY)
    assert house.in_use([part], machine=machine)


def test_no_exception_for_what_is_in_a_load_a_set_up_or_on_a_patient(house):
    """It is elsewhere."""
    part = house.new(MASK)
    house.turn_round([part], until="treat")
    cycle = house.loaded([part])
    why = ("load", f"{part} is in cycle {cycle}", "abandon the load")
    refused(releases.release_by_exception, house.lead, "I-02", [part], WHY, why=why)
    used = house.ready(MASK)
    house.in_use([used])
    reasons = refusal(releases.release_by_exception, house.lead, "I-02", [used], WHY).reasons
    assert [r.rule for r in reasons] == ["status", "joined"]
