"""What the simulation itself knows of treatments and uses, kept apart from the records that it writes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import NamedTuple


class Treated(NamedTuple):
    """A part went through a cycle."""

    cycle: str


class Used(NamedTuple):
    """A part was on a patient."""

    patient: str


FREED = ""
"""Stands among the runs of an autoclave where it was put back in service."""


@dataclass
class Ledger:
    """Each part's treatments and uses in order; each cycle's load, outcome and indicator; each equipment's runs."""

    lives: dict[str, list[Treated | Used]] = field(default_factory=lambda: defaultdict(list))
    loads: dict[str, tuple[str, ...]] = field(default_factory=dict)
    outcomes: dict[str, str] = field(default_factory=dict)
    indicators: dict[str, str] = field(default_factory=dict)
    runs: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))

    def treat(self, cycle: str, parts: Iterable[str], equipment: str) -> None:
        """Note that a cycle ended."""
        self.loads[cycle] = tuple(parts)
        if equipment:
            self.runs[equipment].append(cycle)
        for part in self.loads[cycle]:
            self.lives[part].append(Treated(cycle))

    def use(self, parts: Iterable[str], patient: str) -> None:
        """Note that a patient was connected."""
        for part in parts:
            self.lives[part].append(Used(patient))

    def last_cycle(self, part: str) -> str:
        """Return the last cycle of a part; "" before the first."""
        return next((e.cycle for e in reversed(self.lives[part]) if isinstance(e, Treated)), "")


def exposed(ledger: Ledger, doubted: Iterable[str]) -> tuple[str, ...]:
    """Return the patients who met a part between a doubted cycle and the part's next proved one, sorted.

    A cycle proves where it passed and is not doubted itself.
    """
    cycles = frozenset(doubted)
    parts = {part: None for cycle in cycles for part in ledger.loads[cycle]}
    return tuple(sorted({patient for part in parts for patient in _met(ledger, part, cycles)}))


def _met(ledger: Ledger, part: str, doubted: frozenset[str]) -> Iterator[str]:
    in_doubt = False
    for entry in ledger.lives[part]:
        if isinstance(entry, Used):
            if in_doubt:
                yield entry.patient
        elif entry.cycle in doubted:
            in_doubt = True
        elif ledger.outcomes.get(entry.cycle) == "passed":
            in_doubt = False


def since_last_negative(ledger: Ledger, equipment: str, cycle: str) -> tuple[str, ...]:
    """Return the cycles of equipment around one, from after its last negative indicator to before the next good sign.

    Where it never had a negative indicator, its last passed cycle takes that place. The next good sign is a negative
    indicator, or that the equipment was put back in service.
    """
    runs = ledger.runs[equipment]
    at = runs.index(cycle)
    before = [i for i in range(at) if _negative(ledger, runs[i])]
    before = before or [i for i in range(at) if ledger.outcomes.get(runs[i]) == "passed"]
    good = (i for i in range(at + 1, len(runs)) if runs[i] == FREED or _negative(ledger, runs[i]))
    around = runs[before[-1] + 1 if before else 0 : next(good, len(runs))]
    return tuple(code for code in around if code != FREED)


def _negative(ledger: Ledger, cycle: str) -> bool:
    return ledger.indicators.get(cycle) == "negative" and ledger.outcomes.get(cycle) != "failed"
