"""Folding: a thing's state before a fact, and the fact, give its state after; any fact in any state gives one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from typing import Any

from lungwort.errors import UnusableEvent
from lungwort.language import _
from lungwort.records.states import batches, cycles, equipment, parts, patients, people, protocols, set_ups
from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import KINDS, State
from lungwort.records.states.replacing import replace

Step = Callable[[Any, Fact], State]

STEPS: Mapping[str, Mapping[str, Step]] = {
    "batch": batches.STEPS,
    "criterion": protocols.CRITERION_STEPS,
    "cycle": cycles.STEPS,
    "equipment": equipment.STEPS,
    "part": parts.STEPS,
    "patient": patients.STEPS,
    "person": people.STEPS,
    "place": protocols.PLACE_STEPS,
    "protocol": protocols.STEPS,
    "set_up": set_ups.STEPS,
}
"""By kind of thing and kind of fact."""


def fold(kind: str, code: str, before: State | None, fact: Fact) -> State | None:
    """Return a thing's state after a fact; None where nothing is known of it still.

    Args:
        kind: of the thing, a key of `KINDS`; another has no state.
        code: of the thing.
        before: its state before; None where nothing was known.
        fact: what happened to it.

    Raises:
        UnusableEvent: the fact does not say what its kind needs.
    """
    step = STEPS.get(kind, {}).get(fact.what)
    if step is None:
        return before
    try:
        after = step(before if before is not None else KINDS[kind](code), fact)
    except (KeyError, IndexError, TypeError, ValueError, AttributeError) as error:
        says = _("{what} does not say of {kind} {code} what it needs to ({why}); give its data in full")
        why = f"{type(error).__name__}: {error}"
        raise UnusableEvent(says.format(what=fact.what, kind=kind, code=code, why=why)) from error
    return replace(after, at=max(after.at, fact.at))


def fold_all(kind: str, code: str, facts: Iterable[Fact]) -> State | None:
    """Return a thing's state after facts in order of happening; one that does not say what it needs changes nothing."""
    state: State | None = None
    for fact in facts:
        with suppress(UnusableEvent):
            state = fold(kind, code, state, fact)
    return state
