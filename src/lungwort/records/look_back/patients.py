"""Where a look-back from a patient begins: the legs of every part that the patient used; and who was near."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from lungwort.records.chain.event import Thing
from lungwort.records.look_back.legs import CONNECTED, DISCONNECTED, FIRST, LAST, Use
from lungwort.records.look_back.question import Question
from lungwort.records.look_back.reading import Reading
from lungwort.records.look_back.result import WardMate
from lungwort.records.look_back.walk import Reached, link
from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import SetUpState
from lungwort.records.states.view import LATEST, View


def uses_of(view: View, patient: str, since: str = "", until: str = "") -> list[Use]:
    """Return a patient's uses that lie in a period or reach into it, in order."""
    facts = list(view.facts("patient", patient))
    uses = [Use(f, _end(facts, f)) for f in facts if f.what == CONNECTED and f.at <= (until or LATEST)]
    return [use for use in uses if use.disconnected is None or use.disconnected.at >= since]


def _end(facts: list[Fact], connected: Fact) -> Fact | None:
    ends = (f for f in facts if f.what == DISCONNECTED and f.the("set_up") == connected.the("set_up"))
    return next((f for f in ends if f.order > connected.order), None)


def legs_of(reading: Reading, uses: list[Use]) -> list[Reached]:
    """Return the legs in which a patient used parts: forward from the first use in each, backward from the last."""
    forward, backward = dict[tuple[object, ...], Reached](), dict[tuple[object, ...], Reached]()
    for use in uses:
        for here in _reached(reading, use):
            place = here.leg.part, here.leg.begins
            forward.setdefault(place, here)
            backward[place] = replace(here, direction="backward", after=FIRST, before=use.connected.order)
    return [*forward.values(), *backward.values()]


def _reached(reading: Reading, use: Use) -> Iterator[Reached]:
    for part in use.connected.by_kind.get("part", ()):
        leg = reading.leg_before(part, use.connected)
        tie = link(Thing(use.patient, "patient"), Thing(part, "part"), use.connected)
        yield Reached(leg, "forward", (tie,), after=use.connected.order)


# ---- the same ward at the same time ----


def ward_mates(view: View, question: Question, uses: list[Use]) -> tuple[WardMate, ...]:
    """Return the patients who were connected in the same ward while the patient asked about was, each stay once."""
    found = {mate: None for use in uses for mate in _mates(view, use) if mate.patient != question.code}
    return tuple(sorted(found, key=lambda mate: (mate.connected_at, mate.set_up)))


def _mates(view: View, use: Use) -> Iterator[WardMate]:
    """Yield who came while the patient was there, and who was there before and left later, or is there still."""
    ward, ended = use.connected.the("ward"), use.disconnected.order if use.disconnected else LAST
    came: set[str] = set()
    for fact in view.facts("ward", ward, since=use.connected.at) if ward else ():
        if fact.order <= use.connected.order:
            continue
        if fact.what == CONNECTED:
            came.add(fact.the("set_up"))
            if fact.order < ended:
                yield _mate(fact)
        elif fact.what == DISCONNECTED and fact.the("set_up") not in came:
            yield from _there_before(view, fact.the("set_up"), use)
    for state in view.states(SetUpState, "in use"):
        if state.ward == ward and state.code not in came:
            yield from _there_before(view, state.code, use)


def _there_before(view: View, set_up: str, use: Use) -> Iterator[WardMate]:
    facts = view.facts("set_up", set_up, until=use.connected.at)
    yield from (_mate(f) for f in facts if f.what == CONNECTED and f.order < use.connected.order)


def _mate(connected: Fact) -> WardMate:
    return WardMate(connected.the("patient"), connected.the("ward"), connected.the("set_up"), connected.at)
