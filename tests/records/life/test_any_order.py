"""Whatever is entered late or put right: states are those of a history recorded in order and right from the start."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st
from life_cast import House, hot_enough, open_house, soaked
from life_protocol import MASK, SENSOR, VENTILATOR

from lungwort.records.chain.event import Attachment, Event, Thing
from lungwort.records.life import corrections, cycles, judging, parts, releases, set_ups
from lungwort.records.life.witness import Witness
from lungwort.records.states.fold import fold_all
from lungwort.records.states.kinds import KINDS
from lungwort.records.states.written import written
from lungwort.records.verify import verify

Act = Callable[[Witness], Event]
PAPER = "power cut"


@dataclass(frozen=True)
class Line:
    """The life of one part: who does what, in order."""

    deeds: tuple[tuple[str, Act], ...]


def begun() -> House:
    """Return a hospital with two machines ready, a mask and a sensor that are soiled, and parts of no line."""
    house = open_house()
    for code in ("M-1", "M-2"):
        house.new(VENTILATOR, code=code)
        house.turn_round([code])
    for code in ("P-1", "P-2", "P-5", "P-6", "P-7", "P-8", "P-9"):
        house.new(SENSOR if code == "P-2" else MASK, code=code)
    parts.take_apart(house.technician, ["P-8", "P-9"])
    return house


def line(house: House, part: str, machine: str, patient: str) -> Line:
    """Return a whole life from soiled to soiled: the mask through the bath, the sensor through the bleach."""
    cycle, set_up = f"C-{part}", f"S-{part}"
    how = (
        {"process": "hot water", "equipment": house.codes["Bath 1"]}
        if part == "P-1"
        else {"process": "soak", "batch": house.codes["Bleach"]}
    )

    def attach(witness: Witness) -> Event:
        ended = datetime.fromisoformat(house.cycle(cycle).ended_at)
        kind, content = ("hand", hot_enough(ended)) if part == "P-1" else ("strip", soaked(ended))
        return cycles.attach(witness, cycle, kind, [Attachment("sheet.txt", content)])

    return Line((
        ("T-01", lambda w: parts.take_apart(w, [part])),
        ("T-01", lambda w: parts.wash(w, [part])),
        ("T-01", lambda w: cycles.load(w, [part], **how, code=cycle)),
        ("T-01", lambda w: cycles.start(w, cycle)),
        ("T-01", lambda w: cycles.end(w, cycle)),
        ("T-01", attach),
        ("T-01", lambda w: judging.judge(w, cycle)),
        ("T-01", lambda w: parts.dry(w, [part])),
        ("T-01", lambda w: parts.inspect(w, [part], ["look", "assemble", "test"])),
        ("T-01", lambda w: releases.release(w, [part])),
        ("N-01", lambda w: set_ups.join(w, machine, [part], code=set_up)),
        ("N-01", lambda w: set_ups.check(w, set_up, house.checks(set_up))),
        ("N-01", lambda w: set_ups.connect(w, set_up, patient, "ICU")),
        ("N-01", lambda w: set_ups.do_duty(w, set_up, "Look at the alarms")),
        ("N-01", lambda w: set_ups.disconnect(w, set_up)),
        ("T-01", lambda w: parts.take_apart(w, [part])),
    ))  # fmt: skip


LENGTH = 16


def known(house: House) -> dict[tuple[str, str], str]:
    """Return every state in its one written form; folded anew each is the same."""
    view = house.view()
    states = {(kind, s.code): s for kind, shape in KINDS.items() for s in view.states(shape)}
    assert all(fold_all(kind, code, view.facts(kind, code)) == s for (kind, code), s in states.items())
    assert verify(house.book.store).whole
    return {key: written(state) for key, state in states.items()}


def do_at(house: House, moment: datetime, who: str, deed: Act) -> Event:
    """Do something at a moment."""
    house.moment[0] = moment
    return deed(house.who(who))


orders = st.permutations([0] * LENGTH + [1] * LENGTH)
gaps = st.lists(st.integers(6, 50), min_size=2 * LENGTH, max_size=2 * LENGTH)
cuts = st.tuples(st.integers(0, LENGTH), st.integers(0, LENGTH))


@settings(max_examples=25)
@given(orders, gaps, cuts)
def test_what_is_entered_late_gives_the_states_of_a_history_recorded_in_order(order, gaps, cut):
    """Two lives, woven together at any times; the rest of each after any point is entered from paper at the end."""
    first, second = begun(), begun()
    moments, at = [], first.now
    for gap in gaps:
        at += timedelta(minutes=gap)
        moments.append(at)
    plan, done = [], [0, 0]
    for which, moment in zip(order, moments, strict=True):
        plan.append((which, done[which], moment))
        done[which] += 1
    in_order = (line(first, "P-1", "M-1", "A"), line(first, "P-2", "M-2", "B"))
    on_paper = (line(second, "P-1", "M-1", "A"), line(second, "P-2", "M-2", "B"))
    happened = {}
    for which, number, moment in plan:
        who, deed = in_order[which].deeds[number]
        happened[which, number] = do_at(first, moment, who, deed).happened_at
    for which, number, moment in plan:
        who, deed = on_paper[which].deeds[number]
        if number < cut[which]:
            assert do_at(second, moment, who, deed).happened_at == happened[which, number]
    second.moment[0] = at + timedelta(days=1)
    for which, number, _moment in plan:
        who, deed = on_paper[which].deeds[number]
        if number >= cut[which]:
            then = datetime.fromisoformat(happened[which, number])
            event = deed(second.who(who).afterwards(then, PAPER))
            assert event.data["late"] == PAPER
            assert "against" not in event.data
    assert known(second) == known(first)


# ---- put right ----


def wrong_part(house: House) -> tuple[Act, Callable[[Event], None]]:
    """Another mask is washed than was said."""

    def put_right(event: Event) -> None:
        corrections.correct(house.technician, event.id, "wrong label", things=[Thing("P-9", "part")])

    return lambda w: parts.wash(w, ["P-8"]), put_right


def wrong_data(house: House) -> tuple[Act, Callable[[Event], None]]:
    """There was no crack."""

    def put_right(event: Event) -> None:
        corrections.correct(house.technician, event.id, "a hair, no crack", data={"checks": ["look"]})

    return lambda w: parts.inspect(w, ["P-9"], ["look"], defect="crack"), put_right


def twice_wrong(house: House) -> tuple[Act, Callable[[Event], None]]:
    """Neither the one nor the other was held; then the first was."""

    def put_right(event: Event) -> None:
        once = corrections.correct(house.nurse, event.id, "wrong label", things=[Thing("P-6", "part")])
        told = {**once.data["data"], "reason": "smells of bleach"}
        corrections.correct(house.nurse, once.id, "that one", things=[Thing("P-7", "part")], data=told)

    return lambda w: parts.quarantine(w, ["P-7"], "smells"), put_right


def never(house: House) -> tuple[Act, Callable[[Event], None]]:
    """It never happened."""
    return (
        lambda w: parts.withdraw(w, ["P-6", "P-5"], "torn"),
        lambda event: corrections.strike(house.lead, event.id, "other ones") and None,
    )


RIGHT: dict[str, tuple[Callable[[House], tuple[Act, Callable[[Event], None]]], str, Act | None]] = {
    "wrong part": (wrong_part, "T-01", lambda w: parts.wash(w, ["P-9"])),
    "wrong data": (wrong_data, "T-01", lambda w: parts.inspect(w, ["P-9"], ["look"])),
    "twice wrong": (twice_wrong, "N-01", lambda w: parts.quarantine(w, ["P-7"], "smells of bleach")),
    "never": (never, "E-01", None),
}


@settings(max_examples=40)
@given(
    st.lists(
        st.tuples(st.sampled_from(sorted(RIGHT)), st.integers(0, LENGTH - 1)),
        min_size=1,
        max_size=4,
        unique_by=lambda x: x[0],
    ),
    st.booleans(),
)
def test_what_is_put_right_gives_the_states_of_a_history_that_was_right(mistakes, at_once):
    """Mistakes anywhere in a life, each put right at once or at the end, last first; a chain of corrections too."""
    right, wrong = begun(), begun()
    clean, marred = line(right, "P-1", "M-1", "A"), line(wrong, "P-1", "M-1", "A")
    moment, open_ends = right.now, []
    for number in range(LENGTH):
        moment += timedelta(minutes=7)
        for kind, at in mistakes:
            make, who, meant = RIGHT[kind]
            if at != number:
                continue
            moment += timedelta(minutes=7)
            act, put_right = make(wrong)
            if meant is not None:
                do_at(right, moment, who, meant)
            event = do_at(wrong, moment, who, act)
            wrong.wait(minutes=1)
            if at_once or kind in ("never", "twice wrong"):
                put_right(event)
            else:
                open_ends.append((put_right, event))
            moment += timedelta(minutes=7)
        who, deed = clean.deeds[number]
        assert (
            do_at(right, moment, who, deed).happened_at
            == do_at(wrong, moment, who, marred.deeds[number][1]).happened_at
        )
    for put_right, event in reversed(open_ends):
        put_right(event)
    assert known(wrong) == known(right)


def test_a_patient_and_a_time_put_right_give_the_states_of_a_history_that_was_right():
    """The next bed's reference was typed, and the hour read wrongly from the sheet."""
    right, wrong = begun(), begun()
    clean, marred = line(right, "P-1", "M-1", "A"), line(wrong, "P-1", "M-1", "X")
    moment = right.now
    for number in range(LENGTH):
        moment += timedelta(minutes=20)
        who, deed = clean.deeds[number]
        truth = do_at(right, moment, who, deed)
        event = do_at(
            wrong, moment + timedelta(minutes=5 if number == 8 else 0), who, marred.deeds[number][1]
        )
        if number == 8:
            then = datetime.fromisoformat(truth.happened_at)
            corrections.correct(wrong.technician, event.id, "the other line of the sheet", happened_at=then)
        if number == 12:
            things = [Thing("A", "patient") if t.part == "patient" else t for t in event.things]
            corrections.correct(wrong.nurse, event.id, "the next bed", things=things)
    assert known(wrong) == known(right)
