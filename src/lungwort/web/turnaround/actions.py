"""The actions of a turnaround: their word, why they are done, which steps of the protocol they are, how recorded."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from django.http import QueryDict

from lungwort.language import _
from lungwort.protocol.card import Card, card_of
from lungwort.protocol.document import Protocol
from lungwort.protocol.kinds import Kind, Step
from lungwort.records.chain.event import Event
from lungwort.records.life import parts as deeds
from lungwort.records.life.releases import release
from lungwort.records.life.witness import Witness
from lungwort.records.states.view import View

Record = Callable[[Witness, list[str], QueryDict], Event]


@dataclass(frozen=True)
class Action:
    """One thing to do with parts; `does` are the protocol's steps that it is or that belong to it."""

    name: str
    word: str
    why: str
    deed: str
    does: tuple[str, ...]
    record: Record


@dataclass(frozen=True)
class How:
    """How an action is done on one kind of part: who owns it, in how many minutes, a sentence a line; hazards first."""

    kind: str
    by: str
    minutes: float
    hazards: tuple[str, ...]
    lines: tuple[str, ...]


def actions() -> dict[str, Action]:
    """Return every action by name, in the order of a turnaround."""
    found = (*_cleaning(), *_finishing())
    return {action.name: action for action in found}


def _cleaning() -> tuple[Action, ...]:
    return (
        Action(
            "take-apart",
            _("Taken apart"),
            _("Soil hides in joints: what is not taken apart is not cleaned inside."),
            "part.taken_apart",
            ("take apart",),
            lambda witness, parts, told: deeds.take_apart(witness, parts),
        ),
        Action(
            "wash",
            _("Washed"),
            _("Heat and chemicals do not reach beneath soil: what is not washed is not treated."),
            "part.washed",
            ("wash", "rinse before"),
            lambda witness, parts, told: deeds.wash(witness, parts, batch=told.get("batch", "")),
        ),
        Action(
            "wipe",
            _("Wiped with disinfectant"),
            _("It works only while the surface stays wet, for the whole contact time."),
            "part.wiped",
            ("treat wipe",),
            lambda witness, parts, told: deeds.wipe(witness, parts, batch=told.get("batch", "")),
        ),
        Action(
            "put-to-dry",
            _("Put to dry"),
            _("So that everybody sees that it is still wet."),
            "part.dried",
            (),
            lambda witness, parts, told: deeds.dry(witness, parts, done=False),
        ),
    )


def _finishing() -> tuple[Action, ...]:
    return (
        Action(
            "dry",
            _("Dry"),
            _("In what stays wet, germs grow again within hours."),
            "part.dried",
            ("rinse after", "dry"),
            lambda witness, parts, told: deeds.dry(witness, parts),
        ),
        Action(
            "inspect",
            _("Inspected"),
            _("A crack leaks and keeps soil; a wrong joint is found here or at the patient."),
            "part.inspected",
            ("look", "assemble", "test"),
            lambda witness, parts, told: deeds.inspect(
                witness, parts, told.getlist("check"), defect=told.get("defect", "").strip()
            ),
        ),
        Action(
            "release",
            _("Release"),
            _("Somebody answers for it: every step done, the cycle passed."),
            "part.released",
            ("store",),
            lambda witness, parts, told: release(witness, parts),
        ),
        Action(
            "quarantine",
            _("Hold back"),
            _("When in doubt: held parts reach no patient until the reason is answered."),
            "part.quarantined",
            (),
            lambda witness, parts, told: deeds.quarantine(witness, parts, told.get("reason", "")),
        ),
    )


def how_to(view: View, protocol: Protocol, kinds: Iterable[Kind], does: Sequence[str]) -> list[How]:
    """Return how steps are done on each of some kinds, by their cards as of today."""
    today = view.now.date()
    found = (_how(card_of(protocol, kind, today), kind, does) for kind in kinds)
    return [how for how in found if how is not None]


def _how(card: Card, kind: Kind, does: Sequence[str]) -> How | None:
    named = _named(kind)
    pairs = [(s, c) for n, (s, c) in enumerate(zip(kind.steps, card.steps, strict=True)) if named[n] in does]
    if not pairs:
        return None
    lines = [f"{c.what}. {' '.join(c.how)}".strip() for _step, c in pairs]
    owners = ", ".join(dict.fromkeys(c.by for _step, c in pairs))
    minutes = sum(c.minutes for _step, c in pairs)
    return How(card.kind, owners, minutes, card.hazards, tuple(dict.fromkeys(lines)))


def _named(kind: Kind) -> list[str]:
    """Return the kind's steps by what actions call them: a treatment by its process, a rinse by where it stands."""
    last = max((n for n, s in enumerate(kind.steps) if s.do == "treat"), default=len(kind.steps))
    return [_name(step, n < last) for n, step in enumerate(kind.steps)]


def _name(step: Step, early: bool) -> str:
    if step.do == "treat":
        return f"treat {step.process}"
    if step.do == "rinse":
        return "rinse before" if early else "rinse after"
    return step.do
