"""From a draft to an event: the form is checked, evidence is pressed, the chain is continued."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from lungwort.errors import RecordsMovedOn, UnusableEvent
from lungwort.language import _
from lungwort.records.chain.event import (
    BEFORE_THE_FIRST,
    Draft,
    Event,
    Kept,
    Thing,
    canonical_json,
    payload_text,
    sealed,
)
from lungwort.records.chain.identity import RANDOM_BYTES, RandomBytes, moment_text, time_ordered_id
from lungwort.records.chain.keeping import press, reference

LONGEST_NAME = 80
_WHAT = re.compile(r"[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*)+")


@dataclass(frozen=True)
class Head:
    """Where the chain of a place ends: the last sequence and hash; 0 and zeros before the first event."""

    sequence: int = 0
    hash: str = BEFORE_THE_FIRST


@dataclass(frozen=True)
class Prepared:
    """A draft whose form is right, its evidence pressed."""

    draft: Draft
    happened_at: str
    data_text: str
    things: tuple[Thing, ...]
    evidence: tuple[Kept, ...]


def prepare(draft: Draft) -> Prepared:
    """Check a draft and press its evidence, which needs no hold on the database.

    Raises:
        UnusableEvent: a name, a kind, a moment, data or a file is not in the form that records keep.
    """
    if not is_name(draft.who):
        name(draft.who, _("who"))
    if len(draft.what) > LONGEST_NAME or not _WHAT.fullmatch(draft.what):
        says = _(
            "what happened is {what!r}; give a dotted kind of at most {most} characters, such as cycle.ended"
        )
        raise UnusableEvent(says.format(what=draft.what, most=LONGEST_NAME))
    for thing in draft.things:
        if not (is_name(thing.code) and is_name(thing.part)):
            name(thing.code, _("the code of a thing"))
            name(thing.part, _("the part a thing plays"))
    if len(set(draft.things)) < len(draft.things):
        says = _("the same thing plays the same part twice in {what}; name it once")
        raise UnusableEvent(says.format(what=draft.what))
    data_text = canonical_json(dict(draft.data))
    pressed = {kept.sha256: kept for kept in map(press, draft.evidence)}
    if len(pressed) < len(draft.evidence):
        raise UnusableEvent(_("the same file of evidence is attached twice to one event; attach it once"))
    return Prepared(
        draft,
        moment_text(draft.happened_at),
        data_text,
        tuple(sorted(draft.things)),
        tuple(pressed.values()),
    )


def name(text: str, role: str) -> str:
    """Return a place, person or code as typed, if it is one: printable, begun by a letter or a digit, not too long.

    A leading sign would turn it into a formula in a spreadsheet.

    Raises:
        UnusableEvent: it is not.

    >>> name("Circuit 7/B", "the code of a thing")
    'Circuit 7/B'
    """
    if not is_name(text):
        says = _("{role} is {text!r}; give 1 to {most} printable characters, the first a letter or a digit")
        raise UnusableEvent(says.format(role=role, text=text, most=LONGEST_NAME))
    return text


def is_name(text: str) -> bool:
    """Tell whether `name` takes a text."""
    return 0 < len(text) <= LONGEST_NAME and text[0].isalnum() and text.isprintable() and text == text.strip()


def next_event(
    place: str,
    head: Head,
    prepared: Prepared,
    already: Callable[[str], Kept | None],
    now: datetime,
    rng: RandomBytes,
) -> Event:
    """Return the event that continues a place's chain.

    Args:
        place: its code.
        head: where the chain ends now.
        prepared: what is to be recorded.
        already: returns the file of evidence kept under a digest, if there is one.
        now: the time of recording.
        rng: random bytes for the identifier.
    """
    draft = prepared.draft
    told = [reference(already(k.sha256) or k, k.file_name) for k in prepared.evidence]
    event = Event(
        id=time_ordered_id(now, rng(RANDOM_BYTES)),
        place=place,
        sequence=head.sequence + 1,
        happened_at=prepared.happened_at,
        recorded_at=moment_text(now),
        who=draft.who,
        what=draft.what,
        payload=payload_text(prepared.data_text, told, prepared.things),
        previous_hash=head.hash,
        hash="",
    )
    return sealed(event)


def refuse_if_moved_on(place: str, head: Head, after_sequence: int | None) -> None:
    """Refuse to continue a chain that has grown since the writer looked.

    Raises:
        RecordsMovedOn: the writer saw another last sequence.
    """
    if after_sequence is not None and after_sequence != head.sequence:
        says = _("{place} stands at event {now}, not at {seen} as when you looked; look again, then decide")
        raise RecordsMovedOn(says.format(place=place, now=head.sequence, seen=after_sequence))


def only_new(prepared: Prepared, already: Callable[[str], Kept | None]) -> Sequence[Kept]:
    """Return the files of evidence that are not kept yet."""
    return [k for k in prepared.evidence if already(k.sha256) is None]
