"""Plain, well-set text for a terminal of any width."""

from __future__ import annotations

import os
import re
import shutil
import sys
import textwrap

_BEFORE_UNIT = re.compile(r"(?<=\d) (?=(?:°C|K|kPa|s|min|h|%)\b|°C|%)")  # a number stays with its unit
WIDEST = 100
NARROWEST = 36


def width() -> int:
    """Return the width to set text in: the terminal's, within reason."""
    return max(NARROWEST, min(WIDEST, shutil.get_terminal_size((88, 24)).columns))


def say(text: str = "") -> None:
    """Print a line or several."""
    print(text)


def indented(text: str, first: str, rest: str | None = None) -> str:
    """Return `text` wrapped to the terminal, its first line after `first` and the others after `rest`."""
    lines = textwrap.wrap(
        text,
        width(),
        initial_indent=first,
        subsequent_indent=first if rest is None else rest,
        break_on_hyphens=False,
    )
    return "\n".join(lines)


def bold(text: str) -> str:
    """Return `text` in bold where the terminal shows it."""
    plain = not sys.stdout.isatty() or "NO_COLOR" in os.environ
    return text if plain else f"\x1b[1m{text}\x1b[0m"


def heading(text: str) -> str:
    """Return a heading: the words, and a rule under them."""
    return f"{bold(text)}\n{'─' * min(len(text), width())}"
