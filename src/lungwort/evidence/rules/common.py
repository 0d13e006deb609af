"""What every rule needs: building a finding and choosing its outcome."""

from __future__ import annotations

from lungwort.evidence.verdict import Finding, Outcome
from lungwort.library.criteria import Limit


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
