"""The invented hospital of the demonstration: its height, its machines and where their sensors sit."""

from __future__ import annotations

from dataclasses import dataclass

from lungwort.demo.physics import Bath, Place
from lungwort.demo.sensing import Probe
from lungwort.science.atmosphere import air_pressure_kpa, boiling_point_c


@dataclass(frozen=True)
class Hospital:
    """A hospital as the model needs it: its name, its height above the sea, its room temperature."""

    name: str
    altitude_m: float
    ambient_c: float


RIDGEWAY = Hospital("Ridgeway Hospital", altitude_m=2300.0, ambient_c=21.0)

CHAMBER = Place("Chamber", lag_s=1.5, air_odds=0.3)
DRAIN = Place("Drain", lag_s=2.5, air_odds=0.8)
LUMEN = Place("Circuit lumen", lag_s=4.0, air_odds=3.0)
AUTOCLAVE_PLACES = (CHAMBER, DRAIN, LUMEN)

# Offsets well inside IEC 60751 class A at 134 °C (±0.42 K, from memory); noise of a fair logger. Invented.
PROBES = {
    CHAMBER.name: Probe(offset=0.06, noise=0.03),
    DRAIN.name: Probe(offset=-0.08, noise=0.03),
    LUMEN.name: Probe(offset=-0.11, noise=0.03),
}
PRESSURE_PROBE = Probe(offset=0.3, noise=0.15)


def here_kpa(hospital: Hospital = RIDGEWAY) -> float:
    """Return the hospital's air pressure in kPa on a day of average weather (ISO 2533).

    >>> round(here_kpa(), 1)
    76.6
    """
    return float(air_pressure_kpa(hospital.altitude_m))


def boiling_here_c(hospital: Hospital = RIDGEWAY) -> float:
    """Return the temperature in °C at which the hospital's water boils.

    >>> round(boiling_here_c(), 1)
    92.3
    """
    return float(boiling_point_c(here_kpa(hospital)))


def washroom_bath() -> Bath:
    """Return the stirred 40 L bath of the washroom, its thermostat at 71.7 °C."""
    return Bath(40.0, 3000.0, 10.0, 71.7, 0.3, boiling_here_c(), RIDGEWAY.ambient_c)


def outpost_bath() -> Bath:
    """Return the 10 L pot of the outpost ward, kept near 83.2 °C by hand."""
    return Bath(10.0, 1500.0, 8.0, 83.2, 0.7, boiling_here_c(), RIDGEWAY.ambient_c)
