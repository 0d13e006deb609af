"""Duties by the clock: which are due on what is in use, and when."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from lungwort.protocol.document import Protocol
from lungwort.records.chain.identity import moment_of
from lungwort.records.states.kinds import PartState, SetUpState
from lungwort.records.states.view import View


@dataclass(frozen=True)
class Due:
    """A duty on a set-up in use: how often, by whom, done last when ("" never), and when it is due."""

    set_up: SetUpState
    duty: str
    due: datetime
    late: bool
    every_h: float = 0.0
    by: str = ""
    last: str = ""


def duties_due(
    view: View, protocol: Protocol | None, set_ups: Sequence[SetUpState], parts: Sequence[PartState]
) -> list[Due]:
    """Return the next time of every duty by the hour on what is in use, the most urgent first.

    Args:
        view: the place as it stands.
        protocol: in force; None where none is, and then no duty is known.
        set_ups: of any status; only those in use have duties.
        parts: at least the machine and the parts of those set-ups.
    """
    kinds = {part.code: part.of_kind for part in parts}
    in_use = [set_up for set_up in set_ups if protocol and set_up.status == "in use"]
    found = [due for set_up in in_use if protocol for due in _of_one(view, protocol, set_up, kinds)]
    return sorted(found, key=lambda due: due.due)


def _of_one(view: View, protocol: Protocol, set_up: SetUpState, kinds: Mapping[str, str]) -> Iterator[Due]:
    described = [protocol.kind(kinds.get(code, "")) for code in (set_up.machine, *set_up.parts)]
    hourly = {d.what: d for kind in described if kind for d in kind.duties if d.every_h}
    for duty in hourly.values():
        last, hours = set_up.duties.get(duty.what, ""), duty.every_h or 0.0
        due = moment_of(max(set_up.connected_at, last)) + timedelta(hours=hours)
        yield Due(set_up, duty.what, due, due < view.now, hours, duty.by, last)
