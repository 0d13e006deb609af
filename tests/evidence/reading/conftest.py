"""Fixtures for reading: a text becomes a file in a fresh folder and is read."""

from collections.abc import Callable
from pathlib import Path

import pytest

from lungwort.evidence.log import Log
from lungwort.evidence.reading import Declared, read_log


@pytest.fixture
def read(tmp_path: Path) -> Callable[..., Log]:
    """Return a function that writes a text to a file and reads it; its keywords are those of Declared."""

    def reader(
        text: str | bytes, *, encoding: str = "utf-8", name: str = "log.csv", **declared: object
    ) -> Log:
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
        return read_log(path, Declared(**declared))  # type: ignore[arg-type]

    return reader
