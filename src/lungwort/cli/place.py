"""The place as typed: its altitude, a barometer read there, and the air pressure that follows."""

from __future__ import annotations

from lungwort.cli.quantities import LENGTH_M, PRESSURE_KPA, optional


def altitude_m(text: str | None) -> float | None:
    """Read --altitude, in m where it has no unit; None where nothing was typed."""
    return optional(text, LENGTH_M, "--altitude", bare=True)


def barometer_kpa(text: str | None) -> float | None:
    """Read --barometer, in kPa where it has no unit; None where nothing was typed."""
    return optional(text, PRESSURE_KPA, "--barometer", bare=True)


def air_pressure_kpa(altitude: str | None, barometer: str | None) -> float | None:
    """Return the air pressure of the place; None where nobody said where it is.

    Raises OutOfRange where the two contradict each other, as a proof does.

    >>> round(air_pressure_kpa("2300", None), 1), round(air_pressure_kpa("2,3 km", "771 hPa"), 1)
    (76.6, 77.1)
    """
    from lungwort.evidence.circumstances import circumstances_at

    return circumstances_at(altitude_m(altitude), barometer_kpa(barometer)).air_pressure_kpa
