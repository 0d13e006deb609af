"""The turnaround: what stands where, what comes next, each action recorded or refused with its reasons."""

from datetime import date

import pytest
from served import PLACE, code_of

from lungwort.records.life import parts, people
from lungwort.records.states.kinds import PartState
from lungwort.web.frame.books import book_of
from lungwort.web.turnaround.ring import ROUND, ring_of


@pytest.fixture
def circuit(hospital):
    """Return a soiled circuit, with a technician who may treat it."""
    lead = hospital.witness("I-01")
    people.train(lead, code_of("reprocessing"), "technician", passed=True, expires_on=date(2099, 1, 1))
    event = parts.enrol(hospital.witness(code_of("store")), "Silicone circuit, adult", tag="CIRC-12")
    return next(thing.code for thing in event.things if thing.part == "part")


def state_of(code):
    """Return a part as it is now."""
    return book_of(PLACE).view().state(PartState, code)


def do(client, action, code, **told):
    """Send an action on one part."""
    return client.post(f"/turnaround/do/{action}", {"part": [code], **told})


def test_the_ring_counts_every_status_and_says_the_same_in_words(circuit, signed_in):
    """The picture is hidden from readers, since the list beside it says all of it."""
    page = signed_in("auditor").get("/turnaround").content.decode()
    assert '<svg class="ring" viewBox="0 0 460 372" aria-hidden="true"' in page
    assert "style=" not in page
    assert circuit in page
    assert "Take it apart." in page
    assert [stop.status for stop in ring_of({}).stops] == list(ROUND)


def test_a_part_is_chosen_by_code_or_by_its_tag(circuit, signed_in):
    """Codes may be typed in small letters; a tag of the hospital leads to the part that bears it."""
    client = signed_in("reprocessing")
    for text in (circuit.lower(), "CIRC-12", f"{circuit}\nCIRC-12"):
        page = client.get("/turnaround/parts", {"codes": text})
        assert page.status_code == 200, text
        assert "1 part chosen" in page.content.decode()


def test_what_is_no_part_is_said_and_the_field_keeps_what_was_typed(circuit, signed_in):
    """A mistyped code, an unknown one and none at all each have their sentence."""
    client = signed_in("reprocessing")
    wrong = circuit[:-1] + ("2" if circuit[-1] != "2" else "3")
    for text, says in (
        (wrong, wrong),
        ("NONE-SUCH-1", "no part NONE-SUCH-1 is known"),
        ("", "No part was chosen"),
    ):
        page = client.get("/turnaround/parts", {"codes": text})
        assert page.status_code == 400
        assert says in page.content.decode()


def test_steps_are_recorded_one_after_another_and_offered_in_the_protocols_order(circuit, signed_in):
    """Taken apart, washed, put to dry, dry, looked over; then it waits for a load."""
    client = signed_in("reprocessing")
    for action, told, status, says in (
        ("take-apart", {}, "soiled", "Wash it."),
        ("wash", {}, "washed", "Dry it."),
        ("put-to-dry", {}, "drying", "Dry it."),
        ("dry", {}, "washed", "Look it over."),
        ("inspect", {"check": ["look"]}, "washed", "Put it in a load for steam."),
    ):
        answer = do(client, action, circuit, **told)
        assert answer.status_code == 302
        assert state_of(circuit).status == status
        assert says in client.get(answer.headers["Location"]).content.decode()


def test_an_action_comes_with_its_why_its_hazards_and_how_from_the_protocol(circuit, signed_in):
    """The words are those of the kind's card."""
    page = signed_in("reprocessing").get("/turnaround/parts", {"part": circuit}).content.decode()
    assert "Soil hides in joints" in page
    assert "Pull every joint; Y-piece and traps go their own ways." in page
    assert "Steam, hot water and what comes out of them burn" in page


def test_a_step_out_of_order_is_refused_with_its_reasons(circuit, signed_in):
    """Washing before taking apart: nothing is recorded, and the page says what to do."""
    answer = do(signed_in("reprocessing"), "wash", circuit)
    assert answer.status_code == 409
    assert "take apart" in answer.content.decode()
    assert state_of(circuit).washes == 0


def test_a_form_sent_twice_is_recorded_once(circuit, signed_in):
    """A weak network may send again."""
    client = signed_in("reprocessing")
    do(client, "take-apart", circuit, once="one")
    for _time in range(2):
        assert do(client, "wash", circuit, once="two").status_code == 302
    assert state_of(circuit).washes == 1


def test_what_happened_earlier_is_recorded_with_its_reason(circuit, signed_in, hospital):
    """A paper note from a power cut keeps when it happened."""
    told = {"when": "2099-01-01T08:00", "why": "power cut"}
    assert do(signed_in("reprocessing"), "take-apart", circuit, **told).status_code == 409  # ahead of now
    assert do(signed_in("reprocessing"), "take-apart", circuit, when="no moment", why="x").status_code == 400


def test_a_defect_and_an_order_hold_a_part_back(circuit, signed_in):
    """Both are shown as held, with why."""
    client = signed_in("reprocessing")
    do(client, "inspect", circuit, check=["look"], defect="cracked cuff")
    page = client.get("/turnaround", {"status": "quarantined"}).content.decode()
    assert "cracked cuff" in page
    assert do(client, "quarantine", circuit, reason="").status_code == 409
    do(client, "quarantine", circuit, reason="smells of chlorine")
    assert "order:smells of chlorine" in state_of(circuit).held


def test_a_release_says_first_what_stands_in_the_way(circuit, signed_in):
    """The reasons stand beside the button, and sending it anyway is refused."""
    client = signed_in("reprocessing")
    page = client.get("/turnaround/parts", {"part": circuit}).content.decode()
    assert "This stands in the way:" in page
    assert do(client, "release", circuit).status_code == 409


def test_only_who_may_record_is_offered_the_actions(circuit, signed_in):
    """An auditor sees the part and no button; the store enrols."""
    page = signed_in("auditor").get("/turnaround/parts", {"part": circuit}).content.decode()
    assert "/turnaround/do/" not in page
    assert do(signed_in("auditor"), "wash", circuit).status_code == 403
    assert do(signed_in("reprocessing"), "burn", circuit).status_code == 404


def test_a_long_list_comes_in_pages(hospital, signed_in):
    """Fifty at a time; the second page holds the rest."""
    store = hospital.witness(code_of("store"))
    for _n in range(54):
        parts.enrol(store, "Mask, adult")
    client = signed_in("auditor")
    first = client.get("/turnaround").content.decode()
    assert first.count('name="part"') == 50
    link = first.partition('href="?status=&amp;kind=&amp;after=')[2].partition('"')[0]
    second = client.get(f"/turnaround?after={link}").content.decode()
    assert second.count('name="part"') == 5  # with the circuit of the fixture
