"""Who works in the hospital, by codes, and who is on duty."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

LEADS = ("I-01", "I-02")
STORE, ADMINISTRATOR, AUDITOR = "S-01", "A-01", "U-01"
SHIFTS_A_DAY = 3


@dataclass
class Staff:
    """Codes by the protocol's role; `away` are those who may not work for now."""

    by_role: Mapping[str, tuple[str, ...]]
    away: set[str] = field(default_factory=set)

    def on_duty(self, role: str, day: int, hour: int) -> str:
        """Return who of a role is on duty: nurses change by the shift, others by the day."""
        here = [code for code in self.by_role[role] if code not in self.away] or self.by_role[role]
        turn = day * SHIFTS_A_DAY + hour * SHIFTS_A_DAY // 24 if role == "nurse" else day
        return here[turn % len(here)]


def staff_for(beds: int) -> Staff:
    """Return the people of a unit of so many beds."""
    return Staff(
        {
            "technician": _codes("T", 3 + beds // 12),
            "nurse": _codes("N", 4 + beds),
            "engineer": _codes("E", 2),
            "infection control": LEADS,
        }
    )


def _codes(letter: str, number: int) -> tuple[str, ...]:
    return tuple(f"{letter}-{n:02}" for n in range(1, number + 1))
