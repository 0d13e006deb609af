"""Verifying records: every event of every place walked from the first, and the first bad one named.

What follows from the events, states and corrections, is folded on the way and compared with what is kept.

What this proves and what it cannot is told in docs/why/records.md.
"""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

from lungwort.errors import UnusableEvent
from lungwort.language import _
from lungwort.records.chain.event import BEFORE_THE_FIRST, Event, canonical_json, hash_of
from lungwort.records.chain.preparing import Head
from lungwort.records.chain.seal import Seal
from lungwort.records.projections.folding import Folding
from lungwort.records.projections.projected import wrong_corrections, wrong_state
from lungwort.records.stores.store import Store, Stored

_ID = re.compile(r"[0-9a-f]{32}")
Reference = Mapping[str, Any]


@dataclass(frozen=True)
class Fault:
    """The first bad event of a place and what is wrong; no sequence where it is no event that is bad.

    Then it is something that belongs to no event, or a state that is not what the events of a place say.
    """

    place: str
    sequence: int | None
    id: str | None
    says: str


@dataclass(frozen=True)
class Report:
    """Where the chain of each place ends, as far as it is whole, and the first fault of each; none: all is whole."""

    heads: Mapping[str, Head]
    faults: tuple[Fault, ...]

    @property
    def whole(self) -> bool:
        """Nothing is wrong."""
        return not self.faults


@dataclass
class Walk:
    """What was seen on the way: the chain so far, what follows from it, each file of evidence as its events tell it."""

    place: str
    seals: Mapping[int, Seal]
    evidence: dict[str, Reference]
    folding: Folding
    head: Head = field(default_factory=Head)


def verify(store: Store, seals: Sequence[Seal] = ()) -> Report:
    """Verify everything a store holds.

    Args:
        store: the records.
        seals: heads that were sealed and kept outside; with them, events missing at the end, and a chain rewritten
            before the seal, are found.

    Returns:
        How far each place is whole, and the first fault of each place; then what belongs to no event.
        Where a chain is broken, what follows from it is not known, and not compared.
    """
    heads: dict[str, Head] = {}
    faults: list[Fault] = []
    evidence: dict[str, Reference] = {}
    corrections: dict[str, str] = {}
    with store.snapshot():
        for place in sorted({*store.places(), *(seal.place for seal in seals)}):
            own = {seal.sequence: seal for seal in seals if seal.place == place}
            walk = Walk(place, own, evidence, Folding(store, place))
            fault = next(_faults_of_place(store, walk), None)
            faults += [fault] if fault else []
            heads[place] = walk.head
            corrections |= walk.folding.corrections
        faults += _strays(store, evidence, corrections, broken=any(f.sequence is not None for f in faults))
    return Report(heads, tuple(faults))


def _faults_of_place(store: Store, walk: Walk) -> Iterator[Fault]:
    for stored in store.stored(walk.place):
        says = _wrong_with(store, walk, stored)
        if says is not None:
            yield _fault(walk, stored, says)
            return
        event = Event(*stored.columns)  # type: ignore[arg-type]  # its columns were found right
        walk.head = Head(event.sequence, event.hash)
        walk.folding.take(event)
    last = max(walk.seals, default=0)
    if last > walk.head.sequence:
        yield Fault(
            walk.place, walk.head.sequence + 1, None, _cut_off(walk.head.sequence + 1, walk.seals[last])
        )
        return
    wrong = wrong_state(store, walk.folding)
    if wrong is not None:
        yield Fault(walk.place, None, None, wrong)


def _cut_off(first: int, seal: Seal) -> str:
    text = _("event {last} is missing at the end: it was sealed on {day}")
    if first < seal.sequence:
        text = _("events {first} to {last} are missing at the end: event {last} was sealed on {day}")
    return text.format(first=first, last=seal.sequence, day=seal.recorded_at[:10])


def _fault(walk: Walk, stored: Stored, says: str) -> Fault:
    """Return a fault under the event it concerns: where one is missing, the missing one."""
    expected, (identifier, _place, sequence, *_rest) = walk.head.sequence + 1, stored.columns
    missing = isinstance(sequence, int) and sequence > expected
    return Fault(
        walk.place, expected if missing else _whole(sequence), None if missing else str(identifier), says
    )


def _whole(sequence: object) -> int | None:
    return sequence if isinstance(sequence, int) else None


# ---- one event ----


def _wrong_with(store: Store, walk: Walk, stored: Stored) -> str | None:
    """Return what is wrong with an event, the first thing found; None if nothing is."""
    identifier, _place, sequence, *_rest = stored.columns
    expected = walk.head.sequence + 1
    if sequence != expected:
        return _out_of_sequence(expected, sequence, identifier)
    if not _well_formed(stored.columns):
        return _("a column is not text in the form that was written")
    event = Event(*stored.columns)  # type: ignore[arg-type]  # just seen
    return _broken_chain(walk, event) or _broken_content(store, walk, event, stored)


def _out_of_sequence(expected: int, sequence: object, identifier: object) -> str:
    if isinstance(sequence, int) and sequence > expected:
        text = _("event {expected} is missing: after {before} comes {sequence} (id {id})")
        return text.format(expected=expected, before=expected - 1, sequence=sequence, id=identifier)
    text = _("sequence {sequence} where {expected} is due: it is there twice, or was never given")
    return text.format(sequence=sequence, expected=expected)


def _well_formed(columns: Sequence[object]) -> bool:
    texts = [c for index, c in enumerate(columns) if index != 2]
    if not all(isinstance(text, str) for text in texts):
        return False
    try:
        "".join(map(str, texts)).encode("utf-8")
    except UnicodeEncodeError:
        return False
    return _ID.fullmatch(str(columns[0])) is not None


def _broken_chain(walk: Walk, event: Event) -> str | None:
    if hash_of(event) != event.hash:
        return _("it was changed after it was recorded: its hash is no longer that of its content")
    before = walk.head.hash if walk.head.sequence else BEFORE_THE_FIRST
    if event.previous_hash != before:
        text = _("it does not continue event {before}: one of the two was replaced")
        return text.format(before=walk.head.sequence)
    seal = walk.seals.get(event.sequence)
    if seal is not None and seal.hash != event.hash:
        text = _("it is not the event that was sealed on {day}: the chain was rewritten up to here")
        return text.format(day=seal.recorded_at[:10])
    return None


def _broken_content(store: Store, walk: Walk, event: Event, stored: Stored) -> str | None:
    try:
        content = json.loads(event.payload)
        canonical = canonical_json(content) == event.payload
        named = [(thing["code"], thing["part"]) for thing in content["things"]]
        references = list(content["evidence"])
    except (ValueError, KeyError, TypeError, UnusableEvent):
        canonical, named, references = False, [], []
    if not canonical:
        return _("its payload is not JSON in its one written form")
    if named != sorted((row[:2] for row in stored.things), key=_as_text):
        return _("the rows of its things are not the things it names")
    if any(row[2:] != (event.place, event.happened_at, event.sequence) for row in stored.things):
        return _("the rows of its things tell another place, time or sequence than the event itself")
    found = (_wrong_evidence(store, walk, reference) for reference in references)
    return next((says for says in found if says is not None), None)


def _as_text(pair: tuple[object, ...]) -> tuple[str, str]:
    return str(pair[0]), str(pair[1])


# ---- evidence ----


def _wrong_evidence(store: Store, walk: Walk, told: Reference) -> str | None:
    """Return what is wrong with a file an event refers to; each file is opened once, however often it is named."""
    key = str(told.get("sha256"))
    own = {name: value for name, value in told.items() if name != "given_name"}
    title = told.get("file_name")
    if key in walk.evidence:
        same = walk.evidence[key] == own
        return (
            None if same else _("it tells of its evidence {title} otherwise than before").format(title=title)
        )
    row = store.kept(key)
    if row is None:
        return _("its evidence {title} ({digest}) is missing").format(title=title, digest=key)
    if not _is_kept_as_told(row, own):
        return _("its evidence {title} ({digest}) was changed after it was attached").format(
            title=title, digest=key
        )
    walk.evidence[key] = own
    return None


def _is_kept_as_told(row: tuple[object, object, object], told: Reference) -> bool:
    kept, size, file_name = row
    if not isinstance(kept, bytes | memoryview) or (size, file_name) != (
        told.get("size"),
        told.get("file_name"),
    ):
        return False
    if sha256(kept).hexdigest() != told.get("kept_sha256"):
        return False
    try:
        content = zlib.decompress(kept)
    except zlib.error:
        return False
    return len(content) == size and sha256(content).hexdigest() == told.get("sha256")


def _strays(
    store: Store, evidence: Mapping[str, Reference], corrections: Mapping[str, str], *, broken: bool
) -> Iterator[Fault]:
    """Yield what belongs to no event; where a chain is broken, what is named after the break is not known."""
    if not broken:
        loose = _("the evidence {digest} belongs to no event")
        for digest in store.kept_digests():
            if digest not in evidence:
                yield Fault("", None, None, loose.format(digest=digest))
        yield from (Fault("", None, None, says) for says in wrong_corrections(store, corrections))
    yield from (Fault("", None, None, says) for says in store.strays())
