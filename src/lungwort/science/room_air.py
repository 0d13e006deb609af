"""Room air: how much fresh air keeps a vapour under its limit, in a room taken as well mixed.

No room is well mixed: near the bowl there is more than the mean. The mixing factor stands in for that; it
is a safety factor, not a measurement. A person bending over the bowl is protected by a cover, local
extraction and a mask, not by this formula.
"""

from __future__ import annotations

import numpy as np

from lungwort.language import _
from lungwort.science.arrays import Number, floats, require_between, same_kind
from lungwort.science.atmosphere import require_air_pressure
from lungwort.science.constants import STANDARD_PRESSURE_KPA, ZERO_C_K

GAS_J_PER_MOL_K = 8.314462618
"""Molar gas constant (SI, exact)."""
MIXING_FACTOR_RANGE = (1.0, 10.0)
"""From perfect mixing, which no room has, to poor mixing with dead corners
(industrial ventilation practice; from memory)."""
MIXING_FACTOR = 5.0
"""Taken where nobody knows the room: between fair and poor mixing (common practice)."""
_HUGE = 1e12


def molar_volume_l_per_mol(
    temperature_c: float = 25.0, air_pressure_kpa: float = STANDARD_PRESSURE_KPA
) -> float:
    """Return the volume of a mole of gas.

    Args:
        temperature_c: -50 to 100 °C.
        air_pressure_kpa: 40 to 110 kPa.

    Returns:
        Litres a mole. Limits are printed with 24.45 L/mol for 25 °C and 101.325 kPa; the value here is
        24.465, 0.06 % more.

    Raises:
        OutOfRange: a value lies beyond its range.

    Source: ideal gas, R T / p (computed).

    >>> round(molar_volume_l_per_mol(), 2)
    24.47
    """
    _require(
        temperature_c, -50.0, 100.0, _("Air of {value} °C is outside {low} to {high} °C. Check the unit.")
    )
    require_air_pressure(air_pressure_kpa)
    return GAS_J_PER_MOL_K * (temperature_c + ZERO_C_K) / air_pressure_kpa


def mg_per_m3(
    ppm: Number,
    molar_mass_g_per_mol: float,
    temperature_c: float = 25.0,
    air_pressure_kpa: float = STANDARD_PRESSURE_KPA,
) -> Number:
    """Return the mass of a vapour in a cubic metre of air from its share of the volume.

    Args:
        ppm: parts per million by volume, 0 to 1,000,000, any shape.
        molar_mass_g_per_mol: of the vapour [g/mol], 1 to 1000.
        temperature_c: of the air [°C], -50 to 100.
        air_pressure_kpa: of the air [kPa], 40 to 110.

    Returns:
        Concentration [mg/m³], same shape.

    Raises:
        OutOfRange: a value lies beyond its range.

    Source: ppm · M / V_m (computed).

    >>> round(mg_per_m3(0.5, 70.906), 2), round(mg_per_m3(0.05, 100.12), 3)
    (1.45, 0.205)
    """
    _require(ppm, 0.0, 1e6, _("A share of {value} ppm is outside {low} to {high} ppm. Check the unit."))
    _require_molar_mass(molar_mass_g_per_mol)
    volume = molar_volume_l_per_mol(temperature_c, air_pressure_kpa)
    return same_kind(floats(ppm) * molar_mass_g_per_mol / volume, ppm)


def ppm(
    mg_per_m3: Number,
    molar_mass_g_per_mol: float,
    temperature_c: float = 25.0,
    air_pressure_kpa: float = STANDARD_PRESSURE_KPA,
) -> Number:
    """Return the share of the volume from the mass of a vapour in a cubic metre of air.

    Arguments, range, raises and source as for `mg_per_m3`, of which it is the inverse.

    >>> round(ppm(1.45, 70.906), 2)
    0.5
    """
    _require_amount(mg_per_m3, _("A concentration of {value} mg/m³ cannot be. Give 0 or more."))
    _require_molar_mass(molar_mass_g_per_mol)
    volume = molar_volume_l_per_mol(temperature_c, air_pressure_kpa)
    return same_kind(floats(mg_per_m3) * volume / molar_mass_g_per_mol, mg_per_m3)


def steady_mg_per_m3(
    emission_mg_per_h: Number,
    volume_m3: float,
    air_changes_per_h: Number,
    mixing_factor: float = MIXING_FACTOR,
) -> Number:
    """Return the concentration that a steady source settles at.

    Args:
        emission_mg_per_h: vapour given off [mg/h], 0 or more, any shape.
        volume_m3: of the room [m³], above 0 to 100,000.
        air_changes_per_h: fresh air an hour over the room's volume [1/h], above 0 to 200; air that is only
            stirred or cooled does not count.
        mixing_factor: 1 (perfect) to 10 (poor).

    Returns:
        Concentration [mg/m³], same shape.

    Raises:
        OutOfRange: a value lies beyond its range.

    Source: mass balance, c = k G / Q (computed), with the factor k of industrial ventilation (from memory).

    >>> round(steady_mg_per_m3(60.0, 30.0, 10.0, mixing_factor=1.0), 2)
    0.2
    """
    _require_amount(emission_mg_per_h, _("An emission of {value} mg/h cannot be. Give 0 or more."))
    _require_room(volume_m3, mixing_factor)
    _require_changes(air_changes_per_h)
    fresh_m3_per_h = volume_m3 * floats(air_changes_per_h) / mixing_factor
    return same_kind(floats(emission_mg_per_h) / fresh_m3_per_h, emission_mg_per_h)


def air_changes_needed_per_h(
    emission_mg_per_h: Number, volume_m3: float, limit_mg_per_m3: float, mixing_factor: float = MIXING_FACTOR
) -> Number:
    """Return the air changes an hour at which a steady source just reaches its limit, and no more.

    Args:
        emission_mg_per_h: vapour given off [mg/h], 0 or more, any shape.
        volume_m3: of the room [m³], above 0 to 100,000.
        limit_mg_per_m3: of exposure [mg/m³], above 0. A ceiling and a mean of eight hours are different
            limits: the settled concentration is held against either.
        mixing_factor: 1 (perfect) to 10 (poor).

    Returns:
        Air changes [1/h], same shape; round up. Beyond about 20 no ordinary room gets them: cover the bowl,
        extract the air at it, or choose another agent.

    Raises:
        OutOfRange: a value lies beyond its range.

    Source: k G / (c V), from `steady_mg_per_m3` (computed).

    >>> round(air_changes_needed_per_h(60.0, 30.0, 0.2, mixing_factor=5.0), 1)
    50.0
    """
    _require_amount(emission_mg_per_h, _("An emission of {value} mg/h cannot be. Give 0 or more."))
    _require_room(volume_m3, mixing_factor)
    says = _("A limit of {value} mg/m³ cannot be kept. Give the limit of exposure, above 0.")
    _require(limit_mg_per_m3, 1e-9, _HUGE, says)
    return same_kind(
        floats(emission_mg_per_h) * mixing_factor / (limit_mg_per_m3 * volume_m3), emission_mg_per_h
    )


def build_up_mg_per_m3(
    time_s: Number,
    emission_mg_per_h: float,
    volume_m3: float,
    air_changes_per_h: float,
    mixing_factor: float = MIXING_FACTOR,
    start_mg_per_m3: float = 0.0,
) -> Number:
    """Return the concentration some time after a source begins, or, without a source, while it clears.

    Args:
        time_s: since the beginning [s], 0 or more, any shape.
        emission_mg_per_h: vapour given off from then on [mg/h], 0 or more.
        volume_m3: of the room [m³], above 0 to 100,000.
        air_changes_per_h: fresh air an hour over the room's volume [1/h], 0 to 200.
        mixing_factor: 1 (perfect) to 10 (poor); it slows the clearing too.
        start_mg_per_m3: concentration at the beginning [mg/m³], 0 or more.

    Returns:
        Concentration [mg/m³], same shape; without fresh air it rises evenly for ever.

    Raises:
        OutOfRange: a value lies beyond its range.

    Source: mass balance of one well-mixed room, c = G/Q (1 - e^(-Q t / V)) + c₀ e^(-Q t / V), Q over k (computed).

    >>> round(build_up_mg_per_m3(1800.0, 60.0, 30.0, 10.0, mixing_factor=1.0), 4)
    0.1987
    """
    _require_amount(time_s, _("A time of {value} s cannot be. Give 0 or more."))
    _require_amount(emission_mg_per_h, _("An emission of {value} mg/h cannot be. Give 0 or more."))
    _require_amount(start_mg_per_m3, _("A concentration of {value} mg/m³ cannot be. Give 0 or more."))
    _require_room(volume_m3, mixing_factor)
    _require_changes(air_changes_per_h, least=0.0)
    hours, per_h = floats(time_s) / 3600.0, air_changes_per_h / mixing_factor
    changes = per_h * hours
    if air_changes_per_h > 0.0:
        added = emission_mg_per_h / (volume_m3 * per_h) * -np.expm1(-changes)
    else:
        added = emission_mg_per_h / volume_m3 * hours
    return same_kind(floats(added + start_mg_per_m3 * np.exp(-changes)), time_s)


def _require(value: Number, low: float, high: float, says: str) -> None:
    require_between(floats(value), low, high, says=says)


def _require_amount(value: Number, says: str) -> None:
    _require(value, 0.0, _HUGE, says)


def _require_molar_mass(molar_mass_g_per_mol: float) -> None:
    says = _("A molar mass of {value} g/mol is outside {low} to {high} g/mol. Check the unit.")
    _require(molar_mass_g_per_mol, 1.0, 1000.0, says)


def _require_room(volume_m3: float, mixing_factor: float) -> None:
    says = _("A room of {value} m³ is outside {low} to {high} m³. Give length times width times height.")
    _require(volume_m3, 0.1, 100_000.0, says)
    says = _(
        "A mixing factor of {value} is outside {low} (perfect) to {high} (poor). "
        "It multiplies the fresh air needed; take a larger one where in doubt."
    )
    _require(mixing_factor, *MIXING_FACTOR_RANGE, says=says)


def _require_changes(air_changes_per_h: Number, least: float = 1e-6) -> None:
    says = _(
        "{value} air changes an hour are outside {low} to {high}. "
        "Without fresh air a steady source never settles; open the room or take the work outside."
    )
    _require(air_changes_per_h, least, 200.0, says)
