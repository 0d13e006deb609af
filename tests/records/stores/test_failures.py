"""Full disks, read-only disks, busy and vanished databases: a clear sentence each, and nothing lost."""

import os
import shutil
import sqlite3
import subprocess
import threading
from contextlib import contextmanager

import psycopg
import pytest
from acknowledged import look, read_acknowledged
from cast import HILL, Writer, cycle, history, washed
from closing import close_all

from lungwort.errors import RecordsBusy, UnusableRecords
from lungwort.records.chain.keeping import press
from lungwort.records.connect import connect
from lungwort.records.verify import verify

FULL = "the disk (is full|refused a write)"
ROOT = os.geteuid() == 0


def stopped_by(nursery, database, acknowledged, **confined):
    """Let a writer write until something stops it; return the sentence."""
    close_all()
    pid = nursery.start(database, acknowledged, who=1, count=2_000, largest_log=30_000, **confined)
    assert nursery.wait(pid) == 1
    return acknowledged.with_name(acknowledged.name + ".error").read_text("utf-8")


@contextmanager
def small_disk(folder, megabytes):
    """A disk in memory of a few megabytes; skip where it may not be made."""
    folder.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", f"size={megabytes}m", "tmpfs", folder]
    if not ROOT or subprocess.run(command, capture_output=True, check=False).returncode:
        pytest.skip("a small disk can be made by root only")
    try:
        yield folder
    finally:
        close_all()
        subprocess.run(["umount", "-l", folder], check=True)


def test_a_file_that_may_not_grow(new_sqlite, nursery, tmp_path):
    """The limit stands for a full disk where nobody may make one: what was acknowledged stands, then it goes on."""
    path, acknowledged = new_sqlite(), tmp_path / "acknowledged"
    says = stopped_by(nursery, path, acknowledged, file_bytes=path.stat().st_size + 300_000)
    assert says.startswith(f"{path.name}: the disk ")
    assert "nothing was" in says
    kept, told = look(path, acknowledged)
    assert kept == told > 3
    assert Writer(connect(path)).write(washed()).sequence == kept + 1


def test_a_full_disk(tmp_path, empty_sqlite, nursery):
    """SQLite says so; once there is space again, it goes on."""
    acknowledged = tmp_path / "acknowledged"
    with small_disk(tmp_path / "disk", 2) as disk:
        path = disk / "records.db"
        shutil.copy(empty_sqlite, path)
        says = stopped_by(nursery, path, acknowledged)
        assert "records.db: the disk is full, so nothing was written" in says
        assert "free space on it, then record the event again" in says
        kept, told = look(path, acknowledged)
        assert kept == told > 3
        subprocess.run(["mount", "-o", "remount,size=8m", disk], check=True)
        assert Writer(connect(path)).write(cycle(1, log=os.urandom(100_000))).sequence == kept + 1


def test_a_full_disk_under_postgresql(tmp_path, postgres, empty_postgres, nursery):
    """PostgreSQL says so; what was acknowledged stands."""
    acknowledged = tmp_path / "acknowledged"
    with small_disk(postgres.data.parent / "disk", 12) as disk:
        shutil.chown(disk, "nobody")
        postgres.run(f"CREATE TABLESPACE small LOCATION '{disk}'")
        postgres.run(f"CREATE DATABASE crowded TEMPLATE {empty_postgres} TABLESPACE small")
        says = stopped_by(nursery, postgres.url("crowded"), acknowledged)
        assert "crowded on 127.0.0.1: the disk is full, so nothing was written" in says
        kept, told = look(postgres.url("crowded"), acknowledged)
        assert kept == told > 3
        close_all()
        postgres.run("DROP DATABASE crowded WITH (FORCE)")
        postgres.run("DROP TABLESPACE small")


def test_a_read_only_folder(quick_folder, empty_sqlite, nursery, tmp_path):
    """The writer is told; a reader reads."""
    folder, acknowledged = quick_folder / "read only", quick_folder / "acknowledged"
    folder.mkdir()
    path = folder / "records.db"
    shutil.copy(empty_sqlite, path)
    history(connect(path), HILL, 4)
    close_all()
    path.chmod(0o444)
    folder.chmod(0o555)
    quick_folder.chmod(0o777)
    says = stopped_by(nursery, path, acknowledged, nobody=True)
    assert "records.db may only be read" in says
    assert "give write permission on the file and its folder" in says
    assert read_acknowledged(acknowledged) == []
    folder.chmod(0o755)
    assert verify(connect(path, read_only=True)).heads[HILL].sequence == 4


def test_a_read_only_disk(tmp_path, empty_sqlite):
    """As a backup on a disk that cannot be written: verified in place, refused for writing."""
    with small_disk(tmp_path / "disk", 4) as disk:
        path = disk / "records.db"
        shutil.copy(empty_sqlite, path)
        history(connect(path), HILL, 4)
        close_all()
        subprocess.run(["mount", "-o", "remount,ro", disk], check=True)
        assert verify(connect(path, read_only=True)).heads[HILL].sequence == 4
        with pytest.raises(
            UnusableRecords, match="records.db cannot be opened .* may write to it and its folder"
        ):
            Writer(connect(path)).write(washed())


def test_whoever_opened_for_reading_cannot_write(database):
    """On either database."""
    history(connect(database), HILL, 2)
    with pytest.raises(UnusableRecords, match="may only be read"):
        Writer(connect(database, read_only=True)).write(washed())
    assert connect(database).head(HILL).sequence == 2


def test_a_postgresql_that_may_only_be_read(new_postgres, postgres):
    """As a standby is."""
    url = new_postgres()
    postgres.run(f"ALTER DATABASE {url.rpartition('/')[2]} SET default_transaction_read_only = on")
    with pytest.raises(UnusableRecords, match="may only be read"):
        Writer(connect(url)).write(washed())


# ---- busy ----


def test_sqlite_kept_busy_for_too_long(new_sqlite):
    """The writer waits the stated time, is told, and nothing is written."""
    path = new_sqlite()
    store = connect(path, wait_s=0.2)
    history(store, HILL, 2)
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(RecordsBusy, match=r"was kept busy by others .*; nothing was written; try again"):
        Writer(store).write(washed())
    other.execute("ROLLBACK")
    other.close()
    assert Writer(store).write(washed()).sequence == 3


def test_postgresql_kept_busy_for_too_long(new_postgres):
    """As on SQLite."""
    url = new_postgres()
    store = connect(url, wait_s=0.2)
    history(store, HILL, 2)
    with psycopg.connect(url) as other:
        other.execute("SELECT code FROM records_place FOR UPDATE")
        with pytest.raises(RecordsBusy, match=r"was kept busy by others .*; nothing was written; try again"):
            Writer(store).write(washed())
    assert Writer(store).write(washed()).sequence == 3


def test_a_writer_waits_for_one_who_is_soon_done(new_sqlite):
    """Within the stated time nobody notices."""
    path = new_sqlite()
    other = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
    other.execute("BEGIN IMMEDIATE")
    timer = threading.Timer(0.3, other.execute, ["COMMIT"])
    timer.start()
    assert Writer(connect(path)).write(washed()).sequence == 1
    timer.join()
    other.close()


def test_two_first_writers_of_a_place_do_not_disturb_each_other(new_postgres):
    """The second waits for the row of the place, then goes on."""
    url = new_postgres()
    with psycopg.connect(url) as other:
        other.execute("INSERT INTO records_place (code) VALUES (%s)", [HILL])
        timer = threading.Timer(0.3, other.commit)
        timer.start()
        assert Writer(connect(url)).write(washed()).sequence == 1
        timer.join()


def test_two_places_attach_the_same_new_file_at_once(new_postgres):
    """The second begins anew and finds it kept."""
    url = new_postgres()
    draft = cycle(1, log=b"14:00;82")
    kept = press(draft.evidence[0])
    with psycopg.connect(url) as other:
        other.execute(
            "INSERT INTO records_evidence VALUES (%s, %s, %s, %s)",
            [kept.sha256, kept.kept, kept.size, "first.csv"],
        )
        timer = threading.Timer(0.3, other.commit)
        timer.start()
        event = Writer(connect(url)).write(draft)
        timer.join()
    (told,) = event.content["evidence"]
    assert (told["file_name"], told["given_name"]) == ("first.csv", "cycle-1.csv")
    assert verify(connect(url)).whole


def test_a_lost_connection_is_told_and_the_next_write_opens_another(new_postgres, postgres):
    """Whoever was writing is asked to look before entering it again."""
    url = new_postgres()
    store = connect(url)
    history(store, HILL, 2)
    name = url.rpartition("/")[2]
    postgres.run(f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'")
    with pytest.raises(
        UnusableRecords, match=r"the connection failed .*look at the last one before you enter it"
    ):
        Writer(store).write(washed())
    assert Writer(store).write(washed()).sequence == 3
