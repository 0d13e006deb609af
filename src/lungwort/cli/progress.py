"""Progress on anything that takes longer than a second, shown only to a person at a terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from lungwort.language import _

LARGE_BYTES = 5_000_000


@contextmanager
def progress_bar(path: Path) -> Iterator[Callable[[float], None] | None]:
    """Yield a function that takes the share done, 0 to 1; None for a small file or where nobody watches."""
    if not sys.stderr.isatty() or not path.is_file() or path.stat().st_size < LARGE_BYTES:
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task(_("Reading {name}").format(name=path.name), total=1.0)
        yield lambda share: progress.update(task, completed=share)
