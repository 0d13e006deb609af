"""The cycles of an autoclave or bath around a doubt: back to its last good evidence, forward to its next."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from lungwort.records.look_back.legs import ENDED, LAST, Order
from lungwort.records.look_back.reading import Reading, passed, showed_no_growth
from lungwort.records.look_back.result import Evidence
from lungwort.records.states.fact import Fact
from lungwort.records.states.view import EARLIEST

FREED = "equipment.freed"
MOST_CYCLES = 3000
"""How far back a negative indicator is looked for: years of daily work. Ours, no source."""


def good_before(reading: Reading, equipment: str, before: Order = LAST) -> Evidence:
    """Return the last good evidence of equipment before a moment.

    It is its last cycle with a negative biological indicator, if there is one within `MOST_CYCLES`, else its last
    passed cycle; kind "" where there is neither. Basis: common practice; CDC 2008 (from memory).
    """
    last_passed = Evidence()
    for ended in islice(_ended_before(reading, equipment, before), MOST_CYCLES):
        code = ended.the("cycle")
        if showed_no_growth(cycle := reading.cycle(code)):
            return Evidence("indicator", code, ended.at)
        if not last_passed.kind and passed(cycle):
            last_passed = Evidence("cycle", code, ended.at)
    return last_passed


def cycles_since(reading: Reading, equipment: str, good: Evidence, before: Order = LAST) -> list[Fact]:
    """Return the ends of the cycles after good evidence and before a moment, in order."""
    found: list[Fact] = []
    for ended in _ended_before(reading, equipment, before, good.at):
        if ended.the("cycle") == good.code:
            break
        found.append(ended)
    return found[::-1]


def cycles_within(reading: Reading, equipment: str, since: str, until: str) -> list[Fact]:
    """Return the ends of the cycles in a period, in order."""
    facts = reading.view.facts("equipment", equipment, since=since, until=until)
    return [fact for fact in facts if fact.what == ENDED]


def cycles_until_good(reading: Reading, equipment: str, after: Fact) -> tuple[list[Fact], Evidence]:
    """Return the ends of the cycles after one up to the next negative biological indicator, and that evidence.

    Cycles run while the equipment was held are among them; once it is freed, somebody answered for it.
    """
    found: list[Fact] = []
    for fact in reading.view.facts("equipment", equipment, since=after.at):
        if fact.order <= after.order:
            continue
        if fact.what == FREED:
            break
        if fact.what == ENDED and showed_no_growth(reading.cycle(code := fact.the("cycle"))):
            return found, Evidence("indicator", code, fact.at)
        if fact.what == ENDED:
            found.append(fact)
    return found, Evidence()


def _ended_before(reading: Reading, equipment: str, before: Order, since: str = EARLIEST) -> Iterator[Fact]:
    facts = reading.view.facts("equipment", equipment, since=since, until=before[0], newest_first=True)
    return (fact for fact in facts if fact.what == ENDED and fact.order < before)
