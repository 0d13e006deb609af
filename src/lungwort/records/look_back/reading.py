"""What was read of a place so far, so that nothing is read twice, and which exposures are good evidence."""

from __future__ import annotations

from dataclasses import dataclass, field

from lungwort.records.look_back.legs import ENDED, Leg, begin_before, leg_from, use_at
from lungwort.records.look_back.result import Evidence
from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import CycleState
from lungwort.records.states.view import View


@dataclass(frozen=True)
class Reading:
    """A place that is looked back upon, with what is doubted: cycles by code, wipes by event."""

    view: View
    doubted: frozenset[str] = frozenset()
    _cycles: dict[str, CycleState | None] = field(default_factory=dict)
    _legs: dict[tuple[str, str], Leg] = field(default_factory=dict)

    def cycle(self, code: str) -> CycleState | None:
        """Return what a cycle is now."""
        if code not in self._cycles:
            self._cycles[code] = self.view.state(CycleState, code)
        return self._cycles[code]

    def leg(self, part: str, begin: Fact | None) -> Leg:
        """Return a part's leg that begins with an exposure; None for the leg from enrolment."""
        key = part, begin.event.id if begin else ""
        if key not in self._legs:
            self._legs[key] = leg_from(self.view, part, begin, self._in_use_at(part, begin))
        return self._legs[key]

    def _in_use_at(self, part: str, begin: Fact | None) -> bool:
        """Tell whether a part was on a patient when a leg began; what is in a cycle is on nobody."""
        if begin is None or begin.what == ENDED:
            return False
        return use_at(self.view, part, begin.order) is not None

    def leg_before(self, part: str, exposure: Fact) -> Leg:
        """Return the leg that a part was in just before a fact about it."""
        return self.leg(part, begin_before(self.view, part, exposure.order))


def showed_no_growth(cycle: CycleState | None) -> bool:
    """Tell whether a cycle is good evidence of its equipment: a negative biological indicator, nothing against it."""
    if cycle is None or not cycle.ended_at or cycle.outcome == "failed" or _positive(cycle):
        return False
    return any(told.startswith("biological:negative") for told in cycle.indicators)


def passed(cycle: CycleState | None) -> bool:
    """Tell whether a cycle was judged passed, the last judgement counting, and nothing speaks against it.

    Readings attached since then, which nobody judged yet, may do so.
    """
    judged = cycle is not None and (cycle.status, cycle.outcome) == ("judged", "passed")
    return cycle is not None and judged and not _positive(cycle)


def _positive(cycle: CycleState) -> bool:
    return any(told.split(":")[1] == "positive" for told in cycle.indicators)


def is_good(reading: Reading, part: str, exposure: Fact | None) -> bool:
    """Tell whether an exposure to treatment is good evidence for the leg of a part that it begins.

    A cycle is where it passed and is not doubted. A wipe is where the rules then released the part on it, not an
    exception: only for what its protocol wipes, then, such as a machine's outside; it stays "wiped, not proved".
    """
    if exposure is None or doubted(reading, exposure):
        return False
    if exposure.what == ENDED:
        return passed(reading.cycle(exposure.the("cycle")))
    return reading.leg(part, exposure).released


def doubted(reading: Reading, exposure: Fact) -> bool:
    """Tell whether this look-back doubts an exposure."""
    return exposure.event.id in reading.doubted or exposure.the("cycle") in reading.doubted


def evidence_of(exposure: Fact) -> Evidence:
    """Return an exposure to treatment as evidence."""
    if exposure.what == ENDED:
        return Evidence("cycle", exposure.the("cycle"), exposure.at)
    return Evidence("wipe", exposure.the("batch"), exposure.at)
