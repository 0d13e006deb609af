"""The circumstances of a cycle: the place's air, the instruments and the confidence asked for."""

from __future__ import annotations

from dataclasses import dataclass, field

from lungwort.errors import OutOfRange
from lungwort.evidence.instrument import Sensor, unstated_sensor
from lungwort.language import _, number
from lungwort.science.atmosphere import air_pressure_here_kpa

WEATHER_KPA = (
    3.0  # air pressure known from the altitude alone moves this much with the weather (common practice)
)
BAROMETER_OFF_KPA = 6.0  # twice the weather: beyond it, the barometer or the altitude is not this place's
BAROMETER_KPA = 0.3  # a barometer read on the day (common practice)
PRESSURE_UNSTATED_KPA = 5.0  # a gauge of class 1.6 spanning 300 kPa (EN 837-1, from memory), rounded up


@dataclass(frozen=True)
class Circumstances:
    """What a verdict must know beside the log; every unknown is None or a cautious stand-in, never a guess.

    `air_pressure_kpa` None where neither altitude nor barometer is known; `pressure_error_kpa` the half width of
    the pressure sensor's error, None where nobody stated it; `confidence` one-sided; `shared_bias` says that all
    channels have one common error (one instrument with a switch), else each has its own.
    """

    air_pressure_kpa: float | None = None
    air_pressure_error_kpa: float = WEATHER_KPA
    sensor: Sensor = field(default_factory=unstated_sensor)
    pressure_error_kpa: float | None = None
    confidence: float = 0.95
    shared_bias: bool = False

    def __post_init__(self) -> None:
        """Refuse a confidence that is no one-sided confidence, and an error below nothing."""
        if not 0.5 <= self.confidence < 1:
            text = _(
                "a confidence of {value} is not usable; give one from 0.5 up to, not including, 1, such as 0.95"
            )
            raise OutOfRange(text.format(value=self.confidence))
        if self.pressure_error_kpa is not None and not 0 <= self.pressure_error_kpa <= 100:
            text = _(
                "a pressure error of {value} kPa is not usable; give the largest error, from 0 to 100 kPa"
            )
            raise OutOfRange(text.format(value=self.pressure_error_kpa))


def circumstances_at(
    altitude_m: float | None = None,
    barometer_kpa: float | None = None,
    sensor: Sensor | None = None,
    pressure_error_kpa: float | None = None,
    confidence: float = 0.95,
    shared_bias: bool = False,
) -> Circumstances:
    """Return the circumstances at a place; a barometer reading overrules the altitude.

    >>> round(circumstances_at(altitude_m=2300).air_pressure_kpa, 1)
    76.6
    """
    air, error = None, WEATHER_KPA
    if altitude_m is not None and barometer_kpa is not None:
        _require_agreement(altitude_m, barometer_kpa)
    if altitude_m is not None or barometer_kpa is not None:
        air = air_pressure_here_kpa(altitude_m, barometer_kpa)
        error = WEATHER_KPA if barometer_kpa is None else BAROMETER_KPA
    return Circumstances(air, error, sensor or unstated_sensor(), pressure_error_kpa, confidence, shared_bias)


def _require_agreement(altitude_m: float, barometer_kpa: float) -> None:
    """Refuse a barometer that cannot stand at this altitude: most often it was reduced to sea level."""
    expected_kpa = air_pressure_here_kpa(altitude_m, None)
    if abs(barometer_kpa - expected_kpa) > BAROMETER_OFF_KPA:
        text = _(
            "a barometer of {barometer} kPa does not fit an altitude of {altitude} m, where about {expected} kPa are "
            "usual; was it reduced to sea level? Read it at the place, or leave one of the two out"
        )
        values = {"barometer": number(barometer_kpa), "altitude": number(altitude_m, 0)}
        raise OutOfRange(text.format(expected=number(expected_kpa), **values))
