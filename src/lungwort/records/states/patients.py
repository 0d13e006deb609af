"""What facts make of a patient's reference."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import PatientState
from lungwort.records.states.replacing import replace

Step = Callable[[PatientState, Fact], PatientState]


def _connected(state: PatientState, fact: Fact) -> PatientState:
    set_ups = tuple(sorted({*state.set_ups, fact.the("set_up")}))
    return replace(state, status="connected", set_ups=set_ups, ward=fact.the("ward"))


def _disconnected(state: PatientState, fact: Fact) -> PatientState:
    left = tuple(code for code in state.set_ups if code != fact.the("set_up"))
    return replace(state, status="connected" if left else "not connected", set_ups=left)


STEPS: Mapping[str, Step] = {"set_up.connected": _connected, "set_up.disconnected": _disconnected}
"""By kind of fact."""
