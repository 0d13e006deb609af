"""What lies in the tables without belonging to any event, and what the database finds wrong in itself."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from lungwort.language import _

Rows = Callable[[str], list[tuple[Any, ...]]]

_LOOSE_THINGS = (
    "SELECT t.code, t.event_id FROM records_event_thing t "
    "WHERE NOT EXISTS (SELECT 1 FROM records_event e WHERE e.id = t.event_id) ORDER BY t.event_id, t.code"
)
_HIDDEN_EVENTS = "SELECT e.place, e.id FROM records_event e WHERE e.sequence < 1 ORDER BY e.place, e.id"
_LOOSE_PLACES = (
    "SELECT DISTINCT e.place FROM records_event e "
    "WHERE NOT EXISTS (SELECT 1 FROM records_place p WHERE p.code = e.place) ORDER BY e.place"
)
_EMPTY_PLACES = (
    "SELECT p.code FROM records_place p "
    "WHERE NOT EXISTS (SELECT 1 FROM records_event e WHERE e.place = p.code) ORDER BY p.code"
)
_HOMELESS_STATES = (
    "SELECT DISTINCT s.place FROM records_state s "
    "WHERE NOT EXISTS (SELECT 1 FROM records_event e WHERE e.place = s.place) ORDER BY s.place"
)


def strays_of(rows: Rows, vendor: str) -> Iterator[str]:
    """Yield what is loose, each as a sentence.

    SQLite compares its indexes with its tables too: a falsified index would hide an event from a look-back.
    """
    loose = _("a row says that {code} took part in event {id}, which is not there")
    yield from (loose.format(code=code, id=event_id) for code, event_id in rows(_LOOSE_THINGS))
    hidden = _("event {id} of {place} has a sequence below 1, which none was ever given")
    yield from (hidden.format(place=place, id=identifier) for place, identifier in rows(_HIDDEN_EVENTS))
    unknown = _("events name the place {place}, which has no row")
    yield from (unknown.format(place=row[0]) for row in rows(_LOOSE_PLACES))
    emptied = _("the place {place} has no events, though it was entered with its first one")
    yield from (emptied.format(place=row[0]) for row in rows(_EMPTY_PLACES))
    homeless = _("states are kept for the place {place}, which has no events; run `lungwort records rebuild`")
    yield from (homeless.format(place=row[0]) for row in rows(_HOMELESS_STATES))
    if vendor == "sqlite":
        damaged = _("the database finds its own file damaged: {why}")
        found = (row[0] for row in rows("PRAGMA integrity_check(5)"))
        yield from (damaged.format(why=why) for why in found if why != "ok")
