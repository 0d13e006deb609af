"""What facts make of an autoclave, a bath or an instrument."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import EquipmentState
from lungwort.records.states.replacing import replace

Step = Callable[[EquipmentState, Fact], EquipmentState]


def _enrolled(state: EquipmentState, fact: Fact) -> EquipmentState:
    told = fact.data
    return replace(
        state,
        status="held" if state.held else "in service",
        name=told["name"],
        serial=told.get("serial", ""),
        calibration_due=told.get("calibration_due", ""),
    )


def _calibrated(state: EquipmentState, fact: Fact) -> EquipmentState:
    return replace(state, calibration_due=fact.data["due"])


def _held(state: EquipmentState, fact: Fact) -> EquipmentState:
    return replace(state, status=_unless_gone(state, "held"), held=(*state.held, fact.data["reason"]))


def _freed(state: EquipmentState, fact: Fact) -> EquipmentState:
    return replace(state, status=_unless_gone(state, "in service"), held=())


def _unless_gone(state: EquipmentState, status: str) -> str:
    return state.status if state.status == "withdrawn" else status


def _withdrawn(state: EquipmentState, fact: Fact) -> EquipmentState:
    return replace(state, status="withdrawn")


def _cycle_ended(state: EquipmentState, fact: Fact) -> EquipmentState:
    return replace(state, cycles=state.cycles + 1, last_cycle=fact.the("cycle"))


def _cycle_judged(state: EquipmentState, fact: Fact) -> EquipmentState:
    return replace(state, last_good_cycle=fact.the("cycle")) if fact.data["outcome"] == "passed" else state


STEPS: Mapping[str, Step] = {
    "equipment.enrolled": _enrolled,
    "equipment.calibrated": _calibrated,
    "equipment.held": _held,
    "equipment.freed": _freed,
    "equipment.withdrawn": _withdrawn,
    "cycle.ended": _cycle_ended,
    "cycle.judged": _cycle_judged,
}
"""By kind of fact."""
