"""Ways to a false release or a false connection that somebody who means well, or does not, could go; each is closed."""

from datetime import timedelta

import pytest
from life_cast import House, code_of, open_house, refused, refused_also, soaked, too_cold, too_seldom
from life_protocol import FILTER, MASK, VENTILATOR, life_protocol, mask, ventilator
from protocol_making import (
    dry,
    hot_water,
    kind,
    leak_test,
    look,
    maker,
    rinse,
    soak,
    step,
    store,
    take_apart,
    wash,
)

from lungwort.records.life import corrections, cycles, judging, parts, protocols, releases, set_ups

TWICE, PRESOAKED, WIPED, SOAKED_TWICE = "Valve", "Jar", "Lead", "Cup"
END = [rinse(times=3), dry(), look(), leak_test(), store()]
WIPE = {"process": "wipe", "stock": "Alcohol", "strength": "70 %", "contact_min": 5, "by": "nurse"}
KINDS = [
    kind(name=TWICE, like="expiratory valve", steps=[wash(), hot_water(), soak(), *END], duties=[]),
    kind(name=PRESOAKED, like="suction jar", duties=[],
         steps=[take_apart(), soak(), rinse(times=3), wash(), hot_water(), *END]),
    kind(name=SOAKED_TWICE, like="mask", steps=[wash(), soak(), rinse(times=3), soak(), *END], duties=[]),
    kind(name=WIPED, like="monitor leads", contact="non-critical", duties=[],
         steps=[step("treat", **WIPE), dry(by="nurse"), look(by="nurse"), store(by="nurse")]),
]  # fmt: skip


@pytest.fixture
def other() -> House:
    """Return a hospital whose parts are treated twice, soaked before the wash, or wiped only."""
    return open_house(text=life_protocol(kinds=[*KINDS, mask(), ventilator()]))


def last(house, what):
    """Return the last event of a kind."""
    return next(e for e in reversed(house.events()) if e.what == what)


def finish(house, part):
    """Dry a part, look at it and test it."""
    parts.dry(house.technician, [part])
    parts.inspect(house.technician, [part], ["look", "test"])


# ---- verdicts that come late ----


def test_a_verdict_after_the_use_treats_nothing(house):
    """The cycle passed at last; the part was on a patient since, and is soiled."""
    part = house.new(MASK)
    cycle = house.turn_round([part], until="dry", hot=too_seldom)
    releases.release_by_exception(house.lead, "I-02", [part], "no other mask in the house")
    set_ups.disconnect(house.nurse, house.in_use([part]))
    assert house.status(part) == "quarantined"
    first = last(house, "cycle.evidence_attached")
    corrections.strike(house.technician, last(house, "cycle.judged").id, "a wrong sheet")
    corrections.strike(house.technician, first.id, "a wrong sheet")
    assert house.prove(cycle) == "passed"
    assert (house.status(part), house.part(part).done) == ("soiled", ())
    why = ("order", "treat with hot water (cycle passed)", "do it, record it")
    refused_also(releases.release, house.technician, [part], why=why)


def test_a_cycle_judged_again_treats_nothing_that_was_used_since(house):
    """Its verdict is as good as before; the step is not done again by it."""
    part = house.new(MASK)
    cycle = house.turn_round([part])
    set_ups.disconnect(house.nurse, house.in_use([part]))
    assert judging.judge(house.technician, cycle).data["outcome"] == "passed"
    assert (house.status(part), house.part(part).done) == ("soiled", ())


def test_a_verdict_after_the_wash_holds_nothing(house):
    """The treatment it speaks of was washed off; what comes now is judged by itself."""
    part = house.new(MASK)
    cycle = house.turn_round([part], until="release")
    parts.wash(house.technician, [part])
    cycles.attach(house.technician, cycle, "biological", result="positive")
    judging.judge(house.technician, cycle)
    assert (house.status(part), house.part(part).held) == ("washed", ())


def test_a_failed_verdict_reaches_a_part_on_a_patient_and_on_the_shelf(house):
    """Whatever was released on the one before."""
    shelf, bed = house.new(MASK), house.new(MASK)
    cycle = house.turn_round([shelf, bed])
    set_up = house.in_use([bed])
    cycles.attach(house.technician, cycle, "biological", result="positive")
    judging.judge(house.technician, cycle)
    assert (house.status(shelf), house.status(bed)) == ("quarantined", "in use")
    set_ups.disconnect(house.nurse, set_up)
    assert set(house.part(bed).held) == {f"cycle:{cycle}:failed", f"indicator:{cycle}:biological"}


# ---- several treatments ----


def test_a_part_treated_twice_needs_both_proofs(other):
    """Each by its own criterion; the second load waits for the first verdict."""
    part = other.new(TWICE)
    parts.wash(other.technician, [part])
    first = other.loaded([part])
    other.run(first)
    why = ("order", "not done since its last use: treat with hot water (cycle passed)", "do it")
    refused(cycles.load, other.technician, [part], "soak", batch=other.codes["Bleach"], why=why)
    assert other.prove(first) == "passed"
    finish(other, part)
    refused(
        releases.release, other.technician, [part], why=("order", "treat by soaking (cycle passed)", "do it")
    )
    second = other.loaded([part], "soak")
    other.run(second, 50)
    finish(other, part)
    refused(
        releases.release,
        other.technician,
        [part],
        why=("proof", f"cycle {second} of {part} is not judged", "judge"),
    )
    assert other.prove(second) == "passed"
    releases.release(other.technician, [part])


def test_the_first_of_two_cycles_found_bad_holds_the_part_after_the_second(other):
    """It is not hidden behind the later one."""
    part = other.new(TWICE)
    other.turn_round([part], until="store")
    first, second = other.part(part).exposures
    cycles.attach(other.technician, first, "chemical", result="positive")
    assert other.status(part) == "quarantined"
    judging.judge(other.technician, first)
    judging.judge(other.technician, second)
    why = ("quarantine", f"{part} is held: cycle {first}: failed", "treat it again from the wash")
    refused_also(releases.release, other.technician, [part], why=why)


def test_two_treatments_of_one_process_are_two(other):
    """One soak is not both."""
    part = other.new(SOAKED_TWICE)
    parts.wash(other.technician, [part])
    other.treat([part], "soak")
    finish(other, part)
    why = ("order", "treat by soaking (cycle passed)", "do it, record it, then go on")
    refused(releases.release, other.technician, [part], why=why)
    other.treat([part], "soak")
    finish(other, part)
    releases.release(other.technician, [part])


def test_a_soak_before_the_wash_is_recorded_and_proves_nothing(other):
    """Only the treatment after the wash counts; a soak that failed holds until then."""
    part = other.new(PRESOAKED)
    parts.take_apart(other.technician, [part])
    cycle = other.loaded([part], "soak")
    other.run(cycle, 50)
    assert judging.judge(other.technician, cycle).data["outcome"] == "not shown"
    assert other.status(part) == "quarantined"
    parts.wash(other.technician, [part])
    assert (other.status(part), other.part(part).exposures) == ("washed", ())
    finish(other, part)
    refused(
        releases.release,
        other.technician,
        [part],
        why=("order", "treat with hot water (cycle passed)", "do it"),
    )
    other.treat([part], "hot water")
    finish(other, part)
    releases.release(other.technician, [part])


def test_what_is_only_wiped_goes_by_the_wipe(other):
    """It needs no wash where the protocol puts none; without the wipe it is not released."""
    part = other.new(WIPED)
    why = ("order", "wipe with disinfectant", "do it, record it")
    refused_also(releases.release, other.nurse, [part], why=why)
    parts.wipe(other.nurse, [part])
    refused_also(releases.release, other.nurse, [part], why=("order", "since its last use: dry", "do it"))
    parts.dry(other.nurse, [part])
    parts.inspect(other.nurse, [part], ["look"])
    releases.release(other.nurse, [part])
    set_ups.disconnect(other.nurse, other.in_use([part]))
    refused_also(releases.release, other.nurse, [part], why=why)


# ---- versions in between ----


def test_a_kind_gone_between_load_and_release_is_judged_by_its_version_and_not_released(house):
    """The verdict is by what was in force at the load; the gate is by what is in force now."""
    part = house.new(MASK)
    house.turn_round([part], until="treat")
    cycle = house.loaded([part])
    protocols.publish(house.lead, life_protocol("2", kinds=[ventilator()]))
    house.run(cycle)
    assert house.prove(cycle) == "passed"
    why = ("protocol", f"{part} is a {MASK}, of which the protocol in force says nothing", "adds the kind")
    refused(releases.release, house.technician, [part], why=why)


def test_a_step_added_by_a_new_version_is_asked_at_the_release(house):
    """What was treated otherwise is treated again."""
    part = house.new(MASK)
    house.turn_round([part], until="release")
    steps = [soak() if s["do"] == "treat" else s for s in mask()["step"]]
    steps.insert(3, rinse(times=3))
    protocols.publish(house.lead, life_protocol("2", kinds=[mask(steps=steps)]))
    refused(
        releases.release, house.technician, [part], why=("order", "treat by soaking (cycle passed)", "do it")
    )


def test_what_is_ready_stays_ready_under_a_new_version(house):
    """The shelves are not emptied by publishing."""
    part, machine = house.ready(MASK), house.ready(VENTILATOR)
    steps = [*mask()["step"][:-1], dry(), store()]
    protocols.publish(
        house.lead, life_protocol("2", kinds=[mask(steps=steps, makers=[maker(what="Mask")]), ventilator()])
    )
    assert house.in_use([part], machine=machine)


# ---- parts elsewhere ----


def test_a_part_moved_to_another_set_up_stops_the_first(house):
    """It is no longer part of it."""
    part, one, two = house.ready(MASK), house.ready(VENTILATOR), house.ready(VENTILATOR)
    first = house.checked(one, [part])
    set_ups.part_company(house.nurse, first)
    house.joined(two, [part])
    refused_also(
        set_ups.connect,
        house.nurse,
        first,
        "P-1",
        "ICU",
        why=("joined", f"no longer part of set-up {first}", "join"),
    )


def test_a_set_up_dissolved_late_does_not_free_a_part_of_another(house):
    """It belongs to the set-up in which it is now."""
    part, one, two = house.ready(MASK), house.ready(VENTILATOR), house.ready(VENTILATOR)
    first = house.joined(one, [part])
    house.wait(hours=2)
    late = house.nurse.afterwards(house.now - timedelta(hours=1), "power cut")
    second = code_of(set_ups.join(late, two, [part]), "set_up")
    set_ups.part_company(house.nurse, first)
    assert house.part(part).set_up == second


def test_a_connection_struck_does_not_make_a_used_packet_new(house):
    """Its disconnection stands, and says that it was used."""
    packet = house.new(FILTER)
    set_up = house.in_use([packet])
    set_ups.disconnect(house.nurse, set_up)
    event = last(house, "set_up.connected")
    refused(
        corrections.strike,
        house.nurse,
        event.id,
        "the next bed",
        why=("event", "rests on it", "strike that one first"),
    )
    assert house.status(packet) == "withdrawn"


def test_a_withdrawn_part_in_use_by_paper_is_withdrawn_again_when_it_is_off(house):
    """It shows where it is meanwhile."""
    part, machine = house.ready(MASK), house.ready(VENTILATOR)
    parts.withdraw(house.engineer, [part], "torn")
    house.wait(hours=3)
    late = house.nurse.afterwards(house.now - timedelta(hours=1), "power cut")
    set_up = code_of(set_ups.join(late, machine, [part]), "set_up")
    set_ups.connect(
        house.nurse.afterwards(house.now - timedelta(minutes=30), "power cut"), set_up, "P-1", "ICU"
    )
    assert house.status(part) == "in use"
    set_ups.disconnect(house.nurse, set_up)
    assert house.status(part) == "withdrawn"


def test_the_end_of_a_cycle_takes_nothing_off_a_patient(house):
    """A part that was in the load by the records and on a patient by paper stays in use."""
    part, machine = house.new(MASK), house.ready(VENTILATOR)
    house.turn_round([part], until="treat")
    cycle = house.loaded([part])
    cycles.start(house.technician, cycle)
    house.wait(hours=3)
    for minutes, deed in ((120, set_ups.join), (90, set_ups.connect)):
        late = house.nurse.afterwards(house.now - timedelta(minutes=minutes), "power cut")
        told = (machine, [part]) if deed is set_ups.join else (house.part(part).set_up, "P-1", "ICU")
        assert deed(late, *told).data["against"]
    cycles.end(house.technician, cycle)
    house.prove(cycle)
    assert house.status(part) == "in use"
    why = ("status", f"{part} is in use", "disconnect it from the patient first")
    refused_also(releases.release, house.technician, [part], why=why)


# ---- proofs that are none ----


def test_a_weak_solution_and_a_cold_bath_fail(other):
    """Judged by the criterion of the kind, not by who says so."""
    part = other.new(SOAKED_TWICE)
    parts.wash(other.technician, [part])
    cycle = other.loaded([part], "soak")
    other.run(cycle, 50)
    assert other.prove(cycle, lambda ended: soaked(ended).replace(b"1150", b"400")) != "passed"
    assert other.status(part) == "quarantined"
    cold = other.new(MASK)
    other.turn_round([cold], until="dry", hot=too_cold)
    assert other.status(cold) == "quarantined"
