"""The circumstances of a cycle."""

import pytest

from lungwort.errors import OutOfRange
from lungwort.evidence.circumstances import circumstances_at


def test_a_barometer_overrules_the_altitude_and_is_surer():
    """Weather is in a barometer reading, not in an altitude."""
    known = circumstances_at(altitude_m=2300, barometer_kpa=77.4)
    assert known.air_pressure_kpa == 77.4
    assert known.air_pressure_error_kpa < circumstances_at(altitude_m=2300).air_pressure_error_kpa


def test_a_barometer_reduced_to_sea_level_is_refused():
    """101.3 kPa cannot be read at 2,300 m, where ISO 2533 gives 76.6 kPa."""
    with pytest.raises(
        OutOfRange, match=r"101\.3 kPa does not fit an altitude of 2300 m, where about 76\.6 kPa"
    ):
        circumstances_at(altitude_m=2300, barometer_kpa=101.3)


def test_an_unknown_place_stays_unknown():
    """Sea level is never assumed."""
    assert circumstances_at().air_pressure_kpa is None


@pytest.mark.parametrize("confidence", [0.0, 0.49, 1.0, 95.0])
def test_a_confidence_that_is_none_is_refused(confidence):
    """The message names the value."""
    with pytest.raises(OutOfRange, match=f"confidence of {confidence} is not usable"):
        circumstances_at(confidence=confidence)


def test_a_negative_pressure_error_is_refused():
    """An error is a size."""
    with pytest.raises(OutOfRange, match=r"pressure error of -1 kPa"):
        circumstances_at(pressure_error_kpa=-1)
