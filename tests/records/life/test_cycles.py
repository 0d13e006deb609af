"""Loads and their one exposure: what goes together, with what, when; the evidence of each its own."""

from datetime import date, timedelta

import pytest
from life_cast import code_of, hot_enough, refused, refused_also, too_cold
from life_protocol import CIRCUIT, FILTER, MASK, SENSOR, VENTILATOR, life_protocol, mask
from protocol_making import adoption, hot_water, thermometer

from lungwort.records.chain.event import Attachment
from lungwort.records.life import corrections, cycles, judging, parts, people, protocols, releases, supplies


@pytest.fixture
def washed(house):
    """Return a mask that is washed."""
    part = house.new(MASK)
    house.turn_round([part], until="treat")
    return part


def bath(house):
    """Return how to load the bath."""
    return {"equipment": house.codes["Bath 1"]}


# ---- loading ----


def test_parts_are_loaded_together_and_more_are_added_while_it_is_open(house, washed):
    """All of one load go through its cycle."""
    other = house.new(MASK)
    house.turn_round([other], until="treat")
    cycle = house.loaded([washed])
    cycles.load(house.technician, [other], "hot water", **bath(house), code=cycle)
    assert house.cycle(cycle).parts == tuple(sorted([washed, other]))
    house.run(cycle)
    assert house.prove(cycle) == "passed"
    assert (house.status(washed), house.status(other)) == ("treated", "treated")


def test_what_was_not_washed_is_not_loaded(house):
    """Washing is not skipped."""
    part = house.new(MASK)
    parts.take_apart(house.technician, [part])
    told = ([part], "hot water")
    refused_also(
        cycles.load, house.technician, *told, **bath(house), why=("status", "is soiled", "wash it, treat it")
    )
    why = ("order", "not done since its last use: wash", "do it, record it")
    refused_also(cycles.load, house.technician, *told, **bath(house), why=why)


def test_what_the_protocol_puts_before_the_treatment_was_done(house):
    """A circuit is dried and looked at before steam."""
    part = house.new(CIRCUIT)
    house.turn_round([part], until="dry")
    how = {"equipment": house.codes["Autoclave 1"], "setting": "134"}
    why = ("order", "not done since its last use: dry", "do it, record it, then go on")
    refused_also(cycles.load, house.technician, [part], "steam", **how, why=why)


def test_a_part_is_in_one_load(house, washed):
    """Neither in two nor twice in one."""
    cycle = house.loaded([washed])
    why = ("load", f"{washed} is in cycle {cycle}, which has not ended", "end the cycle, or abandon the load")
    refused(cycles.load, house.technician, [washed], "hot water", **bath(house), why=why)
    refused(cycles.load, house.technician, [washed], "hot water", **bath(house), code=cycle, why=why)


def test_what_was_treated_goes_into_no_second_load_before_it_is_washed(house):
    """Its protocol treats it once."""
    part = house.new(MASK)
    house.turn_round([part], until="release")
    why = ("status", f"{part} is treated, not yet released", "dry it, look at it, release it")
    refused(cycles.load, house.technician, [part], "hot water", **bath(house), why=why)


def test_a_single_patient_part_is_never_loaded(house):
    """Nor is a machine that is wiped."""
    packet, machine = house.new(FILTER), house.new(VENTILATOR)
    why = ("single patient", f"{packet} is for a single patient", "it is never treated for another")
    refused_also(cycles.load, house.technician, [packet], "hot water", **bath(house), why=why)
    why = (
        "protocol",
        "the protocol does not treat Ventilator with hot water, Bath 1",
        "see the card of its kind",
    )
    refused_also(cycles.load, house.technician, [machine], "hot water", **bath(house), why=why)


@pytest.mark.parametrize(
    ("process", "how", "says"),
    [
        (
            "steam",
            {"equipment": "Autoclave 1", "setting": "134"},
            "does not treat Mask with steam, Autoclave 1, 134",
        ),
        ("hot water", {"equipment": "Autoclave 1"}, "does not treat Mask with hot water, Autoclave 1"),
        ("hot water", {}, "does not treat Mask with hot water;"),
        ("soak", {"batch": "Bleach"}, "does not treat Mask with soak, Bleach"),
    ],
)
def test_a_load_is_treated_only_as_the_protocol_treats_its_kinds(house, washed, process, how, says):
    """By process, equipment, setting and stock; it says how it may be."""
    how = {key: house.codes.get(value, value) for key, value in how.items()}
    why = ("protocol", says, "see the card of its kind")
    refused(cycles.load, house.technician, [washed], process, **how, why=why)


@pytest.mark.parametrize("process", ["wipe", "radiation", ""])
def test_a_load_has_a_process_that_can_be_proved(house, washed, process):
    """A wipe leaves nothing that could be judged, so it is no load."""
    why = ("process", f"{process!r} is no treatment in a load", "give one of: steam, hot water, soak")
    refused(cycles.load, house.technician, [washed], process, why=why)


def test_kinds_that_are_treated_differently_do_not_go_together(house, washed):
    """A flow sensor does not go into the bath."""
    sensor = house.new(SENSOR)
    house.turn_round([sensor], until="treat")
    why = ("protocol", "does not treat Flow sensor with hot water", "see the card")
    refused(cycles.load, house.technician, [washed, sensor], "hot water", **bath(house), why=why)


def test_an_open_load_is_not_turned_into_another_treatment(house, washed):
    """What was put in first would go through what nobody looked at."""
    cycle = house.loaded([washed])
    sensor = house.new(SENSOR)
    house.turn_round([sensor], until="treat")
    why = (
        "load",
        f"load {cycle} was begun for another treatment: hot water",
        "all parts of one are treated alike",
    )
    refused(cycles.load, house.technician, [sensor], "soak", batch=house.codes["Bleach"], code=cycle, why=why)
    protocols.publish(house.lead, life_protocol("2"))
    other = house.new(MASK)
    house.turn_round([other], until="treat")
    refused(cycles.load, house.technician, [other], "hot water", **bath(house), code=cycle, why=why)


def test_nothing_is_added_to_a_load_that_is_closed(house, washed):
    """Once its cycle began, or it was abandoned."""
    other = house.new(MASK)
    house.turn_round([other], until="treat")
    cycle = house.loaded([washed])
    cycles.start(house.technician, cycle)
    why = ("load", f"load {cycle} is closed", "begin a new load")
    refused(cycles.load, house.technician, [other], "hot water", **bath(house), code=cycle, why=why)


def test_an_abandoned_load_leaves_its_parts_as_they_were(house, washed):
    """They are loaded anew."""
    cycle = house.loaded([washed])
    refused(cycles.abandon, house.technician, cycle, "", why=("reason", "no reason is given", "say why"))
    cycles.abandon(house.technician, cycle, "the bath leaks")
    assert house.status(washed) == "washed"
    why = ("cycle", f"cycle {cycle} is abandoned", "this needs one that is being loaded")
    refused(cycles.start, house.technician, cycle, why=why)
    assert house.loaded([washed]) != cycle


def test_only_who_was_trained_loads_and_runs(house, washed):
    """T-02 may by role."""
    why = (
        "training",
        "T-02 was not trained as technician, who owns this step: load a cycle",
        "let somebody trained",
    )
    refused(cycles.load, house.who("T-02"), [washed], "hot water", **bath(house), why=why)
    cycle = house.loaded([washed])
    why = ("training", "who owns this step: run a cycle", "train and assess")
    refused(cycles.start, house.who("T-02"), cycle, why=why)


# ---- equipment and batches ----


def test_equipment_out_of_service_is_neither_loaded_nor_started(house, washed):
    """With the reason for which it is held, until it is freed."""
    cycle = house.loaded([washed])
    supplies.hold_equipment(house.engineer, house.codes["Bath 1"], "leaks")
    why = (
        "equipment",
        f"Bath 1 ({house.codes['Bath 1']}) is out of service: leaks",
        "use another, or have it put back",
    )
    refused(cycles.start, house.technician, cycle, why=why)
    cycles.abandon(house.technician, cycle, "the bath leaks")
    refused(cycles.load, house.technician, [washed], "hot water", **bath(house), why=why)
    supplies.free_equipment(house.engineer, house.codes["Bath 1"], "new seal")
    assert house.loaded([washed])


def test_equipment_runs_one_cycle_at_a_time(house, washed):
    """The second waits for the end of the first."""
    other = house.new(MASK)
    house.turn_round([other], until="treat")
    first, second = house.loaded([washed]), house.loaded([other])
    cycles.start(house.technician, first)
    why = ("equipment", f"{house.codes['Bath 1']} is running cycle {first}", "end that cycle first")
    refused(cycles.start, house.technician, second, why=why)
    cycles.end(house.technician, first)
    cycles.start(house.technician, second)


def test_a_soak_needs_a_batch_in_stock_and_in_date(house):
    """At the load and at its start."""
    sensor, bleach = house.new(SENSOR), house.codes["Bleach"]
    house.turn_round([sensor], until="treat")
    cycle = house.loaded([sensor], "soak")
    supplies.hold_batch(house.store, bleach, "too weak")
    refused(
        cycles.start, house.technician, cycle, why=("batch", f"batch {bleach} is held", "take another batch")
    )
    cycles.abandon(house.technician, cycle, "too weak")
    why = ("batch", f"batch {bleach} is held", "take another batch")
    refused(cycles.load, house.technician, [sensor], "soak", batch=bleach, why=why)


def test_a_load_begun_by_a_version_withdrawn_is_not_started(house, washed):
    """It is loaded anew by the version in force."""
    cycle = house.loaded([washed])
    protocols.publish(house.lead, life_protocol("2"))
    protocols.withdraw(house.lead, "1", "too cold")
    why = (
        "protocol",
        f"load {cycle} was begun by protocol version 1, withdrawn since: too cold",
        "abandon it, and load",
    )
    refused(cycles.start, house.technician, cycle, why=why)


def test_a_cycle_that_runs_is_ended_whatever_becomes_of_its_version(house, washed):
    """What happened is recorded; it opens no gate."""
    cycle = house.loaded([washed])
    cycles.start(house.technician, cycle)
    protocols.withdraw(house.lead, "1", "too cold")
    house.wait(minutes=25)
    cycles.end(house.technician, cycle)
    assert house.prove(cycle) == "passed"
    protocols.publish(house.lead, life_protocol("2"))
    parts.dry(house.technician, [washed])
    parts.inspect(house.technician, [washed], ["look", "assemble", "test"])
    why = (
        "protocol",
        "was treated by protocol version 1, withdrawn since: too cold",
        "treat it again from the wash",
    )
    refused(releases.release, house.technician, [washed], why=why)


# ---- start, end ----


def test_a_cycle_ends_after_it_began_and_is_judged_after_it_ended(house, washed):
    """Each with what it is and what it should be."""
    cycle = house.loaded([washed])
    why = ("cycle", f"cycle {cycle} is being loaded", "this needs one that is running")
    refused(cycles.end, house.technician, cycle, why=why)
    why = ("cycle", f"cycle {cycle} has not ended", "record its end, attach its evidence, then judge it")
    refused(judging.judge, house.technician, cycle, why=why)
    cycles.start(house.technician, cycle)
    why = ("cycle", f"cycle {cycle} is running", "this needs one that is being loaded")
    refused(cycles.start, house.technician, cycle, why=why)
    refused(cycles.abandon, house.technician, cycle, "leaks", why=why)
    refused(judging.judge, house.technician, cycle, why=("cycle", "has not ended", "record its end"))
    cycles.end(house.technician, cycle)
    assert house.part(washed).cycles == 1
    refused(cycles.end, house.technician, cycle, why=("cycle", "is ended, not judged", "is running"))


def test_a_mistyped_cycle_is_told(house):
    """Nothing is begun under it."""
    why = ("unknown", "no cycle C-XXXX is known in Hill Hospital", "check the code")
    for deed in (cycles.start, cycles.end, judging.judge):
        refused(deed, house.technician, "C-XXXX", why=why)


# ---- evidence ----


def test_a_file_is_evidence_of_one_cycle(house, washed):
    """Neither of two, nor twice of one, nor by way of an earlier time."""
    other = house.new(MASK)
    house.turn_round([other], until="treat")
    first, second = house.loaded([washed]), house.loaded([other])
    house.run(first)
    house.run(second)
    file = Attachment("bath.txt", hot_enough(house.now))
    cycles.attach(house.technician, second, "hand", [file])
    why = (
        "evidence",
        f"this file is evidence of cycle {second} already",
        f"attach what was measured in cycle {first}",
    )
    refused(cycles.attach, house.technician, first, "hand", [file], why=why)
    refused_also(
        cycles.attach,
        house.technician,
        second,
        "hand",
        [file],
        why=("evidence", "already", "strike the other"),
    )
    house.wait(hours=2)
    ended = house.now - timedelta(hours=2)
    late = house.technician.afterwards(ended, "power cut")
    refused(cycles.attach, late, first, "hand", [Attachment("other name.txt", file.content)], why=why)


@pytest.mark.parametrize(
    ("kind", "given", "says", "next_step"),
    [
        ("photo", {}, "'photo' is no kind of evidence", "give one of: log, hand, strip"),
        ("hand", {}, "no file of readings is given", "attach the log, or the readings"),
        ("biological", {}, "'' is no result of an indicator", "give positive or negative"),
        (
            "biological",
            {"result": "grew"},
            "'grew' is no result of an indicator",
            "give positive or negative",
        ),
        (
            "hand",
            {"result": "positive", "files": True},
            "positive is a result of an indicator",
            "leave the result out",
        ),
        (
            "hand",
            {"declared": {"sesnor": "x"}, "files": True},
            "'sesnor' cannot be declared",
            "give any of: units",
        ),
        (
            "log",
            {"declared": {"units": 7}, "files": True},
            "7 cannot be declared as units",
            "a table of units",
        ),
        (
            "log",
            {"declared": {"channels": [[]]}, "files": True},
            "cannot be declared as channels",
            "a list of names",
        ),
        ("log", {"declared": {"sensor": 1}, "files": True}, "1 cannot be declared as sensor", "or a text"),
        (
            "log",
            {"declared": {"pressure_error_kpa": "1"}, "files": True},
            "'1' cannot be declared",
            "a number of kPa",
        ),
    ],
)
def test_evidence_is_of_a_kind_that_can_be_read(house, washed, kind, given, says, next_step):
    """What it is, and what is said of it."""
    cycle = house.loaded([washed])
    house.run(cycle)
    files = [Attachment("a.txt", hot_enough(house.now))] if given.pop("files", False) else []
    why = ("evidence", says, next_step)
    refused(cycles.attach, house.technician, cycle, kind, files, **given, why=why)


def test_evidence_belongs_to_a_cycle_that_runs_or_ran(house, washed):
    """Not to a load that is open."""
    cycle = house.loaded([washed])
    file = Attachment("a.txt", hot_enough(house.now))
    why = ("cycle", f"cycle {cycle} is being loaded", "running or ended, not judged or judged")
    refused(cycles.attach, house.technician, cycle, "hand", [file], why=why)


# ---- judging ----


@pytest.mark.parametrize(
    ("kind", "process", "evidence"),
    [(MASK, "hot water", "hand"), (SENSOR, "soak", "strip"), (CIRCUIT, "steam", "log")],
)
def test_a_good_cycle_passes_by_the_criterion_of_its_kind(house, kind, process, evidence):
    """Which the verdict names."""
    part = house.new(kind)
    house.turn_round([part], until="treat")
    cycle = house.treat([part], process)
    state = house.cycle(cycle)
    assert (state.outcome, set(state.criteria.values())) == ("passed", {"passed"})
    assert house.part(part).last_good_cycle == cycle
    assert state.evidence[0].startswith(evidence + ":")


def test_a_cycle_without_evidence_is_not_shown(house, washed):
    """Nothing is taken on trust."""
    cycle = house.loaded([washed])
    house.run(cycle)
    event = judging.judge(house.technician, cycle)
    assert event.data["outcome"] == "not shown"
    assert event.data["reasons"] == ["no evidence is attached that could show it"]
    assert event.data["criteria"] == {"A0-600": "not shown"}


def test_every_piece_of_evidence_must_show_it(house, washed):
    """A good sheet beside a cold one does not pass."""
    cycle = house.loaded([washed])
    house.run(cycle)
    cycles.attach(house.technician, cycle, "hand", [Attachment("cold.txt", too_cold(house.now))])
    assert house.prove(cycle) == "failed"


def test_a_file_that_cannot_be_read_shows_nothing_beside_a_good_one(house, washed):
    """With the reason why it cannot be."""
    cycle = house.loaded([washed])
    house.run(cycle)
    cycles.attach(house.technician, cycle, "hand", [Attachment("scrawl.txt", b"warm, I think")])
    assert house.prove(cycle) == "not shown"
    assert any("scrawl.txt cannot be judged" in reason for reason in house.cycle(cycle).reasons)


@pytest.mark.parametrize("declared", [{"zone": "Nowhere/At all"}, {"unit": "X"}, {"date_order": "ydm"}])
def test_what_is_declared_and_cannot_be_shows_nothing(house, washed, declared):
    """It never stops the judging with anything but a verdict."""
    cycle = house.loaded([washed])
    house.run(cycle)
    kind = "hand" if "unit" in declared else "log"
    cycles.attach(
        house.technician, cycle, kind, [Attachment("a.csv", hot_enough(house.now))], declared=declared
    )
    assert judging.judge(house.technician, cycle).data["outcome"] == "not shown"


def test_the_log_of_another_day_shows_nothing(house, washed):
    """Though it is good: that it is of this cycle is not shown."""
    cycle = house.loaded([washed])
    house.run(cycle)
    assert house.prove(cycle, lambda ended: hot_enough(ended - timedelta(days=7))) == "not shown"
    assert any(
        "was begun on 2026-11-13, the cycle ran on 2026-11-20" in r for r in house.cycle(cycle).reasons
    )


def test_evidence_added_between_judging_and_recording_stops_the_record(house, washed, monkeypatch):
    """The verdict would not have seen it."""
    cycle = house.loaded([washed])
    house.run(cycle)
    judged = judging.judged

    def while_judging(view, state):
        found = judged(view, state)
        cycles.attach(house.technician, cycle, "biological", result="positive")
        return found

    monkeypatch.setattr(judging, "judged", while_judging)
    with pytest.raises(judging.Refused, match="evidence was added to cycle .* meanwhile; judge it again"):
        judging.judge(house.technician, cycle)
    assert house.cycle(cycle).status == "ended"


def test_a_load_corrected_between_judging_and_recording_stops_the_record(house, washed, monkeypatch):
    """The verdict would be of another load."""
    cycle = house.loaded([washed])
    house.run(cycle)
    judged = judging.judged
    event = next(e for e in house.events() if e.what == "cycle.ended")

    def while_judging(view, state):
        found = judged(view, state)
        corrections.correct(house.technician, event.id, "clock", happened_at=house.now - timedelta(minutes=1))
        return found

    monkeypatch.setattr(judging, "judged", while_judging)
    with pytest.raises(
        judging.Refused, match="what is recorded of cycle .* was changed meanwhile; judge it again"
    ):
        judging.judge(house.technician, cycle)


# ---- the gate of a release ----


def test_a_criterion_that_was_not_adopted_opens_no_gate(house):
    """Though its cycle passed, until the lead adopts it."""
    part = house.new(MASK)
    protocols.drop(house.lead, "A0-600", "another source is meant")
    cycle = house.turn_round([part], until="release")
    assert house.cycle(cycle).outcome == "passed"
    why = (
        "adoption",
        f"the hospital has not adopted A0-600, by which cycle {cycle} was judged",
        "the hospital's own source",
    )
    refused(releases.release, house.technician, [part], why=why)
    protocols.adopt(house.lead, "A0-600", "National guideline 2025 (invented)")
    releases.release(house.technician, [part])


def test_a_calibration_lapsed_on_the_day_of_the_cycle_opens_no_gate(house):
    """Nor does one done since; the parts are treated again."""
    part, thermometer = house.new(MASK), house.codes["Thermometer 1"]
    supplies.calibrate(house.engineer, thermometer, house.now.date() - timedelta(days=1))
    cycle = house.turn_round([part], until="release")
    why = (
        "calibration",
        f"the calibration of Thermometer 1 lapsed on 2026-11-19, before cycle {cycle}",
        "then treat",
    )
    refused(releases.release, house.technician, [part], why=why)
    supplies.calibrate(house.engineer, thermometer, date(2027, 6, 1))
    refused(releases.release, house.technician, [part], why=why)
    house.turn_round([part])


def test_of_two_thermometers_of_one_name_the_first_to_lapse_speaks(house):
    """Nobody said which was read; one withdrawn before the cycle is none of them."""
    part = house.new(MASK)
    lapsed = house.now.date() - timedelta(days=1)
    old = code_of(
        supplies.enrol_equipment(house.engineer, "Thermometer 1", calibration_due=lapsed), "equipment"
    )
    house.turn_round([part], until="release")
    why = ("calibration", "the calibration of Thermometer 1 lapsed on 2026-11-19", "have it calibrated")
    refused(releases.release, house.technician, [part], why=why)
    supplies.withdraw_equipment(house.engineer, old, "broken")
    parts.take_apart(house.technician, [part])
    house.turn_round([part])


def test_the_day_in_the_protocol_counts_where_none_is_recorded(house):
    """And none in either opens no gate."""
    text = life_protocol("2", thermometers=[logger(), stick(calibration_due=date(2026, 11, 21))])
    protocols.publish(house.lead, text)
    house.wait(days=2)
    part = house.new(MASK)
    cycle = house.turn_round([part], until="release")
    why = (
        "calibration",
        f"the calibration of Stick lapsed on 2026-11-21, before cycle {cycle}",
        "have it calibrated",
    )
    refused(releases.release, house.technician, [part], why=why)
    protocols.publish(house.lead, life_protocol("3", thermometers=[logger(), stick(calibration_due=None)]))
    parts.take_apart(house.technician, [part])
    cycle = house.turn_round([part], until="release")
    why = (
        "calibration",
        f"no calibration of Stick is recorded, which measured cycle {cycle}",
        "have it calibrated",
    )
    refused(releases.release, house.technician, [part], why=why)


def test_what_no_listed_thermometer_measured_opens_no_gate(house):
    """As where the bath of the load was named otherwise later: what is not listed is not shown to be right."""
    part = house.new(MASK)
    cycle = house.turn_round([part], until="release")
    event = next(e for e in house.events() if e.data.get("name") == "Bath 1")
    data = {**event.data, "name": "Bath 2"}
    corrections.correct(house.engineer, event.id, "it is the second bath", data=data)
    why = (
        "calibration",
        f"no thermometer is listed that measured cycle {cycle}",
        "have the protocol name it",
    )
    refused(releases.release, house.technician, [part], why=why)


def logger():
    """Return the autoclave's logger."""
    return thermometer(name="Logger 1", used_on=["Autoclave 1"])


def stick(**changes):
    """Return a thermometer of the bath of which nothing is recorded."""
    return thermometer(name="Stick", used_on=["Bath 1"], interval_s=300, pressure_too=None, **changes)


def test_what_a_new_version_asks_for_is_asked_at_the_release(house):
    """A cycle judged by a weaker criterion opens no gate any more."""
    part = house.new(MASK)
    cycle = house.turn_round([part], until="release")
    stricter = hot_water(hold_min=20, proved_by=["A0-3000"])
    steps = [stricter if step["do"] == "treat" else step for step in mask()["step"]]
    adoptions = [adoption("A0-3000")]
    protocols.publish(house.lead, life_protocol("2", kinds=[mask(steps=steps)], adoptions=adoptions))
    why = (
        "protocol",
        f"asks for A0-3000; cycle {cycle} was judged by other criteria",
        "by the version in force",
    )
    refused(releases.release, house.technician, [part], why=why)


def test_judging_and_releasing_ask_for_the_role(house, washed):
    """A nurse judges nothing."""
    cycle = house.loaded([washed])
    house.run(cycle)
    why = (
        "permission",
        "N-01 has no role that may record this: the judgement of a cycle",
        "reprocessing, infection control lead",
    )
    refused(judging.judge, house.nurse, cycle, why=why)
    people.give_roles(house.lead, "N-01", ["auditor"])
    why = ("permission", "N-01 has no role that may record this: a release", "ask somebody of: ward")
    refused_also(releases.release, house.nurse, [washed], why=why)
