"""What a question puts in doubt: cycles and wipes, and the legs they began."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from lungwort.errors import UnknownName
from lungwort.language import _
from lungwort.records.chain.event import Thing
from lungwort.records.look_back.equipment import (
    cycles_since,
    cycles_until_good,
    cycles_within,
    good_before,
    running_at,
)
from lungwort.records.look_back.legs import ENDED, LOADED, STARTED, WASHED, WIPED, just_after
from lungwort.records.look_back.question import THING, Question
from lungwort.records.look_back.reading import Reading
from lungwort.records.look_back.result import LastGood, Path
from lungwort.records.look_back.walk import Reached, link, parts_in
from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import KINDS
from lungwort.records.states.view import LATEST, View


@dataclass(frozen=True)
class Doubt:
    """An exposure to treatment that does not count, and the links that lead to it."""

    exposure: Fact
    path: Path = ()


@dataclass(frozen=True)
class Doubts:
    """All that a question puts in doubt, and where the search for it stopped."""

    doubts: tuple[Doubt, ...]
    last_good: tuple[LastGood, ...] = ()
    washes: tuple[Fact, ...] = ()

    @property
    def names(self) -> frozenset[str]:
        """The codes of the doubted cycles, the events of the doubted wipes."""
        return frozenset(d.exposure.the("cycle") or d.exposure.event.id for d in self.doubts)


def refuse_unknown(view: View, question: Question) -> None:
    """Refuse a question about a thing of which nothing is recorded.

    Raises:
        UnknownName: no such thing here.
    """
    kind = THING[question.start_kind]
    if view.state(KINDS[kind], question.code) is None and not any(view.facts(kind, question.code)):
        text = _(
            "nothing is recorded at {place} about {kind} {code!r}; check the code on the label or the list"
        )
        raise UnknownName(text.format(place=view.place, kind=_(kind), code=question.code))


def doubts_of(view: View, question: Question) -> Doubts:
    """Return what a question about treatment puts in doubt; nothing for one about a patient or a part."""
    finders = {
        "failed cycle": _failed,
        "positive indicator": _positive,
        "faulty equipment": _faulty,
        "wrong batch": _wrong,
    }
    finder = finders.get(question.start_kind)
    return Doubts(()) if finder is None else finder(Reading(view), question)


def first_legs(reading: Reading, doubts: Doubts) -> Iterator[Reached]:
    """Yield the leg of every part that begins with a doubted exposure."""
    for exposure, part, path in _doubted_parts(reading, doubts):
        yield Reached(reading.leg(part, exposure), "forward", path)
    for wash in doubts.washes:
        for part in wash.by_kind.get("part", ()):
            yield from _after_wash(reading, wash, part)


def legs_before(reading: Reading, doubts: Doubts) -> Iterator[Reached]:
    """Yield the leg of every part just before a doubted exposure: what its patients left may have been passed on."""
    for exposure, part, path in _doubted_parts(reading, doubts):
        yield Reached(reading.leg_before(part, exposure), "backward", path, before=exposure.order)


def _doubted_parts(reading: Reading, doubts: Doubts) -> Iterator[tuple[Fact, str, Path]]:
    """Yield each doubted exposure with each of its parts, and the path from the beginning to that part."""
    for doubt in doubts.doubts:
        exposure = doubt.exposure
        treated_by = Thing(exposure.the("batch"), "batch") if exposure.what == WIPED else _cycle(exposure)
        for part in parts_in(reading, exposure):
            yield exposure, part, (*doubt.path, link(treated_by, Thing(part, "part"), exposure))


def _after_wash(reading: Reading, wash: Fact, part: str) -> Iterator[Reached]:
    """Yield the legs that stand on a doubted wash: up to the next wash, since no treatment makes good what it left."""
    path = (link(Thing(wash.the("batch"), "batch"), Thing(part, "part"), wash),)
    leg = reading.leg_before(part, wash)
    yield Reached(leg, "forward", path, after=wash.order)
    while leg.end is not None and not any(f.what == WASHED and f.order > wash.order for f in leg.facts):
        leg = reading.leg(part, leg.end)
        yield Reached(leg, "forward", path)


def _cycle(exposure: Fact) -> Thing:
    return Thing(exposure.the("cycle"), "cycle")


# ---- by kind of question ----


def exposure_in(view: View, cycle: str) -> Fact | None:
    """Return the fact that stands for a cycle's exposure: its end; where it never ended, its loading, or its start."""
    facts = list(view.facts("cycle", cycle))
    ends, loads, starts = ([f for f in facts if f.what == what] for what in (ENDED, LOADED, STARTED))
    return next(iter([*ends[:1], *loads[-1:], *starts[:1], *facts[-1:]]), None)


def _failed(reading: Reading, question: Question) -> Doubts:
    exposure = exposure_in(reading.view, question.code)
    return Doubts((Doubt(exposure),) if exposure else ())


def _positive(reading: Reading, question: Question) -> Doubts:
    exposure = exposure_in(reading.view, question.code)
    if exposure is None or not (equipment := exposure.the("equipment")):
        return Doubts((Doubt(exposure),) if exposure else ())
    good = good_before(reading, equipment, exposure.order)
    earlier = cycles_since(reading, equipment, good, exposure.order)
    later, _next_good = cycles_until_good(reading, equipment, exposure)
    machine = Thing(equipment, "equipment")
    asked = link(_cycle(exposure), machine, exposure)
    around = [f for f in (*earlier, *later) if f.the("cycle") != question.code]
    others = [Doubt(f, (asked, *_doubt_of(machine, f).path)) for f in around]
    return Doubts((Doubt(exposure), *others), (LastGood(machine, good),))


def _faulty(reading: Reading, question: Question) -> Doubts:
    machine, until = Thing(question.code, "equipment"), question.until or LATEST
    if question.since:
        found = cycles_within(reading, question.code, question.since, until)
        return Doubts(tuple(_doubt_of(machine, f) for f in found))
    good = good_before(reading, question.code, just_after(until))
    run = cycles_since(reading, question.code, good, just_after(until))
    found = list({f.event.id: f for f in (*run, *running_at(reading, question.code, until))}.values())
    return Doubts(tuple(_doubt_of(machine, f) for f in found), (LastGood(machine, good),))


def _wrong(reading: Reading, question: Question) -> Doubts:
    batch, facts = Thing(question.code, "batch"), list(reading.view.facts("batch", question.code))
    met = {f.the("cycle"): f for f in facts if f.the("cycle")}
    poured = [
        Doubt(exposure, (link(batch, _cycle(fact), fact),))
        for code, fact in met.items()
        if (exposure := exposure_in(reading.view, code))
    ]
    wiped, washed = ([f for f in facts if f.what == what] for what in (WIPED, WASHED))
    return Doubts((*poured, *map(Doubt, wiped)), washes=tuple(washed))


def _doubt_of(source: Thing, exposure: Fact) -> Doubt:
    return Doubt(exposure, (link(source, _cycle(exposure), exposure),))
