"""Sampling: were readings taken often enough to see what the limit speaks of?"""

from __future__ import annotations

from lungwort.evidence.rules.common import between, finding, plateau, unmeasured
from lungwort.evidence.verdict import Finding
from lungwort.evidence.view import View, usual_interval_s
from lungwort.language import _, number
from lungwort.library.criteria import Criterion, Limit


def judge_sampling(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Pass where the usual interval between readings on the plateau is short enough; never fail, only not show."""
    rows = plateau(view, criterion)
    usual = view.once(_usual_s, rows.start, rows.stop) if rows is not None else float("nan")
    if not usual > 0:
        usual = view.interval_s
    if not usual > 0 or limit.at_most is None:
        return unmeasured(limit, _("Fewer than two readings: nothing is known between them."), limit.at_most)
    says = _("One reading every {usual} s (at most {limit} s apart is fine enough).")
    text = says.format(usual=number(usual, 1 if usual < 10 else 0), limit=number(limit.at_most, 0))
    return finding(limit, between(usual <= limit.at_most, False), text, usual, limit.at_most)


def _usual_s(view: View, start: int, stop: int) -> float:
    return usual_interval_s(view.elapsed_s[start:stop])
