"""Numbers as people type them: a decimal point or a comma, and the comma that may mean two things."""

from __future__ import annotations

import re

_TWO_MEANINGS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")


def typed_number(digits: str) -> float:
    """Return the number that digits with a decimal point or comma spell.

    >>> typed_number("78,5"), typed_number("-0.25")
    (78.5, -0.25)
    """
    return float(digits.replace(",", "."))


def two_meanings(digits: str) -> dict[str, str] | None:
    """Return both ways to write a number whose comma may part thousands or decimals; None where it is clear.

    >>> two_meanings("1,250"), two_meanings("0,250"), two_meanings("1,25")
    ({'whole': '1250', 'fraction': '1.250'}, None, None)
    """
    if not _TWO_MEANINGS.fullmatch(digits):
        return None
    return {"whole": digits.replace(",", ""), "fraction": digits.replace(",", ".")}
