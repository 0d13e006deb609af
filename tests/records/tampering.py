"""Ways to falsify records behind the software's back, each saying what it makes the first bad event of each place."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import astuple, dataclass, replace
from random import Random
from typing import Any

from cast import HILL, VALLEY
from django.db import connections

from lungwort.records.chain.event import Event, sealed
from lungwort.records.stores.database import DatabaseStore

COLUMNS = ("happened_at", "recorded_at", "who", "what", "payload", "previous_hash", "hash", "place", "id")
GUARDED = ("records_event_thing", "records_event", "records_evidence", "records_place")
TABLES = (*GUARDED, "records_state", "records_correction")
LETTERS = "abcdefghijklmnopqrstuvwxyzABCXYZ0123456789 .-_é{}\"':,"

Bad = set[tuple[str, int]]
"""First bad events, by place and sequence; empty where what is wrong belongs to no event."""


@dataclass
class Forger:
    """Somebody with the database in hand: its events as they were, a cursor, and chance."""

    store: DatabaseStore
    events: list[Event]
    cursor: Any
    chance: Random

    @property
    def sqlite(self) -> bool:
        """It is SQLite, which takes anything anywhere."""
        return bool(connections[self.store.alias].vendor == "sqlite")

    def run(self, statement: str, *values: object) -> int:
        """Run a statement; return how many rows it met."""
        self.cursor.execute(statement, values)
        return int(self.cursor.rowcount)

    def rows(self, query: str, *values: object) -> list[tuple[Any, ...]]:
        """Return rows."""
        return self.store.rows(query, values)

    def any_event(self) -> Event:
        """Return an event by chance."""
        return self.chance.choice(self.events)

    def two_events(self) -> tuple[Event, Event]:
        """Return two events, the earlier of one place first."""
        first, second = self.chance.sample(self.events, 2)
        return (first, second) if first.sequence <= second.sequence else (second, first)

    def marred(self, text: str, digits: bool = False) -> str:
        """Return text with one character changed, taken out or put in."""
        at, letters = self.chance.randrange(len(text)), "0123456789abcdef" if digits else LETTERS
        new = self.chance.choice([c for c in letters if c != text[at]])
        ways = [text[:at] + new + text[at + 1 :]]
        if not digits:
            ways += [text[:at] + text[at + 1 :], text[:at] + new + text[at:]]
        return self.chance.choice(ways)

    def marred_bytes(self, raw: bytes) -> bytes:
        """Return bytes with one of them changed, taken out or put in."""
        at, new = self.chance.randrange(len(raw)), self.chance.randrange(1, 256)
        changed = raw[:at] + bytes([raw[at] ^ new]) + raw[at + 1 :]
        return self.chance.choice([changed, raw[:at] + raw[at + 1 :], raw[:at] + bytes([new]) + raw[at:]])

    def set_column(self, event: Event, column: str, value: object) -> None:
        """Overwrite a column of an event."""
        assert self.run(f"UPDATE records_event SET {column} = %s WHERE id = %s", value, event.id) == 1

    def attaching(self, digest: str) -> Bad:
        """Return the first event of each place that refers to a file of evidence."""
        found: dict[str, int] = {}
        for event in self.events:
            if digest in event.payload:
                found[event.place] = min(event.sequence, found.get(event.place, event.sequence))
        return set(found.items())


def spot(*events: Event) -> Bad:
    """Return the earliest of some events in each place."""
    places = {e.place for e in events}
    return {(place, min(e.sequence for e in events if e.place == place)) for place in places}


def elsewhere(event: Event) -> str:
    """Return the place that an event does not belong to."""
    return VALLEY if event.place == HILL else HILL


# ---- events ----


def change_a_character(forger: Forger) -> Bad:
    """In any column of any event."""
    event, column = forger.any_event(), forger.chance.choice(COLUMNS)
    digits = column == "id" and not forger.sqlite
    forger.set_column(event, column, forger.marred(getattr(event, column), digits))
    return spot(event)


def change_a_sequence(forger: Forger) -> Bad:
    """To another one, there already or not."""
    event = forger.any_event()
    to = forger.chance.choice([s for s in range(-2, 30) if s != event.sequence])
    forger.set_column(event, "sequence", to)
    return {(event.place, min(to, event.sequence))}


def swap_a_column(forger: Forger) -> Bad:
    """Between two events."""
    column = forger.chance.choice([*COLUMNS[:-1], "sequence"])
    one, other = forger.two_events()
    if getattr(one, column) == getattr(other, column):
        return change_a_character(forger)
    forger.set_column(one, column, getattr(other, column))
    forger.set_column(other, column, getattr(one, column))
    if column == "place":  # each is missed at home and one too many away
        return {(place, min(one.sequence, other.sequence)) for place in (HILL, VALLEY)}
    if column == "sequence" and one.place != other.place:
        return {(place, min(one.sequence, other.sequence)) for place in (HILL, VALLEY)}
    return spot(one, other)


def swap_two_rows(forger: Forger) -> Bad:
    """All that two events of a place say changes places, ids and all, but their sequences."""
    one, other = forger.two_events()
    if one.place != other.place:
        return delete_an_event(forger)
    for column in ("happened_at", "recorded_at", "who", "what", "payload", "previous_hash", "hash"):
        forger.set_column(one, column, getattr(other, column))
        forger.set_column(other, column, getattr(one, column))
    return spot(one, other)


def delete_an_event(forger: Forger) -> Bad:
    """With or without the rows of its things."""
    event = forger.any_event()
    forger.run("DELETE FROM records_event WHERE id = %s", event.id)
    if forger.chance.random() < 0.5:
        forger.run("DELETE FROM records_event_thing WHERE event_id = %s", event.id)
    return spot(event)


def delete_the_end(forger: Forger) -> Bad:
    """The last events of a place, cleanly: only the seal tells."""
    place = forger.chance.choice([HILL, VALLEY])
    own = [e for e in forger.events if e.place == place]
    gone = own[-forger.chance.randrange(1, len(own)) :]
    for event in gone:
        forger.run("DELETE FROM records_event_thing WHERE event_id = %s", event.id)
        forger.run("DELETE FROM records_event WHERE id = %s", event.id)
    return spot(*gone)


def insert_an_event(forger: Forger) -> Bad:
    """A copy under a new id, anywhere."""
    event = forger.any_event()
    own = [e for e in forger.events if e.place == event.place]
    copy = replace(event, id=f"{forger.chance.getrandbits(128):032x}")
    copy = replace(copy, sequence=forger.chance.randrange(1, len(own) + 2))
    insert(forger, copy)
    return spot(copy)


def insert(forger: Forger, event: Event) -> None:
    """Put an event in."""
    marks = ", ".join(["%s"] * 10)
    columns = "id, place, sequence, happened_at, recorded_at, who, what, payload, previous_hash, hash"
    forger.run(f"INSERT INTO records_event ({columns}) VALUES ({marks})", *astuple(event))


def rewrite_an_event(forger: Forger) -> Bad:
    """With its own hash put right: the one after it, or the seal, tells."""
    event = forger.any_event()
    forged = sealed(replace(event, who="Mallory"))
    forger.set_column(event, "who", "Mallory")
    forger.set_column(event, "hash", forged.hash)
    last = max(e.sequence for e in forger.events if e.place == event.place)
    return {(event.place, min(event.sequence + 1, last))}


def rewrite_the_rest(forger: Forger) -> Bad:
    """From an event on, every hash put right: the seal alone tells."""
    start = forger.any_event()
    own = [e for e in forger.events if e.place == start.place and e.sequence >= start.sequence]
    previous = start.previous_hash
    for event in own:
        forged = sealed(replace(event, who="Mallory", previous_hash=previous))
        for column in ("who", "previous_hash", "hash"):
            forger.set_column(event, column, getattr(forged, column))
        previous = forged.hash
    return spot(own[-1])


def spoil_the_encoding(forger: Forger) -> Bad:
    """SQLite keeps text that is none, and numbers or bytes where text belongs."""
    if not forger.sqlite:
        return change_a_character(forger)
    event, column = forger.any_event(), forger.chance.choice(COLUMNS[:-1])
    value = forger.chance.choice(
        ["CAST(X'C328FF' AS TEXT)", f"CAST({column} AS BLOB)", f"{column} || CHAR(0)"]
    )
    forger.run(f"UPDATE records_event SET {column} = {value} WHERE id = %s", event.id)
    return spot(event)


# ---- things and places ----


def any_thing(forger: Forger) -> tuple[Event, str, str]:
    """Return an event and the code and part of one of its things."""
    event = forger.any_event()
    thing = forger.chance.choice(event.things)
    return event, thing.code, thing.part


THAT_ROW = "WHERE event_id = %s AND code = %s AND part = %s"


def change_a_thing(forger: Forger) -> Bad:
    """One character of its code or its part."""
    event, code, part = any_thing(forger)
    column, old = forger.chance.choice([("code", code), ("part", part)])
    forger.run(
        f"UPDATE records_event_thing SET {column} = %s {THAT_ROW}", forger.marred(old), event.id, code, part
    )
    return spot(event)


def misplace_a_thing(forger: Forger) -> Bad:
    """Its row tells another place, time or sequence than its event, which would hide it from a look-back."""
    event, code, part = any_thing(forger)
    ways: list[tuple[str, object]] = [
        ("place", forger.chance.choice([elsewhere(event), forger.marred(event.place)])),
        ("happened_at", forger.marred(event.happened_at)),
        ("sequence", event.sequence + forger.chance.choice([-1, 1, 100])),
    ]
    column, value = forger.chance.choice(ways)
    forger.run(f"UPDATE records_event_thing SET {column} = %s {THAT_ROW}", value, event.id, code, part)
    return spot(event)


def delete_a_thing(forger: Forger) -> Bad:
    """A part that was there was never there."""
    event, code, part = any_thing(forger)
    forger.run(f"DELETE FROM records_event_thing {THAT_ROW}", event.id, code, part)
    return spot(event)


def insert_a_thing(forger: Forger) -> Bad:
    """A part that was not there was there; or was in an event that does not exist."""
    event = forger.any_event()
    loose = forger.chance.random() < 0.2
    identifier = "0" * 31 + "1" if loose else event.id
    statement = (
        "INSERT INTO records_event_thing (event_id, code, part, place, happened_at, sequence) "
        "VALUES (%s, 'Z-1', 'part', %s, %s, %s)"
    )
    forger.run(statement, identifier, event.place, event.happened_at, event.sequence)
    return set() if loose else spot(event)


def move_a_thing(forger: Forger) -> Bad:
    """From one event to another."""
    (event, code, part), other = any_thing(forger), forger.any_event()
    if other == event:
        return insert_a_thing(forger)
    forger.run(f"UPDATE records_event_thing SET event_id = %s {THAT_ROW}", other.id, event.id, code, part)
    return spot(event, other)


def move_an_event(forger: Forger) -> Bad:
    """To the other place: missed at home, one too many away."""
    event = forger.any_event()
    forger.set_column(event, "place", elsewhere(event))
    return {(HILL, event.sequence), (VALLEY, event.sequence)}


def change_the_places(forger: Forger) -> Bad:
    """The row of a place is taken out, or one put in."""
    if forger.chance.random() < 0.5:
        forger.run("DELETE FROM records_place WHERE code = %s", HILL)
    else:
        forger.run("INSERT INTO records_place (code) VALUES ('Nowhere')")
    return set()


# ---- evidence ----


def any_file(forger: Forger) -> tuple[str, bytes, int, str]:
    """Return a file of evidence: digest, kept bytes, size, name."""
    digest, kept, size, name = forger.chance.choice(
        forger.rows("SELECT * FROM records_evidence ORDER BY sha256")
    )
    return digest, bytes(kept), size, name


def change_evidence(forger: Forger) -> Bad:
    """A byte of what is kept; a character of its name or digest; its size."""
    digest, kept, size, name = any_file(forger)
    ways: list[tuple[str, object]] = [("kept", forger.marred_bytes(kept))] * 4
    ways += [("file_name", forger.marred(name)), ("sha256", forger.marred(digest)), ("size", size + 1)]
    column, value = forger.chance.choice(ways)
    forger.run(f"UPDATE records_evidence SET {column} = %s WHERE sha256 = %s", value, digest)
    return forger.attaching(digest)


def delete_evidence(forger: Forger) -> Bad:
    """A whole file."""
    digest = any_file(forger)[0]
    forger.run("DELETE FROM records_evidence WHERE sha256 = %s", digest)
    return forger.attaching(digest)


def swap_evidence(forger: Forger) -> Bad:
    """The bytes of two files."""
    (one, kept, *_rest), (other, other_kept, *_rest2) = any_file(forger), any_file(forger)
    if one == other:
        return delete_evidence(forger)
    forger.run("UPDATE records_evidence SET kept = %s WHERE sha256 = %s", other_kept, one)
    forger.run("UPDATE records_evidence SET kept = %s WHERE sha256 = %s", kept, other)
    both = [*forger.attaching(one), *forger.attaching(other)]
    return {(place, min(s for p, s in both if p == place)) for place, _s in both}


def insert_evidence(forger: Forger) -> Bad:
    """A file that no event attached."""
    _digest, kept, size, name = any_file(forger)
    statement = "INSERT INTO records_evidence (sha256, kept, size, file_name) VALUES (%s, %s, %s, %s)"
    forger.run(statement, "ab" * 32, kept, size, name)
    return set()


# ---- what follows from the events ----


def any_state(forger: Forger) -> tuple[str, ...]:
    """Return a state: place, kind, code, status, body."""
    query = "SELECT place, kind, code, status, body FROM records_state ORDER BY place, kind, code"
    return forger.chance.choice(forger.rows(query))


THAT_STATE = "WHERE place = %s AND kind = %s AND code = %s"


def change_a_state(forger: Forger) -> Bad:
    """One character, in any column."""
    state, column = any_state(forger), forger.chance.randrange(5)
    name = ("place", "kind", "code", "status", "body")[column]
    old = state[column]
    new = forger.marred(old) if old else "ready"
    forger.run(f"UPDATE records_state SET {name} = %s {THAT_STATE}", new, *state[:3])
    return set()


def swap_two_states(forger: Forger) -> Bad:
    """The bodies of two."""
    one, other = any_state(forger), any_state(forger)
    if one[4] == other[4]:
        return delete_a_state(forger)
    for to, given in ((one, other), (other, one)):
        forger.run(f"UPDATE records_state SET body = %s {THAT_STATE}", given[4], *to[:3])
    return set()


def delete_a_state(forger: Forger) -> Bad:
    """Nothing is known of a thing any more."""
    forger.run(f"DELETE FROM records_state {THAT_STATE}", *any_state(forger)[:3])
    return set()


def insert_a_state(forger: Forger) -> Bad:
    """A thing that no event tells of; at a place that has no events, too."""
    _place, kind, _code, status, body = any_state(forger)
    place = forger.chance.choice([HILL, VALLEY, "Nowhere"])
    statement = "INSERT INTO records_state (place, kind, code, status, body) VALUES (%s, %s, 'Z-1', %s, %s)"
    forger.run(statement, place, kind, status, body)
    return set()


def change_a_correction(forger: Forger) -> Bad:
    """What was corrected stands again; what stands is corrected; it was corrected by another."""
    way = forger.chance.randrange(3)
    (corrected,) = forger.chance.choice(forger.rows("SELECT corrected FROM records_correction ORDER BY 1"))
    event = forger.any_event()
    if way == 0:
        forger.run("DELETE FROM records_correction WHERE corrected = %s", corrected)
    elif way == 1:
        statement = "INSERT INTO records_correction (corrected, correcting) VALUES (%s, %s)"
        forger.run(statement, event.id, "0" * 32)
    else:
        statement = "UPDATE records_correction SET correcting = %s WHERE corrected = %s"
        forger.run(statement, "0" * 32, corrected)
    return set()


WAYS: tuple[Callable[[Forger], Bad], ...] = (
    *(change_a_character,) * 5,
    change_a_sequence,
    *(swap_a_column,) * 2,
    swap_two_rows,
    delete_an_event,
    delete_the_end,
    insert_an_event,
    rewrite_an_event,
    rewrite_the_rest,
    spoil_the_encoding,
    change_a_thing,
    delete_a_thing,
    insert_a_thing,
    move_a_thing,
    *(misplace_a_thing,) * 2,
    move_an_event,
    change_the_places,
    *(change_evidence,) * 4,
    delete_evidence,
    swap_evidence,
    insert_evidence,
    *(change_a_state,) * 2,
    swap_two_states,
    delete_a_state,
    insert_a_state,
    *(change_a_correction,) * 2,
)


def lay_bare(store: DatabaseStore) -> None:
    """Take away every trigger and every constraint, as somebody with the database in hand can."""
    connection = connections[store.alias]
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("PRAGMA foreign_keys = OFF")
            for table in TABLES:
                cursor.execute(f"CREATE TABLE bare AS SELECT * FROM {table}")
                cursor.execute(f"DROP TABLE {table}")
                cursor.execute(f"ALTER TABLE bare RENAME TO {table}")
            return
        for table in TABLES:
            if table in GUARDED:
                cursor.execute(f"DROP TRIGGER {table}_never_change ON {table}")
            cursor.execute(
                "SELECT conname FROM pg_constraint WHERE conrelid = %s::regclass AND contype <> 'n'", [table]
            )
            for (name,) in cursor.fetchall():
                cursor.execute(f"ALTER TABLE {table} DROP CONSTRAINT {name} CASCADE")
            cursor.execute(
                "SELECT column_name FROM information_schema.columns "
                "WHERE table_name = %s AND data_type = 'character varying'",
                [table],
            )
            for (name,) in cursor.fetchall():
                cursor.execute(f"ALTER TABLE {table} ALTER COLUMN {name} TYPE text")


def described(way: Callable[[Forger], Bad], number: int) -> str:
    """Return how to name a try in a failure."""
    return json.dumps({"way": way.__name__, "try": number})
