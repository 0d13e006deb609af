"""What facts make of a part or a machine."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import PartState
from lungwort.records.states.replacing import replace

Step = Callable[[PartState, Fact], PartState]

CLEARED_BY_WASHING = ("cycle:", "indicator:")
"""Holds that end when the turnaround begins again from the wash."""


def _turned(state: PartState, fact: Fact, status: str) -> PartState:
    """Return the state with a new status as of the fact; what is on a patient stays so until it is disconnected."""
    return state if state.status == "in use" else _became(state, fact, status)


def _became(state: PartState, fact: Fact, status: str) -> PartState:
    """Return the state with a new status as of the fact: withdrawn stands for ever, a hold while it is not excepted."""
    excepted = state.excepted and status in ("ready", "in use")
    if state.withdrawn_at and status != "in use":
        status = "withdrawn"
    elif state.held and not excepted and status != "in use":
        status = "quarantined"
    state = state if state.excepted == excepted else replace(state, excepted=excepted)
    return state if state.status == status else replace(state, status=status, since=fact.at)


def _stands(state: PartState) -> str:
    """Return the status that comes of the steps done since the last use."""
    if any(step.startswith("expose") for step in state.done):
        return "treated"
    if "wash" in state.done:
        return "washed"
    return "ready" if state.single_patient and not state.uses else "soiled"


def _did(state: PartState, *steps: str) -> PartState:
    """Return the state with steps done; of a step done twice, the last time counts."""
    return replace(state, done=(*(s for s in state.done if s not in steps), *dict.fromkeys(steps)))


def _held(state: PartState, fact: Fact, reason: str) -> PartState:
    if reason not in state.held:
        state = replace(state, held=(*state.held, reason), excepted=False)
    return _turned(state, fact, state.status)


def _without(state: PartState, *begins: str) -> PartState:
    return replace(state, held=tuple(h for h in state.held if not h.startswith(begins)))


# ---- from enrolment to the patient ----


def _enrolled(state: PartState, fact: Fact) -> PartState:
    told = fact.data
    state = replace(
        state,
        of_kind=told["kind"],
        machine=bool(told.get("machine")),
        single_patient=bool(told.get("single_patient")),
        serial=told.get("serial", ""),
        expires_on=told.get("expires_on", ""),
        cycles=int(told.get("cycles", 0)),
        washes=int(told.get("cycles", 0)),
        enrolled_at=fact.at,
    )
    return _turned(state, fact, "ready" if state.single_patient else "soiled")


def _joined(state: PartState, fact: Fact) -> PartState:
    return replace(state, set_up=fact.the("set_up"))


def _parted(state: PartState, fact: Fact) -> PartState:
    return replace(state, set_up="") if state.set_up == fact.the("set_up") else state


def _connected(state: PartState, fact: Fact) -> PartState:
    state = replace(
        state, set_up=fact.the("set_up"), patient=fact.the("patient"), uses=state.uses + 1, done=()
    )
    return _became(state, fact, "in use")


def _disconnected(state: PartState, fact: Fact) -> PartState:
    if state.set_up not in ("", fact.the("set_up")):
        return state  # it is on another patient by now
    withdrawn_at = state.withdrawn_at or (fact.at if state.single_patient else "")
    state = replace(state, set_up="", patient="", last_patient=fact.the("patient"), done=())
    return _became(replace(state, withdrawn_at=withdrawn_at), fact, "soiled")


def _duty_done(state: PartState, fact: Fact) -> PartState:
    return replace(state, duties={**state.duties, fact.data["duty"]: fact.at})


# ---- the turnaround ----


def _taken_apart(state: PartState, fact: Fact) -> PartState:
    """What was treated or ready begins anew when it is taken apart; what was only washed goes on."""
    anew = state.status == "ready" or _stands(state) == "treated"
    kept = () if anew else tuple(step for step in state.done if step not in ("assemble", "test"))
    state = _did(replace(state, done=kept), "take apart")
    return _turned(state, fact, "soiled" if anew else state.status)


def _washed(state: PartState, fact: Fact) -> PartState:
    kept = tuple(step for step in state.done if step == "take apart")
    state = replace(_without(state, *CLEARED_BY_WASHING), done=(*kept, "wash"), outcome="")
    return _turned(replace(state, exposures=(), washes=state.washes + 1), fact, "washed")


def _wiped(state: PartState, fact: Fact) -> PartState:
    state = replace(_did(state, "expose wipe", "treat wipe"), cycles=state.cycles + 1, outcome="")
    return _turned(state, fact, "treated")


def _loaded(state: PartState, fact: Fact) -> PartState:
    return replace(state, cycle=fact.the("cycle"), outcome="")


def _abandoned(state: PartState, fact: Fact) -> PartState:
    return replace(state, cycle="") if state.cycle == fact.the("cycle") else state


def _exposed(state: PartState, fact: Fact) -> PartState:
    cycle, goes_on = fact.the("cycle"), _stands(state) == "treated"
    exposures = (*(code for code in state.exposures if goes_on and code != cycle), cycle)
    state = replace(state, cycle=cycle, exposures=exposures, cycles=state.cycles + 1, outcome="")
    return _turned(_did(state, f"expose {fact.data['process']}"), fact, "treated")


def _judged(state: PartState, fact: Fact) -> PartState:
    """A verdict counts for parts that were not washed since, wherever they are; as a step only before the next use."""
    cycle, outcome = fact.the("cycle"), fact.data["outcome"]
    if cycle not in state.exposures:
        return state
    process = fact.data["process"]
    held_before, state = state.held, _without(state, f"cycle:{cycle}:")
    state = replace(state, outcome=outcome if cycle == state.exposures[-1] else state.outcome)
    if outcome == "passed":
        state = _did(state, f"treat {process}") if f"expose {process}" in state.done else state
        state = replace(state, last_good_cycle=cycle)
        return _turned(state, fact, _stands(state)) if state.status == "quarantined" else state
    state = replace(state, done=tuple(step for step in state.done if step != f"treat {process}"))
    reason = f"cycle:{cycle}:{outcome}"
    known = replace(state, held=held_before) if reason in held_before else state
    return _held(known, fact, reason)


def _evidence_attached(state: PartState, fact: Fact) -> PartState:
    if fact.data.get("result") != "positive" or fact.the("cycle") not in state.exposures:
        return state
    return _held(state, fact, f"indicator:{fact.the('cycle')}:{fact.data['kind']}")


def _dried(state: PartState, fact: Fact) -> PartState:
    if not fact.data.get("done", True):
        return _turned(state, fact, "drying")
    state = _did(state, "dry")
    return _turned(state, fact, _stands(state))


def _inspected(state: PartState, fact: Fact) -> PartState:
    defect = fact.data.get("defect", "")
    return _held(state, fact, f"defect:{defect}") if defect else _did(state, *fact.data["checks"])


# ---- released, held, gone ----


def _released(state: PartState, fact: Fact) -> PartState:
    """A release stands while the steps on which it was given stand; one of them struck, it counts no more."""
    asked = fact.data.get("steps", {state.of_kind: ()})
    if state.of_kind not in asked or any(mark not in state.done for mark in asked[state.of_kind]):
        return state
    under = fact.data.get("protocol", "")
    return _turned(replace(state, released_at=fact.at, released_under=under, excepted=False), fact, "ready")


def _released_by_exception(state: PartState, fact: Fact) -> PartState:
    """What holds it stands back for one use, and holds it again when that is over."""
    state = replace(state, released_at=fact.at, exceptions=(*state.exceptions, fact.event.id))
    return _turned(replace(state, released_under="", excepted=True), fact, "ready")


def _quarantined(state: PartState, fact: Fact) -> PartState:
    return _held(state, fact, f"order:{fact.data['reason']}")


def _lifted(state: PartState, fact: Fact) -> PartState:
    return _begun_anew(_without(state, "order:"), fact)


def _repaired(state: PartState, fact: Fact) -> PartState:
    return _begun_anew(_without(state, "defect:"), fact)


def _begun_anew(state: PartState, fact: Fact) -> PartState:
    """What was quarantined or repaired begins its turnaround anew; what is in use stays so."""
    if state.status == "in use":
        return state
    state = replace(state, done=(), outcome="")
    return _turned(state, fact, _stands(state))


def _withdrawn(state: PartState, fact: Fact) -> PartState:
    set_up = state.set_up if state.status == "in use" else ""
    return _turned(replace(state, set_up=set_up, withdrawn_at=fact.at), fact, "withdrawn")


STEPS: Mapping[str, Step] = {
    "part.enrolled": _enrolled,
    "set_up.joined": _joined,
    "set_up.parted": _parted,
    "set_up.connected": _connected,
    "set_up.disconnected": _disconnected,
    "part.duty_done": _duty_done,
    "part.taken_apart": _taken_apart,
    "part.washed": _washed,
    "part.wiped": _wiped,
    "cycle.loaded": _loaded,
    "cycle.abandoned": _abandoned,
    "cycle.ended": _exposed,
    "cycle.evidence_attached": _evidence_attached,
    "cycle.judged": _judged,
    "part.dried": _dried,
    "part.inspected": _inspected,
    "part.released": _released,
    "part.released_by_exception": _released_by_exception,
    "part.quarantined": _quarantined,
    "part.quarantine_lifted": _lifted,
    "part.repaired": _repaired,
    "part.withdrawn": _withdrawn,
}
"""By kind of fact."""
