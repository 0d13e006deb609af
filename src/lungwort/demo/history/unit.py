"""The unit that is simulated: its people, its stock, its agenda, and the book in which everything is recorded."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from random import Random
from typing import NamedTuple

import numpy as np

from lungwort.demo.history.agenda import Agenda, Process
from lungwort.demo.history.ledger import Ledger
from lungwort.demo.history.rates import Rates
from lungwort.demo.history.staff import Staff
from lungwort.demo.history.stock import Stock
from lungwort.protocol.document import Protocol
from lungwort.protocol.kinds import Kind
from lungwort.records.chain.event import Event
from lungwort.records.life.reasons import Refused
from lungwort.records.life.witness import Book, Witness

MACHINE = "Ventilator with turbine"
FILTER = "Bacterial filter"
EXCHANGER = "Heat-and-moisture exchanger"
CIRCUIT, VALVE, MASK = "Silicone circuit, adult", "Expiratory valve", "Mask, adult"
BY_TUBE = (CIRCUIT, "Humidifier chamber", "Water trap", VALVE, "Flow sensor", FILTER)
BY_MASK = (CIRCUIT, VALVE, MASK, FILTER, EXCHANGER)
PACKETS = (FILTER, EXCHANGER)
TREATED = (CIRCUIT, "Humidifier chamber", "Water trap", VALVE, "Flow sensor", MASK)
POWER_CUT = "power cut; entered from paper"


@dataclass(frozen=True)
class Size:
    """How large the unit is: beds, machines and parts owned by kind, duties recorded a day on each patient."""

    beds: int
    sets: Mapping[str, int]
    duties_per_day: float


class InUse(NamedTuple):
    """Who is on a set-up, where, and what it is made of."""

    patient: str
    ward: str
    machine: str
    parts: tuple[str, ...]


@dataclass
class Unit:
    """All that the simulation needs at hand.

    `last_day` is its midnight. `equipment` and `batches` map the protocol's names to codes, `held` are the names of
    equipment out of service. `doubt` maps parts to the unproved cycle they were last through, `in_use` the set-ups on
    patients, `calibrated` machines to when that was last done. `paper` waits to be entered when the power is back.
    """

    book: Book
    agenda: Agenda
    last_day: datetime
    size: Size
    rates: Rates
    chance: Random
    noise: np.random.Generator
    staff: Staff
    stock: Stock = field(default_factory=Stock)
    ledger: Ledger = field(default_factory=Ledger)
    counts: Counter[str] = field(default_factory=Counter)
    equipment: dict[str, str] = field(default_factory=dict)
    batches: dict[str, str] = field(default_factory=dict)
    held: set[str] = field(default_factory=set)
    doubt: dict[str, str] = field(default_factory=dict)
    in_use: dict[str, InUse] = field(default_factory=dict)
    calibrated: dict[str, datetime] = field(default_factory=dict)
    patients: list[str] = field(default_factory=list)
    paper: list[Callable[[], Event]] = field(default_factory=list)
    power_back: datetime | None = None
    room_busy: bool = False
    indicator_due: int = 0
    doubted_cycle: str = ""
    document: Protocol | None = None

    @property
    def protocol(self) -> Protocol:
        """The protocol in force."""
        assert self.document is not None, "the place is not open yet"
        return self.document

    def kind(self, name: str) -> Kind:
        """Return a kind of the protocol in force."""
        found = self.protocol.kind(name)
        assert found is not None, name
        return found

    def witness(self, who: str) -> Witness:
        """Return a person by code as a witness of what happens now."""
        return self.book.witness(who)

    def on_duty(self, role: str) -> Witness:
        """Return who of a role is on duty now."""
        return self.witness(self.staff.on_duty(role, self.agenda.day, self.agenda.now.hour))

    def happens(self, chance: float) -> bool:
        """Draw whether something of a chance happens."""
        return self.chance.random() < chance

    def days(self, mean: float) -> timedelta:
        """Draw a time to the next of something that comes without memory, by its mean in days."""
        return timedelta(days=self.chance.expovariate(1.0 / mean))

    def power(self) -> Process:
        """Wait while the power is off, and some minutes more."""
        while self.power_back is not None and self.power_back > self.agenda.now:
            yield self.power_back - self.agenda.now + timedelta(minutes=self.chance.uniform(5, 40))


def code_of(event: Event, kind: str) -> str:
    """Return the code of an event's only thing of a kind."""
    return next(thing.code for thing in event.things if thing.part == kind)


def refused(unit: Unit, rule: str, deed: Callable[[], Event]) -> None:
    """Try what the rules must refuse, and count it; whatever else comes of it is a fault.

    Args:
        unit: counts it.
        rule: the rule that must be among the reasons.
        deed: what is tried.
    """
    try:
        event = deed()
    except Refused as refusal:
        if rule not in {reason.rule for reason in refusal.reasons}:
            raise
        unit.counts[f"refused: {rule}"] += 1
        return
    raise AssertionError(f"{event.what} was not refused although {rule} speaks against it")
