"""What is known of each kind of thing now; moments are UTC text as in events, "" where there was none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar, Literal

Status = Literal[
    "in use", "soiled", "washed", "treated", "drying", "ready", "quarantined", "withdrawn",
]  # fmt: skip


@dataclass(frozen=True)
class State:
    """What every state has: the thing's code, its status, and the moment of the last fact that touched it."""

    kind: ClassVar[str] = ""
    code: str
    status: str = ""
    at: str = ""


@dataclass(frozen=True)
class PlaceState(State):
    """A place that was opened for recording: active."""

    kind: ClassVar[str] = "place"
    opened_by: str = ""


@dataclass(frozen=True)
class PartState(State):
    """A part or a machine: its status is a `Status`.

    `of_kind` names the protocol's kind. `done` holds the steps done since the last use, in order, by the protocol's
    words; an exposure as `expose steam`, and as `treat steam` too only once its cycle passed. `cycle` is the last load
    it was put in; `outcome` what was judged of it; `exposures` are the cycles it was through since its last wash.
    `held` has one entry a reason: `cycle:CODE:OUTCOME`, `indicator:CODE:TEXT`, `defect:TEXT`, `order:TEXT`.
    `released_under` is the protocol's version by which it was released last. `exceptions` are the events by which it
    was released without proof; while it is `excepted`, what holds it stands back until the use is over.
    `duties` says when each duty by the calendar was last done.
    """

    kind: ClassVar[str] = "part"
    of_kind: str = ""
    machine: bool = False
    single_patient: bool = False
    serial: str = ""
    since: str = ""
    enrolled_at: str = ""
    expires_on: str = ""
    cycles: int = 0
    washes: int = 0
    uses: int = 0
    done: tuple[str, ...] = ()
    cycle: str = ""
    exposures: tuple[str, ...] = ()
    outcome: str = ""
    last_good_cycle: str = ""
    set_up: str = ""
    patient: str = ""
    last_patient: str = ""
    released_at: str = ""
    released_under: str = ""
    excepted: bool = False
    withdrawn_at: str = ""
    held: tuple[str, ...] = ()
    exceptions: tuple[str, ...] = ()
    duties: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class SetUpState(State):
    """A machine and parts joined for one patient: joined, checked, in use, ended, or parted without use."""

    kind: ClassVar[str] = "set_up"
    machine: str = ""
    parts: tuple[str, ...] = ()
    ward: str = ""
    patient: str = ""
    checked_at: str = ""
    check_failed: str = ""
    connected_at: str = ""
    ended_at: str = ""
    duties: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class CycleState(State):
    """A load and its one exposure: loading, running, ended, judged or abandoned.

    `evidence` has one entry a file, `KIND:SHA256`; `indicators` one a result, `KIND:RESULT:TEXT`; `criteria` the
    outcome by criterion. `protocol` is the version under which it was loaded.
    """

    kind: ClassVar[str] = "cycle"
    process: str = ""
    equipment: str = ""
    setting: str = ""
    batch: str = ""
    protocol: str = ""
    parts: tuple[str, ...] = ()
    part_kinds: tuple[str, ...] = ()
    started_at: str = ""
    ended_at: str = ""
    evidence: tuple[str, ...] = ()
    indicators: tuple[str, ...] = ()
    criteria: Mapping[str, str] = field(default_factory=dict)
    outcome: str = ""
    judged_by: str = ""
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True)
class EquipmentState(State):
    """An autoclave, bath or instrument: in service or held; `name` is the protocol's; `calibration_due` a day."""

    kind: ClassVar[str] = "equipment"
    name: str = ""
    serial: str = ""
    calibration_due: str = ""
    cycles: int = 0
    last_cycle: str = ""
    last_good_cycle: str = ""
    held: tuple[str, ...] = ()


@dataclass(frozen=True)
class BatchState(State):
    """A batch of a chemical, or of packets: in stock or held; `stock` names the protocol's stock."""

    kind: ClassVar[str] = "batch"
    stock: str = ""
    lot: str = ""
    made_on: str = ""
    expires_on: str = ""
    held: tuple[str, ...] = ()


@dataclass(frozen=True)
class PersonState(State):
    """A person by a code: active or left; `roles` are permissions, `trainings` the day each training lapses."""

    kind: ClassVar[str] = "person"
    roles: tuple[str, ...] = ()
    trainings: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class ProtocolState(State):
    """The place's protocol: in force or withdrawn; `versions` maps each version to its document's SHA-256."""

    kind: ClassVar[str] = "protocol"
    version: str = ""
    published_by: str = ""
    versions: Mapping[str, str] = field(default_factory=dict)
    withdrawn: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class CriterionState(State):
    """A criterion: adopted or dropped, by whom, on which day, after which source of the hospital."""

    kind: ClassVar[str] = "criterion"
    by: str = ""
    on: str = ""
    source: str = ""


@dataclass(frozen=True)
class PatientState(State):
    """A patient by the hospital's reference: connected or not; the set-ups in use now, the ward of the last one."""

    kind: ClassVar[str] = "patient"
    set_ups: tuple[str, ...] = ()
    ward: str = ""


KINDS: Mapping[str, type[State]] = {
    shape.kind: shape
    for shape in (
        PlaceState,
        PartState,
        SetUpState,
        CycleState,
        EquipmentState,
        BatchState,
        PersonState,
        ProtocolState,
        CriterionState,
        PatientState,
    )
}
"""Each kind of thing that has a state; the part a thing plays in an event is its kind."""
