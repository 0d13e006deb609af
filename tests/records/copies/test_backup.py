"""Backups while others write, restored and verified; nothing is ever overwritten."""

import os
import shutil
import sqlite3
import time
from contextlib import closing
from pathlib import Path

import pytest
from cast import HILL, VALLEY, Writer, history, washed
from closing import close_all
from django.db import connections
from tampering import lay_bare

from lungwort.errors import UnusableRecords
from lungwort.records.chain.seal import seal
from lungwort.records.connect import connect
from lungwort.records.copies import postgresql_backup
from lungwort.records.copies.backup import backup, restore
from lungwort.records.guards import missing_guards


@pytest.fixture
def empty_target(database, tmp_path, postgres):
    """Return where to restore to: a new file, or a new, empty database on the server."""
    if isinstance(database, Path):
        yield tmp_path / "restored.db"
        close_all()
        return
    postgres.run("CREATE DATABASE restored")
    yield postgres.url("restored")
    close_all()
    postgres.run("DROP DATABASE restored WITH (FORCE)")


def test_what_was_backed_up_is_restored_whole(database, empty_target, tmp_path):
    """Events, things, evidence and guards; writing goes on where it ended."""
    store = connect(database)
    events = history(store, HILL, 9, seed=1) + history(store, VALLEY, 5, seed=2)
    kept = seal(store, HILL)
    copy = tmp_path / "backup"
    assert backup(database, copy).whole
    report = restore(copy, empty_target, [kept])
    restored = connect(empty_target)
    assert report.whole
    assert {p: h.sequence for p, h in report.heads.items()} == {HILL: 9, VALLEY: 5}
    assert [*restored.events(HILL), *restored.events(VALLEY)] == events
    assert missing_guards(connections[restored.alias]) == []
    digest = events[1].content["evidence"][0]["sha256"]
    assert restored.evidence(digest) == store.evidence(digest)
    assert Writer(restored).write(washed()).sequence == 10


def test_a_backup_is_consistent_while_a_writer_writes(database, nursery, tmp_path):
    """Its head lies between what was acknowledged before and after."""
    acknowledged, copy = tmp_path / "acknowledged", tmp_path / "backup"
    history(connect(database), HILL, 3)
    close_all()
    pid = nursery.start(database, acknowledged, who=1, count=300, largest_log=2_000)
    while not acknowledged.exists() or not acknowledged.stat().st_size:
        time.sleep(0.001)
    report = backup(database, copy)
    assert nursery.wait(pid) == 0
    assert report.whole
    assert 3 < report.heads[HILL].sequence <= 303
    assert connect(database).head(HILL).sequence == 303


def test_a_backup_overwrites_nothing(database, tmp_path):
    """Not even an empty file."""
    history(connect(database), HILL, 2)
    target = tmp_path / "backup"
    target.write_bytes(b"")
    with pytest.raises(
        UnusableRecords, match="backup is there already and is not overwritten; give another name"
    ):
        backup(database, target)
    assert target.read_bytes() == b""


def test_restoring_overwrites_nothing(database, tmp_path):
    """Neither a file nor a database with tables."""
    history(connect(database), HILL, 2)
    backup(database, tmp_path / "backup")
    close_all()
    with pytest.raises(UnusableRecords, match="already and is not overwritten"):
        restore(tmp_path / "backup", database)
    assert connect(database).head(HILL).sequence == 2


@pytest.mark.parametrize("side", ["-wal", "-journal"])
def test_a_leftover_log_beside_the_target_is_refused(new_sqlite, tmp_path, side):
    """SQLite would play it into the restored records."""
    database = new_sqlite()
    history(connect(database), HILL, 2)
    backup(database, tmp_path / "backup")
    (tmp_path / f"restored.db{side}").write_bytes(b"old")
    with pytest.raises(UnusableRecords, match=f"restored.db{side} is there already"):
        restore(tmp_path / "backup", tmp_path / "restored.db")


def test_a_backup_of_falsified_records_says_so(database, tmp_path):
    """The copy is kept under a name that says so too."""
    store = connect(database)
    history(store, HILL, 4)
    lay_bare(store)
    store_sql = "UPDATE records_event SET who = 'Mallory' WHERE sequence = 3"
    with connections[store.alias].cursor() as cursor:
        cursor.execute(store_sql)
    close_all()
    report = backup(database, tmp_path / "backup")
    assert report.faults[0].sequence == 3
    assert [p.name for p in tmp_path.iterdir()] == ["backup.not-whole"]


def test_a_backup_is_one_file_that_needs_no_other(new_sqlite, tmp_path):
    """Complete in itself, also on a disk that can only be read."""
    database = new_sqlite()
    history(connect(database), HILL, 4)
    backup(database, tmp_path / "backup")
    assert [p.name for p in tmp_path.iterdir()] == ["backup"]
    copy = sqlite3.connect(tmp_path / "backup")
    assert copy.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    copy.close()


def test_a_file_that_is_no_backup_is_refused(tmp_path, postgres):
    """Each kind of database takes its own."""
    (tmp_path / "notes.txt").write_text("notes", "utf-8")
    for target, kind in ((tmp_path / "new.db", "SQLite"), (postgres.url("postgres"), "PostgreSQL")):
        with pytest.raises(UnusableRecords, match=f"notes.txt is no backup of records in {kind}"):
            restore(tmp_path / "notes.txt", target)
    with pytest.raises(UnusableRecords, match="gone cannot be written or read"):
        restore(tmp_path / "gone", tmp_path / "new.db")


def test_a_missing_record_is_not_backed_up(tmp_path):
    """A mistyped name makes no empty backup."""
    with pytest.raises(UnusableRecords, match="there is no file x.db"):
        backup(tmp_path / "x.db", tmp_path / "backup")
    assert list(tmp_path.iterdir()) == []


def test_without_its_programs_postgresql_is_not_backed_up(new_postgres, tmp_path, monkeypatch):
    """The sentence says what to install."""
    monkeypatch.setattr(postgresql_backup, "found", lambda _program: None)
    with pytest.raises(
        UnusableRecords, match="pg_dump is not installed, .*apt-get install postgresql-client"
    ):
        backup(new_postgres(), tmp_path / "backup")
    assert list(tmp_path.iterdir()) == []


def test_an_account_that_may_not_make_databases_cannot_verify_its_backup(new_postgres, postgres, tmp_path):
    """So the backup is refused with the remedy, and nothing unverified is left to be trusted."""
    url = new_postgres()
    name = url.rpartition("/")[2]
    postgres.run("CREATE ROLE ada LOGIN")
    for right in ("USAGE ON SCHEMA", "SELECT ON ALL TABLES IN SCHEMA", "SELECT ON ALL SEQUENCES IN SCHEMA"):
        postgres.run(f"GRANT {right} public TO ada", name)
    with pytest.raises(UnusableRecords, match="may not make a temporary database .* grant CREATEDB"):
        backup(url.replace("records@", "ada@"), tmp_path / "backup")
    assert list(tmp_path.iterdir()) == []
    postgres.run("DROP OWNED BY ada", name)
    postgres.run("DROP ROLE ada")


def test_a_full_disk_leaves_no_half_backup(new_sqlite, tmp_path, monkeypatch):
    """The sentence names the file."""
    database = new_sqlite()
    history(connect(database), HILL, 2)

    def full(*_arguments: object) -> None:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(shutil, "copyfileobj", full)
    with pytest.raises(
        UnusableRecords, match=r"backup cannot be written or read \(No space left on device\)"
    ):
        backup(database, tmp_path / "backup")
    assert list(tmp_path.iterdir()) == []


def test_a_server_that_is_not_there_is_told(new_postgres, tmp_path):
    """On restoring."""
    backup(new_postgres(), tmp_path / "backup")
    with pytest.raises(UnusableRecords, match="x on 127.0.0.1: the connection failed"):
        restore(tmp_path / "backup", "postgres://records@127.0.0.1:1/x")


def test_a_broken_postgresql_backup_restores_nothing(new_postgres, postgres, tmp_path):
    """All or nothing; the program's own words are told."""
    store_url = new_postgres()
    history(connect(store_url), HILL, 4)
    backup(store_url, tmp_path / "backup")
    whole = (tmp_path / "backup").read_bytes()
    (tmp_path / "half").write_bytes(whole[: len(whole) // 2])
    postgres.run("CREATE DATABASE half")
    with pytest.raises(UnusableRecords, match=r"half on 127.0.0.1: pg_restore failed .*nothing was restored"):
        restore(tmp_path / "half", postgres.url("half"))
    assert (
        postgres.run("SELECT count(*) FROM information_schema.tables WHERE table_schema = 'public'", "half")
        == "0"
    )
    postgres.run("DROP DATABASE half")


def test_a_database_without_records_is_no_backup(tmp_path):
    """Of another program, or empty: nothing is put in place, and nothing is said to be restored."""
    for name, statement in (("shop.db", "CREATE TABLE django_migrations (app, name)"), ("new.db", "VACUUM")):
        other = sqlite3.connect(tmp_path / name)
        other.execute(statement)
        other.close()
        with pytest.raises(UnusableRecords, match="holds no records|is no backup of records"):
            restore(tmp_path / name, tmp_path / "hospital.db")
        assert not (tmp_path / "hospital.db").exists()


def test_a_backup_that_cannot_even_be_verified_is_kept_and_told_under_its_own_name(new_sqlite, tmp_path):
    """Pages in the middle are gone; a damaged copy is better than none."""
    path = new_sqlite()
    history(connect(path), HILL, 60)
    close_all()
    with closing(sqlite3.connect(path)) as other:
        other.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        (page,) = other.execute("SELECT rootpage FROM sqlite_master WHERE name = 'records_event'").fetchone()
        (size,) = other.execute("PRAGMA page_size").fetchone()
    with path.open("rb+") as opened:
        opened.seek((page - 1) * size)
        opened.write(b"\xff" * 100)
    with pytest.raises(UnusableRecords, match=r"kept as copy\.db\.not-whole: copy\.db is damaged"):
        backup(path, tmp_path / "copy.db")
    assert [p.name for p in tmp_path.iterdir()] == ["copy.db.not-whole"]


@pytest.mark.parametrize("target", ["log.txt/copy.db", "x" * 300, "nowhere/copy.db"])
def test_a_place_where_no_backup_can_lie_is_told(new_sqlite, tmp_path, target):
    """A file instead of a folder, a name too long, no such folder."""
    path = new_sqlite()
    history(connect(path), HILL, 2)
    (tmp_path / "log.txt").write_text("12:00 134")
    with pytest.raises(UnusableRecords, match="cannot be written or read"):
        backup(path, tmp_path / target)


@pytest.mark.parametrize("name", ["", "."])
def test_a_folder_is_no_place_for_a_backup_nor_records(new_sqlite, tmp_path, monkeypatch, name):
    """The one that is worked in has no name of its own."""
    path = new_sqlite()
    history(connect(path), HILL, 2)
    monkeypatch.chdir(tmp_path)
    with pytest.raises(UnusableRecords, match=f"{tmp_path.name} is there already and is not overwritten"):
        backup(path, Path(name))
    with pytest.raises(UnusableRecords, match=f"there is no file {tmp_path.name}"):
        connect(name, read_only=True)
