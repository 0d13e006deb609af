"""What a hospital's deeds come to, told plainly: a list of what happened, replayed from the start whenever asked.

Written from the words of the design, not from the code that it is compared with. A status is worked out of what was
done; nothing is kept but the list.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

MASK, FOAM, MACHINE, PACKET = "Mask", "Foam filter", "Ventilator", "Bacterial filter"
NEEDED = {
    MASK: {"apart", "wash", "bath ok", "dry", "look", "assemble", "test"},
    FOAM: {"wash", "dry", "look"},
    MACHINE: {"apart", "wash", "wipe", "dry", "look", "assemble", "test"},
}
AFTER_TREATMENT = {
    MASK: ("dry", "look", "assemble", "test"),
    MACHINE: ("dry", "look", "assemble", "test"),
    FOAM: (),
}
MASK_TREATMENTS, FOAM_WASHES = 4, 3
OVERDUE = {FOAM: timedelta(days=30), MACHINE: timedelta(days=180)}
OWNER = {  # by kind and step; the technician where nothing is said
    (MACHINE, "apart"): "nurse", (MACHINE, "wash"): "nurse", (MACHINE, "wipe"): "nurse", (MACHINE, "dry"): "nurse",
    (MACHINE, "look"): "nurse", (MACHINE, "assemble"): "engineer", (MACHINE, "test"): "engineer",
}  # fmt: skip
UNDER_WAY = {"soiled", "washed", "treated", "drying"}


@dataclass
class Deed:
    """Something that happened: when, in which order recorded, what, to which parts, and what more was told."""

    at: datetime
    number: int
    what: str
    parts: tuple[str, ...] = ()
    told: dict[str, Any] = field(default_factory=dict)


@dataclass
class Part:
    """A part: what was done since the last use, what holds it, where it is."""

    kind: str
    since: datetime
    treatments: int = 0
    washes: int = 0
    marks: list[str] = field(default_factory=list)
    held: set[tuple[str, ...]] = field(default_factory=set)
    exposures: list[str] = field(default_factory=list)
    ready: bool = False
    drying: bool = False
    excepted: bool = False
    gone: bool = False
    used: int = 0
    set_up: str = ""
    patient: str = ""
    load: str = ""
    duty: datetime | None = None
    released: datetime | None = None

    @property
    def exposed(self) -> bool:
        """Whether it was treated since its last use."""
        return "bath" in self.marks or "wipe" in self.marks

    @property
    def status(self) -> str:
        """What it is."""
        if self.patient:
            return "in use"
        if self.gone:
            return "withdrawn"
        if self.held and not self.excepted:
            return "quarantined"
        if self.ready or (self.kind == PACKET and not self.used):
            return "ready"
        if self.drying:
            return "drying"
        return "treated" if self.exposed else "washed" if "wash" in self.marks else "soiled"

    def mark(self, *done: str) -> None:
        """Note steps as the last ones done."""
        self.marks = [m for m in self.marks if m not in done] + list(dict.fromkeys(done))

    def turned(self) -> None:
        """It is not ready any more, and not drying."""
        self.ready = self.drying = self.excepted = False

    def hold(self, *why: str) -> None:
        """Hold it; a new hold ends an exception."""
        if why not in self.held:
            self.held.add(why)
            self.turned()


@dataclass
class Cycle:
    """A load and its cycle."""

    parts: set[str] = field(default_factory=set)
    status: str = "loading"
    sheets: list[tuple[str, date]] = field(default_factory=list)
    began: date | None = None
    ended: date | None = None
    positive: bool = False
    outcome: str = ""
    whole: bool = False

    def became(self, status: str) -> None:
        """Note where it is now; what was judged before asks for another judgement."""
        self.status, self.whole = status, False

    @property
    def shows(self) -> str:
        """What its evidence shows."""
        if self.positive or any(sheet == "cold" for sheet, _day in self.sheets):
            return "failed"
        good = [sheet == "good" and self._of_its_day(day) for sheet, day in self.sheets]
        return "passed" if good and all(good) else "not shown"

    def _of_its_day(self, day: date) -> bool:
        if self.ended is None:
            return True  # nothing to compare with yet; it is not judged before it ended
        last = self.ended
        return (self.began or last) - timedelta(days=1) <= day <= last + timedelta(days=1)


@dataclass
class SetUp:
    """A machine and parts for one patient."""

    machine: str
    parts: tuple[str, ...]
    status: str = "joined"
    failed: bool = False
    patient: str = ""

    @property
    def all(self) -> tuple[str, ...]:
        """Its parts, the machine among them."""
        return (self.machine, *self.parts)


class World:
    """A hospital after some deeds."""

    def __init__(self, parts: dict[str, str], began: datetime, deeds: Iterable[Deed]) -> None:
        self.parts = {code: Part(kind, began) for code, kind in parts.items()}
        self.cycles: dict[str, Cycle] = {}
        self.set_ups: dict[str, SetUp] = {}
        self.bath_held = False
        self.adopted = True
        self.trained = {"N-01": {"nurse"}, "T-01": {"technician"}, "E-01": {"engineer"}}
        for deed in sorted(deeds, key=lambda deed: (deed.at, deed.number)):
            getattr(self, deed.what)(deed, [self.parts[code] for code in deed.parts])

    # ---- what deeds do ----

    def apart(self, deed: Deed, parts: list[Part]) -> None:
        """Taken apart: what was treated or ready begins anew."""
        for part in parts:
            if part.status == "ready" or part.exposed:
                part.marks = []
                part.turned()
            part.marks = [mark for mark in part.marks if mark not in ("assemble", "test")]
            part.mark("apart")

    def wash(self, deed: Deed, parts: list[Part]) -> None:
        """Washed: begins anew, and what a cycle held is free."""
        for part in parts:
            part.held = {why for why in part.held if why[0] not in ("cycle", "indicator")}
            part.marks, part.exposures = [m for m in part.marks if m == "apart"] + ["wash"], []
            part.washes += 1
            part.turned()

    def wipe(self, deed: Deed, parts: list[Part]) -> None:
        """Wiped."""
        for part in parts:
            part.mark("wipe")
            part.treatments += 1
            part.turned()

    def dry(self, deed: Deed, parts: list[Part]) -> None:
        """Dry."""
        for part in parts:
            part.mark("dry")
            part.turned()

    def to_dry(self, deed: Deed, parts: list[Part]) -> None:
        """Put to dry; what is held or on a patient is that first."""
        for part in parts:
            if part.patient:
                continue
            part.turned()
            part.drying = not part.held and not part.gone

    def look(self, deed: Deed, parts: list[Part]) -> None:
        """Looked at, assembled, tested; with a defect held."""
        for part in parts:
            if deed.told["defect"]:
                part.hold("defect", deed.told["defect"])
            else:
                part.mark(*deed.told["checks"])

    def load(self, deed: Deed, parts: list[Part]) -> None:
        """Put in a load."""
        cycle = self.cycles.setdefault(deed.told["cycle"], Cycle())
        cycle.parts |= set(deed.parts)
        for part in parts:
            part.load = deed.told["cycle"]

    def start(self, deed: Deed, parts: list[Part]) -> None:
        """Its cycle began."""
        self.cycles[deed.told["cycle"]].became("running")
        self.cycles[deed.told["cycle"]].began = deed.at.date()

    def end(self, deed: Deed, parts: list[Part]) -> None:
        """Its cycle ended: each part was treated once more."""
        self.cycles[deed.told["cycle"]].became("ended")
        self.cycles[deed.told["cycle"]].ended = deed.at.date()
        for part in parts:
            before = part.exposures if part.exposed else []
            part.exposures = [c for c in before if c != deed.told["cycle"]] + [deed.told["cycle"]]
            part.load = deed.told["cycle"]
            part.mark("bath")
            part.treatments += 1
            part.turned()

    def abandon(self, deed: Deed, parts: list[Part]) -> None:
        """Given up."""
        self.cycles[deed.told["cycle"]].became("abandoned")
        for part in parts:
            part.load = "" if part.load == deed.told["cycle"] else part.load

    def sheet(self, deed: Deed, parts: list[Part]) -> None:
        """Readings attached; they ask for a judgement."""
        cycle = self.cycles[deed.told["cycle"]]
        cycle.sheets.append((deed.told["sheet"], deed.told["day"]))
        cycle.whole = False

    def positive(self, deed: Deed, parts: list[Part]) -> None:
        """An indicator was positive: what was not washed since is held."""
        self.cycles[deed.told["cycle"]].positive = True
        for part in parts:
            if deed.told["cycle"] in part.exposures:
                part.hold("indicator", deed.told["cycle"])

    def judge(self, deed: Deed, parts: list[Part]) -> None:
        """Judged: a pass is a step of what was not used since; anything else holds what was not washed since."""
        code, outcome = deed.told["cycle"], deed.told["outcome"]
        cycle = self.cycles[code]
        cycle.status = "ended"  # else there was nothing to judge
        cycle.outcome, cycle.whole = outcome, sorted(deed.told["seen"]) == sorted(cycle.sheets)
        for part in parts:
            if code not in part.exposures:
                continue
            same = ("cycle", code, outcome) in part.held
            part.held = {why for why in part.held if why[:2] != ("cycle", code)}
            part.marks = [mark for mark in part.marks if mark != "bath ok"]
            if outcome == "passed":
                part.marks += ["bath ok"] if "bath" in part.marks else []
            elif same:
                part.held.add(("cycle", code, outcome))
            else:
                part.hold("cycle", code, outcome)

    def release(self, deed: Deed, parts: list[Part]) -> None:
        """Released, as long as the steps on which that stood are there."""
        for part in parts:
            if NEEDED[part.kind] <= set(part.marks):
                part.released, part.excepted = deed.at, False
                if not part.patient and not part.held:
                    part.turned()
                    part.ready = True

    def exception(self, deed: Deed, parts: list[Part]) -> None:
        """Released by two."""
        for part in parts:
            part.released = deed.at
            if not part.patient:
                part.turned()
                part.ready = True
            part.excepted = True

    def join(self, deed: Deed, parts: list[Part]) -> None:
        """Joined."""
        self.set_ups[deed.told["set_up"]] = SetUp(deed.parts[0], deed.parts[1:])
        for part in parts:
            part.set_up = deed.told["set_up"]

    def part_company(self, deed: Deed, parts: list[Part]) -> None:
        """Dissolved."""
        self.set_ups[deed.told["set_up"]].status = "parted"
        for part in parts:
            part.set_up = "" if part.set_up == deed.told["set_up"] else part.set_up

    def check(self, deed: Deed, parts: list[Part]) -> None:
        """Checked."""
        set_up = self.set_ups[deed.told["set_up"]]
        set_up.failed = deed.told["failed"]
        set_up.status = "joined" if set_up.failed else "checked"

    def connect(self, deed: Deed, parts: list[Part]) -> None:
        """On a patient."""
        set_up = self.set_ups[deed.told["set_up"]]
        set_up.status, set_up.patient = "in use", deed.told["patient"]
        for part in parts:
            part.set_up, part.patient, part.marks = deed.told["set_up"], deed.told["patient"], []
            part.used += 1
            part.ready = part.drying = False

    def disconnect(self, deed: Deed, parts: list[Part]) -> None:
        """Off the patient; what is on another by now stays there."""
        self.set_ups[deed.told["set_up"]].status = "ended"
        for part in parts:
            if part.set_up in ("", deed.told["set_up"]):
                part.set_up = part.patient = ""
                part.marks = []
                part.turned()
                part.gone = part.gone or part.kind == PACKET

    def quarantine(self, deed: Deed, parts: list[Part]) -> None:
        """Held by order."""
        for part in parts:
            part.hold("order", deed.told["reason"])

    def lift(self, deed: Deed, parts: list[Part]) -> None:
        """The order lifted."""
        self._freed(parts, "order")

    def repair(self, deed: Deed, parts: list[Part]) -> None:
        """Repaired."""
        self._freed(parts, "defect")

    def _freed(self, parts: list[Part], what: str) -> None:
        for part in parts:
            part.held = {why for why in part.held if why[0] != what}
            if not part.patient:
                part.marks = []
                part.turned()

    def withdraw(self, deed: Deed, parts: list[Part]) -> None:
        """Gone for ever."""
        for part in parts:
            part.gone = True
            part.set_up = part.set_up if part.patient else ""

    def duty(self, deed: Deed, parts: list[Part]) -> None:
        """The duty by the calendar done."""
        for part in parts:
            part.duty = deed.at

    def hold_bath(self, deed: Deed, parts: list[Part]) -> None:
        """The bath is out of service."""
        self.bath_held = True

    def free_bath(self, deed: Deed, parts: list[Part]) -> None:
        """The bath is back."""
        self.bath_held = False

    def adopt(self, deed: Deed, parts: list[Part]) -> None:
        """The criterion is adopted."""
        self.adopted = True

    def drop(self, deed: Deed, parts: list[Part]) -> None:
        """The criterion is dropped."""
        self.adopted = False

    def train(self, deed: Deed, parts: list[Part]) -> None:
        """Somebody was assessed."""
        roles = self.trained.setdefault(deed.told["person"], set())
        (roles.add if deed.told["passed"] else roles.discard)(deed.told["role"])

    # ---- what stands in the way ----

    def in_open_load(self, part: Part) -> bool:
        """Whether it is in a load whose cycle has not ended."""
        cycle = self.cycles.get(part.load)
        return cycle is not None and cycle.status in ("loading", "running")

    def patients(self) -> dict[str, list[str]]:
        """Return who is connected to which set-ups."""
        found: dict[str, list[str]] = {}
        for code, set_up in self.set_ups.items():
            if set_up.status == "in use":
                found.setdefault(set_up.patient, []).append(code)
        return found

    def trained_for(self, who: str, roles: Iterable[str]) -> bool:
        """Whether somebody holds every training."""
        return set(roles) <= self.trained.get(who, set())

    def may_step(self, code: str, who: str, steps: Iterable[str], allowed: set[str]) -> bool:
        """Whether a step of the turnaround may be done on a part by somebody."""
        part = self.parts[code]
        owners = {OWNER.get((part.kind, step), "technician") for step in steps if _has(part.kind, step)}
        free = not part.set_up and not self.in_open_load(part)
        return part.status in allowed and free and self.trained_for(who, owners)

    def may_wash(self, code: str) -> bool:
        """Whether what must come before a wash was done, and the part bears one more."""
        part = self.parts[code]
        only_cycles = all(why[0] in ("cycle", "indicator") for why in part.held)
        apart = "apart" in part.marks or part.kind == FOAM
        return only_cycles and apart and not (part.kind == FOAM and part.washes >= FOAM_WASHES)

    def may_load(self, code: str) -> bool:
        """Whether a part may be put in a load of the bath."""
        part = self.parts[code]
        done = {"apart", "wash"} <= set(part.marks)
        free = not part.set_up and not self.in_open_load(part)
        return (
            part.kind == MASK
            and part.status == "washed"
            and done
            and free
            and part.treatments < MASK_TREATMENTS
        )

    def may_release(self, code: str) -> bool:
        """Whether the gate of a release is open."""
        part = self.parts[code]
        if part.kind == PACKET or part.held or part.set_up or self.in_open_load(part):
            return False
        if part.status not in ("washed", "treated") or not set(part.marks) >= NEEDED[part.kind]:
            return False
        treated = max((n for n, mark in enumerate(part.marks) if mark in ("bath", "wipe")), default=-1)
        if any(part.marks.index(mark) < treated for mark in AFTER_TREATMENT[part.kind]):
            return False
        return self.proved(part) and not (part.kind == MASK and part.treatments > MASK_TREATMENTS)

    def proved(self, part: Part) -> bool:
        """Whether every cycle since the wash is proved by what the hospital adopted."""
        cycles = [self.cycles[code] for code in part.exposures] if "bath" in part.marks else []
        return all(c.whole and c.outcome == "passed" and self.adopted for c in cycles)

    def may_use(self, code: str, now: datetime) -> bool:
        """Whether a part is fit for a patient."""
        part = self.parts[code]
        if part.status != "ready" or self.in_open_load(part) or (part.kind == PACKET and part.used):
            return False
        judged = [c for c in part.exposures if self.cycles[c].outcome] if "bath" in part.marks else []
        if not part.excepted and judged and not self.adopted:
            return False
        began = part.since if part.kind == MACHINE else max(part.since, part.released or part.since)
        last = max(part.duty or began, began)
        return part.kind not in OVERDUE or last + OVERDUE[part.kind] >= now

    def may_connect(self, code: str, patient: str, now: datetime) -> bool:
        """Whether the gate at the bedside is open."""
        set_up = self.set_ups[code]
        if set_up.status != "checked" or self.patients().get(patient):
            return False
        return all(self.parts[c].set_up == code and self.may_use(c, now) for c in set_up.all)


def _has(kind: str, step: str) -> bool:
    return {"bath": kind == MASK, "wipe": kind == MACHINE}.get(step, kind != PACKET and step in NEEDED[kind])
