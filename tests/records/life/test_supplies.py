"""Equipment and batches, the protocol's versions and the criteria."""

from datetime import date

import pytest
from life_cast import CALIBRATED_UNTIL, SOURCE, refused, refused_also
from life_protocol import MASK, life_protocol, mask

from lungwort.errors import UnreadableProtocol
from lungwort.records.life import protocols, supplies
from lungwort.records.states.kinds import BatchState, CriterionState, EquipmentState, ProtocolState


def equipment(house, name="Bath 1"):
    """Return equipment as known now."""
    return house.state(EquipmentState, house.codes[name])


# ---- equipment ----


def test_equipment_bears_the_name_that_the_protocol_gives_it(house):
    """Autoclave, bath, thermometer or scale."""
    assert (equipment(house).name, equipment(house).status) == ("Bath 1", "in service")
    assert equipment(house, "Logger 1").calibration_due == CALIBRATED_UNTIL.isoformat()
    why = ("protocol", "has no equipment called 'Bath 2'", "give one of: Autoclave 1; Bath 1; Logger 1")
    refused(supplies.enrol_equipment, house.engineer, "Bath 2", why=why)
    why = ("code", f"{house.codes['Bath 1']} is enrolled already", "use another code")
    refused(supplies.enrol_equipment, house.engineer, "Bath 1", code=house.codes["Bath 1"], why=why)


def test_equipment_is_held_for_every_reason_until_it_is_freed(house):
    """And calibrated meanwhile."""
    code = house.codes["Bath 1"]
    supplies.hold_equipment(house.technician, code, "leaks")
    supplies.hold_equipment(house.lead, code, "a positive indicator")
    assert (equipment(house).status, equipment(house).held) == ("held", ("leaks", "a positive indicator"))
    supplies.calibrate(house.engineer, code, date(2027, 9, 1))
    supplies.free_equipment(house.engineer, code, "new seal")
    assert (equipment(house).status, equipment(house).calibration_due) == ("in service", "2027-09-01")
    refused(
        supplies.hold_equipment, house.engineer, code, "", why=("reason", "no reason is given", "say why")
    )


def test_equipment_withdrawn_never_comes_back(house):
    """Not by holding and freeing it."""
    code = house.codes["Bath 1"]
    supplies.withdraw_equipment(house.engineer, code, "rusted through")
    why = ("status", f"{code} is withdrawn, which is for ever", "take another; what is gone never comes back")
    for deed in (supplies.hold_equipment, supplies.free_equipment, supplies.withdraw_equipment):
        refused(deed, house.engineer, code, "tried again", why=why)
    refused(supplies.calibrate, house.engineer, code, date(2027, 9, 1), why=why)
    assert equipment(house).status == "withdrawn"


# ---- batches ----


def test_a_batch_bears_the_name_of_a_stock(house):
    """With its days."""
    state = house.state(BatchState, house.codes["Bleach"])
    assert (state.stock, state.status, state.expires_on) == ("Bleach", "in stock", "2027-01-31")
    why = ("protocol", "has no stock called 'Vinegar'", "give one of: Bleach; Alcohol")
    refused(supplies.enrol_batch, house.store, "Vinegar", why=why)


def test_a_batch_used_up_never_comes_back(house):
    """Not even to be held."""
    code = house.codes["Bleach"]
    supplies.use_up_batch(house.store, code)
    why = ("status", f"{code} is used up, which is for ever", "take another")
    refused(supplies.hold_batch, house.store, code, "too weak", why=why)
    refused(supplies.use_up_batch, house.store, code, why=why)


# ---- the protocol ----


def test_a_version_is_published_once_and_is_in_force_from_then_on(house):
    """Not again under the same number, nor by an earlier time."""
    protocols.publish(house.lead, life_protocol("2"))
    state = house.state(ProtocolState, "protocol")
    assert (state.version, state.status, set(state.versions)) == ("2", "in force", {"1", "2"})
    why = ("version", "version 2 was published already", "give the document a new version")
    refused(protocols.publish, house.lead, life_protocol("2", kinds=[mask()]), why=why)
    house.wait(days=2)
    late = house.lead.afterwards(house.now.replace(year=2025), "paper of last year")
    refused_also(protocols.publish, late, life_protocol("2"), why=why)


def test_a_version_with_an_error_is_not_published(house):
    """Vetting says where, and what to do."""
    unwashed = [s for s in mask()["step"] if s["do"] != "wash"]
    why = ("vetting order", "it is treated without having been washed", "Put a wash before it")
    refused_also(protocols.publish, house.lead, life_protocol("2", kinds=[mask(steps=unwashed)]), why=why)
    with pytest.raises(UnreadableProtocol):
        protocols.publish(house.lead, "format = 1\n[[kind")
    assert house.state(ProtocolState, "protocol").version == "1"


def test_a_version_is_withdrawn_once_and_with_a_reason(house):
    """One that was published and stands."""
    why = ("version", "version 3 was never published", "give one of: 1")
    refused(protocols.withdraw, house.lead, "3", "wrong", why=why)
    refused(protocols.withdraw, house.lead, "1", "", why=("reason", "no reason is given", "say why"))
    protocols.withdraw(house.lead, "1", "too cold")
    assert house.state(ProtocolState, "protocol").status == "withdrawn"
    refused(
        protocols.withdraw,
        house.lead,
        "1",
        "again",
        why=("version", "version 1 was never published, or was withdrawn already", "give one of: –"),
    )
    why = ("protocol", "protocol version 1 was withdrawn: too cold", "publishes a version")
    refused(supplies.enrol_batch, house.store, "Bleach", why=why)


def test_withdrawing_an_old_version_leaves_the_one_in_force(house):
    """Only what was done by the old one is stopped."""
    protocols.publish(house.lead, life_protocol("2"))
    protocols.withdraw(house.lead, "1", "too cold")
    assert house.protocol.version == "2"
    assert house.new(MASK)


def test_a_criterion_is_adopted_by_name_with_a_source(house):
    """By whom, when, after what; dropped it is adopted no more."""
    protocols.adopt(house.lead, "a0-3000", SOURCE)
    state = house.state(CriterionState, "A0-3000")
    assert (state.status, state.by, state.on, state.source) == ("adopted", "I-01", "2026-11-20", SOURCE)
    refused_also(
        protocols.adopt,
        house.lead,
        "A0-1",
        SOURCE,
        why=("criterion", "A0-1", "give a criterion of the library"),
    )
    refused(protocols.adopt, house.lead, "A0-60", "", why=("reason", "no reason is given", "say why"))
    protocols.drop(house.lead, "A0-3000", "another is meant")
    assert house.state(CriterionState, "A0-3000").status == "dropped"
