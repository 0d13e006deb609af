"""Cycles: loaded, run, proved by what was measured, judged in words, with curve and certificate."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from served import PLACE, code_of

from lungwort.records.life import parts, people, supplies
from lungwort.records.states.kinds import CycleState, PartState
from lungwort.web.cycles.live import line_of, minutes_still
from lungwort.web.frame.books import book_of


@pytest.fixture
def room(hospital):
    """Return the reprocessing room: a technician, a bath, bleach, and a mask and a sensor that wait for a load."""
    lead, technical = hospital.witness("I-01"), hospital.witness(code_of("technical"))
    people.train(lead, code_of("reprocessing"), "technician", passed=True, expires_on=date(2099, 1, 1))
    bath = code_in(supplies.enrol_equipment(technical, "Bath 1"), "equipment")
    told = {"lot": "L1", "made_on": date(2026, 11, 1), "expires_on": date(2099, 1, 1)}
    batch = code_in(supplies.enrol_batch(hospital.witness(code_of("store")), "Bleach", **told), "batch")
    worker, found = hospital.witness(code_of("reprocessing")), {"bath": bath, "batch": batch}
    for name, kind in (("mask", "Mask, adult"), ("sensor", "Flow sensor")):
        code = code_in(parts.enrol(hospital.witness(code_of("store")), kind), "part")
        parts.take_apart(worker, [code])
        parts.wash(worker, [code])
        parts.inspect(worker, [code])
        found[name] = code
    return found


def code_in(event, kind):
    """Return the code of the only thing of a kind in an event."""
    return next(thing.code for thing in event.things if thing.part == kind)


def cycle_of(code):
    """Return a cycle as it is now."""
    return book_of(PLACE).view().state(CycleState, code)


def loaded(client, way, part):
    """Load one part and return the cycle's code."""
    answer = client.post("/cycles/load", {"way": way, "part": [part]})
    assert answer.status_code == 302, answer.content.decode()
    return answer.headers["Location"].rpartition("/")[2]


def in_bath(client, room):
    """Return a cycle in the bath that runs."""
    code = loaded(client, f"hot water|{room['bath']}||", room["mask"])
    assert client.post(f"/cycle/{code}/do/start").status_code == 302
    return code


def log_of(temperature_c, minutes=40):
    """Return a logger's file of a bath, dated now."""
    begun = datetime.now(UTC).replace(tzinfo=None, microsecond=0) - timedelta(minutes=minutes)
    rows = [
        f"{begun + timedelta(seconds=10 * n):%Y-%m-%d %H:%M:%S},{temperature_c}" for n in range(6 * minutes)
    ]
    return SimpleUploadedFile("bath.csv", "\n".join(["time,T1 (C)", *rows]).encode())


def test_the_ways_to_treat_are_the_protocols_with_what_is_here(room, signed_in):
    """The autoclave of the protocol is not enrolled here, so it is named without a button."""
    page = signed_in("reprocessing").get("/cycles/load", {"part": room["mask"]}).content.decode()
    assert f'value="hot water|{room["bath"]}||"' in page
    assert "None is in service or in stock here" in page
    assert "1000 mg/L" in page
    assert 'href="/turnaround"' in page  # the ways through the house are not hidden by the ways to treat


def test_only_parts_that_wait_for_a_treatment_can_be_ticked(room, signed_in):
    """A part that was chosen and does not belong there is named."""
    told = {"way": f"hot water|{room['bath']}||", "part": [room["mask"], room["sensor"]]}
    page = signed_in("reprocessing").get("/cycles/load", told).content.decode()
    assert f'value="{room["mask"]}" checked' in page
    assert f"Not for this load, or a step before it is missing: {room['sensor']}." in page


def test_a_bath_cycle_from_load_to_verdict_with_curve_and_certificate(room, signed_in):
    """A logger's file at 88 °C for 40 minutes shows A0 3000; the part goes on to be dried."""
    client = signed_in("reprocessing")
    code = in_bath(client, room)
    assert "running" in client.get("/cycles").content.decode()
    assert client.post(f"/cycle/{code}/do/end").status_code == 302
    assert "without evidence nothing is shown" in client.get(f"/cycle/{code}").content.decode()
    assert client.post(f"/cycle/{code}/evidence/log", {"file": log_of(88.0)}).status_code == 302
    page = client.get(f"/cycle/{code}").content.decode()
    assert "Judged now, it would be:" in page
    assert "A0 is at least" in page
    svg = client.get(f"/cycle/{code}/chart/0")
    assert svg.headers["Content-Type"] == "image/svg+xml"
    assert b"<svg" in svg.content
    assert client.get(f"/cycle/{code}/certificate/0").content.startswith(b"%PDF")
    assert client.post(f"/cycle/{code}/do/judge").status_code == 302
    assert cycle_of(code).criteria == {"A0-3000": cycle_of(code).outcome}
    assert "Dry it." in client.get(f"/cycle/{code}").content.decode()


def test_a_cold_bath_holds_its_parts_and_says_what_to_do(room, signed_in):
    """60 °C counts nothing: failed, and the mask is held."""
    client = signed_in("reprocessing")
    code = in_bath(client, room)
    client.post(f"/cycle/{code}/do/end")
    client.post(f"/cycle/{code}/evidence/log", {"file": log_of(60.0)})
    answer = client.post(f"/cycle/{code}/do/judge", follow=True)
    assert cycle_of(code).outcome == "failed"
    assert "treat them again from the wash" in answer.content.decode()
    assert book_of(PLACE).view().state(PartState, room["mask"]).status == "quarantined"


def test_a_file_that_cannot_be_read_is_refused_before_it_is_kept(room, signed_in):
    """The form says why, and nothing is attached."""
    client = signed_in("reprocessing")
    code = in_bath(client, room)
    for content in (b"\x00\x01\x02" * 50, b"hello", b"time,T1\n1,2\n"):
        answer = client.post(f"/cycle/{code}/evidence/log", {"file": SimpleUploadedFile("x.csv", content)})
        assert answer.status_code == 400
        assert "errorlist" in answer.content.decode()
    assert cycle_of(code).evidence == ()


def test_a_file_too_large_is_refused_in_words(room, signed_in, monkeypatch):
    """The limit is that of the settings."""
    client = signed_in("reprocessing")
    code = in_bath(client, room)
    monkeypatch.setattr(settings, "LARGEST_UPLOAD_BYTES", 100)
    answer = client.post(f"/cycle/{code}/evidence/log", {"file": log_of(88.0)})
    assert answer.status_code == 400
    assert "Read out this cycle alone." in answer.content.decode()


def test_readings_by_hand_are_answered_live_and_attached_as_evidence(room, signed_in):
    """Two readings give an answer; a wrong one is said; one is taken away; then they are attached."""
    client = signed_in("reprocessing")
    code = in_bath(client, room)
    at = f"/cycle/{code}/readings"
    now = datetime.now(UTC)
    typed = [(now - timedelta(minutes=m), c) for m, c in ((4, "84,5"), (2, "85.2"), (0, "85.4"))]
    assert "Type at least two readings" in client.get(at).content.decode()
    for moment, temperature_c in typed:
        answer = client.post(at, {"do": "add", "time": f"{moment:%H:%M}", "temperature_c": temperature_c})
        assert answer.status_code == 302
    page = client.get(at).content.decode()
    assert "more minutes, if it stays at 85.4 °C or hotter" in page
    assert client.get(f"/cycle/{code}/chart/so-far").status_code == 200
    wrong = client.post(at, {"do": "add", "time": "25:99", "temperature_c": "85"})
    assert (wrong.status_code, "is no time" in wrong.content.decode()) == (400, True)
    wrong = client.post(at, {"do": "add", "time": "10:00", "temperature_c": "hot"})
    assert (wrong.status_code, "is no temperature of a bath" in wrong.content.decode()) == (400, True)
    line = line_of(typed[0][0], 84.5)
    client.post(at, {"do": f"drop {line}"})
    assert line not in client.get(at).content.decode()
    assert cycle_of(code).evidence == ()
    assert client.post(at, {"do": "attach", "note": "glass thermometer"}).status_code == 302
    assert cycle_of(code).evidence[0].startswith("hand:")
    assert "Type at least two readings" in client.get(at).content.decode()


def test_the_minutes_answered_are_enough_and_one_less_is_not():
    """The answer is the least: checked by judging with the readings that it promises."""
    from lungwort.demo.protocol import demo_protocol_path
    from lungwort.protocol.proving import prove_hand
    from lungwort.protocol.reading import parse_protocol

    protocol = parse_protocol(demo_protocol_path().read_text("utf-8")).protocol
    begun = datetime(2026, 11, 25, 14, 0)

    def show(lines):
        return prove_hand(protocol, ["A0-3000"], "Bath 1", lines, "C", date(2026, 11, 25), others=False)

    lines = [line_of(begun + timedelta(minutes=n), 85.0) for n in range(3)]
    minutes = minutes_still(show, lines).minutes
    assert (
        15 < minutes < 25
    )  # A0 3000 at 85 °C by its definition: 3000 / 10**0.5 s = 15.8 min, less 2, and errors

    def after(more):
        ahead = [line_of(begun + timedelta(minutes=2 + n), 85.0) for n in range(1, more + 1)]
        return str(show([*lines, *ahead]).outcome)

    assert (after(minutes), after(minutes - 1)) == ("passed", "not shown")
    assert (
        minutes_still(show, [line_of(begun + timedelta(minutes=n), 62.0) for n in range(3)]).minutes is None
    )


def test_a_soak_is_written_down_with_its_strip_and_judged(room, signed_in):
    """A number with two meanings is asked again; a strip of 1500 mg/L for 25 minutes proves 1000 mg/L."""
    client = signed_in("reprocessing")
    code = loaded(client, f"soak|{room['batch']}||1000 mg/L", room["sensor"])
    client.post(f"/cycle/{code}/do/start")
    client.post(f"/cycle/{code}/do/end")
    now = datetime.now(UTC)
    told = {
        "went_in": f"{now - timedelta(minutes=30):%Y-%m-%dT%H:%M}",
        "came_out": f"{now - timedelta(minutes=5):%Y-%m-%dT%H:%M}",
        "made": f"{now - timedelta(hours=1):%Y-%m-%dT%H:%M}",
        "method": "strip",
        "strength_mg_per_l": "1,500",
        "water": "sterile",
        "times": "2",
        "loads": "1",
    }
    wrong = client.post(f"/cycle/{code}/evidence/strip", told)
    assert (wrong.status_code, "two meanings" in wrong.content.decode()) == (400, True)
    told["strength_mg_per_l"] = "1500"
    assert client.post(f"/cycle/{code}/evidence/strip", told).status_code == 302
    assert client.post(f"/cycle/{code}/do/judge").status_code == 302
    assert set(cycle_of(code).criteria) == {"hypochlorite-parts-1000mgL"}


def test_a_positive_indicator_holds_the_parts_at_once(room, signed_in):
    """Whatever the log shows."""
    client = signed_in("reprocessing")
    code = in_bath(client, room)
    client.post(f"/cycle/{code}/do/end")
    assert (
        client.post(f"/cycle/{code}/evidence/indicator", {"kind": "chemical", "result": ""}).status_code
        == 400
    )
    told = {"kind": "biological", "result": "positive", "note": "lot 7"}
    assert client.post(f"/cycle/{code}/evidence/indicator", told).status_code == 302
    assert book_of(PLACE).view().state(PartState, room["mask"]).status == "quarantined"


def test_a_load_is_given_up_with_a_reason_and_what_is_out_of_order_is_refused(room, signed_in):
    """A load cannot end before it began, nor be given up without why."""
    client = signed_in("reprocessing")
    code = loaded(client, f"hot water|{room['bath']}||", room["mask"])
    assert client.post(f"/cycle/{code}/do/end").status_code == 409
    assert client.post(f"/cycle/{code}/do/abandon", {"reason": ""}).status_code == 409
    assert client.post(f"/cycle/{code}/do/abandon", {"reason": "power cut"}).status_code == 302
    assert cycle_of(code).status == "abandoned"
    assert client.post(f"/cycle/{code}/do/melt").status_code == 404


def test_a_cycle_that_is_not_known_is_no_page(hospital, signed_in):
    """For the page, its pictures and its forms alike."""
    client = signed_in("reprocessing")
    for path in ("", "/chart/0", "/certificate/0", "/readings", "/evidence/log"):
        assert client.get(f"/cycle/C-NONE{path}").status_code == 404


def test_roles_see_and_do_what_is_theirs(room, signed_in):
    """An auditor reads; a nurse cannot run a cycle."""
    code = in_bath(signed_in("reprocessing"), room)
    page = signed_in("auditor").get(f"/cycle/{code}").content.decode()
    assert "/do/" not in page
    assert signed_in("ward").post(f"/cycle/{code}/do/end").status_code == 403
    assert signed_in("auditor").get(f"/cycle/{code}/evidence/log").status_code == 403


def test_readings_are_not_lost_to_a_picture_asked_for_meanwhile(room, signed_in):
    """They are not kept with the session, which every answer writes back."""
    client = signed_in("reprocessing")
    code = in_bath(client, room)
    for minute, temperature_c in ((10, "80"), (12, "85")):
        told = {"do": "add", "time": f"00:{minute}", "temperature_c": temperature_c}
        client.post(f"/cycle/{code}/readings", told)
    assert not [key for key in client.session.keys() if "reading" in key]  # noqa: SIM118
    assert client.get(f"/cycle/{code}/readings").content.decode().count("Take away") == 2


def test_readings_changed_on_the_device_are_no_server_error(room, signed_in):
    """What is no day or no number is left out."""
    client = signed_in("reprocessing")
    code = in_bath(client, room)
    for kept in ("209913991999_85", "x" * 3000, "202611251522_999", "202611251522_85~202611251522_86"):
        client.cookies[f"readings-{code}"] = kept
        assert client.get(f"/cycle/{code}/readings").status_code == 200, kept
