"""Local times of a named zone to UTC, across the ends of summer time."""

from __future__ import annotations

from datetime import datetime, timedelta, tzinfo

import numpy as np

from lungwort.errors import UnknownName
from lungwort.evidence.log import FloatArray
from lungwort.evidence.reading.refusals import refuse
from lungwort.evidence.reading.stamps import IntArray
from lungwort.language import _

# All changes of clocks since 1970 fall on a quarter of an hour (IANA time zone data).
QUARTER_S = 900
_START = datetime(1970, 1, 1)


def zone_of(name: str) -> tzinfo:
    """Return the zone of an IANA name, or raise UnknownName."""
    from zoneinfo import ZoneInfo

    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        message = _("no time zone is called {name}; write an IANA name such as Africa/Nairobi.")
        raise UnknownName(message.format(name=repr(name))) from None


def to_utc(local_s: FloatArray, base_s: float, zone: tzinfo, lines: IntArray, notes: list[str]) -> FloatArray:
    """Return UTC seconds of local seconds, both after `base_s` (whole days since 1970-01-01).

    In the hour that comes twice when summer time ends, rows before the clock steps back belong to summer time.
    Raises UnreadableLog for a time that the zone skips.
    """
    quarters, place = np.unique(
        np.floor((base_s + local_s) / QUARTER_S).astype(np.int64), return_inverse=True
    )
    early, late = (np.array([_offset_s(int(q), zone, fold) for q in quarters])[place] for fold in (0, 1))
    if bool((early < late).any()):
        row = int(np.argmax(early < late))
        refuse(
            _("line {line}: this time is skipped in the zone {zone}, where summer time begins.").format(
                line=int(lines[row]), zone=zone
            )
        )
    return local_s - np.where(_second_time(local_s, early > late, lines, notes), late, early)


def _offset_s(quarter: int, zone: tzinfo, fold: int) -> float:
    moment = (_START + timedelta(seconds=quarter * QUARTER_S)).replace(tzinfo=zone, fold=fold)
    return (moment.utcoffset() or timedelta()).total_seconds()


def _second_time(
    local_s: FloatArray,
    twice: np.ndarray[tuple[int, ...], np.dtype[np.bool_]],
    lines: IntArray,
    notes: list[str],
) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """Tell for each row whether it lies in the second passing of an hour that comes twice."""
    second = np.zeros(len(local_s), bool)
    edges = np.flatnonzero(np.diff(np.concatenate(([False], twice, [False])).astype(np.int8)))
    for start, end in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
        back = np.flatnonzero(np.diff(local_s[start:end]) < 0)
        if len(back):
            second[start + int(back[0]) + 1 : end] = True
        else:
            second[start:end] = start == 0 and end < len(local_s)
        notes.append(
            _(
                "The hour that comes twice when summer time ends begins at line {line}; the zone settles it."
            ).format(line=int(lines[start]))
        )
    return second
