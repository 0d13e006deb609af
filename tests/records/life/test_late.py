"""What is entered afterwards: kept with both times, judged as of then, and put in its place among what happened."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from life_cast import code_of, refusal, refused, refused_also, too_cold
from life_protocol import FILTER, HOURLY, MASK, VENTILATOR, life_protocol

from lungwort.errors import UnusableEvent
from lungwort.records.chain.event import Attachment
from lungwort.records.chain.identity import moment_text
from lungwort.records.life import corrections, cycles, judging, parts, people, protocols, releases, set_ups
from lungwort.records.life.reasons import Refused, time_words

PAPER = "power cut, written on paper"


def late(house, who, hours=2.0):
    """Return a witness of what happened some hours ago."""
    return house.who(who).afterwards(house.now - timedelta(hours=hours), PAPER)


# ---- both times ----


def test_both_times_and_the_reason_are_kept(house):
    """When it happened, when it was recorded, and why so late."""
    part = house.new(MASK)
    house.wait(hours=3)
    then = house.now - timedelta(hours=1)
    event = parts.take_apart(house.technician.afterwards(then, PAPER), [part])
    assert (event.happened_at, event.data) == (moment_text(then), {"late": PAPER})
    assert event.recorded_at > event.happened_at
    assert house.part(part).at == moment_text(then)


def test_what_is_entered_late_stands_before_what_happened_later(house):
    """A wash on paper comes before the drying that is recorded already; the state is as if recorded in order."""
    part = house.new(MASK)
    parts.take_apart(house.technician, [part])
    house.wait(hours=1)
    before = house.now
    house.wait(hours=1)
    parts.inspect(house.technician, [part], ["look"])
    parts.wash(house.technician.afterwards(before, PAPER), [part])
    assert (house.status(part), house.part(part).done) == ("washed", ("take apart", "wash", "look"))


# ---- what is said of the time ----


def test_what_is_still_to_come_is_not_recorded(house):
    """Neither as late nor as new."""
    part = house.new(MASK)
    ahead = house.now + timedelta(minutes=2)
    why = ("when", "is still to come", "give the time at which it happened, or set the clock")
    refused(parts.take_apart, house.technician.afterwards(ahead, PAPER), [part], why=why)
    refused(parts.take_apart, replace(house.technician, when=ahead), [part], why=why)


def test_what_is_long_past_needs_a_reason_for_being_late(house):
    """Five minutes are just now."""
    part = house.new(MASK)
    house.wait(hours=1)
    why = ("when", "is more than 5 minutes ago", "say why it is entered afterwards, such as a power cut")
    past = replace(house.technician, when=house.now - timedelta(minutes=6))
    refused(parts.take_apart, past, [part], why=why)
    parts.take_apart(replace(house.technician, when=house.now - timedelta(minutes=4)), [part])


@pytest.mark.parametrize("reason", ["x", "  "])
def test_the_reason_for_being_late_is_given_in_words(house, reason):
    """And the time with it."""
    part = house.new(MASK)
    house.wait(hours=1)
    why = (
        "when",
        "or why it is entered afterwards, is not said",
        "give the time, and the reason in a few words",
    )
    witness = house.technician.afterwards(house.now - timedelta(minutes=30), reason)
    refused(parts.take_apart, witness, [part], why=why)
    refused(parts.take_apart, replace(house.technician, late=PAPER), [part], why=why)


def test_a_time_without_its_zone_is_told(house):
    """Its hour would have to be guessed."""
    part = house.new(MASK)
    with pytest.raises(UnusableEvent, match="has no time zone; give it one, such as UTC"):
        parts.take_apart(house.technician.afterwards(datetime(2026, 11, 20, 6, 0), PAPER), [part])


def test_nothing_is_slipped_in_before_what_is_recorded_without_a_reason(house):
    """A time some minutes ago, before something else happened to the same part, is late and needs its reason."""
    part = house.new(MASK)
    before = house.now
    parts.take_apart(house.technician, [part])
    why = ("when", f"something is recorded of {part} at", "say why it is entered afterwards")
    refused(parts.quarantine, replace(house.technician, when=before), [part], "smells", why=why)


def test_clocks_that_differ_a_little_put_nothing_out_of_order(house):
    """What is recorded just now counts as just after; a clock far behind is told."""
    part = house.new(MASK)
    parts.take_apart(house.technician, [part])
    last = house.part(part).at
    house.moment[0] -= timedelta(minutes=4)
    event = parts.wash(house.technician, [part])
    assert (event.happened_at, house.status(part)) == (last, "washed")
    assert event.recorded_at < last
    house.moment[0] -= timedelta(hours=1)
    why = (
        "when",
        f"something is recorded of {part} at {time_words(last)}, but the clock here shows",
        "set the clock",
    )
    refused(parts.dry, house.technician, [part], why=why)


def test_a_clock_a_year_ahead_stops_nobody_for_a_year(house):
    """What it recorded is told, and struck by the lead; then the work goes on."""
    part = house.new(MASK)
    parts.take_apart(house.technician, [part])
    now = house.now
    house.wait(days=100)
    wrong = parts.wash(house.technician, [part])
    house.moment[0] = now + timedelta(minutes=9)
    why = (
        "when",
        "but the clock here shows 2026-11-20 06:09 UTC",
        "set the clock of this machine, or correct that entry",
    )
    refused(parts.wash, house.technician, [part], why=why)
    corrections.strike(house.lead, wrong.id, "the clock of that machine was wrong")
    parts.wash(house.technician, [part])
    assert house.status(part) == "washed"


def test_what_was_not_known_yet_then_is_told(house):
    """A part is enrolled before anything happens to it."""
    part = house.new(MASK)
    house.wait(hours=1)
    why = (
        "unknown",
        f"part {part} was not known yet in Hill Hospital at that time",
        f"correct when {part} was enrolled",
    )
    refused(parts.take_apart, late(house, "T-01", 1.5), [part], why=why)


# ---- happenings against the rules ----


def test_what_happened_against_the_rules_is_recorded_with_each_rule_it_broke(house):
    """Refusing it would only hide it; the state shows what it did."""
    machine, part = house.ready(VENTILATOR), house.new(MASK)
    parts.take_apart(house.technician, [part])
    house.wait(hours=4)
    joined = set_ups.join(late(house, "N-01", 3), machine, [part])
    set_up = code_of(joined, "set_up")
    event = set_ups.connect(late(house, "N-01", 2), set_up, "P-117", "ICU")
    assert joined.data["against"] == [f"status: {part} is soiled"]
    assert event.data["against"] == [
        f"check: set-up {set_up} was not checked, or is not waiting for a patient", f"status: {part} is soiled"
    ]  # fmt: skip
    assert (house.status(part), house.part(part).patient) == ("in use", "P-117")
    set_ups.disconnect(house.nurse, set_up)
    assert house.status(part) == "soiled"


def test_a_rule_is_judged_as_of_then(house):
    """A training that lapsed since held then, and one passed since did not."""
    part = house.new(MASK)
    house.wait(hours=3)
    people.train(house.lead, "T-02", "technician", passed=True, expires_on=house.now.date())
    people.train(house.lead, "T-01", "technician", passed=False, expires_on=house.now.date())
    assert "against" not in parts.take_apart(late(house, "T-01", 1), [part]).data
    told = parts.wash(late(house, "T-02", 0.9), [part]).data["against"]
    assert told == ["training: T-02 was not trained as technician, who owns this step: wash"]


def test_who_came_here_later_was_not_trained_then(house):
    """And it says so, though they are trained now."""
    part = house.new(MASK)
    house.wait(hours=3)
    people.enrol(house.lead, "T-09", ["reprocessing"])
    people.train(house.lead, "T-09", "technician", passed=True, expires_on=house.now.date())
    told = parts.take_apart(late(house, "T-09", 1), [part]).data["against"]
    assert told == ["training: T-09 was not trained as technician, who owns this step: take apart"]


def test_a_late_entry_forgives_neither_a_missing_permission_nor_an_unknown_thing(house):
    """They are about who records what, not about what happened."""
    part = house.new(MASK)
    house.wait(hours=3)
    refused_also(
        parts.take_apart, late(house, "A-01"), [part], why=("permission", "A-01 has no role", "ask somebody")
    )
    refused(
        parts.take_apart, late(house, "T-01"), ["P-XXXX"], why=("unknown", "no part P-XXXX", "check the code")
    )


def test_calling_it_late_opens_no_gate(house):
    """What happens just now is stopped, with whatever reason it is called late."""
    machine, part = house.ready(VENTILATOR), house.new(MASK)
    house.wait(minutes=30)
    just_now = house.nurse.afterwards(house.now - timedelta(minutes=4), PAPER)
    why = ("status", f"{part} is soiled", "take it apart, wash it, treat it")
    refused(set_ups.join, just_now, machine, [part], why=why)
    set_up = house.checked(machine, [])
    parts.quarantine(house.nurse, [machine], "smokes")
    just_now = house.nurse.afterwards(house.now, PAPER)
    reasons = refusal(set_ups.connect, just_now, set_up, "P-117", "ICU").reasons
    assert [r.rule for r in reasons] == ["status", "quarantine"]


@pytest.mark.parametrize(
    "decision", ["release", "exception", "judge", "adopt", "train", "lift", "withdraw version"]
)
def test_a_decision_against_the_rules_is_refused_however_late(house, decision):
    """A release is made by the rules or not at all."""
    part = house.new(MASK)
    house.wait(hours=3)
    told = {
        "release": (releases.release, "T-01", [part]),
        "exception": (releases.release_by_exception, "I-01", "I-01", [part], "no other"),
        "judge": (judging.judge, "T-01", house_load(house)),
        "adopt": (protocols.adopt, "I-01", "A0-3000", ""),
        "lift": (parts.lift_quarantine, "I-01", [part], "nothing"),
        "withdraw version": (protocols.withdraw, "I-01", "7", "wrong"),
        "train": (people.train, "I-01", "I-01", "nurse"),
    }[decision]
    deed, who, *more = told
    named = {"passed": True, "expires_on": house.now.date()} if decision == "train" else {}
    assert refusal(deed, late(house, who, 0.2), *more, **named)


def house_load(house):
    """Return a load that is still open."""
    part = house.new(MASK)
    house.turn_round([part], until="treat")
    cycle = house.loaded([part])
    house.wait(hours=1)
    return cycle


def test_a_decision_that_was_right_then_is_recorded_late(house):
    """As a release on paper during a power cut."""
    part = house.new(MASK)
    house.turn_round([part], until="release")
    house.wait(hours=2)
    event = releases.release(late(house, "T-01", 1), [part])
    assert house.status(part) == "ready"
    assert event.data["late"] == PAPER


def test_a_late_release_does_not_outlive_what_happened_after_it(house):
    """It was put in quarantine since: it stays there."""
    part = house.new(MASK)
    house.turn_round([part], until="release")
    house.wait(hours=2)
    parts.quarantine(house.nurse, [part], "smells")
    releases.release(late(house, "T-01", 1), [part])
    assert house.status(part) == "quarantined"


def test_a_late_release_before_a_version_was_withdrawn_lets_nobody_be_connected(house):
    """The gate at the bedside looks at what stands now."""
    part = house.new(MASK)
    house.turn_round([part], until="release")
    machine = house.ready(VENTILATOR)
    house.wait(hours=2)
    protocols.publish(house.lead, life_protocol("2"))
    protocols.withdraw(house.lead, "1", "too cold")
    releases.release(late(house, "T-01", 1), [part])
    why = ("protocol", f"{part} was treated by protocol version 1, withdrawn since", "treat it again")
    refused_also(set_ups.join, house.nurse, machine, [part], why=why)


# ---- late entries that change what later ones stood on ----


def test_a_use_on_paper_makes_what_looked_ready_soiled(house):
    """The release that stood on steps before that use counts no more."""
    part = house.new(MASK)
    house.turn_round([part], until="release")
    machine = house.ready(VENTILATOR)
    house.wait(hours=4)
    releases.release(house.technician, [part])
    assert house.status(part) == "ready"
    set_up = code_of(set_ups.join(late(house, "N-01", 3), machine, [part]), "set_up")
    set_ups.connect(late(house, "N-01", 2.5), set_up, "P-117", "ICU")
    set_ups.disconnect(late(house, "N-01", 2), set_up)
    assert (house.status(part), house.part(part).uses) == ("soiled", 1)


def test_a_single_patient_part_used_on_paper_is_not_joined_again(house):
    """It was withdrawn with its patient."""
    packet, machine = house.new(FILTER), house.ready(VENTILATOR)
    house.wait(hours=4)
    set_up = code_of(set_ups.join(late(house, "N-01", 3), machine, [packet]), "set_up")
    set_ups.connect(late(house, "N-01", 2.5), set_up, "P-117", "ICU")
    set_ups.disconnect(late(house, "N-01", 2), set_up)
    assert house.status(packet) == "withdrawn"
    refused_also(
        set_ups.join, house.nurse, house.ready(VENTILATOR), [packet],
        why=("single patient", "is for a single patient and was used", "take a new one"),
    )  # fmt: skip


def test_a_part_put_in_a_load_on_paper_gains_nothing_by_the_cycle(house):
    """Its end named the parts that were in it as far as was known; it is treated again, or that is corrected."""
    part, other = house.new(MASK), house.new(MASK)
    house.turn_round([part, other], until="treat")
    cycle = house.loaded([part])
    before = house.now
    house.wait(hours=1)
    house.run(cycle)
    house.prove(cycle)
    how = {"equipment": house.codes["Bath 1"], "code": cycle}
    cycles.load(house.technician.afterwards(before, PAPER), [other], "hot water", **how)
    assert (house.status(part), house.status(other)) == ("treated", "washed")
    parts.dry(house.technician, [other])
    parts.inspect(house.technician, [other], ["look", "assemble", "test"])
    why = ("order", "treat with hot water (cycle passed)", "do it, record it")
    refused(releases.release, house.technician, [other], why=why)


def test_a_load_on_paper_that_is_abandoned_hides_no_unproved_cycle(house):
    """The cycle that the part was through still counts."""
    part = house.new(MASK)
    house.turn_round([part], until="treat")
    cycle = house.loaded([part])
    house.run(cycle)
    parts.dry(house.technician, [part])
    parts.inspect(house.technician, [part], ["look", "assemble", "test"])
    house.wait(hours=3)
    how = {"equipment": house.codes["Bath 1"]}
    second = code_of(cycles.load(late(house, "T-01", 1), [part], "hot water", **how), "cycle")
    cycles.abandon(house.technician, second, "the wrong basket")
    why = ("proof", f"cycle {cycle} of {part} is not judged", "attach its evidence and judge it")
    refused(releases.release, house.technician, [part], why=why)


def test_a_positive_indicator_read_on_paper_before_the_judgement_still_holds(house):
    """The verdict did not see it."""
    part = house.new(MASK)
    house.turn_round([part], until="treat")
    cycle = house.loaded([part])
    house.run(cycle)
    before = house.now
    house.wait(hours=1)
    assert house.prove(cycle) == "passed"
    cycles.attach(house.technician.afterwards(before, PAPER), cycle, "chemical", result="positive")
    assert house.part(part).held == (f"indicator:{cycle}:chemical",)
    assert house.status(part) == "quarantined"


def test_readings_on_paper_before_the_judgement_ask_for_another(house):
    """The verdict did not see them, and opens no gate."""
    part = house.new(MASK)
    house.turn_round([part], until="treat")
    cycle = house.loaded([part])
    house.run(cycle)
    before = house.now
    house.wait(hours=1)
    house.prove(cycle)
    parts.dry(house.technician, [part])
    parts.inspect(house.technician, [part], ["look", "assemble", "test"])
    sheet = Attachment("sheet.txt", too_cold(before))
    cycles.attach(house.technician.afterwards(before, PAPER), cycle, "hand", [sheet])
    refused(
        releases.release,
        house.technician,
        [part],
        why=("proof", f"cycle {cycle} of {part} is not judged", "judge it"),
    )
    assert judging.judge(house.technician, cycle).data["outcome"] == "failed"


def test_what_is_on_another_patient_by_now_stays_there_when_the_first_is_disconnected(house):
    """Two uses that overlap by what was written down: both set-ups are seen, and the later one counts."""
    part, machine, other = house.ready(MASK), house.ready(VENTILATOR), house.ready(VENTILATOR)
    first = house.in_use([part], "P-1", machine)
    house.wait(hours=4)
    second = code_of(set_ups.join(late(house, "N-01", 3), other, [part]), "set_up")
    set_ups.connect(late(house, "N-01", 2), second, "P-2", "ICU")
    set_ups.disconnect(house.nurse, first)
    assert (house.status(part), house.part(part).patient) == ("in use", "P-2")
    set_ups.do_duty(house.nurse, second, HOURLY)
    set_ups.disconnect(house.nurse, second)
    assert house.status(part) == "soiled"


def test_a_cycle_started_on_paper_while_another_ran_is_marked(house):
    """One autoclave runs one cycle at a time, then as now."""
    one, two = house.new(MASK), house.new(MASK)
    house.turn_round([one, two], until="treat")
    first, second = house.loaded([one]), house.loaded([two])
    cycles.start(house.technician, first)
    house.wait(minutes=30)
    inside = house.now
    house.wait(minutes=30)
    cycles.end(house.technician, first)
    house.wait(minutes=30)
    told = cycles.start(house.technician.afterwards(inside, PAPER), second).data["against"]
    assert told == [f"equipment: {house.codes['Bath 1']} is running cycle {first}"]


def test_a_late_happening_without_a_protocol_in_force_is_recorded(house):
    """A patient was connected all the same."""
    set_up = house.checked(house.ready(VENTILATOR), [])
    protocols.withdraw(house.lead, "1", "wrong throughout")
    house.wait(hours=2)
    event = set_ups.connect(late(house, "N-01", 1), set_up, "P-117", "ICU")
    assert any("protocol version 1 was withdrawn" in told for told in event.data["against"])
    with pytest.raises(Refused, match="publishes a version"):
        releases.release(late(house, "T-01", 1), [house.set_up(set_up).machine])
