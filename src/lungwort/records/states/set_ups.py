"""What facts make of a set-up."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import SetUpState
from lungwort.records.states.replacing import replace

Step = Callable[[SetUpState, Fact], SetUpState]


def _joined(state: SetUpState, fact: Fact) -> SetUpState:
    machine = fact.data["machine"]
    parts = tuple(code for code in fact.by_kind.get("part", ()) if code != machine)
    return replace(state, status="joined", machine=machine, parts=parts)


def _checked(state: SetUpState, fact: Fact) -> SetUpState:
    failed = "; ".join(fact.data.get("failed", ()))
    status = "joined" if failed else "checked"
    return replace(state, status=status, checked_at=fact.at, check_failed=failed)


def _connected(state: SetUpState, fact: Fact) -> SetUpState:
    return replace(
        state, status="in use", patient=fact.the("patient"), ward=fact.the("ward"), connected_at=fact.at
    )


def _duty_done(state: SetUpState, fact: Fact) -> SetUpState:
    return replace(state, duties={**state.duties, fact.data["duty"]: fact.at})


def _disconnected(state: SetUpState, fact: Fact) -> SetUpState:
    return replace(state, status="ended", ended_at=fact.at)


def _parted(state: SetUpState, fact: Fact) -> SetUpState:
    return replace(state, status="parted", ended_at=fact.at)


STEPS: Mapping[str, Step] = {
    "set_up.joined": _joined,
    "set_up.checked": _checked,
    "set_up.connected": _connected,
    "set_up.duty_done": _duty_done,
    "set_up.disconnected": _disconnected,
    "set_up.parted": _parted,
}
"""By kind of fact."""
