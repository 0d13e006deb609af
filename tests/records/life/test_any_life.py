"""Any life: random deeds at random times, by anybody, on a hospital of a few parts; compared with a plain telling."""

from collections.abc import Callable
from datetime import date, datetime, timedelta

import pytest
from hypothesis import Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)
from life_cast import House, hot_enough, open_house, too_cold, too_seldom
from plain_life import FOAM, MACHINE, MASK, PACKET, UNDER_WAY, Deed, World

from lungwort.records.chain.event import Attachment, Event
from lungwort.records.connect import connect
from lungwort.records.life import (
    corrections,
    cycles,
    judging,
    parts,
    people,
    protocols,
    releases,
    set_ups,
    supplies,
)
from lungwort.records.life.reasons import Refused
from lungwort.records.life.witness import Witness
from lungwort.records.states.fold import fold_all
from lungwort.records.states.kinds import KINDS, PartState, PatientState, SetUpState
from lungwort.records.stores.memory import MemoryStore
from lungwort.records.stores.store import Store
from lungwort.records.verify import verify

PARTS = {
    "M-1": MACHINE,
    "M-2": MACHINE,
    "P-1": MASK,
    "P-2": MASK,
    "P-3": MASK,
    "F-1": FOAM,
    "K-1": PACKET,
    "K-2": PACKET,
}
PATIENTS, HANDS = ("A", "B"), ("T-01", "N-01", "E-01", "T-02")
SHEETS = {"good": hot_enough, "cold": too_cold, "seldom": too_seldom}
FAR = date(2099, 1, 1)
PAPER = "power cut"
RESTS = {
    "join": {"check", "connect", "disconnect", "part_company"},
    "connect": {"disconnect"},
    "load": {"start", "end", "abandon", "judge", "sheet", "positive"},
    "start": {"end", "judge"},
    "end": {"judge"},
    "sheet": {"judge"},
    "positive": {"judge"},
}
STRUCK = (
    "apart",
    "wash",
    "wipe",
    "dry",
    "look",
    "release",
    "exception",
    "quarantine",
    "lift",
    "withdraw",
    "duty",
    *RESTS,
)

codes = st.sampled_from(sorted(PARTS))
some = st.lists(codes, min_size=1, max_size=3, unique=True)
hands = st.sampled_from(HANDS)
waits = st.sampled_from([0, 0, 1, 7, 30, 120, 60 * 24, 60 * 24 * 31, 60 * 24 * 100])
ago = st.sampled_from([0, 0, 0, 2, 10, 45, 300, 60 * 24 * 2])
numbers = st.integers(0, 30)

Allowed = Callable[[World, datetime], bool]


class OnTime(RuleBasedStateMachine):
    """Everything is recorded as it happens."""

    late = False

    def store(self) -> Store:
        """Return where it is recorded."""
        return MemoryStore()

    @initialize(
        at_once=st.lists(st.sampled_from(["M-1", "M-2", "P-1", "P-2", "F-1"]), max_size=4, unique=True)
    )
    def begin(self, at_once):
        """Open the hospital, enrol everything, make some of it ready."""
        self.house: House = open_house(self.store())
        for person, role in (("N-01", "nurse"), ("T-01", "technician"), ("E-01", "engineer")):
            people.train(self.house.lead, person, role, passed=True, expires_on=FAR)
        supplies.calibrate(self.house.engineer, self.house.codes["Thermometer 1"], FAR)
        for code, kind in PARTS.items():
            self.house.new(kind, code=code)
        self.began = self.house.now
        self.deeds: list[Deed] = []
        self.ids: dict[int, str] = {}
        self.count = 0
        for code in at_once:
            self.turn_round(code)

    # ---- one deed ----

    def world(self, until: datetime | None = None) -> World:
        """Return the hospital as told plainly, up to a moment."""
        return World(PARTS, self.began, (d for d in self.deeds if until is None or d.at <= until))

    def attempt(
        self,
        what: str,
        who: str,
        deed: Callable[[Witness, World], Event],
        allowed: Allowed,
        took_part: Callable[[World], tuple[str, ...]],
        minutes_ago: int = 0,
        decides: bool = False,
        **told: object,
    ) -> Event | None:
        """Try a deed, and compare what comes of it with the plain telling."""
        when = self.house.now - timedelta(minutes=minutes_ago) if minutes_ago else None
        witness = self.house.who(who)
        if when is not None:
            witness = witness.afterwards(when, PAPER)
        if when is not None and when < self.began:
            return None
        then, now = self.world(when), when or self.house.now + timedelta(seconds=1)
        known = _known(then, told)
        may = known and (allowed(then, now) or (minutes_ago > 5 and not decides))
        event, refused = tried(lambda: deed(witness, then))
        assert (event is not None) == may, (what, who, told, str(refused), event)
        if event is None:
            return None
        at = datetime.fromisoformat(event.happened_at)
        self.deeds.append(Deed(at, event.sequence, what, took_part(then), told))
        self.ids[event.sequence] = event.id
        return event

    def step(self, what, who, of, steps, deed, allowed_in, minutes_ago, also=lambda w, c: True, **told):
        """Try a step of the turnaround."""

        def allowed(world: World, now: datetime) -> bool:
            may = (world.may_step(c, who, steps, allowed_in) and also(world, c) for c in of)
            return all(list(may)) and all(PARTS[c] != PACKET or what == "look" for c in of)

        if any(PARTS[c] == PACKET for c in of):
            minutes_ago = 0  # a packet that is washed by paper is no tale to tell
        self.attempt(what, who, lambda w, _: deed(w), allowed, lambda _: tuple(of), minutes_ago, **told)

    def back(self, minutes: int) -> int:
        """Return how long ago something is told to have happened."""
        return minutes if self.late else 0

    # ---- the turnaround ----

    @rule(minutes=waits)
    def wait(self, minutes):
        """Time passes."""
        self.house.wait(minutes=minutes)

    def take_apart(self, of, who, ago):
        """Take parts apart."""
        self.step(
            "apart",
            who,
            of,
            ["apart"],
            lambda w: parts.take_apart(w, of),
            UNDER_WAY | {"ready", "quarantined"},
            self.back(ago),
        )

    def wash(self, of, who, ago):
        """Wash parts."""
        allowed = UNDER_WAY | {"ready", "quarantined"}
        self.step(
            "wash", who, of, ["wash"], lambda w: parts.wash(w, of), allowed, self.back(ago), World.may_wash
        )

    def wipe(self, of, who, ago):
        """Wipe parts."""

        def also(world, code):
            return PARTS[code] == MACHINE and {"apart", "wash"} <= set(world.parts[code].marks)

        allowed = {"soiled", "washed", "treated"}
        self.step("wipe", who, of, ["wipe"], lambda w: parts.wipe(w, of), allowed, self.back(ago), also)

    def dry(self, of, who, done, ago):
        """Dry parts, or put them to dry."""
        allowed = {"washed", "treated", "drying", "quarantined"}
        what = "dry" if done else "to_dry"
        self.step(what, who, of, ["dry"], lambda w: parts.dry(w, of, done=done), allowed, self.back(ago))

    def inspect(self, of, who, checks, defect, ago):
        """Look at parts, assemble, test them."""
        allowed = UNDER_WAY | {"ready", "quarantined"}
        self.step(
            "look", who, of, checks, lambda w: parts.inspect(w, of, checks, defect=defect), allowed,
            self.back(ago), checks=checks, defect=defect,
        )  # fmt: skip

    @rule(
        which=st.sampled_from(["take apart", "wash", "wipe", "dry", "to dry", "look"]),
        of=some,
        who=hands,
        checks=st.lists(st.sampled_from(["look", "assemble", "test"]), min_size=1, max_size=3, unique=True),
        defect=st.sampled_from(["", "", "", "crack"]),
        ago=ago,
    )
    def any_step(self, which, of, who, checks, defect, ago):
        """Do any step of a turnaround on anything."""
        {
            "take apart": lambda: self.take_apart(of, who, ago),
            "wash": lambda: self.wash(of, who, ago),
            "wipe": lambda: self.wipe(of, who, ago),
            "dry": lambda: self.dry(of, who, True, ago),
            "to dry": lambda: self.dry(of, who, False, ago),
            "look": lambda: self.inspect(of, who, checks, defect, ago),
        }[which]()

    @rule(code=codes)
    def turn_round(self, code):
        """Do what a part needs until it is ready, or something stands in the way."""
        for _step in range(12):
            if self.world().parts[code].status in ("ready", "in use", "withdrawn"):
                return
            self.next_step(code)

    @rule(code=codes)
    def next_step(self, code):
        """Do what a part needs next, so that lives get somewhere."""
        world = self.world()
        part, kind = world.parts[code], PARTS[code]
        if part.status == "treated" and world.proved(part) and world.may_release(code):
            return self.release([code], "T-01", 0)
        if part.load and world.in_open_load(part):
            return self.start(_index(world.cycles, part.load), 0) or self.end(
                _index(world.cycles, part.load), 0
            )
        if "bath" in part.marks and not world.cycles[part.exposures[-1]].outcome:
            number = _index(world.cycles, part.exposures[-1])
            return self.sheet(number, "good", 0) or self.judge(number)
        who = {"nurse": "N-01", "technician": "T-01"}
        owner = who["nurse"] if kind == MACHINE else who["technician"]
        if "wash" not in part.marks:
            return self.take_apart([code], owner, 0) or self.wash([code], owner, 0)
        if kind == MASK and "bath" not in part.marks:
            return self.load([code], 0, False)
        if kind == MACHINE and "wipe" not in part.marks:
            return self.wipe([code], owner, 0)
        self.dry([code], owner, True, 0)
        if kind == MACHINE:
            self.inspect([code], "N-01", ["look"], "", 0)
            return self.inspect([code], "E-01", ["assemble", "test"], "", 0)
        return self.inspect([code], owner, ["look", "assemble", "test"], "", 0)

    # ---- cycles ----

    @rule(of=some, ago=ago, add=st.booleans(), eager=st.booleans())
    def load(self, of, ago, add, eager=False):
        """Put parts in a load, an open one or a new."""
        of = [c for c in PARTS if self.world().may_load(c)] or of if eager else of
        opened = [code for code, cycle in self.world().cycles.items() if cycle.status == "loading"]
        self.count += 1
        code = opened[-1] if add and opened else f"C-{self.count}"
        minutes = 0 if code in opened else self.back(ago)
        if any(PARTS[c] != MASK for c in of):
            minutes = 0

        def deed(witness: Witness, _world: World) -> Event:
            return cycles.load(witness, of, "hot water", equipment=self.house.codes["Bath 1"], code=code)

        def allowed(world: World, now: datetime) -> bool:
            return (
                all(world.may_load(c) for c in of)
                and not world.bath_held
                and world.trained_for("T-01", {"technician"})
            )

        self.attempt(
            "load", "T-01", deed, allowed, lambda _: tuple(of), minutes, cycle=code, new=code not in opened
        )

    def cycle(self, number: int) -> str:
        """Return one of the cycles."""
        found = list(self.world().cycles)
        return found[number % len(found)] if found else ""

    def of_cycle(self, what, number, minutes, deed, allowed, **told):
        """Try a deed on a cycle."""
        code = self.cycle(number)
        if code:
            self.attempt(
                what, "T-01", lambda w, _: deed(w, code), lambda w, _: allowed(w, w.cycles[code]),
                lambda w: tuple(sorted(w.cycles[code].parts)), minutes, cycle=code, **told,
            )  # fmt: skip

    @rule(number=numbers, ago=ago)
    def start(self, number, ago):
        """Start a cycle."""

        def allowed(world, cycle):
            runs = any(c.status == "running" for c in world.cycles.values())
            trained = world.trained_for("T-01", {"technician"})
            return cycle.status == "loading" and not world.bath_held and not runs and trained

        self.of_cycle("start", number, self.back(ago), cycles.start, allowed)

    @rule(number=numbers, ago=ago)
    def end(self, number, ago):
        """End a cycle."""
        self.of_cycle(
            "end", number, self.back(ago), cycles.end,
            lambda world, cycle: cycle.status == "running" and world.trained_for("T-01", {"technician"}),
        )  # fmt: skip

    @rule(number=numbers)
    def abandon(self, number):
        """Give a load up."""
        self.of_cycle(
            "abandon", number, 0, lambda w, c: cycles.abandon(w, c, "leaks"),
            lambda world, cycle: cycle.status == "loading" and world.trained_for("T-01", {"technician"}),
        )  # fmt: skip

    @rule(number=numbers, sheet=st.sampled_from(["good", "good", "cold", "seldom"]), ago=ago)
    def sheet(self, number, sheet, ago):
        """Attach readings."""
        self.count += 1
        if not (code := self.cycle(number)):
            return
        ended = self.house.cycle(code).ended_at
        content = SHEETS[sheet](datetime.fromisoformat(ended) if ended else self.house.now)
        file = Attachment("sheet.txt", content + b"\n" * self.count)
        self.of_cycle(
            "sheet", number, self.back(ago), lambda w, c: cycles.attach(w, c, "hand", [file]),
            lambda _, c: c.status in ("running", "ended"),
            sheet=sheet, day=date.fromisoformat(content[:10].decode()),
        )  # fmt: skip

    @rule(number=numbers, ago=ago)
    def positive(self, number, ago):
        """Read a positive indicator."""
        self.of_cycle(
            "positive", number, self.back(ago), lambda w, c: cycles.attach(w, c, "chemical", result="positive"),
            lambda _, cycle: cycle.status in ("running", "ended"),
        )  # fmt: skip

    @rule(number=numbers)
    def judge(self, number):
        """Judge a cycle."""
        code = self.cycle(number)
        if not code:
            return
        cycle = self.world().cycles[code]
        told = {"cycle": code, "outcome": cycle.shows, "seen": list(cycle.sheets)}
        event = self.attempt(
            "judge", "T-01", lambda w, _: judging.judge(w, code), lambda w, _: w.cycles[code].status == "ended",
            lambda w: tuple(sorted(w.cycles[code].parts)), decides=True, **told,
        )  # fmt: skip
        assert event is None or event.data["outcome"] == cycle.shows

    # ---- released, held, gone ----

    @rule(of=some, who=st.sampled_from(["T-01", "N-01"]), ago=ago, eager=st.booleans())
    def release(self, of, who, ago, eager=False):
        """Release parts."""
        of = [c for c in PARTS if self.world().may_release(c)] or of if eager else of
        self.attempt(
            "release", who, lambda w, _: releases.release(w, of), lambda w, _: all(w.may_release(c) for c in of),
            lambda _: tuple(of), self.back(ago), decides=True,
        )  # fmt: skip

    @rule(of=some)
    def exception(self, of):
        """Release parts by two."""

        def allowed(world: World, now: datetime) -> bool:
            states = [(PARTS[c], world.parts[c]) for c in of]
            return all(
                kind != PACKET
                and p.status in UNDER_WAY | {"quarantined"}
                and not p.set_up
                and not world.in_open_load(p)
                for kind, p in states
            )

        self.attempt(
            "exception", "I-01", lambda w, _: releases.release_by_exception(w, "I-02", of, "no other"), allowed,
            lambda _: tuple(of), decides=True,
        )  # fmt: skip

    def ordered(self, what, who, of, deed, allowed, minutes=0, decides=False, **told):
        """Try a deed with a reason."""
        self.attempt(
            what, who, lambda w, _: deed(w, of, "a reason"), lambda w, _: all(allowed(w.parts[c]) for c in of),
            lambda _: tuple(of), minutes, decides=decides, **told,
        )  # fmt: skip

    @rule(which=st.sampled_from(["quarantine", "lift", "lift", "repair", "withdraw"]), of=some, ago=ago)
    def hold_or_free(self, which, of, ago):
        """Hold parts, free them, or withdraw one."""
        held = [code for code, part in self.world().parts.items() if part.held]
        of = held or of if which in ("lift", "repair") else of
        {
            "quarantine": lambda: self.quarantine(of, ago),
            "lift": lambda: self.lift(of),
            "repair": lambda: self.repair(of),
            "withdraw": lambda: self.withdraw(of[0], len(self.deeds) % 3),
        }[which]()

    def quarantine(self, of, ago):
        """Hold parts."""
        self.ordered(
            "quarantine", "N-01", of, parts.quarantine, lambda p: p.status != "withdrawn", self.back(ago),
            reason="a reason",
        )  # fmt: skip

    def lift(self, of):
        """Lift what was ordered."""

        def allowed(part):
            return part.status in ("quarantined", "in use") and any(why[0] == "order" for why in part.held)

        self.ordered("lift", "I-01", of, parts.lift_quarantine, allowed, decides=True)

    def repair(self, of):
        """Repair parts."""

        def allowed(part):
            return part.kind != PACKET and not part.set_up and part.status not in ("in use", "withdrawn")

        self.ordered("repair", "E-01", of, parts.repair, allowed)

    def withdraw(self, code, sure):
        """Withdraw a part, now and then."""
        if sure == 0:
            self.ordered(
                "withdraw", "E-01", [code], parts.withdraw, lambda p: p.status not in ("in use", "withdrawn")
            )

    # ---- at the bedside ----

    @rule(
        machine=st.sampled_from(["M-1", "M-2", "P-1"]), of=st.lists(codes, max_size=3, unique=True), ago=ago
    )
    def join(self, machine, of, ago):
        """Join a set-up."""
        self.count += 1
        code, together = f"S-{self.count}", (machine, *(c for c in of if c != machine))
        sound = PARTS[machine] == MACHINE and not any(PARTS[c] == MACHINE for c in together[1:])
        if not sound:
            ago = 0

        def allowed(world: World, now: datetime) -> bool:
            fit = all(not world.parts[c].set_up and world.may_use(c, now) for c in together)
            return fit and sound

        self.attempt(
            "join", "N-01", lambda w, _: set_ups.join(w, machine, together[1:], code=code), allowed,
            lambda _: together, self.back(ago), new=True, set_up=code,
        )  # fmt: skip

    def of_set_up(self, what, who, number, minutes, deed, allowed, **told):
        """Try a deed on a set-up."""
        found = list(self.world().set_ups)
        if found:
            code = found[number % len(found)]
            self.attempt(
                what, who, lambda w, world: deed(w, code, world), lambda w, now: allowed(w, code, now),
                lambda w: w.set_ups[code].all, minutes, set_up=code, **told,
            )  # fmt: skip

    @rule(
        number=numbers,
        failed=st.sampled_from([False, False, False, True]),
        who=st.sampled_from(["N-01", "N-02"]),
    )
    def check(self, number, failed, who):
        """Check a set-up."""

        def deed(witness: Witness, code: str, world: World) -> Event:
            checks = self.house.checks(code)
            return set_ups.check(witness, code, checks, failed=checks[:1] if failed else [])

        def allowed(world: World, code: str, now: datetime) -> bool:
            return world.set_ups[code].status in ("joined", "checked") and world.trained_for(who, {"nurse"})

        self.of_set_up("check", who, number, 0, deed, allowed, failed=failed)

    @rule(
        number=numbers,
        patient=st.sampled_from(PATIENTS),
        who=st.sampled_from(["N-01", "N-01", "N-02"]),
        ago=ago,
    )
    def connect(self, number, patient, who, ago):
        """Connect a patient."""

        def allowed(world: World, code: str, now: datetime) -> bool:
            return world.may_connect(code, patient, now) and world.trained_for(who, {"nurse"})

        self.of_set_up(
            "connect", who, number, self.back(ago), lambda w, code, _: set_ups.connect(w, code, patient, "ICU"),
            allowed, patient=patient,
        )  # fmt: skip

    @rule(
        most=st.integers(0, 3),
        patient=st.sampled_from(PATIENTS),
        who=st.sampled_from(["N-01", "N-01", "N-02"]),
    )
    def use(self, most, patient, who):
        """Join, check and connect what is fit, so that patients get somewhere."""
        world, now = self.world(), self.house.now
        fit = [c for c, part in world.parts.items() if not part.set_up and world.may_use(c, now)]
        machines = [c for c in fit if PARTS[c] == MACHINE]
        if machines:
            self.join(machines[0], [c for c in fit if PARTS[c] != MACHINE][:most], 0)
            set_ups_known = self.world().set_ups
            if (code := f"S-{self.count}") in set_ups_known:
                self.check(_index(set_ups_known, code), False, who)
                self.connect(_index(set_ups_known, code), patient, who, 0)

    @rule(number=numbers, ago=ago)
    def disconnect(self, number, ago):
        """Disconnect a patient."""
        self.of_set_up(
            "disconnect", "N-01", number, self.back(ago), lambda w, code, _: set_ups.disconnect(w, code),
            lambda world, code, _: world.set_ups[code].status == "in use",
        )  # fmt: skip

    @rule(number=numbers)
    def part_company(self, number):
        """Dissolve a set-up."""
        self.of_set_up(
            "part_company", "N-01", number, 0, lambda w, code, _: set_ups.part_company(w, code),
            lambda world, code, _: world.set_ups[code].status in ("joined", "checked"),
        )  # fmt: skip

    def duty(self, code):
        """Do the duty by the calendar."""
        what = {FOAM: "Change the foam filter", MACHINE: "Check calibration", MASK: "Change the foam filter"}[
            PARTS[code]
        ]
        self.attempt(
            "duty", "E-01", lambda w, _: parts.do_duty(w, code, what),
            lambda w, _: PARTS[code] != MASK and w.trained_for("E-01", {"engineer"}), lambda _: (code,),
        )  # fmt: skip

    # ---- around it ----

    @rule(
        which=st.sampled_from(["duty", "bath", "criterion", "train"]),
        good=st.sampled_from([True, True, False]),
        who=st.sampled_from(["N-01", "T-01", "T-02", "E-01"]),
        code=st.sampled_from(["F-1", "M-1", "M-2", "P-1"]),
    )
    def around(self, which, good, who, code):
        """Do what is about no part of its own."""
        {
            "duty": lambda: self.duty(code),
            "bath": lambda: self.bath(not good),
            "criterion": lambda: self.criterion(good),
            "train": lambda: self.train(who, good),
        }[which]()

    def bath(self, held):
        """Hold the bath, or free it."""
        deed = supplies.hold_equipment if held else supplies.free_equipment
        what, bath = ("hold_bath" if held else "free_bath"), self.house.codes["Bath 1"]
        self.attempt(what, "E-01", lambda w, _: deed(w, bath, "leaks"), lambda *_: True, lambda _: ())

    def criterion(self, adopted):
        """Adopt the criterion, or drop it."""
        deed = protocols.adopt if adopted else protocols.drop
        self.attempt(
            "adopt" if adopted else "drop", "I-01", lambda w, _: deed(w, "A0-600", "guideline"), lambda *_: True,
            lambda _: (), decides=True,
        )  # fmt: skip

    def train(self, who, passed):
        """Assess somebody."""
        role = {"N": "nurse", "T": "technician", "E": "engineer"}[who[0]]
        self.attempt(
            "train", "I-02", lambda w, _: people.train(w, who, role, passed=passed, expires_on=FAR), lambda *_: True,
            lambda _: (), decides=True, person=who, role=role, passed=passed,
        )  # fmt: skip

    # ---- what must always be so ----

    @invariant()
    def everything_is_as_told_plainly(self):
        """Every part, set-up and patient."""
        if not hasattr(self, "deeds"):
            return
        world, view = self.world(), self.house.view()
        told = {code: part.status for code, part in world.parts.items()}
        assert {code: self.house.status(code) for code in PARTS} == told
        kept = {state.code: state.status for state in view.states(SetUpState)}
        assert kept == {code: set_up.status for code, set_up in world.set_ups.items()}
        connected = {s.code: sorted(s.set_ups) for s in view.states(PatientState) if s.set_ups}
        assert connected == {code: sorted(found) for code, found in world.patients().items()} or self.late

    @invariant()
    def nobody_is_connected_falsely(self):
        """What the issue promises, looked at in the states alone."""
        if not hasattr(self, "deeds") or self.late:
            return
        states = list(self.house.view().states(PartState))
        in_use = list(self.house.view().states(SetUpState, "in use"))
        assert all(state.uses <= 1 for state in states if state.single_patient)
        assert len({s.patient for s in in_use}) == len(in_use)
        used = [code for s in in_use for code in (s.machine, *s.parts)]
        assert len(set(used)) == len(used)
        assert set(used) == {state.code for state in states if state.status == "in use"}
        open_loads = [
            c
            for cycle in self.world().cycles.values()
            if cycle.status in ("loading", "running")
            for c in cycle.parts
        ]
        assert len(set(open_loads)) == len(open_loads)
        assert not set(open_loads) & {state.code for state in states if state.set_up}

    def teardown(self):
        """The chain is whole, and folding everything anew gives the same states."""
        if hasattr(self, "deeds"):
            assert verify(self.house.book.store).whole
            view = self.house.view()
            for kind, shape in KINDS.items():
                for state in view.states(shape):
                    assert fold_all(kind, state.code, view.facts(kind, state.code)) == state


class Afterwards(OnTime):
    """Much is entered late, and struck."""

    late = True

    @precondition(lambda self: self.deeds)
    @rule(number=st.integers(0, 200))
    def strike(self, number):
        """Strike something, if nothing rests on it."""
        found = [deed for deed in self.deeds if deed.what in STRUCK]
        if not found:
            return
        deed = found[-1 - number % min(len(found), 8)]
        kind = "set_up" if "set_up" in deed.told else "cycle"
        rests = [
            d for d in self.deeds
            if d.what in RESTS.get(deed.what, ()) and d.told[kind] == deed.told[kind] and _later(d, deed)
        ]  # fmt: skip
        event, refused = tried(
            lambda: corrections.strike(self.house.lead, self.ids[deed.number], "the wrong one")
        )
        assert (event is None) == bool(rests), (deed, rests, str(refused))
        if event is not None:
            self.deeds.remove(deed)


def tried(deed: Callable[[], Event]) -> tuple[Event | None, Refused | None]:
    """Return the event of a deed, or why it was refused."""
    try:
        return deed(), None
    except Refused as refused:
        return None, refused


def _later(one: Deed, other: Deed) -> bool:
    return (one.at, one.number) > (other.at, other.number)


def _known(world: World, told: dict[str, object]) -> bool:
    """Tell whether the set-up or cycle that a deed is about was there."""
    if told.get("new"):
        return True
    set_up, cycle = told.get("set_up"), told.get("cycle")
    return (set_up is None or set_up in world.set_ups) and (cycle is None or cycle in world.cycles)


def _index(found: dict[str, object], code: str) -> int:
    return list(found).index(code) if code in found else 0


bounded = settings(max_examples=50, stateful_step_count=50, deadline=None)
TestOnTime = OnTime.TestCase
TestOnTime.settings = bounded
TestAfterwards = Afterwards.TestCase
TestAfterwards.settings = bounded


@pytest.mark.parametrize("maker", ["new_sqlite", "new_postgres"])
def test_any_life_is_the_same_in_a_database(request, maker):
    """A few lives with late entries and strikes, kept in each kind of database."""
    new = request.getfixturevalue(maker)

    class InDatabase(Afterwards):
        """Kept for good."""

        def store(self) -> Store:
            """Return an empty database."""
            return connect(new())

    few = settings(max_examples=4, stateful_step_count=20, deadline=None, phases=[Phase.generate])
    run_state_machine_as_test(InDatabase, settings=few)
