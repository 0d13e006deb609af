"""Trainings as they stand on a day: current, lapsing soon, or lapsed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from lungwort.records.states.kinds import PersonState

SOON = timedelta(days=60)
"""How long before a training lapses it is shown as lapsing soon. Ours, no source."""


@dataclass(frozen=True)
class Held:
    """A training of a person: its role, its last day, and whether it `lapsed` or lapses `soon`."""

    role: str
    until: date
    lapsed: bool
    soon: bool


@dataclass(frozen=True)
class Row:
    """A person with the trainings, the first to lapse first."""

    person: PersonState
    held: tuple[Held, ...]

    @property
    def pressing(self) -> bool:
        """Whether a training lapsed or lapses soon."""
        return self.person.status == "active" and any(one.lapsed or one.soon for one in self.held)


def row_of(person: PersonState, today: date) -> Row:
    """Return a person with the trainings as they stand on a day."""
    held = [
        Held(role, until := date.fromisoformat(day), until < today, today <= until <= today + SOON)
        for role, day in person.trainings.items()
    ]
    return Row(person, tuple(sorted(held, key=lambda one: one.until)))
