"""What facts make of a person."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import PersonState
from lungwort.records.states.replacing import replace

Step = Callable[[PersonState, Fact], PersonState]


def _enrolled(state: PersonState, fact: Fact) -> PersonState:
    return replace(state, status="active", roles=tuple(sorted(fact.data["roles"])))


def _trained(state: PersonState, fact: Fact) -> PersonState:
    """A training counts when its assessment was passed; a failed one ends the training there was."""
    told = fact.data
    others = {role: day for role, day in state.trainings.items() if role != told["role"]}
    gained = {told["role"]: told["expires_on"]} if told["passed"] else {}
    return replace(state, trainings={**others, **gained})


def _left(state: PersonState, fact: Fact) -> PersonState:
    return replace(state, status="left")


STEPS: Mapping[str, Step] = {
    "place.opened": _enrolled,
    "person.enrolled": _enrolled,
    "person.roles_given": _enrolled,
    "person.trained": _trained,
    "person.left": _left,
}
"""By kind of fact."""
