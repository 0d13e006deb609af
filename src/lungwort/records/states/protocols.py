"""What facts make of a place, its protocol and its adopted criteria."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import CriterionState, PlaceState, ProtocolState
from lungwort.records.states.replacing import replace


def _opened(state: PlaceState, fact: Fact) -> PlaceState:
    return replace(state, status="open", opened_by=state.opened_by or fact.event.who)


def _published(state: ProtocolState, fact: Fact) -> ProtocolState:
    version = fact.data["version"]
    return replace(
        state,
        status="in force",
        version=version,
        published_by=fact.event.who,
        versions={**state.versions, version: fact.event.content["evidence"][0]["sha256"]},
    )


def _withdrawn(state: ProtocolState, fact: Fact) -> ProtocolState:
    version = fact.data["version"]
    status = "withdrawn" if version == state.version else state.status
    return replace(state, status=status, withdrawn={**state.withdrawn, version: fact.data["reason"]})


def _adopted(state: CriterionState, fact: Fact) -> CriterionState:
    told = fact.data
    return replace(state, status="adopted", by=fact.event.who, on=fact.at[:10], source=told["source"])


def _dropped(state: CriterionState, fact: Fact) -> CriterionState:
    return replace(state, status="dropped")


PLACE_STEPS: Mapping[str, Callable[[PlaceState, Fact], PlaceState]] = {"place.opened": _opened}
STEPS: Mapping[str, Callable[[ProtocolState, Fact], ProtocolState]] = {
    "protocol.published": _published,
    "protocol.withdrawn": _withdrawn,
}
CRITERION_STEPS: Mapping[str, Callable[[CriterionState, Fact], CriterionState]] = {
    "criterion.adopted": _adopted,
    "criterion.dropped": _dropped,
}
