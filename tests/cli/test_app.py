"""The command as a whole."""

from unittest.mock import patch

from running import lungwort

from lungwort import __version__


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
    assert (done.code, done.err.strip()) == (130, "lungwort: stopped; nothing was changed")
