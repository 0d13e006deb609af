"""The uses of a part that turned out defective, back to its last inspection without defect."""

from __future__ import annotations

from collections.abc import Iterator

from lungwort.records.look_back.legs import (
    BY_EXCEPTION,
    CHECKED,
    CONNECTED,
    DISCONNECTED,
    RELEASED,
    Leg,
    Use,
    just_after,
    use_at,
)
from lungwort.records.look_back.question import Question
from lungwort.records.look_back.result import Evidence
from lungwort.records.states.fact import Fact
from lungwort.records.states.view import LATEST, View

INSPECTED = "part.inspected"
KEPT = (CONNECTED, DISCONNECTED, CHECKED, RELEASED, BY_EXCEPTION)


def uses_while_doubted(view: View, question: Question) -> tuple[tuple[Use, ...], Evidence]:
    """Return the uses of a part since its last inspection without defect, and that inspection.

    With `since` the uses from then on, one that was going on included, and no inspection. `until` is the moment up to
    which it is asked, such as when the defect was found.
    """
    good, facts = Evidence(), list[Fact]()
    until = just_after(question.until or LATEST)
    for fact in view.facts("part", question.code, question.since, until[0], newest_first=True):
        if fact.what == INSPECTED and not fact.data.get("defect") and not question.since:
            good = Evidence("inspection", question.code, fact.at)
            break
        if fact.what in KEPT:
            facts.append(fact)
    begun = use_at(view, question.code, (question.since, 0)) if question.since else None
    return Leg(question.code, None, None, tuple(_in_order(begun, facts))).uses, good


def defect_before(view: View, code: str, good: Evidence) -> str:
    """Return when a defect of a part was recorded last before an inspection without defect; "" for never."""
    facts = view.facts("part", code, until=good.at, newest_first=True) if good.kind else iter(())
    return next((f.at for f in facts if f.what == INSPECTED and f.data.get("defect")), "")


def _in_order(begun: Fact | None, newest_first: list[Fact]) -> Iterator[Fact]:
    if begun is not None:
        yield begun
    yield from reversed(newest_first)


def sound_since(view: View, question: Question) -> Evidence:
    """Return the first inspection without defect after the period asked about; none where no end of it was given."""
    if not question.until:
        return Evidence()
    facts = view.facts("part", question.code, since=question.until)
    sound = (f for f in facts if f.what == INSPECTED and not f.data.get("defect") and f.at > question.until)
    return next((Evidence("inspection", question.code, f.at) for f in sound), Evidence())
