"""Judging a soak: criteria applied to its record give a verdict, in the same form as heat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lungwort.errors import UnknownName
from lungwort.evidence.soak.reading import read_soak
from lungwort.evidence.soak.record import Soak
from lungwort.evidence.soak.rules import SOAK_RULES
from lungwort.evidence.strengths import substance_of
from lungwort.evidence.verdict import CriterionVerdict, Verdict
from lungwort.language import _
from lungwort.library.criteria import Criterion
from lungwort.library.soaks import agent_of, soak_criteria


@dataclass(frozen=True, eq=False)
class SoakVerdict(Verdict):
    """The judgement of a soak."""

    soak: Soak


def judge_soak(soak: Soak, criteria: Sequence[Criterion]) -> SoakVerdict:
    """Return what the record of a soak shows of each criterion, and of the same agent's other uses.

    Errors of strips, thermometers and clocks are largest errors, so a pass holds with all of them against it.
    """
    return SoakVerdict(
        criteria=tuple(_judged(soak, c) for c in criteria),
        others=tuple(_judged(soak, c) for c in _others(criteria)),
        assumptions=(*soak.assumptions, *_assumed(soak)),
        confidence=None,
        soak=soak,
    )


def judge_soak_lines(lines: Sequence[str], criteria: Sequence[Criterion]) -> SoakVerdict:
    """Return what a soak written down line by line shows of criteria, all of them of one agent.

    Raises UnknownName where they are of several agents, UnreadableLog for a line that is none of a soak.
    """
    agents = {agent_of(c).name: agent_of(c) for c in criteria}
    if len(agents) != 1:
        text = _("the criteria are of different agents ({agents}); prove them one at a time")
        raise UnknownName(text.format(agents=", ".join(agents)))
    (agent,) = agents.values()
    return judge_soak(read_soak(lines, substance_of(agent)), criteria)


def _judged(soak: Soak, criterion: Criterion) -> CriterionVerdict:
    return CriterionVerdict(criterion, tuple(SOAK_RULES[x.rule](soak, x) for x in criterion.limits))


def _others(criteria: Sequence[Criterion]) -> list[Criterion]:
    agents = {agent_of(c).name for c in criteria}
    return [c for c in soak_criteria() if c not in criteria and agent_of(c).name in agents]


def _assumed(soak: Soak) -> list[str]:
    said = [_("The parts were clean, taken apart, wholly under the solution and free of air, all the time.")]
    if len(soak.strengths) == 1:
        said.append(_("The strength was measured once; it is taken to have held through the soak."))
    if soak.temperatures_c:
        said.append(_("The thermometer is taken as good to 1 K."))
    return said
