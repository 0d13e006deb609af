"""Files written beside the database: never over one that is there, and failures told as sentences."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from lungwort.errors import UnusableRecords
from lungwort.language import _

SIDES = ("", "-wal", "-shm", "-journal")


@contextmanager
def telling_of(name: str) -> Iterator[None]:
    """Turn the operating system's and SQLite's failures into sentences about a file."""
    try:
        yield
    except (OSError, sqlite3.Error) as error:
        why = error.strerror if isinstance(error, OSError) else str(error)
        text = _(
            "{name} cannot be written or read ({why}); see that it is there, and that the disk has space"
        )
        raise UnusableRecords(text.format(name=name, why=why)) from error


def refuse_to_overwrite(target: Path) -> None:
    """Refuse a file that is there, or one whose side files are: SQLite would play a leftover log into a new database.

    Raises:
        UnusableRecords: it is there.
    """
    for side in SIDES:
        path = target.with_name(target.name + side)
        if path.exists():
            text = _(
                "{name} is there already and is not overwritten; give another name, or move it away first"
            )
            raise UnusableRecords(text.format(name=path.name))


def copy_file(source: Path, target: Path) -> None:
    """Copy a file to a new one and wait until the disk has it."""
    with source.open("rb") as given, target.open("xb") as written:
        shutil.copyfileobj(given, written)
    synchronise(target)


def synchronise(path: Path) -> None:
    """Wait until the disk has a file."""
    with path.open("rb+") as opened:
        os.fsync(opened.fileno())
