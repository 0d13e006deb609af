"""An event: what is to be recorded, its one written form, and the hash that ties it to the event before."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property
from hashlib import sha256
from typing import Any

from lungwort.errors import UnusableEvent
from lungwort.language import _

FORM = "lungwort event 1"
"""Names the form that is hashed; another form would have another name."""

BEFORE_THE_FIRST = "0" * 64
"""What the first event of a place has as the hash of the one before."""


@dataclass(frozen=True, order=True)
class Thing:
    """A thing by its code, and the part it plays in an event, such as `part`, `load` or `patient`."""

    code: str
    part: str


@dataclass(frozen=True)
class Attachment:
    """A file of evidence to be kept with an event."""

    file_name: str
    content: bytes = field(repr=False)


@dataclass(frozen=True)
class Kept:
    """A file of evidence as it is kept: pressed, with the digests of the file and of what is kept."""

    sha256: str
    size: int
    file_name: str
    kept: bytes = field(repr=False)
    kept_sha256: str = ""


@dataclass(frozen=True)
class Draft:
    """What happened, as its witness says it; the store adds place, sequence, time of recording and hashes.

    `what` is a dotted kind such as `cycle.ended`; `data` is plain: text, numbers, lists, tables, yes, no, nothing.
    Evidence that `press` has pressed already holds up no other writer.
    """

    happened_at: datetime
    who: str
    what: str
    data: Mapping[str, Any] = field(default_factory=dict)
    things: tuple[Thing, ...] = ()
    evidence: tuple[Attachment | Kept, ...] = ()


@dataclass(frozen=True)
class Event:
    """An event as recorded, character by character; times are UTC text with microseconds.

    `payload` is canonical JSON with three keys: `data`, `evidence` and `things`.
    """

    id: str
    place: str
    sequence: int
    happened_at: str
    recorded_at: str
    who: str
    what: str
    payload: str
    previous_hash: str
    hash: str

    def columns(self) -> tuple[Any, ...]:
        """Return it as the row it is kept as."""
        return (
            self.id,
            self.place,
            self.sequence,
            self.happened_at,
            self.recorded_at,
            self.who,
            self.what,
            self.payload,
            self.previous_hash,
            self.hash,
        )

    @cached_property
    def content(self) -> dict[str, Any]:
        """The payload, read."""
        read: dict[str, Any] = json.loads(self.payload)
        return read

    @property
    def data(self) -> dict[str, Any]:
        """What the draft had to say beyond who, what and which things."""
        told: dict[str, Any] = self.content["data"]
        return told

    @property
    def things(self) -> tuple[Thing, ...]:
        """The things that took part, sorted by code."""
        return tuple(Thing(x["code"], x["part"]) for x in self.content["things"])


_IN_ONE_FORM = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def canonical_json(value: object) -> str:
    """Return plain data in its one written form: sorted keys, no spaces, no escapes but JSON's own.

    Raises:
        UnusableEvent: what is not plain data, or would not read back as it was: a tuple, a key that is no text, a
            number that is not finite.

    >>> canonical_json({"b": [1, 2.5], "a": "é"})
    '{"a":"é","b":[1,2.5]}'
    """
    try:
        text = _IN_ONE_FORM.encode(value)
        text.encode("utf-8")
    except (TypeError, ValueError, RecursionError) as error:
        raise _not_plain(value, str(error)) from error
    if json.loads(text) != value:
        raise _not_plain(value, _("it would read back differently"))
    return text


def _not_plain(value: object, why: str) -> UnusableEvent:
    says = _(
        "{value!r:.80} cannot be recorded ({why}); give text, numbers, lists and tables with names as keys"
    )
    return UnusableEvent(says.format(value=value, why=why))


def payload_text(data_text: str, evidence: Iterable[Mapping[str, Any]], things: Iterable[Thing]) -> str:
    """Return an event's payload: what was said, the evidence by its digests, the things in order of code.

    >>> payload_text('{"minutes":3}', [], [Thing("C-7", "part"), Thing("A-1", "autoclave")])
    '{"data":{"minutes":3},"evidence":[],"things":[{"code":"A-1","part":"autoclave"},{"code":"C-7","part":"part"}]}'
    """
    listed = _IN_ONE_FORM.encode([{"code": thing.code, "part": thing.part} for thing in sorted(things)])
    told = _IN_ONE_FORM.encode([dict(reference) for reference in evidence])
    return f'{{"data":{data_text},"evidence":{told},"things":{listed}}}'


def byte_form(event: Event) -> bytes:
    """Return the bytes whose SHA-256 is the event's hash.

    Ten texts in UTF-8, one after the other: the name of the form, then id, place, sequence (decimal), happened_at,
    recorded_at, who, what, payload, previous_hash. Each is written as its length in bytes (decimal), a colon, itself,
    a comma; so no two different events share a form.

    >>> byte_form(Event("0f", "Hill", 1, "t", "u", "Ada", "a.b", "{}", "0", ""))
    b'16:lungwort event 1,2:0f,4:Hill,1:1,1:t,1:u,3:Ada,3:a.b,2:{},1:0,'
    """
    texts = [FORM, event.id, event.place, str(event.sequence), event.happened_at, event.recorded_at]
    texts += [event.who, event.what, event.payload, event.previous_hash]
    return b"".join([b"%d:%b," % (len(raw), raw) for raw in [text.encode("utf-8") for text in texts]])


def hash_of(event: Event) -> str:
    """Return the SHA-256 of an event's byte form, in hexadecimal."""
    return sha256(byte_form(event)).hexdigest()


def sealed(event: Event) -> Event:
    """Return the event with its own hash filled in."""
    return replace(event, hash=hash_of(event))
