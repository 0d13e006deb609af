"""Whole journeys by the demonstration's protocol: from the box to the patient and back, on good days and bad ones."""

from datetime import timedelta

import pytest
from life_cast import House, code_of, open_house, refusal, refused, refused_also

from lungwort.demo.protocol import demo_protocol_path
from lungwort.records.life import cycles, judging, parts, protocols, releases, set_ups
from lungwort.records.life.gate import may_connect, may_release
from lungwort.records.verify import verify

VENTILATOR, CIRCUIT, CHAMBER, TRAP, VALVE, SENSOR, MASK, FILTER = (
    "Ventilator with turbine", "Silicone circuit, adult", "Humidifier chamber", "Water trap", "Expiratory valve",
    "Flow sensor", "Mask, adult", "Bacterial filter",
)  # fmt: skip
PAPER = "power cut, written on paper"


@pytest.fixture
def ridgeway() -> House:
    """Return a hospital that works by the demonstration's protocol."""
    return open_house(text=demo_protocol_path().read_text("utf-8"))


def test_a_patient_is_ventilated_and_the_parts_come_back_ready(ridgeway):
    """Eight things for one patient; each goes its own way afterwards, and the chain of records is whole."""
    house = ridgeway
    machine = house.ready(VENTILATOR)
    owned = {kind: house.ready(kind) for kind in (CIRCUIT, CHAMBER, TRAP, VALVE, SENSOR)}
    packet = house.new(FILTER)
    set_up = house.checked(machine, [*owned.values(), packet])
    assert may_connect(house.view(), set_up).yes
    set_ups.connect(house.nurse, set_up, "R-0001", "ICU")
    for duty in (
        "Look at alarms and settings",
        "Empty the trap before it is half full, away from the patient",
    ):
        house.wait(hours=4)
        set_ups.do_duty(house.nurse, set_up, duty)
    house.wait(days=3)
    set_ups.disconnect(house.nurse, set_up)
    assert house.status(packet) == "withdrawn"
    for code in (machine, *owned.values()):
        assert house.status(code) == "soiled"
        assert not may_release(house.view(), code).yes
        house.turn_round([code])
        assert house.part(code).last_patient == "R-0001"
    assert {house.part(code).cycles for code in owned.values()} == {2}
    assert verify(house.book.store).whole


def test_air_left_in_the_chamber_reaches_nobody(ridgeway):
    """The load is held, the ward is told why, and the circuit goes back to the wash."""
    house = ridgeway
    machine, circuit, other = house.ready(VENTILATOR), house.new(CIRCUIT), house.new(CIRCUIT)
    house.turn_round([circuit, other], until="treat")
    cycle = house.loaded([circuit, other], "steam")
    house.run(cycle)
    assert house.prove(cycle, house.steamed(cycle, "air left")) == "failed"
    parts.dry(house.technician, [circuit])
    parts.inspect(house.technician, [circuit], ["assemble", "test"])
    told = str(refusal(releases.release, house.technician, [circuit]))
    assert f"{circuit} is held: cycle {cycle}: failed; treat it again from the wash" in told
    told = str(refusal(set_ups.join, house.nurse, machine, [circuit]))
    assert f"{circuit} is quarantined; see why it is held" in told
    parts.take_apart(house.technician, [circuit, other])
    house.turn_round([circuit, other])
    assert house.in_use([circuit], machine=machine)


def test_an_indicator_that_grew_stops_what_is_on_the_shelf_and_marks_what_is_on_a_patient(ridgeway):
    """Read two days after the cycle passed."""
    house = ridgeway
    shelf, bed = house.new(CIRCUIT), house.new(CIRCUIT)
    cycle = house.turn_round([shelf, bed])
    set_up = house.in_use([bed], "R-0002", house.ready(VENTILATOR))
    house.wait(days=2)
    cycles.attach(house.technician, cycle, "biological", result="positive", note="lot 7, middle of the load")
    assert judging.judge(house.technician, cycle).data["outcome"] == "failed"
    why = ("status", f"{shelf} is quarantined", "see why it is held")
    refused_also(set_ups.join, house.nurse, house.ready(VENTILATOR), [shelf], why=why)
    assert (house.status(bed), house.part(bed).patient) == ("in use", "R-0002")
    set_ups.disconnect(house.nurse, set_up)
    assert house.status(bed) == "quarantined"


def test_a_day_without_power_is_entered_from_paper(ridgeway):
    """Patient, wash and release; each keeps both its times, and what was done against the rules says so."""
    house = ridgeway
    mask, machine = house.ready(MASK), house.ready(VENTILATOR)
    spare = house.new(MASK)
    house.turn_round([spare], until="store")
    house.wait(hours=10)
    began = house.now - timedelta(hours=8)

    def then(who: str, hours: float):
        return house.who(who).afterwards(began + timedelta(hours=hours), PAPER)

    set_up = code_of(set_ups.join(then("N-01", 0), machine, [mask]), "set_up")
    set_ups.check(then("N-01", 0.2), set_up, house.checks(set_up))
    clean = set_ups.connect(then("N-01", 0.3), set_up, "R-0003", "ICU")
    set_ups.disconnect(then("N-01", 5), set_up)
    released = releases.release(then("T-01", 1), [spare])
    rushed = parts.wash(then("T-01", 5.5), [mask])
    assert "against" not in clean.data
    assert released.data["late"] == PAPER
    assert rushed.data["against"] == [f"order: {mask}: not done since its last use: take apart"]
    assert (house.status(mask), house.status(spare), house.status(machine)) == ("washed", "ready", "soiled")
    assert all(event.recorded_at > event.happened_at for event in (clean, released, rushed))


def test_two_leads_answer_for_the_last_circuit_in_the_house(ridgeway):
    """The exception is seen in the event, in the part for ever, and ends with that one use."""
    house = ridgeway
    circuit, machine = house.new(CIRCUIT), house.ready(VENTILATOR)
    house.turn_round([circuit], until="treat")
    cycle = house.loaded([circuit], "steam")
    house.run(cycle)
    assert judging.judge(house.technician, cycle).data["outcome"] == "not shown"
    why = (
        "permission",
        "N-01 has no role that may record this: a release by exception",
        "ask somebody of: infection",
    )
    refused(releases.release_by_exception, house.nurse, "I-02", [circuit], "no other circuit", why=why)
    event = releases.release_by_exception(
        house.lead, "I-02", [circuit], "no other circuit; child in distress"
    )
    assert any("not shown" in told for told in event.data["overruled"])
    set_ups.disconnect(house.nurse, house.in_use([circuit], machine=machine))
    assert house.status(circuit) == "quarantined"
    assert house.part(circuit).exceptions == (event.id,)
    parts.take_apart(house.technician, [circuit])
    house.turn_round([circuit])


def test_a_version_found_wrong_empties_the_shelf_it_filled(ridgeway):
    """What it treated is treated again by the next; patients are taken off whatever happens."""
    house = ridgeway
    shelf, bed = house.ready(MASK), house.ready(MASK)
    set_up = house.in_use([bed], "R-0004", house.ready(VENTILATOR))
    text = demo_protocol_path().read_text("utf-8")
    protocols.publish(house.lead, text.replace('version = "2026-2"', 'version = "2026-3"'))
    protocols.withdraw(house.lead, "2026-2", "the bath's thermometer was read in °F")
    set_ups.disconnect(house.nurse, set_up)
    machine = house.part(house.set_up(set_up).machine).code
    house.turn_round([machine])
    why = (
        "protocol",
        f"{shelf} was treated by protocol version 2026-2, withdrawn since",
        "treat it again from the wash",
    )
    refused_also(set_ups.join, house.nurse, machine, [shelf], why=why)
    house.turn_round([shelf])
    assert house.in_use([shelf], "R-0005", machine)
