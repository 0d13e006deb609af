"""Records written out as CSV or JSON lines, described in docs/lookup/records_export.md."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict, fields
from pathlib import Path
from typing import TextIO

from lungwort.records.chain.event import Event
from lungwort.records.copies.files import refuse_to_overwrite, telling_of
from lungwort.records.stores.store import Store

COLUMNS = tuple(column.name for column in fields(Event))


def all_events(store: Store) -> Iterator[Event]:
    """Yield every event, place by place, each place in order."""
    for place in store.places():
        yield from store.events(place)


def write_csv(store: Store, out: TextIO) -> int:
    """Write every event as a row of CSV (RFC 4180, UTF-8), the payload as JSON in its column; return how many."""
    rows = csv.writer(out, lineterminator="\r\n")
    rows.writerow(COLUMNS)
    return sum(1 for event in all_events(store) if rows.writerow([getattr(event, c) for c in COLUMNS]))


def write_json_lines(store: Store, out: TextIO) -> int:
    """Write every event as a line of JSON, the payload as the text that was hashed; return how many."""
    return sum(
        1 for event in all_events(store) if out.write(json.dumps(asdict(event), ensure_ascii=False) + "\n")
    )


FORMS: Mapping[str, Callable[[Store, TextIO], int]] = {"csv": write_csv, "json-lines": write_json_lines}


def write_file(store: Store, form: str, target: Path) -> int:
    """Write every event into a new file, in one of the FORMS; return how many.

    Raises:
        UnusableRecords: the file is there already or cannot be written.
    """
    refuse_to_overwrite(target)
    with telling_of(target.name), target.open("x", encoding="utf-8", newline="") as out:
        return FORMS[form](store, out)


def write_evidence(store: Store, folder: Path) -> int:
    """Write every file of evidence into a new folder, each named by its digest; return how many.

    Raises:
        UnusableRecords: the folder is there already or cannot be made; a file is not what was attached.
    """
    count = 0
    with telling_of(str(folder)):
        folder.mkdir(parents=True)
        for digest in map(str, store.kept_digests()):
            (folder / digest).write_bytes(store.evidence(digest))  # opened only if it has that digest
            count += 1
    return count
