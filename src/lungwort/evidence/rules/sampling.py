"""Sampling: were readings taken often enough to see what the limit speaks of?"""

from __future__ import annotations

import numpy as np

from lungwort.evidence.plateau import plateau
from lungwort.evidence.rules.common import between, finding, unmeasured
from lungwort.evidence.verdict import Finding
from lungwort.evidence.view import GAP_INTERVALS, View, usual_interval_s
from lungwort.language import _, number
from lungwort.library.criteria import Criterion, Limit


def judge_sampling(view: View, limit: Limit, criterion: Criterion) -> Finding:
    """Pass where readings on the plateau are usually close enough, and never far apart; never fail, only not show."""
    rows = plateau(view, criterion)
    usual, longest = (
        view.once(_usual_and_longest_s, rows.start, rows.stop) if rows is not None else (float("nan"), 0.0)
    )
    if not usual > 0:
        usual = view.interval_s
    if not usual > 0 or limit.at_most is None:
        return unmeasured(limit, _("Fewer than two readings: nothing is known between them."), limit.at_most)
    says = _("One reading every {usual} s (at most {limit} s apart is fine enough).")
    text = says.format(usual=number(usual, 1 if usual < 10 else 0), limit=number(limit.at_most, 0))
    silent = longest > GAP_INTERVALS * limit.at_most
    if silent:
        text += " " + _("Once there was none for {longest} s.").format(longest=number(longest, 0))
    return finding(limit, between(usual <= limit.at_most and not silent, False), text, usual, limit.at_most)


def _usual_and_longest_s(view: View, start: int, stop: int) -> tuple[float, float]:
    times_s = view.elapsed_s[start:stop]
    return usual_interval_s(times_s), float(np.diff(times_s).max(initial=0.0))
