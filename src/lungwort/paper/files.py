"""Writing finished paper to disk, with an error a person can act on."""

from __future__ import annotations

from pathlib import Path

from lungwort.errors import LungwortError
from lungwort.language import _


def save(path: Path, content: bytes) -> None:
    """Write `content` to `path` over what stood there; LungwortError where it cannot be written."""
    try:
        path.write_bytes(content)
    except OSError as error:
        text = _(
            "{path} cannot be written ({reason}); name a file in a folder that exists and may be written to"
        )
        raise LungwortError(text.format(path=path, reason=error.strerror or error)) from error
