from datetime import date

import pytest

from lungwort.demo.history.document import INTERVAL_S, protocol_published
from lungwort.demo.protocol import DEMO_TODAY, demo_protocol_path
from lungwort.protocol.finding import Severity
from lungwort.protocol.reading import parse_protocol, read_protocol
from lungwort.protocol.vet import vet

DAY = date(2024, 2, 28)
SETS = {"Silicone circuit, adult": 5, "Ventilator with turbine": 4}


@pytest.fixture(scope="module")
def published():
    """Return the protocol as published on a day two years before the demonstration's."""
    return parse_protocol(protocol_published(DAY, "2024-1", SETS))


def test_it_vets_on_its_day_as_the_demonstrations_does_on_its_own(published):
    """No error, whatever the day."""
    assert list(vet(published, DAY).of(Severity.ERROR)) == []


def test_every_day_keeps_its_distance(published):
    """A calibration or a training lapses as long after the publishing as in the demonstration."""
    own, moved = read_protocol(demo_protocol_path()).protocol, published.protocol
    apart = DAY - DEMO_TODAY
    assert moved.valid_from == own.valid_from + apart
    assert [t.expires_on for t in moved.trainings] == [t.expires_on + apart for t in own.trainings]
    assert moved.thermometers[0].calibration_due == own.thermometers[0].calibration_due + apart


def test_only_version_days_sets_and_the_loggers_interval_change(published):
    """Moved back with its own figures, it is the demonstration's protocol."""
    own = read_protocol(demo_protocol_path()).protocol
    sets = {kind.name: kind.sets_owned for kind in own.kinds if kind.sets_owned is not None}
    back = protocol_published(DEMO_TODAY, own.version, sets)
    assert parse_protocol(back.replace(f"interval_s = {INTERVAL_S}\n", "interval_s = 1\n")).protocol == own


def test_the_sets_are_those_the_unit_owns(published):
    """Kinds that are not named keep their number."""
    owned = {kind.name: kind.sets_owned for kind in published.protocol.kinds}
    assert (owned["Silicone circuit, adult"], owned["Ventilator with turbine"], owned["Suction jar"]) == (
        5,
        4,
        16,
    )
    assert published.protocol.version == "2024-1"
