"""Amounts as people write them on the command line: volumes, times, weights and temperatures, and back into words."""

from __future__ import annotations

import re
from collections.abc import Mapping

from lungwort.errors import OutOfRange, UnknownName
from lungwort.language import _, number

_VOLUMES_L = {"l litre litres liter liters": 1.0, "ml": 0.001, "cl": 0.01, "dl": 0.1, "m3 m³": 1000.0}
_WEIGHTS_G = {"g gram grams": 1.0, "kg": 1000.0, "mg": 0.001}
# A month or a year counts as its longest: the older a stock is taken to be, the more cautious.
_TIMES_S = {
    "h hour hours": 3600.0,
    "d day days": 86_400.0,
    "w wk week weeks": 7 * 86_400.0,
    "mo month months": 31 * 86_400.0,
    "y yr year years": 366 * 86_400.0,
}
_AMOUNT = re.compile(r"([+-]?\d+(?:[.,]\d+)?)\s*([a-zµ³]*3?)\.?", re.IGNORECASE)
_TEMPERATURE = re.compile(r"([+-]?\d+(?:[.,]\d+)?)\s*(?:°|deg)?\s*([CF]?)", re.IGNORECASE)


def volume_l(text: str, option: str) -> float:
    """Read a volume; the message of a refusal names the option.

    >>> volume_l("10L", "--volume"), volume_l("50 mL", "--cup"), volume_l("1,5 l", "--volume")
    (10.0, 0.05, 1.5)
    """
    return _above_nothing(_amount(text, option, _VOLUMES_L, "10L, 500mL"), text, option)


def weight_g(text: str, option: str) -> float:
    """Read a weight.

    >>> weight_g("15 g", "--scoop")
    15.0
    """
    return _above_nothing(_amount(text, option, _WEIGHTS_G, "15g, 0.5kg"), text, option)


def duration_s(text: str, option: str) -> float:
    """Read a length of time; 0 is allowed, less is not.

    >>> duration_s("180d", "--age") / 86_400, duration_s("2 weeks", "--age") / 86_400
    (180.0, 14.0)
    """
    seconds = _amount(text, option, _TIMES_S, "180d, 26w, 6 months")
    if seconds < 0.0:
        says = _("{option} {text!r} is negative; give how long ago, such as 180d")
        raise OutOfRange(says.format(option=option, text=text))
    return seconds


def degrees_c(text: str, option: str) -> float:
    """Read a temperature in °C, or in °F where it says so.

    >>> degrees_c("32", "--stored-at"), round(degrees_c("90F", "--stored-at"), 1)
    (32.0, 32.2)
    """
    match = _TEMPERATURE.fullmatch(text.strip())
    if match is None:
        says = _("{option} {text!r} is not a temperature; write one as 32, 32C or 90F")
        raise UnknownName(says.format(option=option, text=text))
    value = _float(match[1])
    return (value - 32.0) / 1.8 if match[2].upper() == "F" else value


def _amount(text: str, option: str, units: Mapping[str, float], allowed: str) -> float:
    factors = {word: factor for words, factor in units.items() for word in words.split()}
    match = _AMOUNT.fullmatch(text.strip())
    if match is None or match[2].lower() not in factors:
        says = _("{option} {text!r} cannot be read; give a number and its unit, such as {allowed}")
        raise UnknownName(says.format(option=option, text=text, allowed=allowed))
    return _float(match[1]) * factors[match[2].lower()]


def _above_nothing(value: float, text: str, option: str) -> float:
    if value <= 0.0:
        says = _("{option} {text!r} is nothing to mix or measure with; give one above 0")
        raise OutOfRange(says.format(option=option, text=text))
    return value


def _float(digits: str) -> float:
    return float(digits.replace(",", "."))


def figure(value: float, most_decimals: int = 3) -> str:
    """Return a number with no more decimals than it needs.

    >>> figure(10.0), figure(0.25), figure(1.0 / 3.0, 1)
    ('10', '0.25', '0.3')
    """
    decimals = next(
        n for n in range(most_decimals + 1) if n == most_decimals or round(value, n) == round(value, 9)
    )
    return number(value, decimals)


def volume_words(litres: float) -> str:
    """Return a volume in mL below a litre, else in L.

    >>> volume_words(0.277), volume_words(10.0)
    ('277 mL', '10 L')
    """
    return f"{figure(litres * 1000, 2)} mL" if litres < 1.0 else f"{figure(litres)} L"


def days_words(seconds: float) -> str:
    """Return a time in days, or hours below two days.

    >>> days_words(180 * 86_400.0), days_words(3600.0)
    ('180 days', '1 hours')
    """
    if seconds < 2 * 86_400.0:
        return _("{n} hours").format(n=number(seconds / 3600.0, 0))
    return _("{n} days").format(n=number(seconds / 86_400.0, 0))
