"""Backups of live records, each verified by restoring it; and restoring, which overwrites nothing.

SQLite: one file by SQLite's own backup, consistent while others write. PostgreSQL: one file by `pg_dump`.
"""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

from lungwort.errors import UnusableRecords
from lungwort.language import _
from lungwort.records.chain.seal import Seal
from lungwort.records.connect import configured, connect, disconnect, shown
from lungwort.records.copies import postgresql_backup
from lungwort.records.copies.files import (
    copy_file,
    in_part,
    put_in_place,
    refuse_to_overwrite,
    synchronise,
    telling_of,
)
from lungwort.records.verify import Report, verify

_SQLITE_STARTS, _POSTGRESQL_STARTS = b"SQLite format 3\0", b"PGDMP"


def backup(database: str | Path, target: Path) -> Report:
    """Write a backup and verify it by restoring it into a temporary place.

    Args:
        database: the records, which others may go on writing.
        target: a new file.

    Returns:
        What verifying the restored copy found. Where it is not whole, the file is kept, its name ending in
        `.not-whole`, since a damaged copy is better than none.

    Raises:
        UnusableRecords: the target is there already, the records cannot be read, or the disk is full.
    """
    refuse_to_overwrite(target)
    connect(database, read_only=True)
    not_whole = target.with_name(target.name + ".not-whole")
    with in_part(target) as part:
        _copy(database, part)
        try:
            report = _verified(database, part)
        except UnusableRecords as error:
            if "FILE" not in configured(database):  # the server refused, which says nothing of the copy
                raise
            put_in_place(part, not_whole)
            text = _("the copy could not be verified, and is kept as {name}: {why}")
            raise UnusableRecords(text.format(name=not_whole.name, why=error)) from error
        put_in_place(part, target if report.whole else not_whole)
    return report


def restore(source: Path, database: str | Path, seals: Sequence[Seal] = ()) -> Report:
    """Restore a backup into a new database and verify it there.

    Args:
        source: the backup.
        database: where to; nothing that is there is overwritten.
        seals: heads kept outside, to verify against.

    Returns:
        What verifying found; a copy that is not whole stays, to be looked at.

    Raises:
        UnusableRecords: something is there already, or the file is no backup of this kind of database.
    """
    configuration = configured(database)
    if "FILE" not in configuration:
        _refuse_other_kind(source, _POSTGRESQL_STARTS, _("PostgreSQL"))
        postgresql_backup.restore(source, configuration, shown(configuration))
        return verify(connect(database, new=True), seals)
    _refuse_other_kind(source, _SQLITE_STARTS, _("SQLite"))
    target = Path(configuration["FILE"])
    refuse_to_overwrite(target)
    with in_part(target) as part:
        copy_file(source, part)
        refuse_unless_records(part, source.name)
        put_in_place(part, target)
    return verify(connect(database, new=True), seals)


def _refuse_other_kind(source: Path, starts: bytes, kind: str) -> None:
    with telling_of(str(source)), source.open("rb") as opened:
        begins = opened.read(len(starts))
    if begins != starts:
        text = _(
            "{name} is no backup of records in {kind}; give the file that `lungwort records backup` wrote there"
        )
        raise UnusableRecords(text.format(name=source.name, kind=kind))


def refuse_unless_records(copy: Path, name: str) -> None:
    """Refuse a database that holds no records before anything is put in place.

    Raises:
        UnusableRecords: with the name of what was to be restored.
    """
    with (
        telling_of(name),
        closing(sqlite3.connect(f"{copy.absolute().as_uri()}?mode=ro&immutable=1", uri=True)) as read,
    ):
        asked = "SELECT name FROM sqlite_master WHERE name = 'records_event'"
        found = read.execute(asked).fetchone()
    if found is None:
        text = _("{name} holds no records; give the file that `lungwort records backup` wrote")
        raise UnusableRecords(text.format(name=name))


# ---- copying ----


def _copy(database: str | Path, part: Path) -> None:
    configuration = configured(database)
    if "FILE" in configuration:
        copy_sqlite(configured(database, read_only=True)["NAME"], part)
    else:
        postgresql_backup.dump(configuration, part, shown(configuration))


def copy_sqlite(uri: str, part: Path) -> None:
    """Copy a live SQLite database to a file that is complete in itself, and wait until the disk has it."""
    with closing(sqlite3.connect(uri, uri=True)) as source, closing(sqlite3.connect(part)) as target:
        source.backup(target)
        target.execute("PRAGMA journal_mode=DELETE")
    synchronise(part)


def _verified(database: str | Path, part: Path) -> Report:
    """Return what verifying finds in a backup restored into a temporary place."""
    configuration = configured(database)
    if "FILE" not in configuration:
        return postgresql_backup.verified(configuration, part, shown(configuration))
    with tempfile.TemporaryDirectory() as folder:
        restored = Path(folder) / part.stem  # the name it will have, for messages
        copy_file(part, restored)
        try:
            return verify(connect(restored, read_only=True))
        finally:
            disconnect(restored, read_only=True)
