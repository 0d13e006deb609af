"""Records written by an earlier Lungwort are brought up to date with all that is in them."""

import sqlite3

import pytest
from cast import HILL, VALLEY, Writer, history, washed
from closing import close_all
from deciding import projections, view_of
from django.core.management import call_command
from django.db import connections

from lungwort.errors import UnusableRecords
from lungwort.records.chain.event import Draft, Thing
from lungwort.records.chain.outcome import Outcome
from lungwort.records.chain.preparing import next_event, prepare
from lungwort.records.chain.seal import seal
from lungwort.records.connect import _alias, configured, connect, create
from lungwort.records.guards import missing_guards
from lungwort.records.stores.memory import MemoryStore
from lungwort.records.verify import verify


@pytest.fixture(params=["sqlite", "postgresql"])
def early(request, tmp_path, postgres):
    """Return the address of a database as the first Lungwort with records made it, empty, and its cursor."""
    address = tmp_path / "early.db"
    if request.param == "postgresql":
        postgres.run("CREATE DATABASE early")
        address = postgres.url("early")
    alias = _alias(configured(address))
    call_command("migrate", "records", "0002", database=alias, verbosity=0, interactive=False)
    yield address, alias
    close_all()
    if request.param == "postgresql":
        postgres.run("DROP DATABASE early WITH (FORCE)")


def write_as_then(alias, store):
    """Write what a store holds as the first Lungwort wrote it: events, things, places, evidence, and no states."""
    with connections[alias].cursor() as cursor:
        for digest in store.kept_digests():
            kept, size, name = store.kept(digest)
            cursor.execute("INSERT INTO records_evidence VALUES (%s, %s, %s, %s)", [digest, kept, size, name])
        for place in store.places():
            cursor.execute("INSERT INTO records_place VALUES (%s)", [place])
            for event in store.events(place):
                columns = (
                    "id, place, sequence, happened_at, recorded_at, who, what, payload, previous_hash, hash"
                )
                marks = ", ".join(["%s"] * 10)
                cursor.execute(f"INSERT INTO records_event ({columns}) VALUES ({marks})", event.columns())
                for thing in event.things:
                    cursor.execute(
                        "INSERT INTO records_event_thing (event_id, code, part) VALUES (%s, %s, %s)",
                        [event.id, thing.code, thing.part],
                    )


def test_what_was_recorded_is_carried_over(early):
    """Every row of a thing gets place, time and sequence of its event; states are folded; the guards stand."""
    address, alias = early
    past = MemoryStore()
    events = history(past, HILL, 20, seed=1) + history(past, VALLEY, 9, seed=2)
    write_as_then(alias, past)
    close_all()
    with pytest.raises(UnusableRecords, match="written by an earlier Lungwort; bring it up to date with"):
        connect(address)
    assert create(address) == "brought up to date"
    store = connect(address)
    assert [*store.events(HILL), *store.events(VALLEY)] == events
    assert projections(store) == projections(past)
    assert verify(store, [seal(past, HILL), seal(past, VALLEY)]).faults == ()
    assert missing_guards(connections[store.alias]) == []
    assert [f.event.id for f in view_of(store).facts("part", "C-9")] == [
        f.event.id for f in view_of(past).facts("part", "C-9")
    ]
    assert Writer(store, HILL, 5).write(washed()).sequence == 21
    assert verify(store).whole
    assert create(address) == "up to date"


def test_what_no_longer_could_be_recorded_is_carried_over_too(early):
    """Facts that lack what their kind needs, corrections of nothing, a second correction: they change no state."""
    address, alias = early
    past, c7 = MemoryStore(), (Thing("C-7", "part"),)
    writer = Writer(past)
    event = writer.write(washed("C-7"))
    close_all()
    odd = [
        Draft(writer.clock(), "Ada", "part.enrolled", {}, c7),
        Draft(writer.clock(), "Ada", "event.struck", {"event": 7}, c7),
        Draft(writer.clock(), "Ada", "event.corrected", {"event": "0" * 32, "what": ["x"]}, c7),
        Draft(writer.clock(), "Ada", "event.struck", {"event": event.id}, (Thing("C-8", "part"),)),
        Draft(writer.clock(), "Ada", "event.struck", {"event": event.id}, c7),
    ]
    for draft in odd:
        chain_on(past, draft, writer)
    write_as_then(alias, past)
    close_all()
    create(address)
    store = connect(address)
    assert verify(store).faults == ()
    assert store.head(HILL).sequence == 6
    ((corrected, _by),) = store.stored_corrections()
    assert corrected == event.id
    assert list(store.stored_states(HILL)) == []
    late = washed("C-7")
    Writer(store, seed=3).write(late)
    assert verify(store).whole


def chain_on(store, draft, writer):
    """Continue a chain in memory as the first Lungwort did, which looked at a draft's form alone."""
    shelf = store._shelves[HILL]
    event = next_event(HILL, shelf.head(), prepare(draft), store._files.get, writer.clock(), writer.rng)
    shelf.take(Outcome(event, (), "", ()))


def test_a_new_database_is_made(tmp_path):
    """And one that is there is left as it is."""
    path = tmp_path / "new.db"
    assert (create(path), create(path)) == ("made", "up to date")
    assert verify(connect(path)).whole
    close_all()


def test_nothing_is_put_into_another_program_s_database(tmp_path):
    """Neither by creating nor by connecting for something new."""
    path = tmp_path / "other.db"
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE stock (a)")
    other.close()
    for way in (create, lambda there: connect(there, new=True)):
        with pytest.raises(UnusableRecords, match=r"other.db belongs to another program \(it holds stock\)"):
            way(path)
    close_all()
    other = sqlite3.connect(path)
    assert [row[0] for row in other.execute("SELECT name FROM sqlite_master")] == ["stock"]
    other.close()
