"""The cycles of an autoclave or bath around a doubt: back to its last good evidence, forward to its next."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from lungwort.records.look_back.legs import ENDED, LAST, STARTED, Order
from lungwort.records.look_back.reading import Reading, passed, showed_no_growth
from lungwort.records.look_back.result import Evidence
from lungwort.records.states.fact import Fact
from lungwort.records.states.view import EARLIEST

FREED, ATTACHED = "equipment.freed", "cycle.evidence_attached"
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
    """Return the ends of the cycles that ran in a period, or in a part of it, in order."""
    facts = reading.view.facts("equipment", equipment, since=since, until=until)
    within = [fact for fact in facts if _is_exposure(reading, fact)]
    known = {fact.event.id for fact in within}
    return [*within, *(f for f in running_at(reading, equipment, until) if f.event.id not in known)]


def running_at(reading: Reading, equipment: str, moment: str) -> Iterator[Fact]:
    """Yield the end, whenever it came, of the cycle that was running at a moment; of one that never ended its start."""
    facts = reading.view.facts("equipment", equipment, until=moment, newest_first=True)
    last = next((f for f in facts if f.what in (STARTED, ENDED)), None)
    if last is not None and last.what == STARTED:
        later = reading.view.facts("cycle", last.the("cycle"), since=last.at)
        yield next((f for f in later if f.what == ENDED and f.order > last.order), last)


def cycles_until_good(reading: Reading, equipment: str, after: Fact) -> tuple[list[Fact], Evidence]:
    """Return the ends of the cycles after one up to the next negative biological indicator, and that evidence.

    Cycles run while the equipment was held are among them. Once it is freed after the growth was known, somebody
    answered for it; whoever freed it earlier, from another hold, knew of no growth.
    """
    found: list[Fact] = []
    known = _growth_known(reading, after.the("cycle"))
    for fact in reading.view.facts("equipment", equipment, since=after.at):
        if fact.order <= after.order:
            continue
        if fact.what == FREED and fact.order > known:
            break
        if fact.what == ENDED and showed_no_growth(reading.cycle(code := fact.the("cycle"))):
            return found, Evidence("indicator", code, fact.at)
        if _is_exposure(reading, fact):
            found.append(fact)
    return found, Evidence()


def _growth_known(reading: Reading, cycle: str) -> Order:
    """Return when growth in a cycle was recorded first; after everything where it never was."""
    facts = reading.view.facts("cycle", cycle)
    told = (f.order for f in facts if f.what == ATTACHED and f.data.get("result") == "positive")
    return next(told, LAST)


def _ended_before(reading: Reading, equipment: str, before: Order, since: str = EARLIEST) -> Iterator[Fact]:
    facts = reading.view.facts("equipment", equipment, since=since, until=before[0], newest_first=True)
    return (fact for fact in facts if fact.order < before and _is_exposure(reading, fact))


def _is_exposure(reading: Reading, fact: Fact) -> bool:
    """Tell whether a fact stands for the exposure of a cycle: its end, or the start of one that never ended."""
    if fact.what != STARTED:
        return fact.what == ENDED
    cycle = reading.cycle(fact.the("cycle"))
    return cycle is None or not cycle.ended_at
