"""The database itself refuses to change or remove what is recorded."""

import sqlite3

import psycopg
import pytest
from cast import HILL, history
from closing import close_all
from django.db import IntegrityError, connections

from lungwort.errors import ChangeRefused, UnusableRecords
from lungwort.records.connect import connect
from lungwort.records.guards import SAME_ROW, missing_guards
from lungwort.records.verify import verify

REFUSED = "never changed or removed"


@pytest.fixture
def history_store(database):
    """Return records with a history, in SQLite and in PostgreSQL."""
    store = connect(database)
    history(store, HILL, 8)
    return store


@pytest.fixture
def models(history_store):
    """Return the tables as Django knows them, which needs its settings first."""
    from lungwort.records import models

    return models


@pytest.mark.parametrize("table", SAME_ROW)
@pytest.mark.parametrize("statement", ["DELETE FROM {}", "UPDATE {} SET {} = {}"])
def test_no_statement_changes_or_removes_a_row(history_store, table, statement):
    """Not even one that would leave it as it is."""
    column = SAME_ROW[table].split()[0]
    with connections[history_store.alias].cursor() as cursor, pytest.raises(IntegrityError, match=REFUSED):
        cursor.execute(statement.format(table, column, column))
    assert verify(history_store).whole


@pytest.mark.parametrize("table", SAME_ROW)
def test_postgresql_refuses_to_empty_a_table(new_postgres, table):
    """TRUNCATE, with CASCADE too."""
    store = connect(new_postgres())
    history(store, HILL, 3)
    with connections[store.alias].cursor() as cursor, pytest.raises(IntegrityError, match=REFUSED):
        cursor.execute(f"TRUNCATE {table} CASCADE")


def test_postgresql_refuses_in_a_session_that_switches_triggers_off(new_postgres):
    """A replica's session would pass over ordinary triggers."""
    url = new_postgres()
    history(connect(url), HILL, 3)
    with psycopg.connect(url) as other:
        other.execute("SET session_replication_role = replica")
        with pytest.raises(psycopg.errors.RestrictViolation, match=REFUSED):
            other.execute("UPDATE records_event SET who = 'Mallory'")


@pytest.mark.parametrize("table", SAME_ROW)
@pytest.mark.parametrize("key", ["", "rowid, "])
def test_sqlite_refuses_to_replace_a_row(new_sqlite, table, key):
    """INSERT OR REPLACE removes a row without asking the trigger on DELETE; from any program, by any key."""
    path = new_sqlite()
    history(connect(path), HILL, 3)
    close_all()
    other = sqlite3.connect(path)
    columns = [row[1] for row in other.execute(f"PRAGMA table_info({table})")]
    assert other.execute(f"SELECT count(*) FROM {table}").fetchone()[0] > 0
    names = ", ".join(columns)
    with pytest.raises(sqlite3.IntegrityError, match=REFUSED):
        other.execute(
            f"INSERT OR REPLACE INTO {table} ({key}{names}) SELECT {key}{names} FROM {table} LIMIT 1"
        )
    other.close()


def test_sqlite_refuses_to_put_another_row_on_an_old_rowid(new_sqlite):
    """Every key new, the hidden one old."""
    path = new_sqlite()
    history(connect(path), HILL, 3)
    close_all()
    other = sqlite3.connect(path)
    with pytest.raises(sqlite3.IntegrityError, match=REFUSED):
        other.execute(
            "INSERT OR REPLACE INTO records_place (rowid, code) SELECT rowid, 'X' FROM records_place"
        )
    other.close()


def test_a_missing_guard_is_known(history_store):
    """Each by its name; none is missing at first."""
    assert missing_guards(connections[history_store.alias]) == []
    with connections[history_store.alias].cursor() as cursor:
        if connections[history_store.alias].vendor == "sqlite":
            cursor.execute("DROP TRIGGER records_event_never_delete")
        else:
            cursor.execute("ALTER TABLE records_event DISABLE TRIGGER records_event_never_change")
    (missing,) = missing_guards(connections[history_store.alias])
    assert missing.startswith("records_event_never_")


def test_a_guard_that_does_something_else_now_counts_as_missing(history_store):
    """Under its old name it refuses nothing any more."""
    with connections[history_store.alias].cursor() as cursor:
        if connections[history_store.alias].vendor == "sqlite":
            cursor.execute("DROP TRIGGER records_event_never_update")
            gutted = "BEFORE UPDATE ON records_event WHEN 0 BEGIN SELECT 1; END"
            cursor.execute(f"CREATE TRIGGER records_event_never_update {gutted}")
        else:
            cursor.execute(
                "CREATE OR REPLACE FUNCTION records_refuse_change() RETURNS trigger LANGUAGE plpgsql AS "
                "$$ BEGIN RETURN NULL; END $$"
            )
    missing = missing_guards(connections[history_store.alias])
    assert any(name.startswith("records_event_never_") for name in missing)


# ---- Django's own ways ----


def test_django_reads_what_was_appended(history_store, models):
    """Events with their things, from either side."""
    events = models.Event.objects.using(history_store.alias)
    first = events.get(place=HILL, sequence=2)
    assert {(t.code, t.part) for t in first.thing_rows.all()} == {
        ("A-1", "equipment"),
        ("C-1", "part"),
        ("C-9", "part"),
        ("Y-1", "cycle"),
    }
    assert events.filter(thing_rows__code="C-9").count() == 4
    assert str(first) == "Hill Hospital 2 cycle.ended"
    assert [str(t) for t in first.thing_rows.filter(code="A-1")] == ["A-1 as equipment"]
    (place,) = models.Place.objects.using(history_store.alias)
    assert str(place) == HILL
    assert {str(e) for e in models.Evidence.objects.using(history_store.alias)} == {
        "cycle-1.csv",
        "cycle-5.csv",
    }


@pytest.mark.parametrize(
    "change",
    [
        lambda rows: rows.update(who="Mallory"),
        lambda rows: rows.delete(),
        lambda rows: rows.create(who="Mallory"),
        lambda rows: rows.bulk_create([]),
        lambda rows: rows.bulk_update([], ["who"]),
        lambda rows: rows.get_or_create(who="Mallory"),
        lambda rows: rows.update_or_create(who="Mallory"),
        lambda rows: rows.first().save(),
        lambda rows: rows.first().delete(),
        lambda rows: rows.first().thing_rows.all().delete(),
        lambda rows: rows.first().thing_rows.create(code="X", part="part"),
        lambda rows: rows.first().place.delete(),
    ],
)
def test_django_refuses_every_way_to_write_past_append(history_store, models, change):
    """With a sentence, before the database is asked."""
    with pytest.raises(ChangeRefused, match="append an event that corrects it"):
        change(models.Event.objects.using(history_store.alias))
    assert verify(history_store).whole


def test_following_a_thing_reads_the_index_alone(new_sqlite):
    """From a thing to its events in order of happening, and from an event to its things, without the table."""
    store = connect(new_sqlite())
    plan = "EXPLAIN QUERY PLAN SELECT {} FROM records_event_thing WHERE {}"
    window = (
        "place = 'x' AND part = 'y' AND code = 'z' AND happened_at > '2026' ORDER BY happened_at, sequence"
    )
    (by_thing,), (by_event,) = (
        store.rows(plan.format("happened_at, sequence", window)),
        store.rows(plan.format("code, part", "event_id = 'x'")),
    )
    assert "USING COVERING INDEX thing_in_time" in by_thing[3]
    assert "USING COVERING INDEX" in by_event[3]


def test_a_thing_row_cannot_name_an_event_that_is_not_there(history_store):
    """Foreign keys are on."""
    statement = (
        "INSERT INTO records_event_thing (event_id, code, part, place, happened_at, sequence) "
        "VALUES (%s, 'X', 'part', 'Hill', '', 1)"
    )
    with (
        connections[history_store.alias].cursor() as cursor,
        pytest.raises(IntegrityError, match=r"(?i)foreign key"),
    ):
        cursor.execute(statement, ["0" * 32])


def test_the_store_tells_a_refusal_as_a_sentence(history_store):
    """Where somebody tries through it."""
    with pytest.raises(UnusableRecords, match="did not accept that .*never changed or removed"):
        history_store.rows("DELETE FROM records_event")
