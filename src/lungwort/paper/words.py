"""Words and numbers as they stand on paper: durations, moments, values beside their limits, outcomes."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from datetime import datetime

from lungwort.evidence.verdict import Outcome
from lungwort.language import _, number

DECIMALS = {"°C": 1, "K": 2, "s": 0, "min": 1, "kPa": 1, "%": 1}
MOST_DECIMALS = 4
_NUMBER_AND_UNIT = re.compile(r"(\d) (s|min|h|d|K|°C|kPa|%)(?![\w°])")


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


def moment(when: datetime) -> str:
    """Write a moment as day, month in words, year and time; with its zone only where one is known.

    >>> moment(datetime(2026, 5, 18, 14, 5))
    '18 May 2026 14:05'
    """
    return f"{day(when)} {when:%H:%M}{_zone(when)}"


def day(when: datetime) -> str:
    """Write a day with the month in words, so that no order of numbers can be misread."""
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


def outcome_word(outcome: Outcome) -> str:
    """Return the outcome as a word that opens a line."""
    words = {
        Outcome.PASSED: _("Passed"),
        Outcome.FAILED: _("Failed"),
        Outcome.NOT_SHOWN: _("Not shown"),
    }
    return words[outcome]


def outcome_meaning(outcome: Outcome, confidence: float | None) -> str:
    """Say in one or two sentences what the outcome means and what follows for the load.

    `confidence` None: every stated error was taken as the largest possible.
    """
    if outcome is Outcome.FAILED:
        return _("The evidence shows that a rule was not met. Hold the load back and treat it again.")
    if outcome is Outcome.NOT_SHOWN:
        return _("The evidence reaches neither proof nor disproof. Hold the load back.")
    if confidence is None:
        return _(
            "Every rule asked for is shown to be met, with every stated error against it. "
            "The hospital decides on release."
        )
    text = _(
        "Every rule asked for is shown to be met, at {confidence} confidence. The hospital decides on release."
    )
    return text.format(confidence=percent(confidence))


def percent(share: float) -> str:
    """Write a share in per cent without needless decimals.

    >>> percent(0.95), percent(0.999)
    ('95 %', '99.9 %')
    """
    in_percent = round(share * 100, 6)
    decimals = 0 if in_percent == round(in_percent) else 1 if round(in_percent, 1) == in_percent else 3
    return f"{number(in_percent, decimals)} %"


def rule_word(rule: str) -> str:
    """Return a rule's name as the page prints it; an unknown rule keeps its own name.

    >>> rule_word("a0"), rule_word("own_rule")
    ('A0', 'own rule')
    """
    words = {
        "a0": "A0",
        "f0": "F0",
        "sampling": _("sampling"),
        "hold": _("hold"),
        "equilibration": _("equilibration"),
        "spread": _("spread"),
        "saturation": _("saturation"),
        "air": _("air"),
        "superheat": _("superheat"),
    }
    return words.get(rule, rule.replace("_", " ").replace("-", " "))


def shortened_apart(names: Sequence[str], most: int) -> list[str]:
    """Shorten names so that different ones stay different: in the middle, else the end, else the beginning.

    >>> shortened_apart(["Load point 10 of tray", "Load point 11 of tray"], 14)
    ['Load point 10…', 'Load point 11…']
    """
    ways: tuple[Callable[[str], str], ...] = (
        lambda name: shortened(name, most),
        lambda name: name if len(name) <= most else f"{name[: most - 1]}…",
        lambda name: name if len(name) <= most else f"…{name[len(name) - most + 1 :]}",
    )
    for way in ways:
        found = [way(name) for name in names]
        if len(set(found)) == len(set(names)):
            return found
    return [f"{i + 1}: {shortened(name, most - 4)}" for i, name in enumerate(names)]


def tied(text: str) -> str:
    """Tie each number to its unit by a space that does not break.

    >>> tied("held for 180 s").endswith("180\xa0s")
    True
    """
    return _NUMBER_AND_UNIT.sub("\\1\xa0\\2", text)


def shortened(text: str, most: int) -> str:
    """Return `text`, its middle replaced by an ellipsis where it is longer than `most` characters.

    >>> shortened("abcdefghij", 7)
    'abc…hij'
    """
    if len(text) <= most:
        return text
    head = (most - 1 + 1) // 2
    tail = most - 1 - head
    return f"{text[:head]}…{text[len(text) - tail :]}"
