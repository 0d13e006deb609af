"""Records falsified behind the software's back, 1,000 random ways on each database."""

import shutil
from random import Random

import pytest
from cast import HILL, VALLEY, history
from closing import close_all
from django.db import connections, transaction
from tampering import WAYS, Forger, described, lay_bare

from lungwort.errors import LungwortError
from lungwort.records.chain.seal import seal
from lungwort.records.connect import connect
from lungwort.records.verify import verify

TRIES, PER_PLACE = 1_000, 12


def test_verify_finds_every_change_and_names_the_first_bad_event(database_store):
    """In events, things, places and evidence; triggers and constraints were taken away first."""
    store = database_store
    events = history(store, HILL, PER_PLACE, seed=1) + history(store, VALLEY, PER_PLACE, seed=2)
    seals = [seal(store, HILL), seal(store, VALLEY)]
    lay_bare(store)
    assert verify(store, seals).whole
    chance = Random(42)
    for number in range(TRIES):
        way = WAYS[number % len(WAYS)] if number < len(WAYS) else chance.choice(WAYS)
        with transaction.atomic(using=store.alias), connections[store.alias].cursor() as cursor:
            expected = way(Forger(store, events, cursor, chance))
            faults = verify(store, seals).faults
            transaction.set_rollback(True, using=store.alias)
        named = {(f.place, f.sequence) for f in faults if f.sequence is not None}
        assert faults, described(way, number)
        assert named == expected, described(way, number)
    assert verify(store, seals).whole


def test_a_changed_byte_of_the_file_is_found(new_sqlite, tmp_path):
    """A byte of an event's text, changed wherever SQLite keeps it, in the table or in an index for look-back."""
    path, chance = new_sqlite(), Random(7)
    store = connect(path)
    events = history(store, HILL, 12)
    kept, code = seal(store, HILL), events[0].things[0].code
    with connections[store.alias].cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    close_all()
    raw = path.read_bytes()
    parts = [e.payload for e in events] + [e.hash for e in events] + [e.who for e in events] + [code] * 30
    for number in range(150):
        part = chance.choice(parts).encode("utf-8")
        places = [at for at in range(len(raw)) if raw.startswith(part, at)]
        at = chance.choice(places) + chance.randrange(len(part))
        changed = tmp_path / f"changed{number}.db"
        changed.write_bytes(raw[:at] + bytes([raw[at] ^ (1 << chance.randrange(7))]) + raw[at + 1 :])
        assert _found(changed, kept), f"byte {at}"
    shutil.rmtree(tmp_path)


def _found(path, kept):
    """Tell whether verify finds a fault, or the file can no longer be read at all."""
    try:
        return not verify(connect(path), [kept]).whole
    except LungwortError:
        return True
    finally:
        close_all()


def test_a_file_that_is_no_database_is_told(tmp_path):
    """Or whose first page is spoiled."""
    path = tmp_path / "log.csv"
    path.write_text("time;T1\n" * 1000, "utf-8")
    with pytest.raises(
        LungwortError, match="is damaged or is no database of records .* restore the last backup"
    ):
        connect(path)
