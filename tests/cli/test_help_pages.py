"""`--help` on a wide and on a narrow terminal."""

import typer.main
from running import lungwort

from lungwort.cli.app import COMMANDS, application


def every_option(command):
    """The long names of a command's options."""
    return [max(p.opts, key=len) for p in command.params if p.param_type_name == "option"]


def test_on_a_phone_each_option_stands_whole_on_a_line(monkeypatch):
    """At 40 columns no name is cut short, no line runs over, for every command."""
    monkeypatch.setenv("COLUMNS", "40")
    commands = typer.main.get_command(application()).commands
    for name in COMMANDS:
        lines = lungwort(name, "--help").out.splitlines()
        starts = {line.split()[0].rstrip(",") for line in lines if line.startswith("  --")}
        assert starts >= set(every_option(commands[name]))
        assert max(map(len, lines)) <= 40


def test_on_a_phone_the_commands_are_listed(monkeypatch):
    """Each with its one sentence."""
    monkeypatch.setenv("COLUMNS", "40")
    text = " ".join(lungwort("--help").out.split())
    assert all(f" {name} " in text for name in COMMANDS)
    assert "mix Give a recipe for a strength" in text


def test_a_wide_terminal_has_meanings_beside_the_names(monkeypatch):
    """Two columns, and no line over the edge."""
    monkeypatch.setenv("COLUMNS", "88")
    lines = lungwort("prove", "--help").out.splitlines()
    assert "  --channel …             Judge only this channel; repeat for several." in lines
    assert max(map(len, lines)) <= 88


def test_what_takes_a_value_shows_that_it_does(monkeypatch):
    """A flag stands alone; an option with a value has a mark or its unit behind it."""
    monkeypatch.setenv("COLUMNS", "40")
    lines = lungwort("prove", "--help").out.splitlines()
    assert {"  --criterion, -c …", "  --altitude M", "  --gauge"} <= set(lines)


def test_the_default_is_told(monkeypatch):
    """It matters as much on a phone."""
    monkeypatch.setenv("COLUMNS", "40")
    assert "[default: 0.95]" in " ".join(lungwort("prove", "--help").out.split())
