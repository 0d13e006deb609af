"""Plain, well-set text for a terminal of any width."""

from __future__ import annotations

import os
import shutil
import sys
import textwrap
from collections.abc import Iterable

from lungwort.language import number
from lungwort.wording import tied

WIDEST = 100
NARROWEST = 36


def width() -> int:
    """Return the width to set text in: the terminal's, within reason."""
    return max(NARROWEST, min(WIDEST, shutil.get_terminal_size((88, 24)).columns))


def say(text: str = "") -> None:
    """Print a line or several."""
    print(text)


def indented(text: str, first: str, rest: str | None = None) -> str:
    """Return `text` wrapped to the terminal, its first line after `first` and the others after `rest`.

    A number stays on the line of its unit.
    """
    lines = textwrap.wrap(
        tied(text),
        width(),
        initial_indent=first,
        subsequent_indent=first if rest is None else rest,
        break_on_hyphens=False,
    )
    return "\n".join(lines).replace("\xa0", " ")


def bold(text: str) -> str:
    """Return `text` in bold where the terminal shows it."""
    plain = not sys.stdout.isatty() or "NO_COLOR" in os.environ
    return text if plain else f"\x1b[1m{text}\x1b[0m"


def heading(text: str) -> str:
    """Return a heading: the words, wrapped where the terminal is narrow, and a rule under them."""
    lines = indented(text, "").splitlines()
    return "\n".join([*map(bold, lines), "─" * max(map(len, lines), default=0)])


def say_cautions(sentences: Iterable[str]) -> None:
    """Print what to beware of, each with its mark, and an empty line."""
    for sentence in sentences:
        say(indented(sentence, "! ", "  "))
    say()


def say_section(head: str, sentences: Iterable[str]) -> None:
    """Print a heading with a list of sentences under it, and an empty line."""
    say(heading(head))
    for sentence in sentences:
        say(indented(sentence, "  - ", "    "))
    say()


def say_figure(name: str, value: float, decimals: int, unit: str) -> None:
    """Print a named figure with its unit."""
    say(f"  {name}: {number(value, decimals)} {unit}")


def say_json(data: object) -> None:
    """Print plain data as JSON; a figure that is no number is a fault, never printed."""
    import json

    say(json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False))
