"""A verdict: what the evidence shows, rule by rule, each with its value, limit, source and basis."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from lungwort.evidence.circumstances import Circumstances
from lungwort.evidence.log import Log
from lungwort.library.criteria import Basis, Criterion, weakest


class Outcome(StrEnum):
    """What evidence can show: it is met, it is not met, or neither."""

    PASSED = "passed"
    FAILED = "failed"
    NOT_SHOWN = "not shown"


def worst(outcomes: Iterable[Outcome]) -> Outcome:
    """Return failed if any failed, else not shown if any is not shown or there are none, else passed.

    >>> str(worst([Outcome.PASSED, Outcome.NOT_SHOWN]))
    'not shown'
    """
    seen = set(outcomes)
    if Outcome.FAILED in seen:
        return Outcome.FAILED
    return Outcome.NOT_SHOWN if Outcome.NOT_SHOWN in seen or not seen else Outcome.PASSED


@dataclass(frozen=True)
class Finding:
    """One rule's result. `value` and `limit` share `unit`; `required` is False where the rule only informs."""

    rule: str
    outcome: Outcome
    says: str
    value: float | None
    limit: float | None
    unit: str
    source: str
    basis: Basis
    required: bool = True


@dataclass(frozen=True)
class CriterionVerdict:
    """What the evidence shows of one criterion; `adopted` says when, by whom and after what the hospital adopted it."""

    criterion: Criterion
    findings: tuple[Finding, ...]
    adopted: str = ""

    @property
    def outcome(self) -> Outcome:
        """The worst outcome among the required findings."""
        return worst(f.outcome for f in self.findings if f.required)

    @property
    def basis(self) -> Basis:
        """The weakest basis among the criterion's limits."""
        return weakest(limit.basis for limit in self.criterion.limits)


@dataclass(frozen=True)
class ChannelFigures:
    """Lethality of one temperature channel: best estimate (trapezoid) and the proof's lower bound.

    A0 in s at 80 °C; F0 in min at `f0_reference_c`; `max_c` None where no reading is present.
    """

    name: str
    a0_s: float
    a0_low_s: float
    f0_min: float
    f0_low_min: float
    max_c: float | None
    readings: int
    f0_reference_c: float = 121.1


@dataclass(frozen=True, eq=False)
class Verdict:
    """The judgement of one piece of evidence, with what other published rules would say of it.

    `confidence` is one-sided; None where every stated error was taken as the largest possible.
    """

    criteria: tuple[CriterionVerdict, ...]
    others: tuple[CriterionVerdict, ...]
    assumptions: tuple[str, ...]
    confidence: float | None

    @property
    def outcome(self) -> Outcome:
        """Passed only where every criterion asked for passed."""
        return worst(c.outcome for c in self.criteria)

    @property
    def not_adopted(self) -> tuple[str, ...]:
        """The names of the criteria asked for that nobody adopted, as far as was told."""
        return tuple(c.criterion.name for c in self.criteria if not c.adopted)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings of the criteria asked for, in order."""
        return tuple(f for c in self.criteria for f in c.findings)


@dataclass(frozen=True, eq=False)
class HeatVerdict(Verdict):
    """The judgement of a log of steam or hot water, with the figures of each temperature channel."""

    confidence: float
    channels: tuple[ChannelFigures, ...]
    log: Log
    circumstances: Circumstances
