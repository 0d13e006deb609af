"""The command as a whole."""

import io
import sys
from unittest.mock import patch

import pytest
from running import lungwort

from lungwort import __version__
from lungwort.cli.app import main


def test_version():
    """--version prints it."""
    assert lungwort("--version").out.strip() == f"lungwort {__version__}"


def test_help_names_the_commands():
    """A newcomer sees what there is."""
    out = lungwort("--help").out
    assert all(name in out for name in ("prove", "criteria", "demo"))


def test_an_interrupt_is_told_calmly():
    """Ctrl-C is no traceback."""
    with patch("lungwort.cli.app.application", side_effect=KeyboardInterrupt):
        done = lungwort("criteria")
    assert (done.code, done.err.strip()) == (
        130,
        "lungwort: stopped; what was recorded before stays recorded",
    )


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        """Say so."""
        return True


def test_a_message_is_set_to_the_width_of_the_terminal(monkeypatch):
    """A person at 40 columns reads whole words; a program reads one line."""
    monkeypatch.setenv("COLUMNS", "40")
    monkeypatch.setattr(sys, "argv", ["lungwort", "prove"])
    monkeypatch.setattr(sys, "stderr", terminal := Terminal())
    with pytest.raises(SystemExit, match="2"):
        main()
    lines = terminal.getvalue().splitlines()
    assert len(lines) > 2
    assert max(map(len, lines)) <= 40
    assert " ".join(terminal.getvalue().split()) == " ".join(lungwort("prove").err.split())
    assert lungwort("prove").err.count("\n") == 1


@pytest.mark.parametrize("group", [(), ("records",), ("protocol",)])
def test_without_a_command_the_help_is_shown(group):
    """Whoever types the bare name sees what there is; the exit code says that nothing was done."""
    done = lungwort(*group)
    assert done.code == 2
    assert "Commands" in done.out
    assert "--help" in done.out
