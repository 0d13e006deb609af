"""The demonstration's hospital as a database in its folder, made anew only where nothing is lost."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from itertools import count
from pathlib import Path

from lungwort.demo.history.write import History, write_history
from lungwort.demo.hospital import RIDGEWAY
from lungwort.errors import LungwortError
from lungwort.language import _
from lungwort.records.chain.seal import seal, seal_line, seal_read
from lungwort.records.connect import connect, disconnect

BEDS, YEARS, SEED = 7, 1.0, 52
NAME = "hospital"


@dataclass(frozen=True)
class Hospital:
    """The database, the file with the seal of all that was written into it, and what that is.

    `instead_of` is a database of the same purpose that was left alone, since more had been recorded in it.
    """

    path: Path
    seal_path: Path
    seal: str
    history: History
    instead_of: Path | None


def make_hospital(
    folder: Path,
    now: datetime,
    *,
    beds: int = BEDS,
    years: float = YEARS,
    seed: int = SEED,
    told: Callable[[float], None] | None = None,
) -> Hospital:
    """Write the demonstration's hospital into `hospital.db` of a folder; it ends now.

    One that is there is replaced only where it is untouched: its head is still the one in the seal written beside it.
    Any other is left alone, and the next free name is taken, such as `hospital-2.db`.

    Args:
        folder: made if missing.
        now: the time, with its zone.
        beds, years, seed, told: as for `write_history`.

    Raises:
        LungwortError: the folder cannot be written to.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        path = _free(folder)
        unfinished = folder / f".{path.stem}-unfinished.db"
        _remove(unfinished)
        history, sealed = _written(unfinished, now, beds, years, seed, told)
        _remove(path)
        os.replace(unfinished, path)
        seal_path(path).write_text(sealed + "\n", encoding="utf-8")
    except OSError as error:
        text = _("the hospital cannot be written to {folder} ({reason}); name a folder you may write to")
        raise LungwortError(text.format(folder=folder, reason=error.strerror)) from error
    first = folder / f"{NAME}.db"
    return Hospital(path, seal_path(path), sealed, history, None if path == first else first)


def _written(
    path: Path, now: datetime, beds: int, years: float, seed: int, told: Callable[[float], None] | None
) -> tuple[History, str]:
    store = connect(path, new=True)
    try:
        place = RIDGEWAY.name
        history = write_history(store, place, beds=beds, years=years, seed=seed, ends=now, told=told)
        return history, seal_line(seal(store, place))
    finally:
        disconnect(path)


# ---- which name ----


def seal_path(path: Path) -> Path:
    """Return where the seal of a hospital lies.

    >>> seal_path(Path("hospital.db")).name
    'hospital.seal.txt'
    """
    return path.with_suffix(".seal.txt")


def _free(folder: Path) -> Path:
    """Return the first name that is free, or taken by a hospital that nobody recorded in since it was made."""
    names = (f"{NAME}.db" if number == 1 else f"{NAME}-{number}.db" for number in count(1))
    paths = (folder / name for name in names)
    return next(path for path in paths if not os.path.lexists(path) or untouched(path))


def untouched(path: Path) -> bool:
    """Tell whether a database is the demonstration's and as it was made: its head is that of the seal beside it."""
    if path.is_symlink() or not path.is_file() or not seal_path(path).is_file():
        return False
    try:
        made = seal_read(seal_path(path).read_text(encoding="utf-8"))
        store = connect(path, read_only=True)
        return store.places() == [RIDGEWAY.name] == [made.place] and seal(store, RIDGEWAY.name) == made
    except (LungwortError, OSError, ValueError):
        return False
    finally:
        disconnect(path, read_only=True)


def _remove(path: Path) -> None:
    """Remove a database with what SQLite keeps beside it."""
    for suffix in ("", "-wal", "-shm", "-journal"):
        path.with_name(path.name + suffix).unlink(missing_ok=True)
