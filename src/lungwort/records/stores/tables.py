"""The tables as SQL speaks of them, for whoever writes and reads them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple
from uuid import UUID

Rows = Callable[[str, Sequence[Any]], list[tuple[Any, ...]]]
"""Returns the rows of a query with its values, identifiers as 32 hexadecimal digits."""

EVENT = "id, place, sequence, happened_at, recorded_at, who, what, payload, previous_hash, hash"
THING = "event_id, code, part, place, happened_at, sequence"
STATE = "place, kind, code, status, body"


class Insert(NamedTuple):
    """How rows are put into a table; `then` says what becomes of one that is there."""

    table: str
    columns: str
    then: str = ""

    def statement(self, rows: int = 1) -> str:
        """Return the statement that puts in so many rows."""
        marks = ", ".join(["%s"] * (self.columns.count(",") + 1))
        return (
            f"INSERT INTO {self.table} ({self.columns}) VALUES {', '.join([f'({marks})'] * rows)}{self.then}"
        )


EVENTS = Insert("records_event", EVENT)
THINGS = Insert("records_event_thing", THING)
FILES = Insert("records_evidence", "sha256, kept, size, file_name")
CORRECTIONS = Insert("records_correction", "corrected, correcting")
STATES = Insert(
    "records_state",
    STATE,
    " ON CONFLICT (place, kind, code) DO UPDATE SET status = excluded.status, body = excluded.body",
)
DROP_STATE = "DELETE FROM records_state WHERE place = %s AND kind = %s AND code = %s"


def plain(row: Sequence[Any]) -> tuple[Any, ...]:
    """Return a row with identifiers as 32 hexadecimal digits, whatever the database calls them."""
    return tuple(value.hex if isinstance(value, UUID) else value for value in row)


def prefixed(columns: str, table: str) -> str:
    """Return columns under a table's short name.

    >>> prefixed("id, place", "e")
    'e.id, e.place'
    """
    return ", ".join(f"{table}.{column}" for column in columns.split(", "))
