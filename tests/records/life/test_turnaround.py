"""From enrolment to release: steps in their order, by trained people, as often as a part bears."""

from datetime import date, timedelta

import pytest
from life_cast import refusal, refused, refused_also
from life_protocol import CIRCUIT, FILTER, FOAM, FOAM_WASHES, MASK, SENSOR, VENTILATOR, life_protocol, mask

from lungwort.records.life import cycles, parts, protocols, releases, set_ups, supplies

STEP = "not done since its last use: "


@pytest.mark.parametrize("kind", [VENTILATOR, CIRCUIT, MASK, SENSOR, FOAM])
def test_a_part_that_goes_through_its_whole_turnaround_is_ready(house, kind):
    """As the protocol orders it, whatever treats it."""
    part = house.new(kind)
    assert house.status(part) == "soiled"
    cycle = house.turn_round([part])
    assert house.status(part) == "ready"
    assert not cycle or house.cycle(cycle).outcome == "passed"


# ---- enrolment ----


def test_a_packet_is_ready_as_it_comes(house):
    """Nothing treats it."""
    assert house.status(house.new(FILTER)) == "ready"


def test_a_kind_is_named_in_the_words_of_the_protocol_in_any_case(house):
    """As the protocol writes it, it is kept."""
    assert house.part(house.new("mask")).of_kind == MASK
    why = ("protocol", "has no kind called 'Msak'", "Ventilator; Circuit; Mask")
    refused(parts.enrol, house.store, "Msak", why=why)


def test_a_code_and_a_tag_belong_to_one_part(house):
    """Else a scan would find the wrong one; a tag may go on once its part is withdrawn."""
    part = house.new(MASK, code="P-1", tag="MASK-7")
    refused(
        parts.enrol,
        house.store,
        MASK,
        code="P-1",
        why=("code", "P-1 is enrolled already", "use another code"),
    )
    why = ("code", "P-1 bears MASK-7 already", "read the tag again")
    refused(parts.enrol, house.store, MASK, tag="MASK-7", why=why)
    parts.withdraw(house.engineer, [part], "torn")
    assert house.new(MASK, tag="MASK-7")


def test_treatments_before_enrolment_count_and_are_never_less_than_none(house):
    """Else a part would live longer than its maker allows."""
    refused(parts.enrol, house.store, MASK, cycles=-1, why=("cycles", "-1 treatments", "0 where it is new"))
    assert house.part(house.new(MASK, cycles=3)).cycles == 3


# ---- order ----


def test_a_part_is_taken_apart_before_it_is_washed(house):
    """The water must reach every surface."""
    part = house.new(MASK)
    refused(parts.wash, house.technician, [part], why=("order", STEP + "take apart", "do it, record it"))


def test_a_machine_is_washed_before_it_is_wiped(house):
    """Dirt shields germs."""
    machine = house.new(VENTILATOR)
    parts.take_apart(house.nurse, [machine])
    refused(parts.wipe, house.nurse, [machine], why=("order", STEP + "wash", "do it, record it, then go on"))


def test_only_what_the_protocol_wipes_is_wiped(house):
    """A mask goes into the bath."""
    part = house.new(MASK)
    house.turn_round([part], until="treat")
    why = (
        "protocol",
        f"{part} is a {MASK}, which the protocol in force does not treat by wiping",
        "the card of its kind",
    )
    refused(parts.wipe, house.technician, [part], why=why)


def test_nothing_is_released_that_was_not_washed_treated_dried_and_looked_at(house):
    """Each missing step is told at once."""
    part = house.new(MASK)
    parts.take_apart(house.technician, [part])
    parts.wash(house.technician, [part])
    reasons = refusal(releases.release, house.technician, [part]).reasons
    missing = ["dry", "look", "assemble", "test", "treat with hot water (cycle passed)"]
    assert [r.says.removeprefix(f"{part}: {STEP}") for r in reasons] == missing
    assert {r.rule for r in reasons} == {"order"}


def test_a_second_wash_begins_the_turnaround_anew(house):
    """What was done after the first no longer counts."""
    part = house.new(MASK)
    house.turn_round([part], until="release")
    parts.wash(house.technician, [part])
    assert house.status(part) == "washed"
    told = str(refusal(releases.release, house.technician, [part]))
    assert "treat with hot water (cycle passed)" in told
    assert "look" in told


def test_what_was_treated_begins_anew_when_it_is_taken_apart_again(house):
    """Hands were on it."""
    part = house.new(MASK)
    house.turn_round([part], until="release")
    parts.take_apart(house.technician, [part])
    assert (house.status(part), house.part(part).done) == ("soiled", ("take apart",))


def test_what_was_only_washed_goes_on_when_it_is_taken_apart_again(house):
    """The water was on it, and it still is."""
    part = house.new(MASK)
    house.turn_round([part], until="treat")
    parts.take_apart(house.technician, [part])
    assert (house.status(part), house.part(part).done) == ("washed", ("wash", "take apart"))


@pytest.mark.parametrize(("done_early", "rule"), [("dry", "dry"), ("look", "order"), ("test", "order")])
def test_what_the_protocol_puts_after_the_treatment_counts_only_after_it(house, done_early, rule):
    """Dried, looked at or tested before the bath it must be again."""
    part = house.new(MASK)
    house.turn_round([part], until="treat")
    if done_early == "dry":
        parts.dry(house.technician, [part])
    else:
        parts.inspect(house.technician, [part], [done_early])
    house.treat([part], "hot water")
    if done_early != "dry":
        parts.dry(house.technician, [part])
    parts.inspect(house.technician, [part], [c for c in ("look", "assemble", "test") if c != done_early])
    why = (
        rule,
        f"not done since its treatment: {done_early}",
        "do it, record it, then go on",
    )
    refused(releases.release, house.technician, [part], why=why)


def test_a_part_put_to_dry_is_not_dry(house):
    """It is drying until that is recorded."""
    part = house.new(MASK)
    house.turn_round([part], until="dry")
    parts.dry(house.technician, [part], done=False)
    assert house.status(part) == "drying"
    refused_also(
        releases.release, house.technician, [part], why=("status", "is drying", "record that it is dry")
    )
    parts.dry(house.technician, [part])
    assert house.status(part) == "treated"


@pytest.mark.parametrize("kind", [MASK, FOAM])
def test_what_is_ready_is_treated_again_from_its_first_step(house, kind):
    """As where its pack fell on the floor; it is not ready from then on."""
    part = house.ready(kind)
    (parts.take_apart if kind == MASK else parts.wash)(house.technician, [part])
    assert house.status(part) == ("soiled" if kind == MASK else "washed")
    house.turn_round([part])
    assert house.status(part) == "ready"


def test_drying_makes_nothing_washed(house):
    """Neither what is soiled, nor told afterwards."""
    part = house.new(MASK)
    refused(
        parts.dry, house.technician, [part], why=("status", "is soiled", "take it apart, wash it, treat it")
    )
    house.wait(hours=3)
    parts.dry(house.technician.afterwards(house.now - timedelta(hours=1), "power cut"), [part])
    assert house.status(part) == "soiled"


@pytest.mark.parametrize(
    "deed", [parts.take_apart, parts.wash, parts.wipe, parts.dry, parts.inspect, parts.repair]
)
def test_nothing_is_done_on_a_part_in_use(house, deed):
    """It is disconnected first."""
    part = house.ready(MASK)
    house.in_use([part])
    more = ["what was done"] if deed is parts.repair else []
    why = ("status", f"{part} is in use", "disconnect it from the patient first")
    refused_also(deed, house.engineer, [part], *more, why=why)


def test_nothing_is_done_on_a_part_of_a_set_up(house):
    """The set-up is dissolved first."""
    part = house.ready(MASK)
    set_up = house.joined(house.ready(VENTILATOR), [part])
    why = ("joined", f"{part} is part of set-up {set_up}", "or dissolve it where it was not used")
    refused(parts.inspect, house.technician, [part], why=why)


def test_nothing_is_done_on_a_part_in_a_load(house):
    """Until its cycle ended, or the load is abandoned."""
    part = house.new(MASK)
    house.turn_round([part], until="treat")
    cycle = house.loaded([part])
    why = ("load", f"{part} is in cycle {cycle}, which has not ended", "end the cycle, or abandon the load")
    for deed in (parts.take_apart, parts.wash, parts.dry, parts.inspect):
        refused(deed, house.technician, [part], why=why)
    refused_also(releases.release, house.technician, [part], why=why)


@pytest.mark.parametrize("deed", [parts.take_apart, parts.wash, parts.wipe, parts.dry])
def test_a_single_patient_part_has_no_turnaround(house, deed):
    """It is never treated for another."""
    packet = house.new(FILTER)
    why = (
        "single patient",
        f"{packet} is for a single patient",
        "throw it away; it is never treated for another",
    )
    refused_also(deed, house.technician, [packet], why=why)
    why = ("single patient", "it is never released again", "take a new one")
    refused_also(releases.release, house.technician, [packet], why=why)
    why = ("single patient", "no exception makes it reusable", "take a new one")
    refused_also(releases.release_by_exception, house.lead, "I-02", [packet], "nothing else is left", why=why)


# ---- how often ----


def test_a_part_is_treated_as_often_as_its_maker_allows_and_no_more(house):
    """The last allowed one is; the next is refused at the load."""
    part = house.new(MASK, cycles=3)
    house.turn_round([part])
    house.in_use([part])
    set_ups.disconnect(house.nurse, house.part(part).set_up)
    house.turn_round([part], until="treat")
    why = (
        "cycles",
        f"{part} went through 4 treatments, as many as its maker allows",
        "withdraw it and take another",
    )
    refused(cycles.load, house.technician, [part], "hot water", equipment=house.codes["Bath 1"], why=why)


def test_what_is_only_washed_is_washed_as_often_as_its_maker_allows(house):
    """A foam has no treatment that could be counted."""
    foam = house.new(FOAM)
    for _wash in range(FOAM_WASHES):
        parts.wash(house.technician, [foam])
    why = (
        "cycles",
        f"{foam} went through 3 treatments, as many as its maker allows",
        "withdraw it and take another",
    )
    refused(parts.wash, house.technician, [foam], why=why)
    parts.dry(house.technician, [foam])
    parts.inspect(house.technician, [foam])
    releases.release(house.technician, [foam])


# ---- who and with what ----


@pytest.mark.parametrize(
    ("deed", "step"),
    [(parts.take_apart, "take apart"), (parts.wash, "wash"), (parts.dry, "dry"), (parts.inspect, "look")],
)
def test_each_step_is_done_by_who_was_trained_for_it(house, deed, step):
    """T-02 may by role, and was not trained."""
    part = house.new(MASK)
    why = (
        "training",
        f"T-02 was not trained as technician, who owns this step: {step}",
        "let somebody trained do it",
    )
    refused_also(deed, house.who("T-02"), [part], why=why)


def test_a_step_of_the_engineer_is_not_the_nurses(house):
    """Each step has an owner of its own."""
    machine = house.new(VENTILATOR)
    house.turn_round([machine], until="assemble")
    why = (
        "training",
        "N-01 was not trained as engineer, who owns this step: assemble",
        "let somebody trained",
    )
    refused(parts.inspect, house.nurse, [machine], ["assemble"], why=why)


def test_a_batch_held_used_up_or_past_its_day_is_not_used(house):
    """Another is taken."""
    part = house.new(MASK)
    parts.take_apart(house.technician, [part])
    bleach, old = house.codes["Bleach"], house.codes["Alcohol"]
    supplies.hold_batch(house.store, bleach, "too weak")
    why = ("batch", f"batch {bleach} is held", "take another batch")
    refused(parts.wash, house.technician, [part], batch=bleach, why=why)
    supplies.use_up_batch(house.store, bleach)
    why = ("batch", f"batch {bleach} is used up", "take another batch")
    refused(parts.wash, house.technician, [part], batch=bleach, why=why)
    house.wait(days=(date(2027, 2, 1) - house.now.date()).days)
    why = ("batch", f"batch {old} expired on 2027-01-31", "take another batch")
    refused(parts.wash, house.technician, [part], batch=old, why=why)
    refused(
        parts.wash, house.technician, [part], batch="B-1", why=("unknown", "no batch B-1", "check the code")
    )


def test_an_inspection_is_one_that_the_protocol_knows(house):
    """Of look, assemble and test."""
    part = house.new(MASK)
    refused(
        parts.inspect,
        house.technician,
        [part],
        ["smell"],
        why=("inspection", "smell is no inspection", "give look"),
    )
    refused(
        parts.inspect,
        house.technician,
        [part],
        [],
        why=("inspection", "no inspection is named", "give look"),
    )


# ---- other versions of the protocol ----


def test_a_kind_gone_from_the_protocol_goes_no_further(house):
    """Until the lead adds it again."""
    part = house.new(SENSOR)
    protocols.publish(house.lead, life_protocol("2", kinds=[mask()]))
    why = (
        "protocol",
        f"{part} is a {SENSOR}, of which the protocol in force says nothing",
        "adds the kind to the protocol",
    )
    refused(parts.wash, house.technician, [part], why=why)
    refused(releases.release, house.technician, [part], why=why)


def test_without_a_version_in_force_nothing_goes_on(house):
    """Nothing is done by a version withdrawn."""
    part = house.new(MASK)
    protocols.withdraw(house.lead, "1", "wrong throughout")
    why = ("protocol", "protocol version 1 was withdrawn: wrong throughout", "publishes a version")
    refused(parts.take_apart, house.technician, [part], why=why)
    refused(parts.enrol, house.store, MASK, why=why)


def test_a_machine_is_wiped_with_what_its_card_names(house):
    """Bleach cracks its screen."""
    machine = house.new(VENTILATOR)
    house.turn_round([machine], until="treat")
    bleach = house.codes["Bleach"]
    why = ("batch", f"{machine} is wiped with Alcohol; batch {bleach} is Bleach", "take a batch of the stock")
    refused(parts.wipe, house.nurse, [machine], batch=bleach, why=why)
    parts.wipe(house.nurse, [machine], batch=house.codes["Alcohol"])
