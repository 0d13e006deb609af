"""At the bedside: joining, checking, connecting, duties, disconnecting, and every reason against."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from life_cast import code_of, refusal, refused, refused_also
from life_protocol import (
    CIRCUIT,
    FILTER,
    FOAM,
    FOAM_DUTY,
    HOURLY,
    MACHINE_DUTY,
    MASK,
    VENTILATOR,
    life_protocol,
    mask,
    ventilator,
)

from lungwort.records.life import cycles, parts, people, protocols, set_ups
from lungwort.records.life.gate import may_connect
from lungwort.records.life.reasons import Refused
from lungwort.records.states.kinds import PatientState


@pytest.fixture
def machine(house):
    """Return a machine that is ready."""
    return house.ready(VENTILATOR)


@pytest.fixture
def circuit(house):
    """Return a circuit that is ready."""
    return house.ready(CIRCUIT)


# ---- what is allowed ----


def test_a_patient_is_connected_cared_for_and_disconnected(house, machine, circuit):
    """Parts are in use meanwhile and soiled after; the patient is free for another set-up."""
    packet = house.new(FILTER)
    set_up = house.joined(machine, [circuit, packet])
    assert house.set_up(set_up).status == "joined"
    set_ups.check(house.nurse, set_up, house.checks(set_up))
    assert may_connect(house.view(), set_up).yes
    set_ups.connect(house.nurse, set_up, "P-117", "ICU")
    assert {house.status(code) for code in (machine, circuit, packet)} == {"in use"}
    assert house.state(PatientState, "P-117").set_ups == (set_up,)
    set_ups.do_duty(house.nurse, set_up, HOURLY)
    assert HOURLY in house.set_up(set_up).duties
    set_ups.disconnect(house.nurse, set_up)
    assert [house.status(code) for code in (machine, circuit, packet)] == ["soiled", "soiled", "withdrawn"]
    assert house.part(circuit).last_patient == "P-117"
    assert house.state(PatientState, "P-117").status == "not connected"


def test_a_set_up_that_was_never_used_is_dissolved(house, machine, circuit):
    """Its parts are what they were before, and can be joined again."""
    set_up = house.checked(machine, [circuit])
    set_ups.part_company(house.nurse, set_up)
    assert house.status(circuit) == "ready"
    assert house.set_up(house.joined(machine, [circuit])).status == "joined"


def test_a_failed_check_can_be_mended_and_done_again(house, machine, circuit):
    """The last check counts."""
    set_up = house.joined(machine, [circuit])
    checks = house.checks(set_up)
    set_ups.check(house.nurse, set_up, checks[1:], failed=checks[:1])
    set_ups.check(house.nurse, set_up, checks)
    set_ups.connect(house.nurse, set_up, "P-117", "ICU")
    assert house.status(circuit) == "in use"


# ---- joining ----


def test_what_is_not_ready_is_not_joined(house, machine):
    """With its status and what to do about it."""
    why = ("status", "is soiled", "take it apart, wash it, treat it")
    refused(set_ups.join, house.nurse, machine, [house.new(CIRCUIT)], why=why)


@pytest.mark.parametrize(
    ("until", "says", "next_step"),
    [
        ("dry", "is washed", "put it in a load"),
        ("release", "is treated, not yet released", "dry it, look at it, release it"),
    ],
)
def test_what_is_under_way_is_not_joined(house, machine, until, says, next_step):
    """Each status has its own next step."""
    part = house.new(CIRCUIT)
    house.turn_round([part], until=until)
    refused(set_ups.join, house.nurse, machine, [part], why=("status", says, next_step))


def test_what_is_drying_is_not_joined(house, machine):
    """It is let dry first."""
    part = house.new(MASK)
    house.turn_round([part], until="dry")
    parts.dry(house.technician, [part], done=False)
    refused(set_ups.join, house.nurse, machine, [part], why=("status", "is drying", "record that it is dry"))


def test_what_is_quarantined_is_not_joined_and_says_why(house, machine, circuit):
    """Both the status and what holds it."""
    parts.quarantine(house.nurse, [circuit], "fell on the floor")
    reasons = refusal(set_ups.join, house.nurse, machine, [circuit]).reasons
    assert [r.rule for r in reasons] == ["status", "quarantine"]
    assert "ordered: fell on the floor" in reasons[1].says


def test_what_is_withdrawn_is_not_joined(house, machine, circuit):
    """Another is taken."""
    parts.withdraw(house.engineer, [circuit], "torn")
    why = ("status", "is withdrawn", "take another; what is withdrawn never comes back")
    refused(set_ups.join, house.nurse, machine, [circuit], why=why)


def test_a_part_in_a_set_up_is_not_joined_into_another(house, machine, circuit):
    """The first is parted before."""
    set_up = house.joined(machine, [circuit])
    why = ("joined", f"{circuit} is part of set-up {set_up}", "or dissolve it where it was not used")
    refused(set_ups.join, house.nurse, house.ready(VENTILATOR), [circuit], why=why)


def test_a_part_in_use_is_not_joined_into_another(house, circuit):
    """It is on a patient."""
    house.in_use([circuit])
    why = ("status", "is in use", "disconnect it from the patient first")
    refused_also(set_ups.join, house.nurse, house.ready(VENTILATOR), [circuit], why=why)


def test_a_set_up_has_one_machine_named_first(house, machine, circuit):
    """Neither none nor two, nor one twice."""
    none = ("machine", f"{circuit} is no machine but a {CIRCUIT}", "name the machine first")
    refused(set_ups.join, house.nurse, circuit, [], why=none)
    second = house.ready(VENTILATOR)
    refused(
        set_ups.join, house.nurse, machine, [second], why=("machine", "second machine", "leave the other out")
    )
    refused(
        set_ups.join,
        house.nurse,
        machine,
        [machine],
        why=("machine", "second machine", "leave the other out"),
    )


def test_a_mistyped_code_is_told(house, machine):
    """Nothing is begun under it."""
    why = ("unknown", "no part P-XXXX is known in Hill Hospital", "check the code, or enrol it first")
    refused(set_ups.join, house.nurse, machine, ["P-XXXX"], why=why)
    refused(
        set_ups.connect,
        house.nurse,
        "S-XXXX",
        "P-1",
        "ICU",
        why=("unknown", "no set-up S-XXXX", "check the code"),
    )


def test_a_set_up_code_is_taken_once(house, machine, circuit):
    """As every code."""
    set_ups.join(house.nurse, machine, [], code="S-1")
    why = ("code", "S-1 is enrolled already", "use another code")
    refused(set_ups.join, house.nurse, house.ready(VENTILATOR), [circuit], code="S-1", why=why)


def test_a_packet_past_its_day_is_not_joined(house, machine):
    """It may be on its day, not after."""
    packet = house.new(FILTER, expires_on=house.now.date())
    set_up = house.joined(machine, [packet])
    set_ups.part_company(house.nurse, set_up)
    house.wait(days=1)
    why = ("expired", f"the packet of {packet} expired on 2026-11-20", "take one in date")
    refused(set_ups.join, house.nurse, machine, [packet], why=why)


def test_a_single_patient_part_is_never_joined_again(house, machine):
    """It is withdrawn with its patient."""
    packet = house.new(FILTER)
    set_ups.disconnect(house.nurse, house.in_use([packet], machine=machine))
    reasons = refusal(set_ups.join, house.nurse, house.ready(VENTILATOR), [packet]).reasons
    assert [r.rule for r in reasons] == ["status", "single patient"]
    assert f"{packet} is for a single patient and was used" in reasons[1].says
    assert "take a new one" in reasons[1].next_step


# ---- the calendar ----


def test_a_filter_overdue_by_the_calendar_is_not_joined_until_it_is_changed(house, machine):
    """Thirty days from its release, to the second; the duty done starts them anew."""
    foam = house.ready(FOAM)
    released = house.part(foam).released_at
    house.wait(days=30, minutes=-1)
    set_ups.part_company(house.nurse, house.joined(machine, [foam]))
    house.wait(minutes=2)
    why = ("duty", f"{foam}: overdue since 2026-12-20: {FOAM_DUTY}", "do it, record it, then go on")
    assert released.startswith("2026-11-20")
    refused(set_ups.join, house.nurse, machine, [foam], why=why)
    parts.do_duty(house.engineer, foam, FOAM_DUTY)
    assert house.joined(machine, [foam])


def test_a_machine_overdue_for_its_check_is_not_joined_nor_connected(house, circuit):
    """From its enrolment, whatever its turnarounds; a duty that does not hold back holds nothing back."""
    machine = house.ready(VENTILATOR)
    set_up = house.checked(machine, [circuit])
    house.wait(days=181)
    people.train(house.lead, "N-01", "nurse", passed=True, expires_on=date(2028, 1, 1))
    why = ("duty", f"{machine}: overdue since 2027-05-19: {MACHINE_DUTY}", "do it")
    refused(set_ups.connect, house.nurse, set_up, "P-117", "ICU", why=why)
    parts.do_duty(house.engineer, machine, MACHINE_DUTY)
    set_ups.connect(house.nurse, set_up, "P-117", "ICU")


def test_duties_by_the_calendar_are_done_on_parts_and_the_others_on_set_ups(house, machine):
    """A calendar duty recorded on a set-up would free nothing."""
    why = ("duty", f"has no duty {HOURLY!r} here", MACHINE_DUTY)
    refused(parts.do_duty, house.engineer, machine, HOURLY, why=why)
    set_up = house.in_use([], machine=machine)
    refused(set_ups.do_duty, house.engineer, set_up, MACHINE_DUTY, why=("duty", "has no duty", HOURLY))


def test_a_duty_is_done_by_who_was_trained_for_it(house, machine):
    """The engineer's by the engineer."""
    why = ("training", "N-01 was not trained as engineer", "let somebody trained do it")
    refused(parts.do_duty, house.nurse, machine, MACHINE_DUTY, why=why)
    set_up = house.in_use([], machine=machine)
    refused(
        set_ups.do_duty, house.who("N-02"), set_up, HOURLY, why=("training", "N-02 was not trained", "let")
    )


# ---- checking ----


def test_a_check_names_every_check_before_use(house, machine, circuit):
    """What was left out is listed."""
    set_up = house.joined(machine, [circuit])
    first, *others = house.checks(set_up)
    why = ("check", "; ".join(["not checked: " + others[0], *others[1:]]), "check these too")
    refused(set_ups.check, house.nurse, set_up, [first], why=why)


def test_only_who_was_trained_checks_and_connects(house, machine, circuit):
    """N-02 may by role, and was not trained."""
    set_up = house.joined(machine, [circuit])
    why = (
        "training",
        "N-02 was not trained as nurse, who owns this step: check before use",
        "let somebody trained",
    )
    refused(set_ups.check, house.who("N-02"), set_up, house.checks(set_up), why=why)
    set_ups.check(house.nurse, set_up, house.checks(set_up))
    why = ("training", "who owns this step: connect a patient", "train and assess, then record that")
    refused(set_ups.connect, house.who("N-02"), set_up, "P-1", "ICU", why=why)


def test_a_training_lapses(house, machine, circuit):
    """It counts on its last day, not after."""
    set_up = house.checked(machine, [circuit])
    people.train(house.lead, "N-01", "nurse", passed=True, expires_on=house.now.date())
    house.wait(days=1)
    why = (
        "training",
        "the training of N-01 as nurse, who owns this step, lapsed on 2026-11-20",
        "let somebody trained",
    )
    refused(set_ups.connect, house.nurse, set_up, "P-1", "ICU", why=why)


# ---- connecting ----


def test_a_set_up_is_connected_only_once_it_was_checked(house, machine, circuit):
    """Not before, not after use, not when it is dissolved."""
    set_up = house.joined(machine, [circuit])
    why = (
        "check",
        f"set-up {set_up} was not checked, or is not waiting",
        "check it before use and record that",
    )
    refused(set_ups.connect, house.nurse, set_up, "P-1", "ICU", why=why)
    set_ups.check(house.nurse, set_up, house.checks(set_up))
    set_ups.connect(house.nurse, set_up, "P-1", "ICU")
    refused_also(set_ups.connect, house.nurse, set_up, "P-2", "ICU", why=why)
    set_ups.disconnect(house.nurse, set_up)
    refused_also(set_ups.connect, house.nurse, set_up, "P-2", "ICU", why=why)


def test_a_set_up_whose_check_failed_is_not_connected(house, machine, circuit):
    """With what was not in order."""
    set_up = house.joined(machine, [circuit])
    checks = house.checks(set_up)
    set_ups.check(house.nurse, set_up, checks, failed=["Alarms heard"])
    why = (
        "check",
        f"the check of set-up {set_up} before use failed: Alarms heard",
        "mend it and check again",
    )
    refused(set_ups.connect, house.nurse, set_up, "P-1", "ICU", why=why)
    assert "Alarms heard" in str(may_connect(house.view(), set_up))


def test_a_part_no_longer_ready_stops_the_whole_set_up(house, machine, circuit):
    """As where it was put in quarantine after the check."""
    set_up = house.checked(machine, [circuit])
    parts.quarantine(house.nurse, [circuit], "a crack")
    reasons = refusal(set_ups.connect, house.nurse, set_up, "P-1", "ICU").reasons
    assert [r.rule for r in reasons] == ["status", "quarantine"]
    assert house.set_up(set_up).status == "checked"


def test_a_patient_is_on_one_set_up_at_a_time(house, machine, circuit):
    """The other is disconnected first."""
    first = house.in_use([circuit], "P-117")
    second = house.checked(machine, [])
    why = ("connected", f"P-117 is connected to set-up {first}", "record its disconnection first")
    refused(set_ups.connect, house.nurse, second, "P-117", "ICU", why=why)
    set_ups.disconnect(house.nurse, first)
    set_ups.connect(house.nurse, second, "P-117", "ICU")


@pytest.mark.parametrize(
    ("patient", "ward", "missing"), [("", "ICU", "patient"), (" ", "ICU", "patient"), ("P-1", "", "ward")]
)
def test_nobody_is_connected_without_a_reference_and_a_ward(house, machine, circuit, patient, ward, missing):
    """Else nobody could be found again."""
    set_up = house.checked(machine, [circuit])
    why = ("unknown", f"no {missing} is named", "give the reference that the hospital uses")
    refused(set_ups.connect, house.nurse, set_up, patient, ward, why=why)


def test_a_version_withdrawn_stops_what_it_released(house, machine):
    """What it treated, and what it only wiped."""
    part = house.ready(MASK)
    set_up = house.checked(machine, [part])
    protocols.publish(house.lead, life_protocol("2"))
    protocols.withdraw(house.lead, "1", "the bath was too cold")
    reasons = refusal(set_ups.connect, house.nurse, set_up, "P-1", "ICU").reasons
    assert [r.rule for r in reasons] == ["protocol", "protocol"]
    assert all("by protocol version 1, withdrawn since: the bath was too cold" in r.says for r in reasons)
    assert {part, machine} == {r.says.split()[0] for r in reasons}


def test_without_a_version_in_force_nobody_is_connected(house, machine, circuit):
    """The lead publishes one first; taking a patient off is always possible."""
    used = house.in_use([circuit], "P-117")
    set_up = house.checked(machine, [])
    protocols.withdraw(house.lead, "1", "wrong throughout")
    why = (
        "protocol",
        "protocol version 1 was withdrawn: wrong throughout",
        "the infection control lead publishes a version",
    )
    refused_also(set_ups.connect, house.nurse, set_up, "P-1", "ICU", why=why)
    set_ups.disconnect(house.nurse, used)


def test_a_kind_gone_from_the_protocol_is_not_connected(house, machine):
    """The version in force says nothing of it any more."""
    part = house.ready(MASK)
    set_up = house.checked(machine, [part])
    protocols.publish(house.lead, life_protocol("2", kinds=[ventilator()]))
    why = ("protocol", f"{part} is a {MASK}, of which the protocol in force says nothing", "adds the kind")
    refused(set_ups.connect, house.nurse, set_up, "P-1", "ICU", why=why)


def test_a_criterion_dropped_stops_what_it_proved(house, machine):
    """It opens no gate from then on."""
    part = house.ready(MASK)
    protocols.drop(house.lead, "A0-600", "a stricter one is meant")
    why = ("adoption", "the hospital has not adopted A0-600", "adopts it with the hospital's own source")
    refused(set_ups.join, house.nurse, machine, [part], why=why)


def test_more_treatments_than_the_maker_allows_stop_a_part(house, machine):
    """As where a new version says fewer."""
    part = house.new(MASK, cycles=2)
    house.turn_round([part])
    protocols.publish(
        house.lead,
        life_protocol(
            "2", kinds=[ventilator(), mask(makers=[{"what": "Mask", "clause": "5.2", "cycles_at_most": 2}])]
        ),
    )
    why = ("cycles", f"{part} went through 3 treatments; its maker allows 2", "withdraw it and take another")
    refused(set_ups.join, house.nurse, machine, [part], why=why)


def test_two_parts_that_are_not_fit_are_both_told(house, machine):
    """Every reason at once, so that nobody asks twice."""
    one, two = house.new(MASK), house.new(CIRCUIT)
    told = str(refusal(set_ups.join, house.nurse, machine, [one, two]))
    assert one in told
    assert two in told


# ---- disconnecting ----


def test_only_what_is_in_use_is_disconnected_and_only_what_is_not_is_dissolved(house, machine, circuit):
    """With what it is and what it should be."""
    set_up = house.joined(machine, [circuit])
    why = ("set-up", f"set-up {set_up} is joined, not yet checked", "this needs one that is in use")
    refused(set_ups.disconnect, house.nurse, set_up, why=why)
    refused(set_ups.do_duty, house.nurse, set_up, HOURLY, why=why)
    set_ups.check(house.nurse, set_up, house.checks(set_up))
    set_ups.connect(house.nurse, set_up, "P-1", "ICU")
    why = ("set-up", f"set-up {set_up} is in use", "joined, not yet checked or checked, not in use")
    refused(set_ups.part_company, house.nurse, set_up, why=why)
    refused(set_ups.check, house.nurse, set_up, house.checks(set_up), why=why)
    set_ups.disconnect(house.nurse, set_up)
    why = ("set-up", f"set-up {set_up} is no longer in use", "this needs one that is in use")
    refused(set_ups.disconnect, house.nurse, set_up, why=why)


def test_what_is_put_in_quarantine_on_a_patient_is_held_once_it_is_off(house, circuit):
    """In use it stays in use."""
    set_up = house.in_use([circuit])
    parts.quarantine(house.nurse, [circuit], "leaks")
    assert house.status(circuit) == "in use"
    set_ups.disconnect(house.nurse, set_up)
    assert house.status(circuit) == "quarantined"


# ---- who ----


def test_who_is_unknown_gone_or_of_another_role_connects_nobody(house, machine, circuit):
    """Each with what to do."""
    set_up = house.checked(machine, [circuit])
    told = (set_up, "P-1", "ICU")
    why = ("person", "N-99 is not known here", "record under your own code")
    refused_also(set_ups.connect, house.who("N-99"), *told, why=why)
    people.leave(house.lead, "N-01")
    why = ("person", "N-01 no longer works here", "an administrator enrols people")
    refused(set_ups.connect, house.nurse, *told, why=why)
    people.train(house.lead, "T-01", "nurse", passed=True, expires_on=date(2027, 1, 1))
    why = (
        "permission",
        "T-01 has no role that may record this: connecting a patient",
        "ask somebody of: ward, infection control lead",
    )
    refused(set_ups.connect, house.technician, *told, why=why)


def test_a_place_that_was_never_opened_is_told(house, machine, circuit):
    """A mistyped place never begins records of its own."""
    set_up = house.checked(machine, [circuit])
    elsewhere = replace(house.nurse, book=replace(house.book, place="Hil Hospital"))
    with pytest.raises(
        Refused, match="nothing was ever recorded for a place called 'Hil Hospital'; check its name"
    ):
        set_ups.connect(elsewhere, set_up, "P-1", "ICU")
    assert house.book.store.places() == ["Hill Hospital"]


def test_a_part_in_an_open_load_is_not_joined(house, machine):
    """Though an exception made it ready before anybody took it out, by paper."""
    part = house.ready(MASK)
    house.wait(hours=3)
    late = house.technician.afterwards(house.now - timedelta(hours=1), "power cut")
    cycle = code_of(cycles.load(late, [part], "hot water", equipment=house.codes["Bath 1"]), "cycle")
    why = ("load", f"{part} is in cycle {cycle}, which has not ended", "end the cycle, or abandon the load")
    refused(set_ups.join, house.nurse, machine, [part], why=why)
