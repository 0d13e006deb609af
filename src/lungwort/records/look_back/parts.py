"""What touched parts are now, and whether good treatment met them since."""

from __future__ import annotations

from collections.abc import Iterable

from lungwort.records.chain.event import Thing
from lungwort.records.look_back.legs import Leg
from lungwort.records.look_back.question import Question
from lungwort.records.look_back.reading import Reading, evidence_of, is_good
from lungwort.records.look_back.result import Evidence, LastGood, TouchedPart
from lungwort.records.look_back.walk import Reached
from lungwort.records.states.kinds import PartState, SetUpState
from lungwort.records.states.view import View

OUT = ("in use", "ready")
MOST_ONWARD = 200
"""How many legs on good evidence is looked for before the answer is that none was found. Ours, no source."""


def last_legs(reached: Iterable[Reached]) -> dict[str, Leg]:
    """Return the latest touched leg of each part."""
    found: dict[str, Leg] = {}
    for here in reached:
        known = found.get(here.leg.part)
        if known is None or here.leg.begins > known.begins:
            found[here.leg.part] = here.leg
    return found


def good_since(reading: Reading, leg: Leg) -> Evidence:
    """Return the first good evidence of a part after a leg; kind "" where none was found."""
    for _turn in range(MOST_ONWARD):
        if leg.end is None:
            break
        if is_good(reading, leg.part, leg.end):
            return evidence_of(leg.end)
        leg = reading.leg(leg.part, leg.end)
    return Evidence()


def touched_part(view: View, code: str, since: Evidence) -> TouchedPart:
    """Return what a part is now and where."""
    state = view.state(PartState, code) or PartState(code)
    in_set_up = view.state(SetUpState, state.set_up) if state.status == "in use" and state.set_up else None
    return TouchedPart(
        code,
        of_kind=state.of_kind,
        machine=state.machine,
        status=state.status,
        set_up=state.set_up,
        patient=state.patient,
        ward=in_set_up.ward if in_set_up else "",
        good_since=since,
        held=state.held,
    )


def still_out(question: Question, parts: Iterable[TouchedPart]) -> tuple[TouchedPart, ...]:
    """Return the parts that are on a patient or ready for one without good evidence since, those on a patient first.

    What is on the infected patient asked about stays there; it reaches nobody else before it leaves.
    """
    asked = question.code if question.start_kind == "infected patient" else None
    out = [
        p
        for p in parts
        if p.status in OUT and not p.good_since.kind and (not p.patient or p.patient != asked)
    ]
    return tuple(sorted(out, key=lambda p: (OUT.index(p.status), p.ward, p.code)))


def stops_behind(reading: Reading, reached: Iterable[Reached]) -> tuple[LastGood, ...]:
    """Return for each part the good evidence at which the walk back stopped; kind "" where there was none."""
    first: dict[str, Leg] = {}
    for here in reached:
        known = first.get(here.leg.part)
        if here.direction == "backward" and (known is None or here.leg.begins < known.begins):
            first[here.leg.part] = here.leg
    return tuple(LastGood(Thing(part, "part"), _stop(reading, first[part])) for part in sorted(first))


def _stop(reading: Reading, leg: Leg) -> Evidence:
    if leg.begin is not None:
        return evidence_of(leg.begin) if is_good(reading, leg.part, leg.begin) else Evidence()
    state = reading.view.state(PartState, leg.part)
    came_new = state is not None and state.single_patient
    return Evidence("new", leg.part, state.enrolled_at) if state and came_new else Evidence()
