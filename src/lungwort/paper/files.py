"""Writing finished paper to disk, with an error a person can act on."""

from __future__ import annotations

from pathlib import Path

from lungwort.errors import LungwortError
from lungwort.language import _

_RECORDS = b"SQLite format 3\0"
"""How a file begins that holds records, or any other database."""


def save(path: Path, content: bytes) -> None:
    """Write `content` to `path` over what stood there.

    Raises:
        LungwortError: it cannot be written, or a database stands there: no paper is worth the records.
    """
    try:
        if _is_database(path):
            text = _("{path} is a database, such as records, and stays as it is; give another name")
            raise LungwortError(text.format(path=path))
        path.write_bytes(content)
    except OSError as error:
        text = _(
            "{path} cannot be written ({reason}); name a file in a folder that exists and may be written to"
        )
        raise LungwortError(text.format(path=path, reason=error.strerror or error)) from error


def _is_database(path: Path) -> bool:
    if not path.is_file():
        return False
    with path.open("rb") as opened:
        return opened.read(len(_RECORDS)) == _RECORDS
