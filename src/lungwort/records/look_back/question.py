"""What can be asked: six beginnings of a look-back, each with the code it begins from and, where wanted, a period."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

StartKind = Literal[
    "failed cycle", "positive indicator", "faulty equipment", "wrong batch", "defective part", "infected patient"
]  # fmt: skip

THING: Mapping[StartKind, str] = {
    "failed cycle": "cycle",
    "positive indicator": "cycle",
    "faulty equipment": "equipment",
    "wrong batch": "batch",
    "defective part": "part",
    "infected patient": "patient",
}
"""The kind of thing that each beginning names."""


@dataclass(frozen=True)
class Question:
    """Where a look-back begins; `since` and `until` are moments as events write them, "" where none was given.

    `same_ward` asks for patients of the same ward at the same time too, who shared no part.
    """

    start_kind: StartKind
    code: str
    since: str = ""
    until: str = ""
    same_ward: bool = False


def failed_cycle(code: str) -> Question:
    """Ask who was exposed through the load of a cycle that failed, or whose proof is doubted.

    >>> failed_cycle("Y-7").start_kind
    'failed cycle'
    """
    return Question("failed cycle", code)


def positive_indicator(cycle: str) -> Question:
    """Ask who was exposed since a biological indicator last showed that the equipment works.

    Every cycle of the same equipment after its last one with a negative biological indicator is doubted, even those
    that their physical evidence passed, up to the next negative one or until the equipment is freed after being held.
    Where it never had a negative indicator, its last passed cycle takes that place. Source: common practice in sterile
    supply, to recall back to the last negative indicator; CDC 2008, monitoring of sterilizers (from memory).
    """
    return Question("positive indicator", cycle)


def faulty_equipment(code: str, since: str = "", until: str = "") -> Question:
    """Ask who was exposed through the cycles of an autoclave or bath in a period.

    Without `since` the period begins after its last good evidence: its last cycle with a negative biological indicator,
    else its last passed cycle.
    """
    return Question("faulty equipment", code, since, until)


def wrong_batch(code: str) -> Question:
    """Ask who was exposed through the cycles, wipes and washes that used a batch; a wash counts until the next one."""
    return Question("wrong batch", code)


def defective_part(code: str, since: str = "", until: str = "") -> Question:
    """Ask who used a part since its last inspection without defect, or in a period."""
    return Question("defective part", code, since, until)


def infected_patient(reference: str, since: str = "", until: str = "", same_ward: bool = False) -> Question:
    """Ask whom a patient's parts went to, and from whom they came, without good treatment between.

    Args:
        reference: of the patient, as the hospital writes it.
        since, until: which uses of the patient count: those that lie in or reach into the period.
        same_ward: list patients of the same ward at the same time too, apart: they shared no part.
    """
    return Question("infected patient", reference, since, until, same_ward)
