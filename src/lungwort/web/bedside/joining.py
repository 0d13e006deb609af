"""Joining: what is ready to be ticked, and codes typed or scanned."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lungwort.errors import OutOfRange
from lungwort.language import _
from lungwort.records.chain.event import Event
from lungwort.records.life.set_ups import join
from lungwort.records.life.witness import Witness
from lungwort.records.states.kinds import PartState
from lungwort.records.states.view import View
from lungwort.web.turnaround.chosen import code_of

MOST_OF_A_KIND = 24
"""Most parts of a kind to tick; any other can be typed or scanned."""


@dataclass(frozen=True)
class Choice:
    """Parts of a kind that are ready, and how many more there are than are shown."""

    kind: str
    machine: bool
    parts: tuple[PartState, ...]
    more: int


def choices(parts: Iterable[PartState]) -> list[Choice]:
    """Return what is ready and belongs to no set-up, by kind, machines first."""
    found: dict[str, list[PartState]] = {}
    for part in parts:
        if not part.set_up:
            found.setdefault(part.of_kind, []).append(part)
    made = [
        Choice(kind, of[0].machine, tuple(of[:MOST_OF_A_KIND]), max(0, len(of) - MOST_OF_A_KIND))
        for kind, of in found.items()
    ]
    return sorted(made, key=lambda choice: (not choice.machine, choice.kind))


def join_these(witness: Witness, ticked: Sequence[str], typed: str) -> Event:
    """Join what was ticked and what was typed, a code a line; the machine is found among them."""
    view = witness.book.view()
    codes = list(dict.fromkeys([*ticked, *(code_of(view, text) for text in lines_of(typed))]))
    if not codes:
        raise OutOfRange(_("nothing is ticked or typed; take a machine and its parts"))
    machine = next((code for code in codes if _is_machine(view, code)), codes[0])
    return join(witness, machine, [code for code in codes if code != machine])


def lines_of(typed: str) -> list[str]:
    """Return codes typed or scanned one a line, or with commas between."""
    return [text.strip() for text in typed.replace(",", "\n").splitlines() if text.strip()]


def _is_machine(view: View, code: str) -> bool:
    part = view.state(PartState, code)
    return part is not None and part.machine
