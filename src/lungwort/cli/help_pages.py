"""The page of `--help`: names and meanings in two columns where there is room, in one on a phone's terminal."""

from __future__ import annotations

import inspect
from typing import Any

from typer.core import TyperCommand, TyperGroup

from lungwort.cli.layout import heading, indented, width
from lungwort.language import _

TWO_COLUMNS_FROM = 60
NAMES = 26  # characters for the first column
_EXAMPLE = "lungwort "


def paragraphs(text: str) -> list[str]:
    """Return a docstring's paragraphs, each as one line: where its lines end in the code is no matter of a reader's.

    >>> paragraphs("One.\\n\\n    Two\\n    lines.\\n    ")
    ['One.', 'Two lines.']
    """
    return [" ".join(block.split()) for block in inspect.cleandoc(text).split("\n\n") if block.strip()]


def is_example(paragraph: str) -> bool:
    """Tell whether a paragraph of help is a command to copy."""
    return paragraph.startswith(_EXAMPLE)


def _usage(command: Any, ctx: Any) -> str:
    return f"{ctx.command_path} {' '.join(command.collect_usage_pieces(ctx))}"


def _page(command: Any, ctx: Any) -> str:
    """Return the help of a command: how it is typed, what it does, and each option's name whole beside its meaning."""
    lines = [indented(_usage(command, ctx), _("Usage: "), "  "), ""]
    for paragraph in paragraphs(command.help or ""):
        lines += [indented(paragraph, "  ", "    ") if is_example(paragraph) else indented(paragraph, ""), ""]
    for title, records in _panels(command, ctx).items():
        lines += [heading(title), *(line for record in records for line in _entry(*record)), ""]
    return "\n".join(lines)


def _entry(name: str, meaning: str) -> list[str]:
    label = f"  {name:<{NAMES - 4}}  "
    if width() >= TWO_COLUMNS_FROM and len(label) == NAMES:
        return [indented(meaning, label, " " * NAMES)]
    start = " " * (NAMES if width() >= TWO_COLUMNS_FROM else 6)
    return [indented(name, "  ", "      "), *([indented(meaning, start)] if meaning else [])]


def _panels(command: Any, ctx: Any) -> dict[str, list[tuple[str, str]]]:
    """Return what stands under each heading: the commands or arguments first, then the options."""
    panels: dict[str, list[tuple[str, str]]] = {}
    for name, inner in getattr(command, "commands", {}).items():
        panels.setdefault(_("Commands"), []).append((name, (paragraphs(inner.help or "") or [""])[0]))
    for parameter in command.get_params(ctx):
        record = parameter.get_help_record(ctx)
        usual = _("Arguments") if parameter.param_type_name == "argument" else _("Options")
        if record is not None:
            panel = panels.setdefault(getattr(parameter, "rich_help_panel", None) or usual, [])
            panel.append((_names(parameter), record[1]))
    return panels


def _names(parameter: Any) -> str:
    """Return how a parameter is typed: its names, long before short, and what stands for its value."""
    if parameter.param_type_name == "argument":
        return str(parameter.name).upper()
    names = ", ".join(sorted(parameter.opts, key=len, reverse=True))
    return names if parameter.is_flag else f"{names} {parameter.metavar or '…'}"


class Command(TyperCommand):
    """A command whose help fits any terminal."""

    def format_help(self, ctx: Any, formatter: Any) -> None:
        """Write the help to the width of the terminal."""
        formatter.write(_page(self, ctx))


class Group(TyperGroup):
    """The command line as a whole, whose help fits any terminal."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Show the help where no command is named, which typer's own no-arguments help leaves unprinted."""
        if not args and self.no_args_is_help:
            print(self.get_help(ctx))
            ctx.exit(2)
        return super().parse_args(ctx, args)

    def format_help(self, ctx: Any, formatter: Any) -> None:
        """Write the help to the width of the terminal."""
        formatter.write(_page(self, ctx))
