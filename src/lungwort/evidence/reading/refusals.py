"""Small helpers for refusals and notes: places in a file, lists of lines, cells quoted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NoReturn

from lungwort.errors import UnreadableLog
from lungwort.language import _


class NoTableError(UnreadableLog):
    """No times, or no table, were found: cells that are nearly times may be the reason."""


def refuse(message: str) -> NoReturn:
    """Raise UnreadableLog with this message."""
    raise UnreadableLog(message)


def quoted(text: str, longest: int = 40) -> str:
    """Return a cell in quotes, cut where it is long.

    >>> quoted("warm")
    "'warm'"
    """
    tidy = " ".join(text.split())
    tidy = "".join(c if c.isprintable() else "?" for c in tidy)
    return f"'{tidy}'" if len(tidy) <= longest else f"'{tidy[:longest]}…'"


def line_list(lines: Sequence[int], most: int = 8) -> str:
    """Write line numbers as runs.

    >>> line_list([1, 2, 3, 7]), line_list([5])
    ('lines 1–3, 7', 'line 5')
    """
    if len(lines) == 1:
        return _("line {line}").format(line=lines[0])
    text = ", ".join(_runs(lines)[:most]) + ("…" if len(_runs(lines)) > most else "")
    return _("lines {lines}").format(lines=text)


def _runs(lines: Sequence[int]) -> list[str]:
    runs: list[list[int]] = []
    for line in lines:
        if runs and line == runs[-1][1] + 1:
            runs[-1][1] = line
        else:
            runs.append([line, line])
    return [str(a) if a == b else f"{a}–{b}" for a, b in runs]


def column_label(number: int, heading: str) -> str:
    """Return 'column 3 (T1)', or 'column 3' where no heading is written.

    >>> column_label(3, "T1"), column_label(2, "")
    ('column 3 (T1)', 'column 2')
    """
    if not heading:
        return _("column {number}").format(number=number)
    return _("column {number} ({heading})").format(number=number, heading=quoted(heading)[1:-1])
