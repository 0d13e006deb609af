"""What every rule needs: building a finding, and the plateau a criterion speaks of."""

from __future__ import annotations

from lungwort.evidence.verdict import Finding, Outcome
from lungwort.evidence.view import View
from lungwort.library.criteria import Criterion, Limit


def finding(
    limit: Limit,
    outcome: Outcome,
    says: str,
    value: float | None = None,
    at: float | None = None,
    required: bool = True,
    unit: str | None = None,
) -> Finding:
    """Return a finding on `limit`; `at` is the number that `value` was held against, both in `unit`."""
    return Finding(
        limit.rule, outcome, says, value, at, unit or limit.unit, limit.source, limit.basis, required
    )


def unmeasured(limit: Limit, says: str, at: float | None = None) -> Finding:
    """Return `not shown` for evidence that is not there; it counts unless the limit asks only if measured."""
    return finding(limit, Outcome.NOT_SHOWN, says, None, at, limit.required == "always")


def between(sure: bool, excluded: bool) -> Outcome:
    """Return passed where met for sure, failed where excluded for sure, else not shown."""
    if sure:
        return Outcome.PASSED
    return Outcome.FAILED if excluded else Outcome.NOT_SHOWN


def plateau(view: View, criterion: Criterion) -> slice | None:
    """Return the rows of the criterion's plateau: at or above its holding temperature, else the hottest part."""
    hold = criterion.limit("hold")
    return view.plateau(None if hold is None else hold.at_least)
