"""Running the command line in this process, as `main` does."""

import io
import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from unittest.mock import patch

from lungwort.cli.app import main


@dataclass
class Done:
    """What a run printed and its exit code."""

    code: int
    out: str
    err: str


def lungwort(*arguments: object) -> Done:
    """Run `lungwort` with these arguments."""
    out, err = io.StringIO(), io.StringIO()
    code: object = 0
    with (
        patch.object(sys, "argv", ["lungwort", *map(str, arguments)]),
        redirect_stdout(out),
        redirect_stderr(err),
    ):
        try:
            main()
        except SystemExit as stop:
            code = stop.code
    return Done(int(code or 0), out.getvalue(), err.getvalue())


def words(done: Done) -> str:
    """Return what was printed on one line, however wide the terminal."""
    return " ".join(done.out.split())
