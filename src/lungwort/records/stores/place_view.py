"""A place as it stands in a database: states from their table, facts page by page from the index of things."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from itertools import chain, repeat
from typing import Any, cast

from lungwort.errors import UnusableRecords
from lungwort.records.chain.event import Event, Thing
from lungwort.records.chain.keeping import no_such_evidence, opened
from lungwort.records.states.fact import STRUCK, Fact, fact_of
from lungwort.records.states.kinds import KINDS, State
from lungwort.records.states.view import EARLIEST, LATEST, S
from lungwort.records.states.written import read
from lungwort.records.stores.tables import EVENT, Rows, prefixed

PAGE = 100
_FIRST_PAGES = (20, 60)
"""Whoever looks for the last fact of a kind finds it soon, mostly."""
_ID = re.compile(r"[0-9a-f]{32}")
_LAST = 2**62

States = dict[tuple[str, str], State | None]
"""States by kind and code, as far as they were read; None where nothing is known of a thing."""

_STATES = (
    "WITH wanted (kind, code) AS (VALUES {marks}) SELECT s.kind, s.code, s.body FROM wanted w "
    "JOIN records_state s ON s.place = %s AND s.kind = w.kind AND s.code = w.code"
)
_ABOUT = (
    f"SELECT {prefixed(EVENT, 'e')} FROM records_event_thing t "
    "CROSS JOIN records_event e WHERE e.place = t.place AND e.sequence = t.sequence "
    "AND t.place = %s AND t.part = %s AND t.code = %s "
)
_STANDING = (
    f"AND e.what <> '{STRUCK}' AND NOT EXISTS (SELECT 1 FROM records_correction c WHERE c.corrected = e.id) "
)
_WINDOW = "AND t.happened_at >= %s AND t.happened_at <= %s "
"""Both ends of the window, for the index; the rows of the last page's last moment that were read are passed over."""
_ONWARD = f"{_WINDOW}AND (t.happened_at > %s OR t.sequence > %s) ORDER BY t.happened_at, t.sequence LIMIT %s"
_BACKWARD = (
    f"{_WINDOW}AND (t.happened_at < %s OR t.sequence < %s) "
    "ORDER BY t.happened_at DESC, t.sequence DESC LIMIT %s"
)


def events_about(
    rows: Rows,
    thing: tuple[str, str, str],
    since: str = EARLIEST,
    until: str = LATEST,
    *,
    newest_first: bool = False,
    standing: bool = False,
) -> Iterator[Event]:
    """Yield the events about a thing in order of happening, read a page at a time as they are asked for.

    Args:
        rows: asks the database; the index of things in time comes first, on SQLite by the word CROSS.
        thing: its place, kind and code.
        since: the earliest moment, as text.
        until: the latest.
        newest_first: the other way round.
        standing: leave out what was corrected or struck, and the striking.
    """
    query = _ABOUT + (_STANDING if standing else "") + (_BACKWARD if newest_first else _ONWARD)
    last = (until, _LAST) if newest_first else (since, 0)
    for size in chain(_FIRST_PAGES, repeat(PAGE)):
        window = (since, last[0]) if newest_first else (last[0], until)
        page = rows(query, [*thing, *window, *last, size])
        yield from (Event(*row) for row in page)
        if len(page) < size:
            return
        last = page[-1][3], page[-1][2]


@dataclass(frozen=True)
class PlaceView:
    """A place in a database; `known` remembers states already read, where nobody else can change them meanwhile."""

    place: str
    now: datetime
    rows: Rows = field(repr=False)
    known: States | None = field(default=None, repr=False)

    def state(self, shape: type[S], code: str) -> S | None:
        """Return what a thing is now."""
        key = (shape.kind, code)
        if self.known is None:
            return cast("S | None", self._read([key])[key])
        if key not in self.known:
            self.known.update(self._read([key]))
        return cast("S | None", self.known[key])

    def look_at(self, things: Iterable[Thing]) -> None:
        """Read the states of several things at once, those that have one and were not read yet."""
        if self.known is not None:
            wanted = [
                (t.part, t.code) for t in things if t.part in KINDS and (t.part, t.code) not in self.known
            ]
            self.known.update(self._read(wanted))

    def _read(self, keys: list[tuple[str, str]]) -> States:
        found: States = dict.fromkeys(keys)
        keys = [
            key for key in keys if key[1].isprintable()
        ]  # no other was ever recorded, nor can be asked for
        if keys:
            query = _STATES.format(marks=", ".join(["(%s, %s)"] * len(keys)))
            rows = self.rows(query, [*chain.from_iterable(keys), self.place])
            found |= {(kind, code): read(kind, body) for kind, code, body in rows}
        return found

    def states(self, shape: type[S], status: str | None = None) -> Iterator[S]:
        """Yield every thing of a kind, or those of one status, in order of code, read a page at a time."""
        asked, values = ("AND status = %s ", [status]) if status is not None else ("", [])
        query = (
            f"SELECT code, body FROM records_state WHERE place = %s AND kind = %s {asked}AND code > %s "
            f"ORDER BY code LIMIT {PAGE}"
        )
        last = ""
        while page := self.rows(query, [self.place, shape.kind, *values, last]):
            yield from (cast("S", read(shape.kind, body)) for _code, body in page)
            last = page[-1][0]

    def facts(
        self, kind: str, code: str, since: str = EARLIEST, until: str = LATEST, newest_first: bool = False
    ) -> Iterator[Fact]:
        """Yield the facts about a thing in a window, in order of happening."""
        if not code.isprintable():
            return iter(())
        thing = (self.place, kind, code)
        found = events_about(self.rows, thing, since, until, newest_first=newest_first, standing=True)
        return map(fact_of, found)

    def event(self, identifier: str) -> Event | None:
        """Return an event of the place by its identifier."""
        return event_of(self.rows, self.place, identifier)

    def corrected_by(self, identifier: str) -> str | None:
        """Return the event that corrects or strikes an event; None where it stands."""
        if not _ID.fullmatch(identifier):
            return None
        found = self.rows("SELECT correcting FROM records_correction WHERE corrected = %s", [identifier])
        return found[0][0] if found else None

    def evidence(self, sha256: str) -> bytes:
        """Return a file of evidence by its digest."""
        return evidence_of(self.rows, sha256)


def event_of(rows: Rows, place: str, identifier: str) -> Event | None:
    """Return an event of a place by its identifier; None where there is none."""
    if not _ID.fullmatch(identifier):
        return None
    found = rows(f"SELECT {EVENT} FROM records_event WHERE id = %s AND place = %s", [identifier, place])
    return Event(*found[0]) if found else None


def corrections_of(rows: Rows, place: str, identifiers: Sequence[str]) -> dict[str, Event]:
    """Return, by the identifier of each event that was corrected or struck, the event that did it."""
    if not identifiers:
        return {}
    query = (
        f"SELECT c.corrected, {prefixed(EVENT, 'e')} FROM records_correction c "
        "JOIN records_event e ON e.id = c.correcting "
        f"WHERE e.place = %s AND c.corrected IN ({', '.join(['%s'] * len(identifiers))})"
    )
    return {corrected: Event(*row) for corrected, *row in rows(query, [place, *identifiers])}


def kept_file(rows: Rows, sha256: str) -> tuple[Any, Any, Any] | None:
    """Return kept bytes, size and file name of a file of evidence, as stored."""
    found = rows("SELECT kept, size, file_name FROM records_evidence WHERE sha256 = %s", [sha256])
    return (found[0][0], found[0][1], found[0][2]) if found else None


def evidence_of(rows: Rows, sha256: str) -> bytes:
    """Return a file of evidence by its digest; UnusableRecords where there is none."""
    found = kept_file(rows, sha256)
    if found is None:
        raise UnusableRecords(no_such_evidence(sha256))
    return opened(sha256, bytes(found[0]))
