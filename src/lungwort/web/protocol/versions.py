"""The place's protocol as recorded: its versions, its text in force, and the criteria it asks for."""

from __future__ import annotations

from dataclasses import dataclass

from lungwort.library.catalogue import find_criterion
from lungwort.protocol.document import Protocol
from lungwort.records.life.known import PROTOCOL
from lungwort.records.states.kinds import CriterionState, ProtocolState
from lungwort.records.states.view import View


@dataclass(frozen=True)
class Version:
    """A version: when it was published and by whom; whether it is in force; why it was withdrawn, "" where not."""

    name: str
    at: str
    by: str
    in_force: bool
    withdrawn: str


def versions_of(view: View) -> list[Version]:
    """Return every version that was published, the newest first."""
    state = view.state(ProtocolState, PROTOCOL)
    if state is None:
        return []
    published = [f for f in view.facts("protocol", PROTOCOL) if f.what == "protocol.published"]
    return [
        Version(
            name=(name := str(fact.data.get("version", ""))),
            at=fact.at,
            by=fact.event.who,
            in_force=state.status == "in force" and name == state.version,
            withdrawn=state.withdrawn.get(name, ""),
        )
        for fact in reversed(published)
    ]


def text_in_force(view: View) -> str:
    """Return the text of the version published last, withdrawn or not; "" where there was none."""
    state = view.state(ProtocolState, PROTOCOL)
    return view.evidence(state.versions[state.version]).decode("utf-8") if state else ""


@dataclass(frozen=True)
class Asked:
    """A criterion that the protocol asks for or the place adopted, and what the place says of it; None: nothing yet."""

    name: str
    title: str
    by_protocol: bool
    state: CriterionState | None

    @property
    def adopted(self) -> bool:
        """Whether it opens gates."""
        return self.state is not None and self.state.status == "adopted"


def criteria_of(view: View, protocol: Protocol | None) -> list[Asked]:
    """Return every criterion that the protocol asks for, then those that were adopted besides."""
    kinds = protocol.kinds if protocol else ()
    wanted = dict.fromkeys(name for kind in kinds for step in kind.steps for name in step.proved_by)
    states = {state.code: state for state in view.states(CriterionState)}
    return [
        Asked(name, find_criterion(name).title, name in wanted, states.get(name))
        for name in dict.fromkeys([*wanted, *states])
    ]
