"""The command `lungwort`: its sub-commands, each imported only when it is asked for, and errors told as sentences."""

from __future__ import annotations

import atexit
import gc
import sys
from collections.abc import Mapping, Sequence
from importlib import import_module
from typing import Annotated

import typer

from lungwort import __version__
from lungwort.cli.help_pages import Command, Group, paragraphs
from lungwort.cli.layout import indented
from lungwort.errors import LungwortError
from lungwort.language import _

UNUSABLE_INPUT = 2
COMMANDS: Mapping[str, str] = {
    "prove": "lungwort.cli.prove",
    "mix": "lungwort.cli.mix",
    "humidity": "lungwort.cli.humidity",
    "drying": "lungwort.cli.drying",
    "fits": "lungwort.cli.fits",
    "criteria": "lungwort.cli.criteria",
    "vet": "lungwort.cli.vet",
    "protocol": "lungwort.cli.protocol",
    "records": "lungwort.cli.records",
    "look-back": "lungwort.cli.look_back",
    "serve": "lungwort.cli.serve",
    "demo": "lungwort.cli.demo",
}
GARBAGE_AFTER = 100_000  # objects; a short command makes fewer, and looking for garbage slows its start


def application(names: Sequence[str] = tuple(COMMANDS)) -> typer.Typer:
    """Return the command line with these sub-commands.

    Each module holds a function of its command's name, or, where it has commands of its own, a typer.Typer named `app`.
    """
    app = typer.Typer(
        name="lungwort",
        cls=Group,
        no_args_is_help=True,
        add_completion=False,
        pretty_exceptions_enable=False,
        help=_("Proof that reusable parts of ventilators are fit for the next patient."),
    )
    for name in names:
        module = import_module(COMMANDS[name])
        if isinstance(getattr(module, "app", None), typer.Typer):
            app.add_typer(module.app, name=name)
            continue
        function = getattr(module, name.replace("-", "_"))
        app.command(name, cls=Command, help="\n\n".join(paragraphs(function.__doc__ or "")))(function)
    app.callback()(options)
    return app


def _show_version(asked: bool) -> None:
    if asked:
        print(f"lungwort {__version__}")
        raise typer.Exit


def options(
    version: Annotated[
        bool, typer.Option("--version", callback=_show_version, is_eager=True, help=_("Print the version."))
    ] = False,
) -> None:
    """Proof that reusable parts of ventilators are fit for the next patient."""


def _set_for_reading(message: str) -> str:
    """Wrap a message for a person at a terminal; in a file or a pipe it stays one line."""
    return indented(message, "", "  ") if sys.stderr.isatty() else message


def main() -> None:
    """Run the command line: 0 passed, 1 failed or not shown, 2 unusable input."""
    gc.set_threshold(GARBAGE_AFTER)
    atexit.register(gc.freeze)  # so that ending does not look for garbage either
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    asked = [word for word in sys.argv[1:2] if word in COMMANDS]
    try:
        application(asked or tuple(COMMANDS))()
    except LungwortError as error:
        print(_set_for_reading(f"lungwort: {error}"), file=sys.stderr)
        sys.exit(UNUSABLE_INPUT)
    except KeyboardInterrupt:
        print(_("lungwort: stopped; what was recorded before stays recorded"), file=sys.stderr)
        sys.exit(130)
    except BrokenPipeError:
        sys.stderr.close()
