"""The bedside: a set-up joined, checked, connected, looked after and disconnected, and what is refused."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from served import code_of

from lungwort.demo.protocol import demo_protocol_path
from lungwort.protocol.reading import read_protocol
from lungwort.records.life import parts, people, releases, set_ups
from lungwort.records.states.kinds import PartState, PatientState, SetUpState
from lungwort.web.bedside.duties import duties_due

FILTER, EXCHANGER = "Bacterial filter", "Heat-and-moisture exchanger"
MACHINE = "M-1"


def step(name, deed, **told):
    """Return what a form of the set-up's page sends."""
    return {"once": name, "deed": deed, **told}


@pytest.fixture
def packets(hospital):
    """Return two single-patient parts, ready in their packets, and a machine released by two people."""
    store, lead = hospital.witness(code_of("store")), hospital.witness("I-01")
    parts.enrol(store, FILTER, code="P-1")
    parts.enrol(store, EXCHANGER, code="P-2")
    parts.enrol(store, "Ventilator with turbine", code=MACHINE)
    releases.release_by_exception(lead, code_of("infection control lead"), [MACHINE], "no other machine")
    return ["P-1", "P-2"]


@pytest.fixture
def nurse(packets, signed_in):
    """Return a signed-in, trained ward nurse."""
    return signed_in("ward")


def joined(nurse, hospital, codes):
    """Join the machine and parts; return the set-up as it is recorded."""
    answer = nurse.post(
        "/bedside", {"once": "j", "part": [MACHINE, codes[0]], "typed": codes[1]}, follow=True
    )
    assert "Now check it before use." in answer.content.decode()
    (found,) = hospital.view().states(SetUpState)
    return found


def checks_of(page):
    """Return the names under which a page's checks before use are sent, each with its first answer's words."""
    return re.findall(r'name="(check-\d+)" value="yes:([^"]*)"', page)


def checked(nurse, found, failed=()):
    """Send the check before use, each in order but those that failed."""
    page = nurse.get(f"/set-up/{found.code}").content.decode()
    answers = {name: ("no:" if what in failed else "yes:") + what for name, what in checks_of(page)}
    return nurse.post(f"/set-up/{found.code}", step("c", "checked", **answers), follow=True)


def test_a_whole_use_is_recorded_from_joining_to_disconnecting(nurse, hospital, packets):
    """Each step is done by a plain form, and the page then offers the next."""
    found = joined(nurse, hospital, packets)
    assert (found.machine, found.parts) == (MACHINE, ("P-1", "P-2"))
    page = checked(nurse, found).content.decode()
    assert "nothing recorded stands in the way" in page
    address = f"/set-up/{found.code}"
    page = nurse.post(
        address, step("k", "connected", patient="R-1", ward="ICU"), follow=True
    ).content.decode()
    assert "R-1 is connected" in page
    assert "Duties by the clock" in page
    duty = "Look for secretions, water and resistance"
    nurse.post(address, step("d", "duty_done", duty=duty))
    assert duty in hospital.view().state(SetUpState, found.code).duties
    page = nurse.post(address, step("e", "disconnected"), follow=True).content.decode()
    assert "disconnected" in page
    assert hospital.view().state(SetUpState, found.code).status == "ended"
    assert hospital.view().state(PartState, MACHINE).status == "soiled"


def test_a_check_that_is_not_in_order_closes_the_gate(nurse, hospital, packets):
    """The page says which check failed and what to do, and offers no connection."""
    found = joined(nurse, hospital, packets)
    page = checked(nurse, found, failed=["Alarms heard"]).content.decode()
    assert "Not now." in page
    assert "before use failed: Alarms heard" in page
    assert 'value="connected"' not in page
    answer = nurse.post(f"/set-up/{found.code}", step("k", "connected", patient="R-1", ward="ICU"))
    assert answer.status_code == 409
    assert hospital.view().state(PatientState, "R-1") is None


def test_a_form_changed_after_going_back_is_another_deed(nurse, hospital, packets):
    """The same word with other answers does not hide behind the first; sent twice alike it is recorded once."""
    found = joined(nurse, hospital, packets)
    checked(nurse, found, failed=["Alarms heard"])
    checked(nurse, found)
    checked(nurse, found)
    facts = [f for f in hospital.view().facts("set_up", found.code) if f.what == "set_up.checked"]
    assert [f.data["failed"] for f in facts] == [["Alarms heard"], []]


def test_checks_left_out_are_named(nurse, hospital, packets):
    """Nothing counts as checked that nobody said."""
    found = joined(nurse, hospital, packets)
    answer = nurse.post(f"/set-up/{found.code}", step("c", "checked"))
    assert answer.status_code == 409
    assert "not checked: " in answer.content.decode()


def test_what_is_not_ready_is_refused_with_its_next_step(nurse, hospital, packets):
    """A soiled part cannot be joined."""
    parts.enrol(hospital.witness(code_of("store")), "Silicone circuit, adult", code="P-3")
    answer = nurse.post("/bedside", {"once": "j", "part": [MACHINE, "P-3"]})
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "P-3 is soiled" in page
    assert "take it apart, wash it, treat it" in page
    assert nurse.post("/bedside", {"once": "j"}).status_code == 400


def test_a_part_is_joined_by_the_tag_it_bears(nurse, hospital, packets):
    """A hospital's own tag finds the part."""
    parts.enrol(hospital.witness(code_of("store")), FILTER, code="P-4", tag="FILTER-77")
    nurse.post("/bedside", {"once": "j", "part": [MACHINE], "typed": "FILTER-77\r\n"})
    (found,) = hospital.view().states(SetUpState)
    assert found.parts == ("P-4",)


def test_a_use_on_paper_is_entered_afterwards(nurse, hospital, packets):
    """With the time and the reason it is recorded as it happened."""
    found = joined(nurse, hospital, packets)
    checked(nurse, found)
    address = f"/set-up/{found.code}"
    nurse.post(address, step("k", "connected", patient="R-1", ward="ICU"))
    wrong = nurse.post(address, step("e", "disconnected", why="power cut"))
    assert wrong.status_code == 400
    assert "is no moment" in wrong.content.decode()
    when = datetime.now(UTC).isoformat()
    nurse.post(address, step("e", "disconnected", when=when, why="power cut"))
    assert "power cut" in [f.data.get("late") for f in hospital.view().facts("set_up", found.code)]


def test_an_auditor_reads_and_records_nothing(nurse, hospital, packets, signed_in):
    """The page has no form for whoever may not record it, and one sent all the same is refused."""
    found = joined(nurse, hospital, packets)
    auditor = signed_in("auditor")
    assert 'name="deed"' not in auditor.get(f"/set-up/{found.code}").content.decode()
    assert 'name="typed"' not in auditor.get("/bedside").content.decode()
    assert auditor.post(f"/set-up/{found.code}", step("p", "parted")).status_code == 409
    nurse.post(f"/set-up/{found.code}", step("p", "parted"))
    assert hospital.view().state(SetUpState, found.code).status == "parted"


def test_the_address_of_a_part_leads_to_its_set_up(nurse, hospital, packets):
    """What is in no set-up is filled in, ready to be joined."""
    assert ">\nP-1</textarea>" in nurse.get("/bedside?part=P-1").content.decode()
    found = joined(nurse, hospital, packets)
    assert nurse.get("/bedside?part=P-1").headers["Location"] == f"/set-up/{found.code}"
    assert nurse.get("/set-up/S-unknown").status_code == 404
    assert nurse.post(f"/set-up/{found.code}", step("x", "flown")).status_code == 400


def test_a_duty_is_due_its_interval_after_it_was_done_last(hospital, packets):
    """The filter is changed every 48 h and looked at every 8 h, as the demo's protocol says."""
    at = "2026-11-25T08:00:00.000000Z"
    looked = "Look for secretions, water and resistance"
    used = SetUpState(
        "S-1",
        "in use",
        at,
        MACHINE,
        ("P-1",),
        connected_at=at,
        duties={looked: "2026-11-25T10:00:00.000000Z"},
    )
    states = [PartState("P-1", of_kind=FILTER)]
    protocol = read_protocol(demo_protocol_path()).protocol
    found = {due.duty: due for due in duties_due(hospital.view(), protocol, [used], states)}
    start = datetime(2026, 11, 25, 8, tzinfo=UTC)
    assert found[looked].due == start + timedelta(hours=2 + 8)
    assert found["Change the filter; at once when wet or the resistance rises"].due == start + timedelta(
        hours=48
    )
    assert duties_due(hospital.view(), None, [used], states) == []


def test_an_untrained_person_does_not_connect(nurse, hospital, packets):
    """A training that is gone is named as the reason."""
    found = joined(nurse, hospital, packets)
    people.train(
        hospital.witness("I-01"), code_of("ward"), "nurse", passed=False, expires_on=datetime.now(UTC).date()
    )
    answer = checked(nurse, found)
    assert answer.status_code == 409
    assert "was not trained as nurse" in answer.content.decode()
    with pytest.raises(Exception, match="not trained"):
        set_ups.check(hospital.witness(code_of("ward")), found.code, ["Alarms heard"])
