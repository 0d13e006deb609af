"""The look-back against the plainest computation, on random histories with broken rules and late entries."""

from datetime import timedelta
from itertools import pairwise

from hypothesis import event, given, settings
from hypothesis import strategies as st
from plainly import plainly
from ward_book import START, WardBook

from lungwort.records.chain.event import Event, Thing
from lungwort.records.chain.identity import moment_of, moment_text
from lungwort.records.look_back.ask import look_back
from lungwort.records.look_back.question import (
    THING,
    Question,
    defective_part,
    failed_cycle,
    faulty_equipment,
    infected_patient,
    positive_indicator,
    wrong_batch,
)
from lungwort.records.look_back.result import LookBack

PARTS = ("C-1", "C-2", "C-3", "M-1")
PATIENTS = ("P-1", "P-2", "P-3", "P-4")
loads = st.lists(st.sampled_from(PARTS), min_size=1, max_size=3, unique=True).map(" ".join)
one_of = st.sampled_from
cycles = st.tuples(
    st.just("cycle"),
    loads,
    one_of(["passed", "passed", "failed", "not shown", ""]),
    one_of(["A-1", "A-2"]),
    one_of(["", "B-1"]),
    one_of(["", "", "negative", "positive"]),
)
uses = st.tuples(st.just("connect"), loads, one_of(PATIENTS))
deeds = st.one_of(
    cycles,
    cycles,
    cycles,
    uses,
    uses,
    uses,
    st.tuples(st.just("load"), loads, one_of(["A-1", "A-2"])),
    st.tuples(st.just("judge"), st.integers(0, 9), one_of(["passed", "failed"])),
    st.tuples(st.just("start"), loads, one_of(["A-1", "A-2"])),
    st.tuples(st.just("wipe"), loads, one_of(["", "B-1"])),
    st.tuples(st.just("wash"), loads, one_of(["", "B-1"])),
    st.tuples(st.just("load late"), st.integers(0, 9), loads),
    st.tuples(one_of(["release", "release anyway"]), loads),
    st.tuples(st.just("inspect"), one_of(PARTS), one_of(["", "crack"])),
    st.tuples(st.just("connect late"), loads, one_of(PATIENTS), st.integers(1, 300)),
    st.tuples(st.just("leave"), st.integers(0, 3)),
    st.tuples(st.just("strike"), st.integers(0, 60)),
    st.tuples(one_of(["hold", "free"]), one_of(["A-1", "A-2"])),
)


class AnyHospital:
    """Turns deeds made at random into records, whatever the rules say of them."""

    def __init__(self) -> None:
        self.book = WardBook()
        self.cycles: list[tuple[str, str, str]] = []
        self.open: list[str] = []
        self.count = 0

    def take(self, deed: tuple) -> None:
        """Record one deed."""
        getattr(self, deed[0].replace(" ", "_"))(*deed[1:])

    def cycle(self, load, outcome, on, batch, growth):
        """A cycle, perhaps judged, perhaps with an indicator."""
        code = f"Y-{len(self.cycles)}"
        self.cycles.append((code, load, on))
        self.book.cycle(code, load, outcome, on, batch, growth)

    def load(self, load, on):
        """A cycle that is loaded and never ends."""
        code = f"Y-{len(self.cycles)}"
        self.cycles.append((code, load, on))
        told = {"process": "steam", "kinds": ["Circuit"]}
        self.book.note("Ada", "cycle.loaded", data=told, cycle=code, part=load, equipment=on)

    def start(self, load, on):
        """A cycle that is started and never ends."""
        self.load(load, on)
        code = self.cycles[-1][0]
        self.book.note("Ada", "cycle.started", data={"process": "steam"}, cycle=code, part=load, equipment=on)

    def load_late(self, number, load):
        """Parts of which it is told afterwards that they were in a load."""
        if self.cycles:
            code, _load, on = self.cycles[number % len(self.cycles)]
            told = {"process": "steam", "kinds": ["Circuit"]}
            first = next(e for e in self.book.store.events(self.book.place) if f'"{code}"' in e.payload)
            at = moment_of(first.happened_at)
            self.book.note("Ada", "cycle.loaded", at, told, cycle=code, part=load, equipment=on)

    def wash(self, load, batch):
        """Parts washed."""
        self.book.note("Ada", "part.washed", part=load, batch=batch)

    def judge(self, number, outcome):
        """A cycle judged once more."""
        if self.cycles:
            code, load, on = self.cycles[number % len(self.cycles)]
            self.book.judge(code, load, outcome, on)

    def wipe(self, load, batch):
        """Parts wiped, perhaps while in use."""
        self.book.wipe(load, batch)

    def release(self, load):
        """Parts released by the rules."""
        self.book.release(load)

    def release_anyway(self, load):
        """Parts released by exception."""
        self.book.release_anyway(load)

    def inspect(self, part, defect):
        """A part looked at."""
        self.book.inspect(part, defect)

    def connect(self, load, patient, minutes_ago=0):
        """A patient connected, perhaps told of afterwards."""
        self.count += 1
        self.open.append(f"S-{self.count}")
        at = self.book.now - timedelta(minutes=minutes_ago) if minutes_ago else None
        self.book.connect(self.open[-1], load, patient, at=at)

    connect_late = connect

    def leave(self, number):
        """A patient disconnected."""
        if self.open:
            self.book.leave(self.open.pop(number % len(self.open)))

    def strike(self, number):
        """Something struck from the records."""
        struck = [e for e in self.book.store.events(self.book.place) if not e.what.startswith("event.")]
        gone = {e.data["event"] for e in self.book.store.events(self.book.place) if e.what == "event.struck"}
        left = [e for e in struck if e.id not in gone]
        if left:
            one = left[number % len(left)]
            codes: dict[str, str] = {}
            for thing in one.things:
                codes[thing.part] = f"{codes.get(thing.part, '')} {thing.code}".strip()
            self.book.note("Ada", "event.struck", data={"event": one.id, "why": "wrong"}, **codes)

    def hold(self, equipment):
        """Equipment held."""
        self.book.note("Ada", "equipment.held", data={"reason": "growth"}, equipment=equipment)

    def free(self, equipment):
        """Equipment freed."""
        self.book.note("Ada", "equipment.freed", equipment=equipment)


@st.composite
def periods(draw: st.DrawFn) -> tuple[str, str]:
    """Return a period, open at either end or not."""
    ends = sorted(draw(st.lists(st.integers(0, 400), min_size=2, max_size=2)))
    since, until = (moment_text(START + timedelta(minutes=m)) for m in ends)
    return draw(one_of(["", since])), draw(one_of(["", until]))


@st.composite
def questions(draw: st.DrawFn) -> Question:
    """Return any question that could be asked."""
    cycle = f"Y-{draw(st.integers(0, 4))}"
    period = draw(periods())
    return draw(
        one_of(
            [
                failed_cycle(cycle),
                positive_indicator(cycle),
                faulty_equipment("A-1", *period),
                wrong_batch("B-1"),
                defective_part(draw(one_of(PARTS)), *period),
                infected_patient("P-1", *period),
            ]
        )
    )


def known(book: WardBook, question: Question) -> bool:
    """Tell whether anything is recorded about what a question asks."""
    kind = THING[question.start_kind]
    return any(book.view().facts(kind, question.code))


def check_paths(answer: LookBack, events: dict[str, Event]) -> None:
    """Each path leads from what was asked to the patient without a gap; each link's event names both its things."""
    asked = Thing(answer.question.code, THING[answer.question.start_kind])
    for exposure in answer.exposures:
        path = exposure.path
        assert (path[0].start, path[-1].end) == (asked, Thing(exposure.patient, "patient"))
        assert all(one.end == other.start for one, other in pairwise(path))
        for step in path:
            names = events[step.event].things
            loads = [e.things for e in events.values() if e.what == "cycle.loaded" and step.start in e.things]
            assert step.start in names
            assert step.end in names or any(step.end in load for load in loads)


@settings(max_examples=400)
@given(st.lists(deeds, min_size=12, max_size=40), st.lists(questions(), min_size=6, max_size=6))
def test_any_history_gives_the_exposures_and_parts_that_the_definition_gives(history, asked):
    """Same uses in the same direction, same touched parts in each, same parts in all."""
    hospital = AnyHospital()
    for deed in history:
        hospital.take(deed)
    events = list(hospital.book.store.events(hospital.book.place))
    for question in (q for q in asked if known(hospital.book, q)):
        answer = look_back(hospital.book.view(), question)
        exposures, touched = plainly(events, question)
        told = {(e.path[-1].event, e.direction): set(e.parts) for e in answer.exposures}
        assert told == exposures, question
        assert len(told) == len(answer.exposures)
        check_paths(answer, {e.id: e for e in events})
        assert {part.code for part in answer.parts} == touched, question
        event(f"{question.start_kind}: {'somebody' if exposures else 'nobody'}")
