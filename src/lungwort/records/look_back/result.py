"""What a look-back found, as plain data; moments are UTC text as in events, "" where there is none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from lungwort.records.chain.event import Thing
from lungwort.records.look_back.question import Question

Direction = Literal["forward", "backward"]
EvidenceKind = Literal["", "cycle", "indicator", "wipe", "inspection", "new"]


@dataclass(frozen=True)
class Link:
    """One step of a path: two things that one event brought together."""

    start: Thing
    end: Thing
    event: str
    at: str


Path = tuple[Link, ...]
"""The shortest chain of links from what was asked about to what was touched."""


@dataclass(frozen=True)
class Deed:
    """What a person did.

    `did` is `connected`, `disconnected`, `checked`, `released`, `released by exception`, `agreed to an exception`,
    `ended the cycle`, `judged the cycle`, `wiped` or `washed`.
    """

    person: str
    did: str


@dataclass(frozen=True)
class Exposure:
    """One use of touched parts on a patient: `forward` after what was asked about, `backward` before it.

    `parts` are the touched ones only. `late` says that the connection was entered afterwards.
    """

    patient: str
    ward: str
    set_up: str
    connected_at: str
    disconnected_at: str
    parts: tuple[str, ...]
    direction: Direction
    path: Path
    persons: tuple[Deed, ...] = ()
    by_exception: bool = False
    late: bool = False


@dataclass(frozen=True)
class Evidence:
    """Good evidence; `kind` is "" where none was found.

    A passed cycle, a negative biological indicator, a wipe (not proved), an inspection without defect, or a
    single-patient part that came new.
    """

    kind: EvidenceKind = ""
    code: str = ""
    at: str = ""


@dataclass(frozen=True)
class LastGood:
    """Where the walk back from a thing stopped."""

    thing: Thing
    evidence: Evidence


@dataclass(frozen=True)
class TouchedPart:
    """A part that was touched: what it is now, where, and its first good evidence since it was touched last."""

    code: str
    of_kind: str = ""
    machine: bool = False
    status: str = ""
    set_up: str = ""
    patient: str = ""
    ward: str = ""
    good_since: Evidence = Evidence()
    held: tuple[str, ...] = ()


@dataclass(frozen=True)
class DoubtedCycle:
    """A cycle that is doubted, or that parts went through without passing; `doubted` tells which."""

    code: str
    process: str
    outcome: str
    equipment: str
    batch: str
    ended_at: str
    doubted: bool


@dataclass(frozen=True)
class DoubtedWipe:
    """A wipe with a doubted batch, or a wash."""

    event: str
    at: str
    batch: str
    parts: tuple[str, ...]
    wash: bool = False


@dataclass(frozen=True)
class Person:
    """A person and all that he or she did in what is told here."""

    code: str
    did: tuple[str, ...]


@dataclass(frozen=True)
class WardMate:
    """A patient of the same ward at the same time, who shared no part so far as is recorded."""

    patient: str
    ward: str
    set_up: str
    connected_at: str


@dataclass(frozen=True)
class LookBack:
    """The answer: `still_out` first, since it can still be changed; `not_shown` says what these records cannot tell.

    `at` is the moment as of which it holds. `sources` are uses before a doubted treatment, back to the last good one:
    these patients were not exposed by it, but what they left in the parts may have been passed on.
    """

    question: Question
    place: str
    at: str
    still_out: tuple[TouchedPart, ...]
    exposures: tuple[Exposure, ...]
    parts: tuple[TouchedPart, ...]
    cycles: tuple[DoubtedCycle, ...]
    wipes: tuple[DoubtedWipe, ...]
    equipment: tuple[str, ...]
    batches: tuple[str, ...]
    persons: tuple[Person, ...]
    wards: tuple[str, ...]
    last_good: tuple[LastGood, ...]
    same_ward: tuple[WardMate, ...]
    not_shown: tuple[str, ...]
    sources: tuple[Exposure, ...] = ()

    @property
    def patients(self) -> tuple[str, ...]:
        """The references of the exposed patients, sorted."""
        return tuple(sorted({e.patient for e in self.exposures}))
