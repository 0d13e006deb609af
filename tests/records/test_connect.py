"""Opening a database: which are refused, and with what sentence."""

import sqlite3
import subprocess
import sys

import pytest
from cast import HILL, Writer, history, washed
from closing import close_all
from django.db import connections

from lungwort.errors import UnusableRecords
from lungwort.records.connect import connect


def test_a_mistyped_name_is_not_taken_for_empty_records(tmp_path):
    """And no file is made."""
    with pytest.raises(UnusableRecords, match="there is no file hil.db; check the name"):
        connect(tmp_path / "hil.db")
    assert list(tmp_path.iterdir()) == []


def test_a_new_file_is_made_where_asked(tmp_path):
    """Twice is once."""
    path = tmp_path / "a & b?.db"
    history(connect(path, new=True), HILL, 2)
    assert connect(path, new=True).head(HILL).sequence == 2
    assert path.is_file()


def test_a_folder_that_is_not_there_is_told(tmp_path):
    """Where a new file is wanted."""
    with pytest.raises(UnusableRecords, match="x.db cannot be opened"):
        connect(tmp_path / "nowhere" / "x.db", new=True)


def test_another_program_s_database_is_refused(tmp_path):
    """Nothing is put into it."""
    path = tmp_path / "other.db"
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE t (a)")
    other.close()
    with pytest.raises(UnusableRecords, match="other.db holds no records"):
        connect(path)


def test_records_of_a_later_lungwort_are_refused(new_sqlite):
    """They may mean what this one does not know."""
    path = new_sqlite()
    other = sqlite3.connect(path)
    other.execute(
        "INSERT INTO django_migrations (app, name, applied) VALUES ('records', '0999_x', '2030-01-01')"
    )
    other.commit()
    other.close()
    with pytest.raises(UnusableRecords, match=r"written by a later Lungwort \(0999_x\)"):
        connect(path)


@pytest.mark.parametrize(
    ("address", "says"),
    [
        ("mysql://x@y/z", "records are kept in SQLite or PostgreSQL, not in mysql"),
        ("nonsense://x", "the address of the database cannot be read"),
        ("postgres://nobody@127.0.0.1:1/x", "x on 127.0.0.1: the connection failed"),
    ],
)
def test_addresses_that_lead_nowhere(address, says):
    """Each with what to give instead."""
    with pytest.raises(UnusableRecords, match=says):
        connect(address)


def test_a_database_that_is_not_on_the_server(postgres):
    """Its name is told, no password."""
    with pytest.raises(UnusableRecords, match=r"nowhere on 127.0.0.1.*does not exist"):
        connect(postgres.url("nowhere").replace("records@", "records:secret@"))


def test_an_address_of_a_file_is_a_file(new_sqlite):
    """sqlite:///… and the path are the same place."""
    path = new_sqlite()
    Writer(connect(path)).write(washed())
    close_all()
    assert connect(f"sqlite:///{path}").head(HILL).sequence == 1


def test_sqlite_is_set_to_lose_nothing(new_sqlite):
    """Write-ahead log, full synchronisation (2), foreign keys, a wait for others."""
    store = connect(new_sqlite(), wait_s=3)
    settings = {n: store.rows(f"PRAGMA {n}")[0][0] for n in ("journal_mode", "synchronous", "foreign_keys")}
    assert settings == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}
    assert store.rows("PRAGMA busy_timeout") == [(3000,)]
    assert connections[store.alias].transaction_mode == "IMMEDIATE"


def test_postgresql_is_set_to_lose_nothing(new_postgres, postgres):
    """Whatever the server's own setting says."""
    url = new_postgres()
    postgres.run(f"ALTER DATABASE {url.rpartition('/')[2]} SET synchronous_commit = off")
    store = connect(url, wait_s=3)
    assert store.rows("SHOW synchronous_commit") == [("on",)]
    assert store.rows("SHOW lock_timeout") == [("3s",)]


def test_connecting_loads_nothing_of_the_web():
    """Neither accounts nor sessions of Django, nor a driver that is not needed."""
    code = "import sys, lungwort.records.connect as c; c.set_up(); c.configured('x.db'); print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert "django.db.models" in loaded
    assert not [name for name in loaded if name.startswith(("django.contrib", "psycopg"))]
