"""People: the list, what lapses soon, enrolling, PINs, roles, trainings, leaving."""

from datetime import date, timedelta

from django.test import Client
from served import PLACE, code_of

from lungwort.records.life import people
from lungwort.records.states.kinds import PersonState
from lungwort.web.people.trainings import row_of

NURSE = code_of("ward")
SOON = date.today() + timedelta(days=10)


def post(client, code, deed, **told):
    """Send a form of a person's page."""
    return client.post(f"/people/{code}", {"deed": deed, "once": deed, **told}, follow=True)


def test_the_list_says_who_lapses_soon(hospital, signed_in):
    """Such a person stands above the list."""
    client = signed_in("auditor")
    assert "No training lapsed or lapses within 60 days." in client.get("/people").content.decode()
    people.train(hospital.witness("I-01"), NURSE, "nurse", passed=True, expires_on=SOON)
    page = client.get("/people").content.decode()
    assert "Train and assess soon" in page
    assert "lapses soon:" in page


def test_a_training_lapses_after_its_last_day():
    """On the last day it still counts; sixty days before, it is soon."""
    until = date(2026, 11, 25)
    person = PersonState("N", "active", trainings={"nurse": until.isoformat()})

    def told(day):
        (one,) = row_of(person, day).held
        return one.lapsed, one.soon

    assert told(until) == (False, True)
    assert told(until + timedelta(days=1)) == (True, False)
    assert told(until - timedelta(days=60)) == (False, True)
    assert told(until - timedelta(days=61)) == (False, False)


def test_the_list_is_searched_by_code_and_role(signed_in):
    """Whoever does not fit is left out."""
    client = signed_in("store")
    assert ">Store</a>" not in client.get("/people?q=ward").content.decode()
    assert ">Ward</a>" in client.get("/people?role=ward").content.decode()
    assert ">Ward</a>" not in client.get("/people?role=store").content.decode()


def test_an_administrator_enrols_and_gives_a_pin(hospital, signed_in):
    """The new person then signs in with it."""
    client = signed_in("administrator")
    answer = client.post("/people", {"code": "N-14", "roles": ["ward"], "once": "e"})
    assert answer.headers["Location"] == "/people/N-14"
    assert "the new PIN" in post(client, "N-14", "pin", pin="135791", again="135791").content.decode()
    told = {"place": PLACE, "person": "N-14", "pin": "135791"}
    assert Client().post("/sign-in", told).status_code == 302
    differ = post(client, "N-14", "pin", pin="135791", again="135792")
    assert differ.status_code == 400
    assert "The two differ" in differ.content.decode()
    again = client.post("/people", {"code": "N-14", "roles": ["ward"], "once": "f"})
    assert again.status_code == 409


def test_roles_are_given_in_place_of_those_before(hospital, signed_in):
    """The only administrator stays one."""
    client = signed_in("administrator")
    post(client, NURSE, "roles", roles=["store", "ward"])
    assert hospital.view().state(PersonState, NURSE).roles == ("store", "ward")
    assert post(client, NURSE, "roles").status_code == 400


def test_the_lead_records_an_assessment_and_never_the_own(hospital, signed_in):
    """A failed one ends the training."""
    lead = signed_in("infection control lead")
    assert (
        "may do the steps of nurse"
        in post(
            lead, NURSE, "train", role="nurse", passed="yes", expires_on=SOON.isoformat()
        ).content.decode()
    )
    assert hospital.view().state(PersonState, NURSE).trainings["nurse"] == SOON.isoformat()
    post(lead, NURSE, "train", role="nurse", passed="no", expires_on=SOON.isoformat())
    assert "nurse" not in hospital.view().state(PersonState, NURSE).trainings
    own = code_of("infection control lead")
    assert 'value="train"' not in lead.get(f"/people/{own}").content.decode()
    refused = post(lead, own, "train", role="nurse", passed="yes", expires_on=SOON.isoformat())
    assert refused.status_code == 409


def test_who_left_is_shown_as_gone_and_offers_nothing(hospital, signed_in):
    """What was recorded stays."""
    client = signed_in("administrator")
    page = post(client, NURSE, "leave").content.decode()
    assert "No longer works here" in page
    assert 'name="deed"' not in page
    assert hospital.view().state(PersonState, NURSE).status == "left"


def test_nobody_else_gives_pins_or_roles(hospital, signed_in):
    """No form is shown, and one sent all the same is refused."""
    for role in ("ward", "auditor", "infection control lead"):
        client = signed_in(role)
        assert 'value="pin"' not in client.get(f"/people/{NURSE}").content.decode()
        assert post(client, NURSE, "pin", pin="111111", again="111111").status_code == 409
        assert post(client, NURSE, "roles", roles=["administrator"]).status_code == 409
    assert hospital.view().state(PersonState, NURSE).roles == ("ward",)
    assert client.get("/people/X-99").status_code == 404
    assert post(client, NURSE, "promote").status_code == 400


def test_further_screens_are_listed_by_role(signed_in):
    """Looking back is for the lead and the auditor."""
    assert "/look-back" in signed_in("auditor").get("/more").content.decode()
    page = signed_in("ward").get("/more").content.decode()
    assert "/protocol" in page
    assert "/look-back" not in page
