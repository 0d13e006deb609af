"""Signing in, the lock, and what is answered to whom."""

import pytest
from django.test import Client
from served import PIN, PLACE, code_of

from lungwort.records.life import people


def test_the_first_run_opens_the_place_once(empty):
    """Empty records ask for the place and its first person; afterwards nobody can do that again."""
    assert empty.get("/sign-in").headers["Location"] == "/first-run"
    told = {"place": PLACE, "person": "I-01", "pin": PIN, "again": PIN}
    assert empty.post("/first-run", told | {"again": "other1"}).status_code == 400
    assert empty.post("/first-run", told).headers["Location"] == "/sign-in"
    assert empty.post("/first-run", told | {"place": "Elsewhere"}).headers["Location"] == "/sign-in"
    assert empty.post("/sign-in", told).headers["Location"] == "/"
    page = empty.get("/").content.decode()
    assert "Nothing is connected to a patient." in page
    assert PLACE in page


def test_a_wrong_pin_is_refused_and_a_person_who_left_is_signed_out(hospital, signed_in):
    """What the records say of a person holds at once."""
    nurse = code_of("ward")
    wrong = Client().post("/sign-in", {"place": PLACE, "person": nurse, "pin": "000000"})
    assert wrong.status_code == 400
    assert "do not belong together" in wrong.content.decode()
    client = signed_in("ward")
    assert client.get("/").status_code == 200
    people.leave(hospital.witness("I-01"), nurse)
    assert client.get("/").status_code == 302


def test_many_wrong_pins_close_the_account_for_a_while(hospital):
    """Five wrong ones, then even the right one waits."""
    nurse = code_of("ward")
    for _attempt in range(5):
        Client().post("/sign-in", {"place": PLACE, "person": nurse, "pin": "000000"})
    answer = Client().post("/sign-in", {"place": PLACE, "person": nurse, "pin": PIN})
    assert answer.status_code == 429
    assert "quarter of an hour" in answer.content.decode()


def test_a_device_left_alone_asks_again(signed_in):
    """After ten minutes without use whoever comes signs in."""
    client = signed_in("ward")
    session = client.session
    session["seen"] -= 601
    session.save()
    assert client.get("/").status_code == 302


def test_changing_person_ends_the_session(signed_in):
    """The next person starts at signing in."""
    client = signed_in("ward")
    assert client.post("/change-person").headers["Location"] == "/sign-in"
    assert client.get("/").status_code == 302


@pytest.mark.parametrize(
    "wanted", ["https://elsewhere.example/", "//elsewhere.example", "javascript:alert(1)"]
)
def test_signing_in_leads_nowhere_else(hospital, wanted):
    """A link that was tampered with cannot lead away."""
    told = {"place": PLACE, "person": code_of("ward"), "pin": PIN}
    assert Client().post(f"/sign-in?next={wanted}", told).headers["Location"] == "/"


def test_headers_are_strict(signed_in):
    """No foreign or inline script or style, no frame, no sniffing."""
    headers = signed_in("ward").get("/").headers
    assert "script-src 'self'" in headers["Content-Security-Policy"]
    assert "unsafe" not in headers["Content-Security-Policy"]
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["X-Content-Type-Options"] == "nosniff"


def test_now_is_small(signed_in):
    """A slow network gets the page and its style in one breath."""
    assert len(signed_in("ward").get("/").content) < 100_000


def test_what_is_too_large_is_refused_before_it_is_read(signed_in):
    """The header alone decides; nothing of it is kept in memory."""
    answer = signed_in("reprocessing").post("/scan", {"code": "x"}, CONTENT_LENGTH="30000000")
    assert answer.status_code == 413
    assert "at most 25 MB are taken" in answer.content.decode()


def test_a_device_in_use_stays_signed_in(signed_in):
    """Each use counts anew, though it is noted once a minute only."""
    client = signed_in("ward")
    for _use in range(3):
        session = client.session
        session["seen"] -= 500
        session.save()
        assert client.get("/").status_code == 200
