"""`lungwort records`, as a user runs it."""

import csv
import io
import json
import sqlite3
from datetime import UTC, datetime
from random import Random

import pytest
from django.core.management import call_command
from running import lungwort, words

from lungwort.records.chain.append import append
from lungwort.records.chain.event import Attachment, Draft, Thing
from lungwort.records.connect import _alias, configured, connect, disconnect

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def records(tmp_path):
    """Return a file with three events of Hill and one of Valley."""
    path, rng = tmp_path / "hospital.db", Random(1).randbytes
    store = connect(path, new=True)
    for place, code in (("Hill", "C-7"), ("Hill", "C-8"), ("Hill", "C-7"), ("Valley", "C-9")):
        log = (Attachment("log.csv", code.encode()),)
        append(
            store,
            place,
            Draft(NOON, "Ada", "part.washed", {}, (Thing(code, "part"),), log),
            lambda: NOON,
            rng,
        )
    disconnect(path)
    return path


def forge(path, statement):
    """Falsify records with another program, which first takes the guards away."""
    other = sqlite3.connect(path)
    for (name,) in other.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        sql = other.execute("SELECT sql FROM sqlite_master WHERE name = ?", [name]).fetchone()[0]
        other.execute(f"DROP TRIGGER {name}")
        yield sql
    other.execute(statement)
    other.commit()
    other.close()


def forged(path, statement, guards_back=True):
    """Falsify records, and put the guards back so that nothing shows."""
    guards = list(forge(path, statement))
    if guards_back:
        other = sqlite3.connect(path)
        for sql in guards:
            other.execute(sql)
        other.commit()
        other.close()


def test_whole_records_are_told_with_what_is_not_shown(records):
    """Each place with its events; without a seal the end is open."""
    done = lungwort("records", "verify", records)
    assert done.code == 0
    assert "✓ Hill: 3 events, whole\n✓ Valley: 1 event, whole\n" in done.out
    assert "Not shown, since no sealed line was given for Hill, Valley" in words(done)


def test_a_sealed_line_shows_that_nothing_is_missing_at_the_end(records):
    """Sealed, then verified: nothing is left to say. Then the end is cut off."""
    lines = lungwort("records", "seal", records).out.splitlines()
    assert [line.split()[0::2][:2] for line in lines] == [["lungwort-seal-1", "3"], ["lungwort-seal-1", "1"]]
    asked = [word for line in lines for word in ("--sealed", line)]
    done = lungwort("records", "verify", records, *asked)
    assert (done.code, "Not shown" in done.out) == (0, False)
    assert "Hill is what was sealed, up to event 3 of 2026-11-25." in words(done)
    forged(records, "DELETE FROM records_event WHERE place = 'Hill' AND sequence = 3")
    done = lungwort("records", "verify", records, *asked)
    assert done.code == 1
    assert "Hill: whole only up to event 2" in done.out
    assert "Hill, event 3, id –: event 3 is missing at the end: it was sealed on 2026-11-25" in words(done)


def test_what_came_after_the_sealed_line_is_told(records):
    """Of two lines of a place the later one counts."""
    lines = [lungwort("records", "seal", records, "--place", "Hill").out.strip()]
    store, rng = connect(records), Random(2).randbytes
    for code in ("C-10", "C-11"):
        draft = Draft(NOON, "Ada", "part.washed", {}, (Thing(code, "part"),))
        append(store, "Hill", draft, lambda: NOON, rng)
        lines.append(lungwort("records", "seal", records, "--place", "Hill").out.strip())
    disconnect(records)
    sealed = [word for line in (lines[1], lines[0]) for word in ("--sealed", line)]
    said = words(lungwort("records", "verify", records, *sealed))
    assert "Hill is what was sealed, up to event 4 of 2026-11-25; 1 later event is not sealed yet." in said
    said = words(lungwort("records", "verify", records, "--sealed", lines[0]))
    assert "up to event 3 of 2026-11-25; 2 later events are not sealed yet." in said


def test_the_first_bad_event_is_named(records):
    """With place, sequence and id; in JSON too."""
    forged(records, "UPDATE records_event SET who = 'Eve' WHERE place = 'Hill' AND sequence = 2")
    done = lungwort("records", "verify", records)
    assert done.code == 1
    assert "Hill, event 2, id 01a2" in done.out
    assert "it was changed after it was recorded" in words(done)
    told = json.loads(lungwort("records", "verify", records, "--json").out)
    assert (told["whole"], told["faults"][0]["sequence"], told["missing_guards"]) == (False, 2, [])


def test_missing_guards_are_named(records):
    """Though the records are whole, they no longer defend themselves."""
    forged(records, "SELECT 1", guards_back=False)
    done = lungwort("records", "verify", records)
    assert done.code == 1
    assert "no longer refuses changes itself" in words(done)
    assert "records_event_never_update" in done.out


def test_one_place_is_sealed_where_asked(records):
    """And an unknown one is told."""
    assert lungwort("records", "seal", records, "--place", "Valley").out.endswith(" Valley\n")
    done = lungwort("records", "seal", records, "--place", "Vale")
    assert (done.code, done.err.strip()) == (
        2,
        "lungwort: Vale has no events to seal; places with events: Hill, Valley",
    )


def test_empty_records_have_nothing_to_seal(tmp_path):
    """And verify says that there is nothing."""
    connect(tmp_path / "new.db", new=True)
    disconnect(tmp_path / "new.db")
    assert "nothing is recorded in new.db yet" in lungwort("records", "seal", tmp_path / "new.db").err
    assert "nothing is recorded yet" in lungwort("records", "verify", tmp_path / "new.db").out


def test_backup_and_restore(records, tmp_path):
    """Both verified; neither overwrites."""
    copy, again = tmp_path / "copy.db", tmp_path / "again.db"
    done = lungwort("records", "backup", records, copy)
    assert (done.code, "copy.db is written, restored into a temporary place" in words(done)) == (0, True)
    line = lungwort("records", "seal", records, "--place", "Hill").out.strip()
    done = lungwort("records", "restore", copy, again, "--sealed", line)
    assert (done.code, "copy.db is restored and verified." in done.out) == (0, True)
    assert "Hill is what was sealed, up to event 3" in words(done)
    assert "already and is not overwritten" in lungwort("records", "backup", records, copy).err
    assert "already and is not overwritten" in lungwort("records", "restore", copy, again).err


def test_records_restored_without_their_guards_are_told(records, tmp_path):
    """They are whole, but no longer defend themselves."""
    forged(records, "SELECT 1", guards_back=False)
    assert lungwort("records", "backup", records, tmp_path / "copy.db").code == 0
    done = lungwort("records", "restore", tmp_path / "copy.db", tmp_path / "new.db")
    assert done.code == 1
    assert "no longer refuses changes itself" in words(done)


def test_a_backup_of_falsified_records_says_so(records, tmp_path):
    """Exit code 1, and under what name the copy is."""
    forged(records, "UPDATE records_event SET who = 'Eve' WHERE place = 'Hill' AND sequence = 2")
    done = lungwort("records", "backup", records, tmp_path / "copy.db")
    assert done.code == 1
    assert "The copy is kept as copy.db.not-whole" in words(done)


def test_export(records, tmp_path):
    """To the terminal as JSON lines, or to files."""
    lines = [json.loads(line) for line in lungwort("records", "export", records).out.splitlines()]
    assert [(x["place"], x["sequence"]) for x in lines] == [
        ("Hill", 1),
        ("Hill", 2),
        ("Hill", 3),
        ("Valley", 1),
    ]
    table, folder = tmp_path / "events.csv", tmp_path / "evidence"
    done = lungwort("records", "export", records, "--form", "csv", "--to", table, "--evidence", folder)
    assert "4 events are written to events.csv." in done.out
    assert "3 files of evidence are written." in done.err
    assert len(list(csv.DictReader(io.StringIO(table.read_text("utf-8"))))) == 4
    assert "csv or json-lines" in lungwort("records", "export", records, "--form", "xml").err


@pytest.mark.parametrize("command", ["verify", "seal", "export", "rebuild"])
def test_a_mistyped_name_is_told(tmp_path, command):
    """Nothing is made, nothing is called whole."""
    done = lungwort("records", command, tmp_path / "hopsital.db")
    assert (done.code, "there is no file hopsital.db" in done.err) == (2, True)
    assert list(tmp_path.iterdir()) == []


def test_a_line_that_is_no_seal_is_told(records):
    """Half a line proves nothing."""
    done = lungwort("records", "verify", records, "--sealed", "lungwort-seal-1 2026")
    assert (done.code, "is no seal; give the whole line" in done.err) == (2, True)


def test_new_records_are_made(tmp_path):
    """Once; a second time there is nothing to do."""
    path = tmp_path / "new.db"
    assert "new.db is made; nothing is recorded in it yet." in words(lungwort("records", "create", path))
    assert "new.db is up to date already; nothing was changed." in words(lungwort("records", "create", path))
    assert "nothing is recorded yet" in lungwort("records", "verify", path).out


def test_records_of_an_earlier_lungwort_are_brought_up_to_date(tmp_path):
    """Until then they are refused, with the command that helps."""
    path = tmp_path / "old.db"
    alias = _alias(configured(path))
    call_command("migrate", "records", "0002", database=alias, verbosity=0, interactive=False)
    disconnect(path)
    done = lungwort("records", "verify", path)
    assert (done.code, "bring it up to date with `lungwort records create`" in done.err) == (2, True)
    done = lungwort("records", "create", path)
    assert "old.db was written by an earlier Lungwort and is up to date now." in words(done)
    assert lungwort("records", "verify", path).code == 0


def test_states_are_made_anew(records):
    """Where verify says that they are not what the events say."""
    forged(records, "UPDATE records_state SET status = 'ready' WHERE code = 'C-8'")
    done = lungwort("records", "verify", records)
    assert done.code == 1
    assert "✕ Hill: 3 events, whole, but the states are not what they say" in words(done)
    assert "✕ Hill: part C-8 has another state than its events give it; 1 state is not what" in words(done)
    assert "✓ Valley: 1 event, whole" in words(done)
    done = lungwort("records", "rebuild", records)
    assert (done.code, done.out.strip()) == (0, "The states in hospital.db are made anew from 4 events.")
    assert lungwort("records", "verify", records).code == 0
