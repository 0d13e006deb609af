"""Asking: from a question to its answer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from lungwort.records.chain.event import Thing
from lungwort.records.chain.identity import moment_text
from lungwort.records.look_back.defects import defect_before, sound_since, uses_while_doubted
from lungwort.records.look_back.doubts import Doubts, doubts_of, first_legs, legs_before, refuse_unknown
from lungwort.records.look_back.exposures import Met, exposures_of, met_in
from lungwort.records.look_back.legs import ENDED, WASHED, WIPED
from lungwort.records.look_back.limits import not_shown
from lungwort.records.look_back.parts import good_since, last_legs, still_out, stops_behind, touched_part
from lungwort.records.look_back.patients import legs_of, uses_of, ward_mates
from lungwort.records.look_back.question import Question
from lungwort.records.look_back.reading import Reading, is_good
from lungwort.records.look_back.result import (
    Deed,
    DoubtedCycle,
    DoubtedWipe,
    Evidence,
    Exposure,
    LastGood,
    LookBack,
    Person,
    WardMate,
)
from lungwort.records.look_back.walk import MOST_LEGS, Reached, walk
from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import CycleState
from lungwort.records.states.view import View

NO_DOUBTS = Doubts(())
HANDLED = {
    "cycle.loaded": "loaded the cycle",
    "cycle.started": "started the cycle",
    ENDED: "ended the cycle",
    "cycle.evidence_attached": "attached evidence",
    "cycle.judged": "judged the cycle",
    WIPED: "wiped",
    WASHED: "washed",
    "part.taken_apart": "took apart",
    "part.dried": "dried",
    "part.inspected": "inspected",
    "set_up.joined": "joined the set-up",
}
"""What people did to the parts of a doubted exposure, beyond what was done at each use."""


@dataclass(frozen=True)
class Found:
    """What was found before it is put in order."""

    met: tuple[Met, ...]
    parts: dict[str, Evidence]
    last_good: tuple[LastGood, ...] = ()
    unproved: tuple[Fact, ...] = ()
    doubts: Doubts = NO_DOUBTS
    same_ward: tuple[WardMate, ...] = ()
    mended: str = ""
    sources: tuple[Met, ...] = ()
    handled: tuple[Fact, ...] = ()
    cut: bool = False


def look_back(view: View, question: Question, most_legs: int = MOST_LEGS) -> LookBack:
    """Return everybody who was exposed, every part touched, what is still out, and what these records cannot show.

    Args:
        view: the place as it stands.
        question: from `failed_cycle`, `positive_indicator`, `faulty_equipment`, `wrong_batch`, `defective_part` or
            `infected_patient`.
        most_legs: where to stop; the answer then says that there is more.

    Raises:
        UnknownName: nothing is recorded about the thing asked about.
    """
    refuse_unknown(view, question)
    doubts = doubts_of(view, question)
    reading = Reading(view, doubts.names)
    if question.start_kind == "defective part":
        found = _from_part(view, question)
    elif question.start_kind == "infected patient":
        found = _from_patient(reading, question, most_legs)
    else:
        found = _from_treatment(reading, doubts, most_legs)
    return _told(reading, question, found)


# ---- by beginning ----


def _from_treatment(reading: Reading, doubts: Doubts, most_legs: int) -> Found:
    walked = walk(reading, first_legs(reading, doubts), shares=False, most_legs=most_legs)
    back = walk(reading, legs_before(reading, doubts), shares=True, most_legs=most_legs)
    return Found(
        met=tuple(met_in(walked.reached)),
        parts=_since(reading, walked.reached),
        last_good=doubts.last_good,
        unproved=_unproved(reading, walked.reached),
        doubts=doubts,
        sources=tuple(met_in(back.reached)),
        handled=tuple(fact for here in walked.reached for fact in here.leg.facts),
        cut=walked.cut or back.cut,
    )


def _from_patient(reading: Reading, question: Question, most_legs: int) -> Found:
    uses = uses_of(reading.view, question.code, question.since, question.until)
    walked = walk(reading, legs_of(reading, uses), shares=True, most_legs=most_legs)
    return Found(
        met=tuple(met_in(walked.reached, except_patient=question.code)),
        parts=_since(reading, walked.reached),
        last_good=stops_behind(reading, walked.reached),
        unproved=_unproved(reading, walked.reached),
        same_ward=ward_mates(reading.view, question, uses) if question.same_ward else (),
        cut=walked.cut,
    )


def _from_part(view: View, question: Question) -> Found:
    uses, good = uses_while_doubted(view, question)
    part = Thing(question.code, "part")
    return Found(
        met=tuple(Met(use, question.code, "forward", ()) for use in uses),
        parts={question.code: sound_since(view, question)},
        last_good=() if question.since else (LastGood(part, good),),
        mended=defect_before(view, question.code, good),
    )


def _since(reading: Reading, reached: Iterable[Reached]) -> dict[str, Evidence]:
    return {part: good_since(reading, leg) for part, leg in last_legs(reached).items()}


def _unproved(reading: Reading, reached: Iterable[Reached]) -> tuple[Fact, ...]:
    """Return the ends of the cycles with which touched legs began, but those that are good evidence."""
    begins = {h.leg.begin.event.id: h.leg.begin for h in reached if h.leg.begin and h.leg.begin.the("cycle")}
    legs = {h.leg.begin.event.id: h.leg.part for h in reached if h.leg.begin}
    return tuple(fact for key, fact in begins.items() if not is_good(reading, legs[key], fact))


# ---- put in order ----


def _told(reading: Reading, question: Question, found: Found) -> LookBack:
    view = reading.view
    exposures = exposures_of(view, found.met)
    parts = tuple(touched_part(view, code, found.parts[code]) for code in sorted(found.parts))
    cycles = _cycles(reading, found)
    wiped = [d.exposure for d in found.doubts.doubts if d.exposure.what == WIPED]
    wipes = tuple(map(_wipe, sorted((*wiped, *found.doubts.washes), key=lambda fact: fact.order)))
    return LookBack(
        question=question,
        place=view.place,
        at=moment_text(view.now),
        still_out=still_out(question, parts),
        exposures=exposures,
        parts=parts,
        cycles=cycles,
        wipes=wipes,
        equipment=_codes(c.equipment for c in cycles),
        batches=_codes((*(c.batch for c in cycles), *(w.batch for w in wipes))),
        sources=exposures_of(view, found.sources),
        persons=_persons(_deeds(reading, found, exposures)),
        wards=_codes((*(e.ward for e in exposures), *(p.ward for p in parts))),
        last_good=found.last_good,
        same_ward=found.same_ward,
        not_shown=not_shown(question, exposures, parts, found.last_good, found.mended, found.cut),
    )


def _codes(codes: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted({code for code in codes if code}))


def _cycles(reading: Reading, found: Found) -> tuple[DoubtedCycle, ...]:
    doubted = [d.exposure for d in found.doubts.doubts if d.exposure.the("cycle")]
    ends = {fact.the("cycle"): fact for fact in (*found.unproved, *doubted)}
    return tuple(_cycle(reading, fact) for fact in sorted(ends.values(), key=lambda fact: fact.order))


def _cycle(reading: Reading, fact: Fact) -> DoubtedCycle:
    code = fact.the("cycle")
    state = reading.cycle(code) or CycleState(code)
    return DoubtedCycle(
        code,
        process=state.process,
        outcome=state.outcome,
        equipment=state.equipment,
        batch=state.batch,
        ended_at=state.ended_at,
        doubted=code in reading.doubted,
    )


def _wipe(fact: Fact) -> DoubtedWipe:
    parts = fact.by_kind.get("part", ())
    return DoubtedWipe(fact.event.id, fact.at, fact.the("batch"), parts, wash=fact.what == WASHED)


def _deeds(reading: Reading, found: Found, exposures: Iterable[Exposure]) -> Iterator[Deed]:
    for exposure in exposures:
        yield from exposure.persons
    handled = [*found.handled, *found.doubts.washes]
    for doubt in found.doubts.doubts:
        cycle = doubt.exposure.the("cycle")
        handled += reading.view.facts("cycle", cycle) if cycle else [doubt.exposure]
    for fact in handled:
        if fact.what in HANDLED:
            yield Deed(fact.event.who, HANDLED[fact.what])


def _persons(deeds: Iterable[Deed]) -> tuple[Person, ...]:
    found: dict[str, dict[str, None]] = {}
    for deed in deeds:
        found.setdefault(deed.person, {})[deed.did] = None
    return tuple(Person(code, tuple(sorted(found[code]))) for code in sorted(found))
