"""Roles as permissions: every deed tried by everybody, and no deed without a rule."""

import inspect
import pkgutil
from collections.abc import Callable
from datetime import date
from importlib import import_module

import pytest
from life_cast import House, refusal, refused
from life_protocol import HOURLY, MACHINE_DUTY, MASK, life_protocol

import lungwort.records.life as life
from lungwort.records.chain.event import Event
from lungwort.records.life import (
    corrections,
    cycles,
    judging,
    parts,
    people,
    protocols,
    releases,
    set_ups,
    supplies,
)
from lungwort.records.life.permissions import MAY, ROLES, deed_words
from lungwort.records.life.reasons import Refused
from lungwort.records.life.witness import Witness
from lungwort.records.states.fold import STEPS

Attempt = Callable[[House, Witness], Event]
DAY = date(2027, 1, 1)
ATTEMPTS: dict[str, tuple[Callable[..., Event], tuple[object, ...]]] = {
    "person.enrolled": (people.enrol, ("X-1", ["ward"])),
    "person.roles_given": (people.give_roles, ("N-02", ["ward"])),
    "person.left": (people.leave, ("N-02",)),
    "person.trained": (people.train, ("N-02", "nurse")),
    "part.enrolled": (parts.enrol, (MASK,)),
    "part.withdrawn": (parts.withdraw, (["P-1"], "torn")),
    "part.repaired": (parts.repair, (["P-1"], "mended")),
    "part.quarantined": (parts.quarantine, (["P-1"], "smells")),
    "part.quarantine_lifted": (parts.lift_quarantine, (["P-1"], "it was the soap")),
    "part.duty_done": (parts.do_duty, ("M-1", MACHINE_DUTY)),
    "set_up.joined": (set_ups.join, ("M-1", ["P-1"])),
    "set_up.parted": (set_ups.part_company, ("S-1",)),
    "set_up.checked": (set_ups.check, ("S-1", [])),
    "set_up.connected": (set_ups.connect, ("S-1", "P-117", "ICU")),
    "set_up.duty_done": (set_ups.do_duty, ("S-1", HOURLY)),
    "set_up.disconnected": (set_ups.disconnect, ("S-1",)),
    "part.taken_apart": (parts.take_apart, (["P-1"],)),
    "part.washed": (parts.wash, (["P-1"],)),
    "part.wiped": (parts.wipe, (["P-1"],)),
    "part.dried": (parts.dry, (["P-1"],)),
    "part.inspected": (parts.inspect, (["P-1"],)),
    "cycle.loaded": (cycles.load, (["P-1"], "hot water")),
    "cycle.started": (cycles.start, ("C-1",)),
    "cycle.ended": (cycles.end, ("C-1",)),
    "cycle.abandoned": (cycles.abandon, ("C-1", "leaks")),
    "cycle.evidence_attached": (cycles.attach, ("C-1", "biological")),
    "cycle.judged": (judging.judge, ("C-1",)),
    "part.released": (releases.release, (["P-1"],)),
    "part.released_by_exception": (releases.release_by_exception, ("I-02", ["P-1"], "no other")),
    "equipment.enrolled": (supplies.enrol_equipment, ("Bath 1",)),
    "equipment.calibrated": (supplies.calibrate, ("E-1", DAY)),
    "equipment.held": (supplies.hold_equipment, ("E-1", "leaks")),
    "equipment.freed": (supplies.free_equipment, ("E-1", "mended")),
    "equipment.withdrawn": (supplies.withdraw_equipment, ("E-1", "broken")),
    "batch.enrolled": (supplies.enrol_batch, ("Bleach",)),
    "batch.held": (supplies.hold_batch, ("B-1", "weak")),
    "batch.used_up": (supplies.use_up_batch, ("B-1",)),
    "criterion.adopted": (protocols.adopt, ("A0-3000", "guideline")),
    "criterion.dropped": (protocols.drop, ("A0-600", "weak")),
    "protocol.published": (protocols.publish, (life_protocol("2"),)),
    "protocol.withdrawn": (protocols.withdraw, ("1", "too cold")),
}
MORE: dict[str, dict[str, object]] = {
    "person.trained": {"passed": True, "expires_on": DAY},
    "cycle.evidence_attached": {"result": "negative"},
}
APART = {
    "place.opened": people.open_place,
    "event.struck": corrections.strike,
    "event.corrected": corrections.correct,
}


def set_up_things(house: House) -> None:
    """Enrol a mask, a machine and a load, so that only their status could stand in the way."""
    house.new(MASK, code="P-1")
    house.new("Ventilator", code="M-1")
    other = house.new(MASK)
    house.turn_round([other], until="treat")
    cycles.load(house.technician, [other], "hot water", equipment=house.codes["Bath 1"], code="C-1")


def permission_refused(witness: Witness, what: str) -> bool:
    """Tell whether a deed is refused for its permission, whatever else comes of it."""
    deed, told = ATTEMPTS[what]
    try:
        deed(witness, *told, **MORE.get(what, {}))
    except Refused as refused:
        return any(
            f"has no role that may record this: {deed_words(what)}" == reason.says.partition(" ")[2]
            for reason in refused.reasons
        )
    return False


@pytest.mark.parametrize("what", ATTEMPTS)
def test_a_deed_is_refused_for_want_of_permission_exactly_where_the_table_says_so(house, what):
    """By a person with just one role, for every role."""
    set_up_things(house)
    for number, role in enumerate(ROLES):
        people.enrol(house.lead, f"R-{number}", [role])
        assert permission_refused(house.who(f"R-{number}"), what) == (role not in MAY[what]), role


def test_every_deed_has_a_permission_and_every_permission_a_deed():
    """What the table says, what can be done, and what states are folded from."""
    assert {*ATTEMPTS, *APART} == set(MAY)
    folded = {what for steps in STEPS.values() for what in steps}
    assert folded | {"event.struck", "event.corrected"} == set(MAY) | {"person.roles_given"}


def test_no_deed_is_forgotten_here():
    """Every function that a witness can call and that records an event is tried above."""
    tried = {deed for deed, _told in ATTEMPTS.values()} | set(APART.values())
    found = set()
    for module in pkgutil.iter_modules(life.__path__):
        named = import_module(f"{life.__name__}.{module.name}")
        for name, value in vars(named).items():
            if inspect.isfunction(value) and not name.startswith("_") and value.__module__ == named.__name__:
                parameters = list(inspect.signature(value).parameters)
                if parameters[:1] == ["witness"] and value.__annotations__.get("return") == "Event":
                    found.add(value)
    found.remove(import_module("lungwort.records.life.deed").do)
    assert found == tried


def test_an_auditor_and_an_unknown_person_record_nothing(house):
    """Nor does anybody under the code of another."""
    for what in ATTEMPTS:
        assert permission_refused(house.who("A-01"), what)
    why = ("person", "X-99 is not known here", "record under your own code; an administrator enrols people")
    refused(protocols.adopt, house.who("X-99"), "A0-3000", "guideline", why=why)


@pytest.mark.parametrize("role", ROLES)
def test_a_correction_asks_for_the_permission_of_what_it_corrects(house, role):
    """Of who recorded it too: roles change."""
    part = house.new(MASK)
    parts.take_apart(house.technician, [part])
    event = house.events()[-1].id
    people.give_roles(house.lead, "T-01", [role])
    if role in MAY["part.taken_apart"]:
        corrections.strike(house.technician, event, "wrong part")
    else:
        why = ("permission", "T-01 has no role that may record this: taking apart", "ask somebody of")
        refused(corrections.strike, house.technician, event, "wrong part", why=why)


def test_a_place_is_opened_by_anybody_once(house):
    """Never again, by whatever time: whoever opened it is administrator and lead."""
    why = ("place", "Hill Hospital is open already", "record there, or give another name")
    refused(people.open_place, house.who("X-99"), why=why)
    house.wait(days=1)
    earlier = house.now.replace(year=2025)
    refused(people.open_place, house.who("X-99").afterwards(earlier, "power cut"), why=why)
    assert refusal(protocols.adopt, house.who("X-99"), "A0-3000", "guideline")
