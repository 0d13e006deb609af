"""Numbers with their unit as people type them: 60mL, 37C, 1,2 kg, 20m3/h."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from lungwort.errors import OutOfRange
from lungwort.language import _

_QUANTITY = re.compile(r"([+-]?\d+(?:[.,]\d+)?)\s*(.*)", re.DOTALL)
_LOOKS_LIKE_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}(?!\d)")

# What one of each unit is in the first of its row; the first is the one that the functions take.
TEMPERATURE: Mapping[str, float] = {"°C": 1.0, "C": 1.0, "°F": 5.0 / 9.0, "F": 5.0 / 9.0, "K": 1.0}
VOLUME_ML: Mapping[str, float] = {"mL": 1.0, "L": 1000.0, "cm3": 1.0, "cm³": 1.0}
MASS_G: Mapping[str, float] = {"g": 1.0, "kg": 1000.0, "mg": 0.001}
GAS_FLOW_L_PER_MIN: Mapping[str, float] = {"L/min": 1.0, "mL/min": 0.001}
AIR_FLOW_M3_PER_H: Mapping[str, float] = {
    "m3/h": 1.0,
    "m³/h": 1.0,
    "L/min": 0.06,
    "L/s": 3.6,
    "m3/min": 60.0,
    "m³/min": 60.0,
}
PERCENT: Mapping[str, float] = {"%": 1.0}
METRE: Mapping[str, float] = {"m": 1.0, "km": 1000.0}
PRESSURE_KPA: Mapping[str, float] = {"kPa": 1.0, "hPa": 0.1, "mbar": 0.1}
_ZERO_C = {"f": -160.0 / 9.0, "°f": -160.0 / 9.0, "k": -273.15}


def quantity(text: str, units: Mapping[str, float], option: str, bare: bool = False) -> float:
    """Read a number with its unit, in the first unit of the row.

    Args:
        text: such as "60mL", "98,6 °F" or "1.25 kg"; decimal point or comma.
        units: one of the rows above.
        option: where it was typed, for the message.
        bare: whether a number without a unit is in the first unit, as the option's help says.

    Returns:
        The value.

    Raises:
        OutOfRange: it is no number with one of the units, or 1,250 may be a thousand or one and a quarter.

    >>> quantity("1.25 kg", MASS_G, "--wet"), round(quantity("98,6F", TEMPERATURE, "--gas"), 6)
    (1250.0, 37.0)
    """
    match = _QUANTITY.fullmatch(text.strip())
    known = {unit.casefold(): factor for unit, factor in units.items()}
    unit = match[2].casefold() if match else ""
    if bare and not unit:
        unit = next(iter(known))
    if match is None or unit not in known:
        says = _("{option} {text!r} is not understood. Give a number with one of these units: {units}.")
        raise OutOfRange(says.format(option=option, text=text, units=", ".join(units)))
    if _LOOKS_LIKE_THOUSANDS.fullmatch(match[1]):
        says = _("{option} {text!r} may be a thousand or a fraction. Write {whole} or {fraction}.")
        number = match[1]
        raise OutOfRange(
            says.format(
                option=option, text=text, whole=number.replace(",", ""), fraction=number.replace(",", ".")
            )
        )
    value = float(match[1].replace(",", ".")) * known[unit] + _ZERO_C.get(unit, 0.0)
    return _finite(value, option, text)


def optional(text: str | None, units: Mapping[str, float], option: str, bare: bool = False) -> float | None:
    """Read a number as `quantity` does, or None where nothing was typed.

    >>> optional(None, MASS_G, "--dry") is None
    True
    """
    return None if text is None else quantity(text, units, option, bare)


def _finite(value: float, option: str, text: str) -> float:
    if math.isfinite(value):
        return value
    says = _("{option} {text!r} is beyond all measure. Check the number.")
    raise OutOfRange(says.format(option=option, text=text[:20]))
