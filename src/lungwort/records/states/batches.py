"""What facts make of a batch of a chemical or of packets."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import BatchState
from lungwort.records.states.replacing import replace

Step = Callable[[BatchState, Fact], BatchState]


def _enrolled(state: BatchState, fact: Fact) -> BatchState:
    told = fact.data
    return replace(
        state,
        status="held" if state.held else "in stock",
        stock=told["stock"],
        lot=told.get("lot", ""),
        made_on=told.get("made_on", ""),
        expires_on=told.get("expires_on", ""),
    )


def _held(state: BatchState, fact: Fact) -> BatchState:
    status = state.status if state.status == "used up" else "held"
    return replace(state, status=status, held=(*state.held, fact.data["reason"]))


def _used_up(state: BatchState, fact: Fact) -> BatchState:
    return replace(state, status="used up")


STEPS: Mapping[str, Step] = {
    "batch.enrolled": _enrolled,
    "batch.held": _held,
    "batch.used_up": _used_up,
}
"""By kind of fact."""
