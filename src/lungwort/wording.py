"""Quantities in words for a reader: durations, moments, values beside their limits, no more decimals than needed."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import date, datetime

from lungwort.language import _, ngettext, number

DECIMALS = {"°C": 1, "K": 2, "s": 0, "min": 1, "kPa": 1, "%": 1}
MOST_DECIMALS = 4
_NUMBER_AND_UNIT = re.compile(r"(\d) (s|min|h|d|K|°C|kPa|%)(?![\w°])")
_DAY_S = 86_400.0


def duration(seconds: float, whole: Callable[[float], int] = round) -> str:
    """Say a duration in the two units that matter; `whole` turns the smallest to a whole number.

    Use math.floor for what was achieved and math.ceil for what was needed, so that rounding never flatters.

    >>> duration(45), duration(222), duration(840), duration(19200), duration(183600)
    ('45 s', '3 min 42 s', '14 min', '5 h 20 min', '2 d 3 h')
    """
    if seconds < 60:
        return _("{s} s").format(s=whole(seconds))
    if seconds < 600:
        return _two(whole(seconds), 60, _("{a} min {b} s"), _("{a} min"))
    if seconds < 7200:
        return _("{a} min").format(a=whole(seconds / 60))
    if seconds < 172800:
        return _two(whole(seconds / 60), 60, _("{a} h {b} min"), _("{a} h"))
    return _two(whole(seconds / 3600), 24, _("{a} d {b} h"), _("{a} d"))


def _two(total: int, base: int, both: str, large_only: str) -> str:
    large, small = divmod(total, base)
    return both.format(a=large, b=small) if small else large_only.format(a=large)


def days_words(seconds: float, whole: Callable[[float], int] = round) -> str:
    """Say a time in days, or in hours below two days; `whole` makes them whole numbers, as in `duration`.

    >>> days_words(180 * 86_400.0), days_words(3600.0)
    ('180 days', '1 hour')
    """
    if seconds < 2 * _DAY_S:
        hours = whole(seconds / 3600.0)
        return ngettext("{n} hour", "{n} hours", hours).format(n=hours)
    return _("{n} days").format(n=whole(seconds / _DAY_S))


def moment(when: datetime) -> str:
    """Write a moment as day, month in words, year and time; with its zone only where one is known.

    >>> moment(datetime(2026, 5, 18, 14, 5))
    '18 May 2026 14:05'
    """
    return f"{day(when)} {when:%H:%M}{_zone(when)}"


def day(when: date) -> str:
    """Write a day with the month in words, so that no order of numbers can be misread.

    >>> day(date(2026, 5, 18))
    '18 May 2026'
    """
    return f"{when.day} {_months()[when.month - 1]} {when.year}"


def _zone(when: datetime) -> str:
    name = when.tzname()
    return f" {name}" if name else ""


def _months() -> tuple[str, ...]:
    first = (_("January"), _("February"), _("March"), _("April"), _("May"), _("June"))
    return (*first, _("July"), _("August"), _("September"), _("October"), _("November"), _("December"))


def with_unit(value: float | None, unit: str, decimals: int | None = None) -> str:
    """Write a value with its unit; an en dash alone where there is none.

    >>> with_unit(134.04, "°C"), with_unit(None, "K")
    ('134.0 °C', '–')
    """
    text = number(value, _decimals(value, unit) if decimals is None else decimals)
    return text if text == "–" or not unit else f"{text} {unit}"


def value_and_limit(value: float | None, limit: float | None, unit: str) -> tuple[str, str]:
    """Write a value and its limit with as many decimals as it takes to tell them apart.

    >>> value_and_limit(599.6, 600.0, "s")
    ('599.6 s', '600.0 s')
    """
    decimals = max(_decimals(value, unit), _decimals(limit, unit) if value is None else 0)
    if value is not None and limit is not None and math.isfinite(value) and value != limit:
        while decimals < MOST_DECIMALS and number(value, decimals) == number(limit, decimals):
            decimals += 1
    return with_unit(value, unit, decimals), with_unit(limit, unit, decimals)


def _decimals(value: float | None, unit: str) -> int:
    usual = DECIMALS.get(unit, 1)
    if value is None or not math.isfinite(value) or usual or abs(value) >= 100 or value == int(value):
        return usual
    return 1


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


def strength_words(strength_mg_per_l: float) -> str:
    """Return a strength in mg/L, or in g/L where it is no thin solution.

    >>> strength_words(0.5), strength_words(1250.4), strength_words(552_300.0)
    ('0.5 mg/L', '1250 mg/L', '552.3 g/L')
    """
    if strength_mg_per_l >= 100_000.0:
        return f"{figure(strength_mg_per_l / 1000.0, 1)} g/L"
    return f"{figure(strength_mg_per_l, 2 if strength_mg_per_l < 10.0 else 0)} mg/L"


def percent(share: float) -> str:
    """Write a share in per cent without needless decimals.

    >>> percent(0.95), percent(0.999)
    ('95 %', '99.9 %')
    """
    in_percent = round(share * 100, 6)
    decimals = 0 if in_percent == round(in_percent) else 1 if round(in_percent, 1) == in_percent else 3
    return f"{number(in_percent, decimals)} %"


def tied(text: str) -> str:
    """Tie each number to its unit by a space that does not break.

    >>> tied("held for 180 s").endswith("180\xa0s")
    True
    """
    return _NUMBER_AND_UNIT.sub("\\1\xa0\\2", text)
