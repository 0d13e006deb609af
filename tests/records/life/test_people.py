"""People by code: enrolled, given roles, trained and assessed, gone."""

from datetime import date, timedelta

import pytest
from life_cast import HILL, empty_house, open_house, refusal, refused
from life_protocol import MASK

from lungwort.records.life import parts, people
from lungwort.records.life.reasons import Refused
from lungwort.records.states.kinds import PersonState, PlaceState

DAY = date(2027, 1, 1)


def person(house, code):
    """Return a person as known now."""
    return house.state(PersonState, code)


def test_nothing_is_recorded_before_the_place_is_opened():
    """Whoever opens it is its first administrator and lead."""
    house = empty_house()
    reasons = refusal(people.enrol, house.lead, "N-01", ["ward"]).reasons
    assert [r.rule for r in reasons] == ["place", "person"]
    assert f"nothing was ever recorded for a place called '{HILL}'" in reasons[0].says
    people.open_place(house.lead)
    assert person(house, "I-01").roles == ("administrator", "infection control lead")
    assert house.state(PlaceState, HILL).opened_by == "I-01"
    people.enrol(house.lead, "N-01", ["ward"])


def test_a_person_has_a_code_that_nobody_had_before(house):
    """Not even somebody who left, nor by an earlier time."""
    people.leave(house.lead, "N-02")
    why = ("code", "N-02 is enrolled already", "give a code that nobody had before")
    refused(people.enrol, house.lead, "N-02", ["ward"], why=why)
    house.wait(days=1)
    late = house.lead.afterwards(house.now - timedelta(days=100), "paper of spring")
    refused(people.enrol, late, "N-02", ["ward"], why=why)


@pytest.mark.parametrize(("roles", "says"), [(["nurse"], "nurse is no role"), ([], "no role is named")])
def test_a_role_is_one_of_the_table(house, roles, says):
    """It lists them."""
    why = ("role", says, "give one or more of: ward, reprocessing, technical, infection control lead")
    refused(people.enrol, house.lead, "X-1", roles, why=why)
    refused(people.give_roles, house.lead, "N-01", roles, why=why)


def test_roles_are_given_in_place_of_those_before(house):
    """Who was of the ward and is of the store connects nobody any more."""
    people.give_roles(house.lead, "N-01", ["store"])
    assert person(house, "N-01").roles == ("store",)


def test_somebody_always_administers(house):
    """The last administrator neither leaves nor gives the role away."""
    people.leave(house.lead, "D-01")
    why = ("role", "I-01 is the only administrator", "enrol another administrator first")
    refused(people.leave, house.lead, "I-01", why=why)
    refused(people.give_roles, house.lead, "I-01", ["infection control lead"], why=why)
    people.enrol(house.lead, "D-02", ["administrator"])
    people.give_roles(house.lead, "I-01", ["infection control lead"])


def test_who_left_records_nothing_and_what_they_recorded_stays(house):
    """Their code is never given again."""
    part = house.new(MASK)
    people.leave(house.lead, "S-01")
    why = (
        "person",
        "S-01 no longer works here",
        "record under your own code; an administrator enrols people",
    )
    refused(parts.enrol, house.store, MASK, why=why)
    assert house.status(part) == "soiled"


def test_a_training_counts_until_its_day_and_for_its_role(house):
    """As the protocol names roles."""
    people.train(house.lead, "N-02", "nurse", passed=True, expires_on=DAY)
    assert person(house, "N-02").trainings == {"nurse": "2027-01-01"}
    why = ("role", "the protocol in force has no role 'Nurse'", "give one of: technician; nurse; engineer")
    refused(people.train, house.lead, "N-02", "Nurse", passed=True, expires_on=DAY, why=why)
    why = ("day", "2026-11-19 is past", "give the last day on which the training counts")
    refused(people.train, house.lead, "N-02", "nurse", passed=True, expires_on=date(2026, 11, 19), why=why)


def test_an_assessment_that_was_failed_ends_the_training_there_was(house):
    """Until it is passed."""
    part = house.new(MASK)
    people.train(house.lead, "T-01", "technician", passed=False, expires_on=DAY)
    why = ("training", "T-01 was not trained as technician", "let somebody trained do it")
    refused(parts.take_apart, house.technician, [part], why=why)
    people.train(house.lead, "T-01", "technician", passed=True, expires_on=DAY)
    parts.take_apart(house.technician, [part])


def test_nobody_assesses_themselves(house):
    """Two leads assess each other."""
    why = (
        "two people",
        "I-01 cannot assess their own training",
        "let another infection control lead assess it",
    )
    refused(people.train, house.lead, "I-01", "nurse", passed=True, expires_on=DAY, why=why)
    people.train(house.who("I-02"), "I-01", "nurse", passed=True, expires_on=DAY)


@pytest.mark.parametrize("deed", [people.leave, lambda w, p: people.give_roles(w, p, ["ward"])])
def test_a_mistyped_person_is_told(house, deed):
    """Nobody is begun under the code."""
    with pytest.raises(Refused, match="no person X-99 is known in Hill Hospital; check the code"):
        deed(house.lead, "X-99")


def test_two_places_in_one_store_know_nothing_of_each_other(house):
    """The same codes are other people and parts."""
    valley = open_house(house.book.store, place="Valley Clinic", seed=8)
    part = house.new(MASK, code="P-1")
    valley.new(MASK, code="P-1")
    parts.take_apart(house.technician, [part])
    assert (house.part("P-1").done, valley.part("P-1").done) == (("take apart",), ())
