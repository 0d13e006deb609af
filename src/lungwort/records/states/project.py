"""From a new event to the states it changes."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from lungwort.records.chain.event import Event, Thing
from lungwort.records.states.fact import CORRECTED, STRUCK, Fact, fact_of
from lungwort.records.states.fold import fold, fold_all
from lungwort.records.states.kinds import KINDS, State
from lungwort.records.states.view import View


def changes(view: View, event: Event) -> Iterator[tuple[str, str, State | None]]:
    """Yield kind, code and new state of each thing that an event changes; None where nothing is known of it any more.

    Args:
        view: the place with the event already in it, its states as before it.
        event: the newest of the place.

    A fact that happened after all that is known of a thing moves its state on; a late one, and a correction, folds the
    thing's facts anew in order of happening.

    Raises:
        UnusableEvent: the event does not say what its kind needs.
    """
    fact = fact_of(event)
    anew = event.what in (CORRECTED, STRUCK)
    for thing in sorted(touched(view.event, fact)):
        if (shape := KINDS.get(thing.part)) is None:
            continue
        before = view.state(shape, thing.code)
        after = fold(thing.part, thing.code, before, fact) if thing in fact.things else None
        if anew or (before is not None and fact.at < before.at):
            after = fold_all(thing.part, thing.code, view.facts(thing.part, thing.code))
        if after != before:
            yield thing.part, thing.code, after


def touched(event_of: Callable[[str], Event | None], fact: Fact) -> set[Thing]:
    """Return the things of a fact, and those of what it corrects, however often that was corrected before."""
    found = set(fact.things)
    corrected = event_of(fact.corrects) if fact.corrects else None
    return found | (touched(event_of, fact_of(corrected)) if corrected else set())
