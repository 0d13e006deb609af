"""Cells that are nearly a time of day, such as '8.05', '2 pm' or '14:05 EAT': what to write instead."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from lungwort.errors import UnreadableLog
from lungwort.evidence.reading.refusals import quoted
from lungwort.evidence.reading.stamps import DATE, match_stamp
from lungwort.language import _

_DATED = rf"\s*(?P<date>{DATE}[T ,]\s*)?"
_HALF = r"(?P<half>[AaPp])\.?\s?[Mm]\.?"
# Patterns are compiled where they are used: only a log that is refused needs them.
_HALF_HOUR = rf"{_DATED}(?P<hour>\d{{1,2}})(?:[.,](?P<minute>\d{{2}}))?\s*{_HALF}\s*"
_DOTTED = rf"{_DATED}(?P<hour>\d{{1,2}})[.,](?P<minute>\d{{2}})\s*"
_LETTERS = r"(?P<time>.*\d)\s*(?P<letters>[A-Z]{2,5})\s*"
_PARTED = r"[,;|\t]"
LEAST_ROWS = 2


def time_remedy(cell: str, zoned: bool = True) -> str | None:
    """Return what to write instead of a cell known to be meant as a time; None where the cell gives no hint.

    `zoned` where a zone can be given by option instead of letters.

    >>> time_remedy("8.05"), time_remedy("2 pm"), time_remedy("warm")
    ('write 8:05', 'write 14:00', None)
    """
    return _clear_remedy(cell, zoned) or _clock(re.fullmatch(_DOTTED, cell))


def _clear_remedy(cell: str, zoned: bool = True) -> str | None:
    """Return what to write instead of a cell that cannot be a number either."""
    letters = re.fullmatch(_LETTERS, cell)
    if letters and letters["letters"] not in ("AM", "PM") and match_stamp(letters["time"]):
        text = _("leave the letters {letters} out and give the zone, such as --zone Africa/Nairobi")
        without = _("leave the letters {letters} out")
        return (text if zoned else without).format(letters=letters["letters"])
    dotted = re.fullmatch(_DOTTED, cell)
    return _clock(re.fullmatch(_HALF_HOUR, cell)) or (_clock(dotted) if dotted and dotted["date"] else None)


def _clock(match: re.Match[str] | None) -> str | None:
    if match is None:
        return None
    hour, minute, half = int(match["hour"]), int(match["minute"] or 0), match.groupdict().get("half")
    if minute > 59 or hour > 23 or (half and not 1 <= hour <= 12):
        return None
    if half:
        hour = hour % 12 + (12 if half in "Pp" else 0)
    return _("write {time}").format(time=f"{match['date'] or ''}{hour}:{minute:02d}".strip())


def clearer(error: UnreadableLog, rows: Iterable[Sequence[str]]) -> UnreadableLog:
    """Return an error that names the first of several cells that are nearly a time; else `error` itself."""
    hints = [(cell, hint) for row in rows for cell in row if (hint := _clear_remedy(cell))]
    if len(hints) < LEAST_ROWS:
        return error
    cell, remedy = hints[0]
    return UnreadableLog(
        _("{cell} is not read as a time; {remedy}.").format(cell=quoted(cell), remedy=remedy)
    )


def cells_of(lines: Iterable[str]) -> list[list[str]]:
    """Part lines at every mark that may part columns, but not at spaces."""
    return [[cell.strip(" \"'\r\n") for cell in re.split(_PARTED, line)] for line in lines]
