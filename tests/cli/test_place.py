"""The place as typed."""

import pytest

from lungwort.cli.place import air_pressure_kpa
from lungwort.errors import OutOfRange


def test_a_barometer_overrules_the_altitude():
    """What was read there is better than a table; the unit may ride along."""
    assert air_pressure_kpa("2300", "77,1") == 77.1
    assert air_pressure_kpa("2.3 km", "771 hPa") == pytest.approx(77.1)


def test_an_unstated_place_stays_unstated():
    """Nothing is taken for granted here."""
    assert air_pressure_kpa(None, None) is None


def test_a_barometer_reduced_to_sea_level_is_refused():
    """101.3 kPa cannot stand at 2300 m, where ISO 2533 has 76.6."""
    with pytest.raises(OutOfRange, match="does not fit an altitude of 2300 m, where about 76.6 kPa"):
        air_pressure_kpa("2300", "101.3")
