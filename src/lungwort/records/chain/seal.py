"""Sealing: a line with the head of a chain, to be kept outside the computer, on paper or with somebody else."""

from __future__ import annotations

import re
from dataclasses import dataclass

from lungwort.errors import UnusableRecords
from lungwort.language import _
from lungwort.records.chain.event import hash_of
from lungwort.records.stores.store import Store

MARK = "lungwort-seal-1"
_LINE = re.compile(rf"{MARK} (\S+) (\d+) ([0-9a-f]{{64}}) (.+)")


@dataclass(frozen=True)
class Seal:
    """The head of a place's chain when it was sealed, and when that event was recorded."""

    place: str
    sequence: int
    hash: str
    recorded_at: str


def seal(store: Store, place: str) -> Seal:
    """Return the seal of a place as it stands now.

    Raises:
        UnusableRecords: the place has no events, or its last event is damaged.
    """
    head = store.head(place)
    last = next(store.events(place, head.sequence - 1), None) if head.sequence else None
    if last is None:
        text = _("{place} has no events to seal; places with events: {places}")
        raise UnusableRecords(text.format(place=place, places=", ".join(store.places()) or "–"))
    if hash_of(last) != last.hash:
        text = _("event {sequence} of {place} is damaged, so no seal is given; run `lungwort records verify`")
        raise UnusableRecords(text.format(sequence=last.sequence, place=place))
    return Seal(place, last.sequence, last.hash, last.recorded_at)


def seal_line(sealed: Seal) -> str:
    """Return the line to keep.

    >>> seal_line(Seal("Hill", 7, "ab" * 32, "2026-11-25T11:00:00.000000Z"))[:53]
    'lungwort-seal-1 2026-11-25T11:00:00.000000Z 7 abababa'
    """
    return f"{MARK} {sealed.recorded_at} {sealed.sequence} {sealed.hash} {sealed.place}"


def seal_read(line: str) -> Seal:
    """Return the seal that a kept line tells.

    Raises:
        UnusableRecords: the line is not one that `seal_line` writes.

    >>> seal_read(seal_line(Seal("Hill", 7, "ab" * 32, "2026-11-25T11:00:00.000000Z"))).sequence
    7
    """
    found = _LINE.fullmatch(" ".join(line.split()))
    if found is None:
        text = _("{line!r:.90} is no seal; give the whole line that `lungwort records seal` printed")
        raise UnusableRecords(text.format(line=line))
    recorded_at, sequence, hash_, place = found.groups()
    return Seal(place, int(sequence), hash_, recorded_at)
