"""Deeds that open the gate: release on proof, or by exception of two people."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain
from typing import Any

from lungwort.language import _
from lungwort.records.chain.event import Event, Thing
from lungwort.records.life.deed import Proposal, do, gathered, permitted
from lungwort.records.life.gate import reasons_not_to_release
from lungwort.records.life.known import PROTOCOL, in_force, part_things, parts_known
from lungwort.records.life.parts import UNDER_WAY, said
from lungwort.records.life.reasons import Reason
from lungwort.records.life.status import has_status, not_in_load, not_joined
from lungwort.records.life.turnaround import marks, whole
from lungwort.records.life.witness import Witness
from lungwort.records.states.kinds import PartState, ProtocolState
from lungwort.records.states.view import View


def release(witness: Witness, parts: Sequence[str]) -> Event:
    """Release parts: each was through its whole turnaround, its cycle passed by criteria that the hospital adopted."""

    def plan(view: View) -> Proposal:
        found = parts_known(view, parts)
        reasons = gathered(*(reasons_not_to_release(view, part) for part in found))
        return Proposal(part_things(parts), _stands_on(view, found), reasons)

    return do(witness, "part.released", plan, decides=True)


def _stands_on(view: View, parts: Sequence[PartState]) -> dict[str, Any]:
    """Return what a release stands on: the protocol's version, and by kind the steps that were asked for."""
    state = view.state(ProtocolState, PROTOCOL)
    if state is None or state.status != "in force":
        return {}  # refused anyway
    protocol = in_force(view)
    kinds = {part.of_kind: protocol.kind(part.of_kind) for part in parts}
    steps = {name: sorted({marks(step) for step in whole(kind)}) for name, kind in kinds.items() if kind}
    return {"protocol": state.version, "steps": steps}


def release_by_exception(witness: Witness, second: str, parts: Sequence[str], reason: str) -> Event:
    """Release parts without proof: two people answer for it, and it is visible ever after.

    Args:
        witness: the first person.
        second: another person who may do the same.
        parts: neither in use nor withdrawn, nor used single-patient ones.
        reason: why it cannot wait.

    Returns:
        The event; its `overruled` lists every reason that stood against releasing.
    """

    def plan(view: View) -> Proposal:
        found = parts_known(view, parts)
        overruled = gathered(*(reasons_not_to_release(view, part) for part in found))
        against = gathered(
            _two_people(view, witness.who, second),
            said(reason),
            chain.from_iterable(_can_be_excepted(view, part) for part in found),
        )
        told = {"reason": reason, "overruled": [f"{r.rule}: {r.says}" for r in overruled]}
        return Proposal((*part_things(parts), Thing(second, "person")), told, against)

    return do(witness, "part.released_by_exception", plan, decides=True)


def _two_people(view: View, first: str, second: str) -> Iterator[Reason]:
    if first == second:
        says = _("{who} cannot be the second person too").format(who=first)
        yield Reason("two people", says, _("ask another who may release by exception"), firm=True)
    yield from permitted(view, second, "part.released_by_exception")


def _can_be_excepted(view: View, part: PartState) -> Iterator[Reason]:
    if part.single_patient:
        says = _("{code} is for a single patient; no exception makes it reusable").format(code=part.code)
        yield Reason("single patient", says, _("throw it away and take a new one"), firm=True)
    yield from has_status(part, *UNDER_WAY, "quarantined")
    yield from not_joined(part)
    yield from not_in_load(view, part)
