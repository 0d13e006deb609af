"""A fixed cast: Hill Hospital, its people, and how a part of each kind gets through its turnaround.

I-01 opened the place and is infection control lead and administrator, I-02 is the second lead. N-01 is a trained nurse,
T-01 a trained technician, E-01 a trained engineer; N-02, T-02 and E-02 have the same roles and no training.
S-01 keeps the store, A-01 audits, D-01 administers.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from itertools import count
from random import Random
from typing import Any

import numpy as np
import pytest
from life_protocol import MASK, VENTILATOR, life_protocol

from lungwort.demo.history.evidence import Fault, steam_log
from lungwort.protocol.document import Protocol
from lungwort.protocol.kinds import Step
from lungwort.records.chain.event import Attachment, Event
from lungwort.records.life import cycles, judging, parts, people, protocols, releases, set_ups, supplies
from lungwort.records.life.known import in_force
from lungwort.records.life.reasons import Refused
from lungwort.records.life.witness import Book, Witness
from lungwort.records.states.kinds import CycleState, PartState, SetUpState, State
from lungwort.records.states.view import View
from lungwort.records.stores.memory import MemoryStore
from lungwort.records.stores.store import Store

HILL = "Hill Hospital"
BEGIN = datetime(2026, 11, 20, 6, 0, tzinfo=UTC)
TRAINED_UNTIL = date(2027, 6, 1)
CALIBRATED_UNTIL = date(2027, 3, 1)
SOURCE = "National guideline 2024 (invented)"
PEOPLE = {
    "I-02": ["infection control lead"],
    "N-01": ["ward"],
    "N-02": ["ward"],
    "T-01": ["reprocessing"],
    "T-02": ["reprocessing"],
    "E-01": ["technical"],
    "E-02": ["technical"],
    "S-01": ["store"],
    "A-01": ["auditor"],
    "D-01": ["administrator"],
}
TRAININGS = {"N-01": "nurse", "T-01": "technician", "E-01": "engineer"}
BY_ROLE = {role: person for person, role in TRAININGS.items()}


@dataclass
class House:
    """A hospital's book, its clock, and who is in it; every look at the clock takes a second."""

    book: Book
    moment: list[datetime]
    codes: dict[str, str] = field(default_factory=dict)
    numbers: count = field(default_factory=lambda: count(1))

    # ---- time and people ----

    @property
    def now(self) -> datetime:
        """The time."""
        return self.moment[0]

    def wait(self, **some: float) -> None:
        """Let time pass."""
        self.moment[0] += timedelta(**some)

    def who(self, person: str) -> Witness:
        """Return a person as a witness of what happens now."""
        return self.book.witness(person)

    @property
    def lead(self) -> Witness:
        """I-01."""
        return self.who("I-01")

    @property
    def nurse(self) -> Witness:
        """N-01."""
        return self.who("N-01")

    @property
    def technician(self) -> Witness:
        """T-01."""
        return self.who("T-01")

    @property
    def engineer(self) -> Witness:
        """E-01."""
        return self.who("E-01")

    @property
    def store(self) -> Witness:
        """S-01."""
        return self.who("S-01")

    # ---- looking ----

    def view(self) -> View:
        """Return the place as it stands."""
        return self.book.view()

    def state(self, shape: type[State], code: str) -> Any:
        """Return what a thing is now, which something is known of."""
        state = self.view().state(shape, code)
        assert state is not None, f"nothing is known of {code}"
        return state

    def part(self, code: str) -> PartState:
        """Return a part as it is now."""
        return self.state(PartState, code)

    def status(self, code: str) -> str:
        """Return a part's status."""
        return self.part(code).status

    def set_up(self, code: str) -> SetUpState:
        """Return a set-up as it is now."""
        return self.state(SetUpState, code)

    def cycle(self, code: str) -> CycleState:
        """Return a cycle as it is now."""
        return self.state(CycleState, code)

    @property
    def protocol(self) -> Protocol:
        """The protocol in force."""
        return in_force(self.view())

    def events(self) -> list[Event]:
        """Return all events."""
        return list(self.book.store.events(self.book.place))

    # ---- things ----

    def new(self, kind: str = MASK, **more: Any) -> str:
        """Enrol a part or a machine; return its code."""
        return code_of(parts.enrol(self.store, kind, **more), "part")

    def ready(self, kind: str = MASK, **more: Any) -> str:
        """Enrol a part or a machine and bring it through its turnaround, if it needs one."""
        code = self.new(kind, **more)
        if self.status(code) != "ready":
            self.turn_round([code])
        return code

    # ---- a turnaround ----

    def turn_round(
        self, codes: Sequence[str], until: str = "", hot: Callable[[datetime], bytes] | None = None
    ) -> str:
        """Bring parts of one kind through their turnaround as the protocol orders it; return the last cycle's code.

        `until` stops before the first step of that name, or before the release where it is "release"; `hot` writes the
        evidence of hot water in place of good readings.
        """
        kind = self.protocol.kind(self.part(codes[0]).of_kind)
        assert kind is not None
        cycle = ""
        for step in kind.steps:
            if step.do == until:
                return cycle
            cycle = self._take(step, codes, hot or hot_enough) or cycle
        if until != "release":
            owner = kind.steps[-1].by
            releases.release(self.nurse if owner != "technician" else self.technician, codes)
        return cycle

    def _take(self, step: Step, codes: Sequence[str], hot: Callable[[datetime], bytes]) -> str:
        worker = self.who(BY_ROLE[step.by])
        if step.do in ("look", "assemble", "test"):
            parts.inspect(worker, codes, [step.do])
        elif step.do in _DEEDS:
            _DEEDS[step.do](worker, codes)
        elif step.process == "wipe":
            parts.wipe(worker, codes)
        elif step.process is not None:
            return self.treat(codes, step.process, hot)
        return ""

    def loaded(self, codes: Sequence[str], process: str = "hot water", **more: Any) -> str:
        """Put parts of one kind in a load as their protocol says; return its code."""
        kind = self.protocol.kind(self.part(codes[0]).of_kind)
        assert kind is not None
        step = next(step for step in kind.steps if step.process == process)
        how = {
            "equipment": self.codes.get(step.equipment or "", ""),
            "batch": self.codes.get(step.stock or "", ""),
        }
        told = {**how, "setting": step.setting or "", **more}
        return code_of(cycles.load(self.technician, codes, process, **told), "cycle")

    def run(self, cycle: str, minutes: float = 25) -> None:
        """Start a cycle, let it run and end it."""
        cycles.start(self.technician, cycle)
        self.wait(minutes=minutes)
        cycles.end(self.technician, cycle)

    def prove(self, cycle: str, evidence: Callable[[datetime], bytes] | None = None) -> str:
        """Attach evidence to a cycle that ended and judge it; return the outcome."""
        state = self.cycle(cycle)
        kind = {"hot water": "hand", "soak": "strip", "steam": "log"}[state.process]
        write = evidence or {"hand": hot_enough, "strip": soaked, "log": self.steamed(cycle)}[kind]
        content = write(datetime.fromisoformat(state.ended_at)) + b"\n" * next(self.numbers)
        declared = {"pressure_error_kpa": 1.5} if kind == "log" else None
        file = Attachment(f"{cycle}.txt", content)
        cycles.attach(self.technician, cycle, kind, [file], declared=declared)
        return str(judging.judge(self.technician, cycle).data["outcome"])

    def steamed(self, cycle: str, fault: Fault = "") -> Callable[[datetime], bytes]:
        """Return what writes the log of a steam cycle by the programme it ran, good where there is no fault."""

        def write(ended: datetime) -> bytes:
            programme = self.protocol.autoclaves[0].setting(self.cycle(cycle).setting)
            assert programme is not None
            noise = np.random.default_rng(len(self.events()))
            return steam_log(programme, fault, ended - timedelta(minutes=25), Random(cycle), noise)

        return write

    def treat(
        self, codes: Sequence[str], process: str, hot: Callable[[datetime], bytes] | None = None
    ) -> str:
        """Bring parts through a cycle up to its judgement; return its code."""
        cycle = self.loaded(codes, process)
        self.run(cycle)
        self.prove(cycle, hot if process == "hot water" else None)
        return cycle

    # ---- at the bedside ----

    def joined(self, machine: str, codes: Sequence[str]) -> str:
        """Join a set-up; return its code."""
        return code_of(set_ups.join(self.nurse, machine, codes), "set_up")

    def checks(self, set_up: str) -> list[str]:
        """Return the checks before use that a set-up needs."""
        state = self.set_up(set_up)
        kinds = [self.protocol.kind(self.part(c).of_kind) for c in (state.machine, *state.parts)]
        return [c.what for kind in kinds if kind for c in kind.checks if c.when == "before use"]

    def checked(self, machine: str, codes: Sequence[str]) -> str:
        """Join a set-up and check it; return its code."""
        set_up = self.joined(machine, codes)
        set_ups.check(self.nurse, set_up, self.checks(set_up))
        return set_up

    def in_use(self, codes: Sequence[str], patient: str = "P-117", machine: str = "") -> str:
        """Connect a patient to parts that are ready; return the set-up."""
        set_up = self.checked(machine or self.ready(VENTILATOR), codes)
        set_ups.connect(self.nurse, set_up, patient, "ICU")
        return set_up


_DEEDS = {"take apart": parts.take_apart, "wash": parts.wash, "dry": parts.dry}


def code_of(event: Event, kind: str) -> str:
    """Return the code of an event's only thing of a kind."""
    (code,) = (thing.code for thing in event.things if thing.part == kind)
    return code


# ---- evidence ----


def readings(ended: datetime, temperatures_c: Sequence[float], every_min: int = 5) -> bytes:
    """Return readings by hand that end when a cycle ended."""
    first = ended - timedelta(minutes=every_min * (len(temperatures_c) - 1))
    lines = [
        f"{first + timedelta(minutes=every_min * n):%Y-%m-%d %H:%M} {t:.1f}"
        for n, t in enumerate(temperatures_c)
    ]
    return "\n".join(lines).encode()


def hot_enough(ended: datetime) -> bytes:
    """Return readings of 20 minutes at 85 °C: A0 far beyond 600."""
    return readings(ended, [85.0, 85.4, 85.2, 85.3, 85.1])


def too_cold(ended: datetime) -> bytes:
    """Return readings of 20 minutes at 66 °C: A0 below 60."""
    return readings(ended, [66.0, 66.4, 66.2, 66.3, 66.1])


def too_seldom(ended: datetime) -> bytes:
    """Return two readings an hour apart, of which the first is cold: between them anything may have been."""
    return readings(ended, [25.0, 90.0], every_min=25)


def soaked(ended: datetime) -> bytes:
    """Return what is written down about a good soak."""
    begun, made = ended - timedelta(minutes=40), ended - timedelta(minutes=70)
    lines = [
        f"made {made:%Y-%m-%d %H:%M}",
        f"{begun:%Y-%m-%d %H:%M} in",
        "titration 1150 mg/L",
        f"{ended:%Y-%m-%d %H:%M} out",
        "load 1",
        "rinse sterile x3",
    ]
    return "\n".join(lines).encode()


# ---- a house to begin with ----


def empty_house(
    store: Store | None = None, place: str = HILL, begin: datetime = BEGIN, seed: int = 7
) -> House:
    """Return a hospital of which nothing is recorded yet."""
    moment = [begin]

    def clock() -> datetime:
        moment[0] += timedelta(seconds=1)
        return moment[0]

    return House(Book(store or MemoryStore(), place, clock, Random(seed).randbytes), moment)


def open_house(store: Store | None = None, text: str = "", **how: Any) -> House:
    """Return a hospital that is open: protocol, people, trainings, adoptions, equipment and batches."""
    house = empty_house(store, **how)
    people.open_place(house.lead)
    for person, roles in PEOPLE.items():
        people.enrol(house.lead, person, roles)
    protocols.publish(house.lead, text or life_protocol())
    for person, role in TRAININGS.items():
        people.train(house.lead, person, role, passed=True, expires_on=TRAINED_UNTIL)
    for adoption in house.protocol.adoptions:
        protocols.adopt(house.lead, adoption.criterion, SOURCE)
    for item in (*house.protocol.autoclaves, *house.protocol.baths):
        house.codes[item.name] = code_of(supplies.enrol_equipment(house.engineer, item.name), "equipment")
    for meter in house.protocol.thermometers:
        event = supplies.enrol_equipment(house.engineer, meter.name, calibration_due=CALIBRATED_UNTIL)
        house.codes[meter.name] = code_of(event, "equipment")
    for stock in house.protocol.stocks:
        event = supplies.enrol_batch(house.store, stock.name, lot="7", expires_on=date(2027, 1, 31))
        house.codes[stock.name] = code_of(event, "batch")
    return house


def refusal(deed: Callable[..., Any], witness: Witness, *told: Any, **more: Any) -> Refused:
    """Return the refusal of a deed; whatever else comes of it is a fault. Nothing may have been recorded."""
    book = witness.book
    before = book.store.head(book.place)
    with pytest.raises(Refused) as caught:
        deed(witness, *told, **more)
    assert book.store.head(book.place) == before
    assert caught.value.reasons
    assert all(reason.next_step.strip() and reason.says[-1] != "." for reason in caught.value.reasons)
    return caught.value


def refused(
    deed: Callable[..., Any], witness: Witness, *told: Any, why: tuple[str, str, str], **more: Any
) -> None:
    """Check that a deed is refused for one reason alone: its rule, what it says and what to do next, in part."""
    rule, says, next_step = why
    reasons = refusal(deed, witness, *told, **more).reasons
    assert [reason.rule for reason in reasons] == [rule], reasons
    assert says in reasons[0].says
    assert next_step in reasons[0].next_step


def refused_also(
    deed: Callable[..., Any], witness: Witness, *told: Any, why: tuple[str, str, str], **more: Any
) -> None:
    """Check that a deed is refused for this reason among others."""
    rule, says, next_step = why
    reasons = refusal(deed, witness, *told, **more).reasons
    assert any(r.rule == rule and says in r.says and next_step in r.next_step for r in reasons), reasons
