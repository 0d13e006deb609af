"""Comparing what is kept of states and corrections with what the events say."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from lungwort.language import _, ngettext
from lungwort.records.projections.folding import Folding
from lungwort.records.states.kinds import State
from lungwort.records.states.written import written
from lungwort.records.stores.store import Store, StoredState


def wrong_state(store: Store, folding: Folding) -> str | None:
    """Return what is wrong with the states kept of a place: the first by kind and code, and how many; None if nothing.

    Args:
        store: holds the states.
        folding: the place, folded to its end.
    """
    says = sorted(_wrong_states(store, folding))
    if not says:
        return None
    text = ngettext(
        "{place}: {first}; {count} state is not what the events say, run `lungwort records rebuild`",
        "{place}: {first}; {count} states are not what the events say, run `lungwort records rebuild`",
        len(says),
    )
    return text.format(place=folding.place, first=says[0], count=len(says))


def _wrong_states(store: Store, folding: Folding) -> Iterator[str]:
    due: dict[tuple[object, object], State] = {(s.kind, s.code): s for s in folding.states()}
    for stored in store.stored_states(folding.place):
        state = due.pop((stored.kind, stored.code), None)
        named = {"kind": stored.kind, "code": stored.code}
        if state is None:
            yield _("{kind} {code} has a state, but no event tells of it").format(**named)
        elif stored != StoredState(state.kind, state.code, state.status, written(state)):
            yield _("{kind} {code} has another state than its events give it").format(**named)
    missing = _("{kind} {code} has no state")
    yield from (missing.format(kind=kind, code=code) for kind, code in due)


def wrong_corrections(store: Store, due: Mapping[str, str]) -> Iterator[str]:
    """Yield what is wrong with the corrections kept, each as a sentence.

    Args:
        store: holds them.
        due: what the events say: each corrected event, and the one that corrects it.
    """
    remedy = _("run `lungwort records rebuild`")
    seen = set()
    for corrected, correcting in store.stored_corrections():
        seen.add(corrected)
        if due.get(str(corrected)) != correcting:
            text = _("event {id} is kept as corrected by {by}, which no event says; {remedy}")
            yield text.format(id=corrected, by=correcting, remedy=remedy)
    for identifier, by in due.items():
        if identifier not in seen:
            text = _("event {id} was corrected by event {by}, but is kept as standing; {remedy}")
            yield text.format(id=identifier, by=by, remedy=remedy)
