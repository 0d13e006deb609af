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

SIDES = ("-wal", "-shm", "-journal")


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
    with telling_of(str(target)):
        taken = [path for path in beside(target) if path.exists()]
    if taken:
        text = _("{name} is there already and is not overwritten; give another name, or move it away first")
        raise UnusableRecords(text.format(name=taken[0].name or taken[0]))


def beside(target: Path) -> list[Path]:
    """Return a file and the side files that SQLite would keep beside it."""
    whole = target.absolute()
    return [whole, *(whole.with_name(whole.name + side) for side in SIDES)] if whole.name else [whole]


@contextmanager
def in_part(target: Path) -> Iterator[Path]:
    """Give a file to be filled beside a target, and remove what is left of it in the end.

    Raises:
        UnusableRecords: there is no such folder, it may not be written to, or the disk is full.
    """
    part = target.with_name(target.name + ".part")
    with telling_of(target.name):
        part.unlink(missing_ok=True)  # left by one that was cut short
        try:
            yield part
        finally:
            part.unlink(missing_ok=True)


def put_in_place(part: Path, target: Path) -> None:
    """Give a finished file its name, and wait until the disk has that too."""
    part.rename(target)
    if hasattr(os, "O_DIRECTORY"):
        folder = os.open(target.parent, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def copy_file(source: Path, target: Path) -> None:
    """Copy a file to a new one and wait until the disk has it."""
    with source.open("rb") as given, target.open("xb") as written:
        shutil.copyfileobj(given, written)
    synchronise(target)


def synchronise(path: Path) -> None:
    """Wait until the disk has a file."""
    with path.open("rb+") as opened:
        os.fsync(opened.fileno())
