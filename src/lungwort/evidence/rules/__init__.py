"""Rules: each judges one limit of a criterion against a view of the log and answers with a finding."""

from collections.abc import Callable, Mapping

from lungwort.evidence.rules import agreement, hold, lethality, sampling, spread
from lungwort.evidence.verdict import Finding
from lungwort.evidence.view import View
from lungwort.library.criteria import Criterion, Limit

Rule = Callable[[View, Limit, Criterion], Finding]

RULES: Mapping[str, Rule] = {
    "sampling": sampling.judge_sampling,
    "hold": hold.judge_hold,
    "equilibration": spread.judge_equilibration,
    "spread": spread.judge_spread,
    "saturation": agreement.judge_saturation,
    "air": agreement.judge_air,
    "superheat": agreement.judge_superheat,
    "f0": lethality.judge_f0,
    "a0": lethality.judge_a0,
}
