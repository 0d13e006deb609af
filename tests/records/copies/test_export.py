"""Records written out, and read again by somebody who has only the description."""

import csv
import hashlib
import json

import pytest
from cast import HILL, VALLEY, history

from lungwort.errors import UnusableRecords
from lungwort.records.connect import connect
from lungwort.records.copies.export import write_evidence, write_file


@pytest.fixture
def history_store(database):
    """Return records of two places."""
    store = connect(database)
    history(store, HILL, 6, seed=1)
    history(store, VALLEY, 3, seed=2)
    return store


def outsider_s_hash(row):
    """Compute an event's hash as docs/lookup/records_export.md says, with nothing of Lungwort."""
    keys = (
        "id",
        "place",
        "sequence",
        "happened_at",
        "recorded_at",
        "who",
        "what",
        "payload",
        "previous_hash",
    )
    texts = ["lungwort event 1", *(str(row[key]) for key in keys)]
    raw = b"".join(str(len(t.encode())).encode() + b":" + t.encode() + b"," for t in texts)
    return hashlib.sha256(raw).hexdigest()


@pytest.mark.parametrize("form", ["json-lines", "csv"])
def test_an_outsider_can_check_the_chain_from_an_export(history_store, tmp_path, form):
    """Every hash, every link, from the file alone."""
    path = tmp_path / "events"
    assert write_file(history_store, form, path) == 9
    text = path.read_bytes().decode("utf-8")
    rows = (
        [json.loads(line) for line in text.splitlines()]
        if form == "json-lines"
        else list(csv.DictReader(text.splitlines()))
    )
    assert [(r["place"], int(r["sequence"])) for r in rows] == [(HILL, n) for n in range(1, 7)] + [
        (VALLEY, n) for n in range(1, 4)
    ]
    previous = "0" * 64
    for row in rows:
        previous = "0" * 64 if int(row["sequence"]) == 1 else previous
        assert row["previous_hash"] == previous
        assert outsider_s_hash(row) == row["hash"]
        previous = row["hash"]


def test_evidence_is_written_under_its_digest(history_store, tmp_path):
    """So that anyone can check it."""
    assert write_evidence(history_store, tmp_path / "evidence") == 3
    for path in (tmp_path / "evidence").iterdir():
        assert hashlib.sha256(path.read_bytes()).hexdigest() == path.name


def test_an_export_overwrites_nothing(history_store, tmp_path):
    """Neither a file nor a folder; nor does it go where there is no folder."""
    (tmp_path / "events").write_text("", "utf-8")
    with pytest.raises(UnusableRecords, match="events is there already"):
        write_file(history_store, "csv", tmp_path / "events")
    (tmp_path / "evidence").mkdir()
    with pytest.raises(UnusableRecords, match=r"evidence cannot be written or read \(File exists\)"):
        write_evidence(history_store, tmp_path / "evidence")
    with pytest.raises(UnusableRecords, match="events cannot be written or read"):
        write_file(history_store, "csv", tmp_path / "nowhere" / "events")
