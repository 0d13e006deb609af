"""Chlorine: available chlorine in the units of the field, and how liquid bleach weakens with time and warmth."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp

import numpy as np

from lungwort.language import _
from lungwort.science.arrays import FloatArray, Number, floats, require_between, same_kind
from lungwort.science.constants import ZERO_C_K

ATOMIC_WEIGHTS = {"H": 1.008, "C": 12.011, "N": 14.007, "O": 15.999, "Na": 22.990, "Cl": 35.453, "Ca": 40.078}
"""IUPAC standard atomic weights, shortened; from memory. CoolProp's molar mass of chlorine agrees with Cl."""

_FORMULAS: dict[str, tuple[dict[str, int], int]] = {
    "NaOCl": ({"Na": 1, "O": 1, "Cl": 1}, 1),
    "Ca(OCl)2": ({"Ca": 1, "O": 2, "Cl": 2}, 2),
    "NaDCC": ({"C": 3, "Cl": 2, "N": 3, "Na": 1, "O": 3}, 2),
    "NaDCC dihydrate": ({"C": 3, "Cl": 2, "N": 3, "Na": 1, "O": 5, "H": 4}, 2),
}
"""Atoms in a molecule, and how many of its chlorine atoms are +1 and count as Cl2 each."""

G_PER_L_PER_DEGREE = 3.17
"""Available chlorine in one chlorometric degree [g/L]: one litre of chlorine gas in a litre. Published (excerpt)."""
HALF_LIFE_SHORTENED_TO = 0.6
"""The short side of the ±40 % on the half-life: Lungwort's judgement from the checks in docs/why/chlorine.md."""
STRENGTH_RANGE_MG_PER_L = (0.0, 200_000.0)
"""Available chlorine of liquid bleach: nothing sold is stronger."""
STORE_RANGE_C = (0.0, 60.0)
"""Below 0 °C bleach begins to freeze and settle; above 60 °C no check of the formula is known."""

_GAS_CONSTANT = 8.314  # J/(mol K), as the published formula writes it
_BOLTZMANN_OVER_PLANCK = 2.083e10  # 1/(K s): the unit that settles the formula as per second
_ENTHALPY, _ENTROPY = 1.018e5, -56.5  # J/mol, J/(mol K)
_SALT_EFFECT = 0.1492  # L/mol
_EXCESS_LYE_MOL_PER_L = 0.1
# NaOCl [% w/w] against density [kg/L]: typical bleach with the salt of its making; from memory (5.25, 12.5 %).
_NAOCL_PERCENT = (0.0, 5.25, 12.5, 20.0)
_DENSITY = (0.998, 1.080, 1.170, 1.170 + 7.5 * (1.170 - 1.080) / 7.25)


def molar_mass_g_per_mol(formula: str) -> float:
    """Return the molar mass of NaOCl, Ca(OCl)2, NaDCC or NaDCC dihydrate.

    >>> round(molar_mass_g_per_mol("NaOCl"), 3), round(molar_mass_g_per_mol("NaDCC dihydrate"), 2)
    (74.442, 255.98)
    """
    atoms, _active = _FORMULAS[formula]
    return sum(count * ATOMIC_WEIGHTS[atom] for atom, count in atoms.items())


def available_share(formula: str) -> float:
    """Return the grams of available chlorine in a gram of a pure substance.

    Args:
        formula: NaOCl, Ca(OCl)2, NaDCC or NaDCC dihydrate.

    Returns:
        Share [g/g]; below 1, since each OCl⁻ counts as one Cl2 of 70.906 g/mol. Goods sold hold less.

    Source: computed from atomic weights and the definition of available chlorine.

    >>> round(available_share("NaOCl"), 4), round(available_share("NaDCC dihydrate"), 3)
    (0.9525, 0.554)
    """
    _atoms, active = _FORMULAS[formula]
    return active * 2.0 * ATOMIC_WEIGHTS["Cl"] / molar_mass_g_per_mol(formula)


def available_from_naocl(naocl: Number) -> Number:
    """Return available chlorine from sodium hypochlorite, in the same unit and on the same basis.

    Args:
        naocl: sodium hypochlorite in % w/w, % w/v or g/L, any shape.

    Returns:
        Available chlorine in that unit: 0.9525 of it.

    Source: computed, 70.906 / 74.442.

    >>> round(available_from_naocl(5.25), 2)
    5.0
    """
    return same_kind(floats(naocl) * available_share("NaOCl"), naocl)


def naocl_from_available(available: Number) -> Number:
    """Return sodium hypochlorite from available chlorine, in the same unit and on the same basis.

    >>> round(naocl_from_available(5.0), 2)
    5.25
    """
    return same_kind(floats(available) / available_share("NaOCl"), available)


def from_degrees_mg_per_l(degrees: Number) -> Number:
    """Return available chlorine from chlorometric degrees.

    Args:
        degrees: chlorometric degrees [°Chl], any shape.

    Returns:
        Available chlorine [mg/L], 3170 a degree.

    Source: published (excerpt), 3.17 g/L a degree; the ideal gas at 0 °C and 1 atm gives 70.906 / 22.414 = 3.163.

    >>> round(from_degrees_mg_per_l(12.0) / 1000, 1)
    38.0
    """
    return same_kind(floats(degrees) * (1000.0 * G_PER_L_PER_DEGREE), degrees)


def chlorometric_degrees(strength_mg_per_l: Number) -> Number:
    """Return chlorometric degrees from available chlorine [mg/L].

    >>> round(chlorometric_degrees(54_000.0), 1)
    17.0
    """
    return same_kind(floats(strength_mg_per_l) / (1000.0 * G_PER_L_PER_DEGREE), strength_mg_per_l)


def bleach_density_kg_per_l(naocl_percent_w_w: Number, low_salt: bool = False) -> Number:
    """Return a typical density of liquid bleach, where nobody states one.

    Args:
        naocl_percent_w_w: sodium hypochlorite [% w/w], any shape, 0 to 20.
        low_salt: halve the rise above water, as for bleach made without the usual equal moles of salt.

    Returns:
        Density [kg/L], straight lines between 0.998 (water), 1.080 (5.25 %) and 1.170 (12.5 %).

    Raises:
        OutOfRange: more than 20 %, or less than none.

    Source: two typical values, from memory; the halving is Lungwort's cautious end. A density on the label wins.

    >>> round(bleach_density_kg_per_l(5.25), 3), round(bleach_density_kg_per_l(5.25, low_salt=True), 3)
    (1.08, 1.039)
    """
    percent = floats(naocl_percent_w_w)
    require_between(percent, _NAOCL_PERCENT[0], _NAOCL_PERCENT[-1], says=_density_says())
    usual = np.interp(percent, _NAOCL_PERCENT, _DENSITY)
    density = (usual + _DENSITY[0]) / 2.0 if low_salt else usual
    return same_kind(floats(density), naocl_percent_w_w)


def ionic_strength_mol_per_l(strength_mg_per_l: Number) -> Number:
    """Return the ionic strength of bleach from its available chlorine when it was made.

    Args:
        strength_mg_per_l: available chlorine when made [mg/L], any shape.

    Returns:
        Ionic strength [mol/L]: twice the moles (as many of salt as of hypochlorite) and 0.1 of lye. It does not
        change as the bleach weakens, since 3 OCl⁻ become 2 Cl⁻ and ClO3⁻.

    Source: computed; equal moles of salt are assumed, the usual way of making bleach.

    >>> round(ionic_strength_mol_per_l(50_000.0), 2)
    1.51
    """
    return same_kind(2.0 * _moles(strength_mg_per_l) + _EXCESS_LYE_MOL_PER_L, strength_mg_per_l)


def decay_rate_l_per_mol_s(temperature_c: Number, ionic_strength_mol_per_l: float) -> Number:
    """Return the rate at which hypochlorite destroys itself, k2 in d[OCl⁻]/dt = -k2 [OCl⁻]².

    Args:
        temperature_c: temperature [°C], any shape, 0 to 60.
        ionic_strength_mol_per_l: ionic strength [mol/L].

    Returns:
        Rate [L/(mol s)], same shape. Holds for alkaline bleach (pH 11.9 to 13) without light or metal ions, which
        hasten it; not for diluted working solutions.

    Raises:
        OutOfRange: a temperature beyond that range.

    Source: AWWA / Water Research Foundation 2009 (Snyder, Stanford, Pisarenko, Gordon, Asami), coefficients from
        memory. The prefactor is Boltzmann's over Planck's constant, so the rate is per second: computed.

    >>> round(decay_rate_l_per_mol_s(25.0, 1.51) * 1e8, 2)
    1.7
    """
    celsius = floats(temperature_c)
    require_between(celsius, *STORE_RANGE_C, says=_store_says())
    kelvin = celsius + ZERO_C_K
    barrier = np.exp(-_ENTHALPY / (_GAS_CONSTANT * kelvin)) * exp(_ENTROPY / _GAS_CONSTANT)
    salt = 10.0 ** (_SALT_EFFECT * ionic_strength_mol_per_l)
    return same_kind(salt * _BOLTZMANN_OVER_PLANCK * kelvin * barrier, temperature_c)


def half_life_s(strength_mg_per_l: float, temperature_c: Number, shortened_to: float = 1.0) -> Number:
    """Return how long fresh bleach takes to lose half its available chlorine; the next halving takes twice as long.

    Args:
        strength_mg_per_l: available chlorine when made [mg/L], above 0 up to 200 000.
        temperature_c: store temperature [°C], any shape, 0 to 60.
        shortened_to: factor on the half-life; HALF_LIFE_SHORTENED_TO for the cautious end.

    Returns:
        Half-life [s], same shape as the temperature: 1 / (k2 C0).

    Raises:
        OutOfRange: strength or temperature beyond its range.

    Source: computed, second-order law with the rate of `decay_rate_l_per_mol_s`.

    >>> round(half_life_s(50_000.0, 25.0) / 86_400)
    963
    """
    _require_strength(strength_mg_per_l)
    rate = floats(decay_rate_l_per_mol_s(temperature_c, float(ionic_strength_mol_per_l(strength_mg_per_l))))
    return same_kind(shortened_to / (rate * _moles(strength_mg_per_l)), temperature_c)


def strength_after_mg_per_l(
    strength_mg_per_l: float, history: Sequence[tuple[float, float]], shortened_to: float = 1.0
) -> float:
    """Return the available chlorine left in bleach after a history of store temperatures.

    Args:
        strength_mg_per_l: available chlorine when made [mg/L], above 0 up to 200 000.
        history: pairs of temperature [°C] and time [s], in any order: the order does not matter.
        shortened_to: factor on every half-life; HALF_LIFE_SHORTENED_TO for the cautious end.

    Returns:
        Available chlorine [mg/L]: C0 / (1 + C0 Σ k2 t), ionic strength as when made.

    Raises:
        OutOfRange: strength, a temperature or a time beyond its range.

    Source: computed, closed form of the second-order law.

    >>> round(strength_after_mg_per_l(50_000.0, [(24.0, 730 * 86_400.0)]))
    30159
    """
    _require_strength(strength_mg_per_l)
    moles = float(_moles(strength_mg_per_l))
    return strength_mg_per_l / (1.0 + moles * _dose(strength_mg_per_l, history) / shortened_to)


def time_until_s(
    strength_mg_per_l: float,
    weakest_mg_per_l: float,
    temperature_c: float,
    history: Sequence[tuple[float, float]] = (),
    shortened_to: float = 1.0,
) -> float:
    """Return how long bleach still keeps at least a given strength.

    Args:
        strength_mg_per_l: available chlorine when made [mg/L], above 0 up to 200 000.
        weakest_mg_per_l: available chlorine it must keep [mg/L], above 0.
        temperature_c: store temperature from now on [°C], 0 to 60.
        history: pairs of temperature [°C] and time [s] so far.
        shortened_to: factor on every half-life; HALF_LIFE_SHORTENED_TO for the cautious end.

    Returns:
        Time from now [s]; 0 where it is already weaker.

    Raises:
        OutOfRange: a strength, a temperature or a time beyond its range.

    Source: computed, the second-order law solved for time.

    >>> round(time_until_s(50_000.0, 25_000.0, 25.0) / 86_400)
    963
    """
    _require_strength(strength_mg_per_l)
    _require_strength(weakest_mg_per_l)
    rate = decay_rate_l_per_mol_s(temperature_c, float(ionic_strength_mol_per_l(strength_mg_per_l)))
    allowed = float(1.0 / _moles(weakest_mg_per_l) - 1.0 / _moles(strength_mg_per_l)) * shortened_to
    return max(0.0, (allowed - _dose(strength_mg_per_l, history)) / rate)


def _moles(strength_mg_per_l: Number) -> FloatArray:
    return floats(strength_mg_per_l) / (1000.0 * 2.0 * ATOMIC_WEIGHTS["Cl"])


def _dose(strength_mg_per_l: float, history: Sequence[tuple[float, float]]) -> float:
    """Return Σ k2 t [L/mol] over a history."""
    times = floats([time_s for _temperature, time_s in history])
    require_between(times, 0.0, np.inf, says=_time_says())
    salt = float(ionic_strength_mol_per_l(strength_mg_per_l))
    return float(sum(decay_rate_l_per_mol_s(t_c, salt) * time_s for t_c, time_s in history))


def _require_strength(strength_mg_per_l: float) -> None:
    lowest = np.nextafter(STRENGTH_RANGE_MG_PER_L[0], 1.0)
    require_between(floats(strength_mg_per_l), lowest, STRENGTH_RANGE_MG_PER_L[1], says=_strength_says())


def _strength_says() -> str:
    return _(
        "{value} mg/L of available chlorine is not a strength of liquid bleach, which is above {low} and up to "
        "{high} mg/L. Check the unit on the label."
    )


def _store_says() -> str:
    return _(
        "Store temperature {value} °C is outside {low} to {high} °C, where the decay of bleach is known. "
        "Check that the unit is °C; do not use bleach that was kept hotter."
    )


def _time_says() -> str:
    return _(
        "An age of {value} s is not possible; it is {low} or more. Give how long ago the bleach was made."
    )


def _density_says() -> str:
    return _(
        "{value} % sodium hypochlorite by weight is outside {low} to {high} %, where a usual density is known. "
        "Check the label, or give the density written on it."
    )
