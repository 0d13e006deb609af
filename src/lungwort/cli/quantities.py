"""Numbers with their unit as people type them: 60mL, 37C, 1,2 kg, 20m3/h, 6 months."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping

from lungwort.errors import OutOfRange, UnknownName
from lungwort.language import _
from lungwort.science.constants import ZERO_C_K
from lungwort.typed import two_meanings, typed_number

_QUANTITY = re.compile(r"([+-]?\d+(?:[.,]\d+)?)\s*(.*?)\.?", re.DOTALL)
_SIGNS = str.maketrans("º˚−", "°°-")

# Spellings of each unit, and what one of it is in the unit of the row's name. The first spelling stands in messages;
# a number without a unit, where that is allowed, is in the row's first unit.
TEMPERATURE_C: Mapping[str, float] = {"°C C degC": 1.0, "°F F degF": 5.0 / 9.0, "K": 1.0}
VOLUME_ML: Mapping[str, float] = {
    "mL cm3": 1.0,
    "L litre litres liter liters": 1000.0,
    "cL": 10.0,
    "dL": 100.0,
    "m3": 1_000_000.0,
}
MASS_G: Mapping[str, float] = {"g gram grams": 1.0, "kg": 1000.0, "mg": 0.001}
GAS_FLOW_L_PER_MIN: Mapping[str, float] = {"L/min": 1.0, "mL/min": 0.001}
AIR_FLOW_M3_PER_H: Mapping[str, float] = {"m3/h": 1.0, "L/min": 0.06, "L/s": 3.6, "m3/min": 60.0}
PERCENT: Mapping[str, float] = {"%": 1.0}
LENGTH_M: Mapping[str, float] = {"m": 1.0, "km": 1000.0}
PRESSURE_KPA: Mapping[str, float] = {"kPa": 1.0, "hPa": 0.1, "mbar": 0.1}
# A month or a year counts as its longest: the older a stock is taken to be, the more cautious.
AGE_S: Mapping[str, float] = {
    "hours h hour": 3600.0,
    "days d day": 86_400.0,
    "weeks w wk week": 7 * 86_400.0,
    "months mo month": 31 * 86_400.0,
    "years y yr year": 366 * 86_400.0,
}
_ZERO_C: Mapping[str, float] = {"°F F degF": -160.0 / 9.0, "K": -ZERO_C_K}


def quantity(text: str, units: Mapping[str, float], option: str, bare: bool = False) -> float:
    """Read a number with its unit.

    Args:
        text: such as "60mL", "98,6 °F", "1.25 kg" or "6 months"; decimal point or comma, capitals as they come.
        units: one of the rows above.
        option: where it was typed, for the message.
        bare: whether a number without a unit is in the row's first unit, as the option's help says.

    Returns:
        The value in the unit of the row's name.

    Raises:
        UnknownName: it is no number with one of the units, or 1,250 may be a thousand or one and a quarter.
        OutOfRange: it is too large to be a number here.

    >>> quantity("1.25 kg", MASS_G, "--wet"), round(quantity("98,6F", TEMPERATURE_C, "--gas"), 6)
    (1250.0, 37.0)
    """
    match = _QUANTITY.fullmatch(_tidy(text))
    known = _by_spelling(units)
    unit = "".join(match[2].split()).casefold() if match else ""
    if bare and not unit:
        unit = next(iter(known))
    if match is None or unit not in known:
        says = _("{option} {text!r} is not understood. Give a number with one of these units: {units}.")
        raise UnknownName(says.format(option=option, text=text, units=_shown(units)))
    _require_clear(match[1], option, text)
    value = typed_number(match[1]) * known[unit] + _by_spelling(_ZERO_C).get(unit, 0.0)
    return _finite(value, option, text)


def optional(text: str | None, units: Mapping[str, float], option: str, bare: bool = False) -> float | None:
    """Read a number as `quantity` does, or None where nothing was typed.

    >>> optional(None, MASS_G, "--dry") is None
    True
    """
    return None if text is None else quantity(text, units, option, bare)


def above_zero(text: str, units: Mapping[str, float], option: str) -> float:
    """Read a number as `quantity` does; OutOfRange where it is 0 or less.

    >>> above_zero("15 g", MASS_G, "--scoop")
    15.0
    """
    value = quantity(text, units, option)
    if value > 0.0:
        return value
    says = _("{option} {text!r} is nothing, or less. Give more than 0.")
    raise OutOfRange(says.format(option=option, text=text))


def zero_or_more(text: str, units: Mapping[str, float], option: str) -> float:
    """Read a number as `quantity` does; OutOfRange where it is less than 0.

    >>> zero_or_more("2 weeks", AGE_S, "--age") / 86_400
    14.0
    """
    value = quantity(text, units, option)
    if value >= 0.0:
        return value
    says = _("{option} {text!r} is negative. Give 0 or more.")
    raise OutOfRange(says.format(option=option, text=text))


def _tidy(text: str) -> str:
    """Return a text with one spelling of each sign: ° for º, - for −, 3 for ³."""
    return unicodedata.normalize("NFKC", text.translate(_SIGNS)).strip()


def _by_spelling(units: Mapping[str, float]) -> dict[str, float]:
    return {word.casefold(): factor for words, factor in units.items() for word in words.split()}


def _shown(units: Mapping[str, float]) -> str:
    return ", ".join(words.split()[0] for words in units)


def _require_clear(digits: str, option: str, text: str) -> None:
    """Raise where a comma may part thousands as well as decimals."""
    shown = two_meanings(digits)
    if shown is not None:
        says = _("{option} {text!r} may be a thousand or a fraction. Write {whole} or {fraction}.")
        raise UnknownName(says.format(option=option, text=text, **shown))


def _finite(value: float, option: str, text: str) -> float:
    if math.isfinite(value):
        return value
    says = _("{option} {text!r} is beyond all measure. Check the number.")
    raise OutOfRange(says.format(option=option, text=text[:20]))
