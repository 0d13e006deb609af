"""What a database reports, told as a sentence with its remedy; and which failures pass by waiting."""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TypeVar

from django.db import Error, IntegrityError

from lungwort.errors import RecordsBusy, UnusableRecords
from lungwort.language import _

Written = TypeVar("Written")

SQLITE_BUSY = {5, 6}
POSTGRESQL_BUSY = {"55P03", "40P01", "40001", "23505", "57014"}
"""Lock not given in time, deadlock, serialisation, two first writers of one row, statement cancelled."""

_SQLITE = {
    3: "forbidden",
    8: "read only",
    10: "disk",
    11: "damaged",
    13: "full",
    14: "not opened",
    23: "forbidden",
    26: "damaged",
}
_POSTGRESQL = {
    "53100": "full",
    "25006": "read only",
    "42501": "forbidden",
    "58030": "disk",
    "XX001": "damaged",
    "XX002": "damaged",
    "42P01": "no tables",
    "3D000": "not opened",
    "28000": "forbidden",
    "28P01": "forbidden",
}


def code_of(error: BaseException) -> int | str | None:
    """Return SQLite's primary result code, or PostgreSQL's five characters; None where neither was given."""
    cause = error.__cause__ or error
    code = getattr(cause, "sqlite_errorcode", None)
    if isinstance(code, int):
        return code & 0xFF
    state = getattr(cause, "sqlstate", None)
    return state if isinstance(state, str) else None


def passes_by_waiting(error: BaseException) -> bool:
    """Tell whether the same write may succeed a moment later, nothing of it having been written."""
    code = code_of(error)
    return code in SQLITE_BUSY or code in POSTGRESQL_BUSY


def kind_of(error: BaseException) -> str:
    """Return in one word or two what kind of failure it is."""
    code = code_of(error)
    if code == 1 and "no such table" in str(error):
        return "no tables"
    if isinstance(code, int):
        return _SQLITE.get(code, "other")
    if code is None:
        return "lost" if "sqlite" not in type(error.__cause__ or error).__module__ else "other"
    return "lost" if code.startswith(("08", "57P")) else _POSTGRESQL.get(code, "other")


def sentence(kind: str) -> str:
    """Return what to tell a person about a kind of failure; `{where}` and `{why}` stand for the database's words."""
    return {
        "full": _(
            "{where}: the disk is full, so nothing was written ({why}); free space on it, then record the event again"
        ),
        "read only": _(
            "{where} may only be read ({why}), so nothing was written; "
            "give write permission on the file and its folder, or record elsewhere"
        ),
        "disk": _(
            "{where}: the disk refused a write or a read ({why}), so nothing was recorded; "
            "see that it has space and is sound, run `lungwort records verify`, else restore the last backup"
        ),
        "damaged": _(
            "{where} is damaged or is no database of records ({why}); "
            "keep a copy of it as it is, then restore the last backup with `lungwort records restore`"
        ),
        "not opened": _(
            "{where} cannot be opened ({why}); "
            "check the name, that it is there, and that this account may write to it and its folder"
        ),
        "forbidden": _(
            "{where}: this account may not do that ({why}); ask whoever keeps the database for permission"
        ),
        "no tables": _(
            "{where} holds no records yet ({why}); check the name, or restore a backup into a new database"
        ),
        "lost": _(
            "{where}: the connection failed ({why}); see that the server runs. "
            "If an event was being recorded, look at the last one before you enter it again"
        ),
        "other": _(
            "{where} did not accept that ({why}); run `lungwort records verify` and keep what it says"
        ),
    }[kind]


def told(error: BaseException, where: str) -> UnusableRecords:
    """Return a database's failure as an error for a person."""
    why = " ".join(str(error).split())[:200] or type(error).__name__
    return UnusableRecords(sentence(kind_of(error)).format(where=where, why=why))


@contextmanager
def telling(where: str) -> Iterator[None]:
    """Turn whatever the database raises inside into an error for a person."""
    try:
        yield
    except Error as error:
        if passes_by_waiting(error) and not isinstance(error, IntegrityError):
            raise _busy(where, error) from error
        raise told(error, where) from error


def _busy(where: str, error: BaseException) -> RecordsBusy:
    text = _("{where} was kept busy by others ({why}); nothing was written; try again, or see what holds it")
    return RecordsBusy(text.format(where=where, why=" ".join(str(error).split())[:200]))


def until_written(write: Callable[[], Written], where: str, wait_s: float) -> Written:
    """Return what `write` returns, begun anew while others are in the way.

    Args:
        write: writes all or nothing.
        where: the database's name, for messages.
        wait_s: after so long no new attempt is begun.

    Raises:
        RecordsBusy: others were in the way all the time.
        UnusableRecords: any other failure of the database, told with its remedy.
    """
    give_up = time.monotonic() + wait_s
    while True:
        try:
            return write()
        except Error as error:
            if not passes_by_waiting(error):
                raise told(error, where) from error
            if time.monotonic() >= give_up:
                raise _busy(where, error) from error
        time.sleep(random.uniform(0.001, 0.02))
