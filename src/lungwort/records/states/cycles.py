"""What facts make of a cycle."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import CycleState
from lungwort.records.states.replacing import replace

Step = Callable[[CycleState, Fact], CycleState]

READINGS = ("log:", "hand:", "strip:")
"""How entries of evidence begin that a judgement is computed from; a picture of an indicator is none."""


def _loaded(state: CycleState, fact: Fact) -> CycleState:
    told = fact.data
    return replace(
        state,
        status="loading",
        process=told["process"],
        equipment=fact.the("equipment"),
        setting=told.get("setting", ""),
        batch=fact.the("batch"),
        protocol=told.get("protocol", ""),
        parts=tuple(sorted({*state.parts, *fact.by_kind.get("part", ())})),
        part_kinds=tuple(sorted({*state.part_kinds, *told["kinds"]})),
    )


def _abandoned(state: CycleState, fact: Fact) -> CycleState:
    return replace(state, status="abandoned")


def _started(state: CycleState, fact: Fact) -> CycleState:
    return replace(state, status="running", started_at=fact.at)


def _ended(state: CycleState, fact: Fact) -> CycleState:
    return replace(state, status="ended", ended_at=fact.at)


def _evidence_attached(state: CycleState, fact: Fact) -> CycleState:
    """Readings attached after the judgement ask for another; a positive indicator holds the parts by itself."""
    told = fact.data
    files = tuple(f"{told['kind']}:{file['sha256']}" for file in fact.event.content["evidence"])
    result = (f"{told['kind']}:{told['result']}:{told.get('note', '')}",) if told.get("result") else ()
    readings = any(entry.startswith(READINGS) for entry in files)
    status = "ended" if readings and state.status == "judged" else state.status
    evidence, indicators = (*state.evidence, *files), (*state.indicators, *result)
    return replace(state, status=status, evidence=evidence, indicators=indicators)


def _judged(state: CycleState, fact: Fact) -> CycleState:
    """A judgement that did not see the readings that stand by now counts as said, but opens no gate."""
    told = fact.data
    seen = [entry for entry in told.get("evidence", state.evidence) if entry.startswith(READINGS)]
    whole = sorted(seen) == sorted(entry for entry in state.evidence if entry.startswith(READINGS))
    return replace(
        state,
        status="judged" if whole else "ended",
        outcome=told["outcome"],
        criteria=dict(told.get("criteria", {})),
        judged_by=fact.event.who,
        reasons=tuple(told.get("reasons", ())),
    )


STEPS: Mapping[str, Step] = {
    "cycle.loaded": _loaded,
    "cycle.abandoned": _abandoned,
    "cycle.started": _started,
    "cycle.ended": _ended,
    "cycle.evidence_attached": _evidence_attached,
    "cycle.judged": _judged,
}
"""By kind of fact."""
