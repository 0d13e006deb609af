"""What may be corrected of an event, and when: so that states after a correction are those of a life that could be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from lungwort.language import _
from lungwort.records.chain.event import Thing
from lungwort.records.chain.identity import moment_text
from lungwort.records.life.known import in_force, kind_words, known
from lungwort.records.life.people import one_administrator
from lungwort.records.life.permissions import deed_words
from lungwort.records.life.reasons import Reason, time_words
from lungwort.records.states.fact import Fact
from lungwort.records.states.kinds import KINDS, PartState, ProtocolState
from lungwort.records.states.view import View

NEVER = ("place.opened", "protocol.published")
"""What all else stands on: a place stays open, and a version is withdrawn."""

ONLY_STRUCK = (
    "set_up.checked",
    "cycle.evidence_attached",
    "cycle.judged",
    "part.released",
    "part.released_by_exception",
    "part.quarantine_lifted",
    "person.enrolled",
    "person.roles_given",
    "person.left",
    "person.trained",
    "criterion.adopted",
    "criterion.dropped",
    "protocol.withdrawn",
)
"""Decisions, checks, and what carries evidence: struck and made anew by their own rules, never written otherwise."""

RESTS_ON_IT: Mapping[str, tuple[str, ...]] = {
    "set_up.joined": ("set_up.checked", "set_up.connected", "set_up.disconnected", "set_up.parted"),
    "set_up.connected": ("set_up.disconnected",),
    "cycle.loaded": (
        "cycle.started",
        "cycle.ended",
        "cycle.abandoned",
        "cycle.evidence_attached",
        "cycle.judged",
    ),
    "cycle.started": ("cycle.ended", "cycle.judged"),
    "cycle.ended": ("cycle.judged",),
    "cycle.evidence_attached": ("cycle.judged",),
}
"""By kind of event, the later ones about the same set-up or cycle that rest on it."""

ENROLS = ("part.enrolled", "equipment.enrolled", "batch.enrolled", "person.enrolled")

OPTIONAL = ("expires_on", "defect", "lot", "made_on", "note", "late", "against")
DAYS = ("expires_on", "made_on", "due", "calibration_due")
FOLLOWS = ("machine", "single_patient", "kinds", "protocol", "process", "duty")
"""What a deed works out, or was trained for; it is worked out anew, or stays as it was."""

FIXED = ("set_up", "cycle", "equipment", "criterion", "person")
"""Things that a correction cannot exchange: such an event is struck, and the other recorded afterwards."""


def can_be_struck(view: View, fact: Fact) -> Iterator[Reason]:
    """Yield why an event cannot be struck: it never can, or others rest on it."""
    yield from _not_never(fact.what)
    yield from _nothing_rests_on(view, fact)
    if fact.what in ENROLS:
        yield from _nothing_else_known(view, fact)
    if fact.what in ("person.enrolled", "person.roles_given"):
        yield from one_administrator(view, fact.the("person"))


def can_be_corrected(
    view: View, fact: Fact, data: Mapping[str, Any], things: Sequence[Thing], happened_at: datetime | None
) -> Iterator[Reason]:
    """Yield why an event cannot be written as is asked."""
    yield from _not_never(fact.what)
    if fact.what in ONLY_STRUCK:
        says = _("{what} is not written otherwise by a correction").format(what=deed_words(fact.what))
        yield Reason("event", says, _("strike it and record it anew"), firm=True)
    if fact.what.startswith("cycle.") or _beside_ward(things) != _beside_ward(fact.things):
        yield from _nothing_rests_on(view, fact)
    if sorted(things) != sorted(fact.things):
        yield from _same_kinds(fact, things)
        yield from _all_known(view, things)
        yield from _parts_alike(view, fact, things)
    yield from _same_form(fact.data, data)
    if fact.what == "part.enrolled":
        yield from _of_its_kind(view, data)
    elif fact.what == "cycle.loaded":
        yield from _kinds_of_its_parts(view, fact, data, things)
    else:
        yield from _same_values(fact.data, data)
    if happened_at is not None:
        yield from _in_order(view, fact, happened_at)


def _not_never(what: str) -> Iterator[Reason]:
    if what in NEVER:
        says = _("{what} stays as it is").format(what=deed_words(what))
        yield Reason("event", says, _("withdraw the version, or record what is so now"), firm=True)


def _nothing_rests_on(view: View, fact: Fact) -> Iterator[Reason]:
    """Yield what rests on an event; what stands on it goes first, the last one first."""
    kind = fact.what.split(".")[0]
    for later in view.facts(kind, fact.the(kind)) if fact.what in RESTS_ON_IT else ():
        if later.order > fact.order and later.what in RESTS_ON_IT[fact.what]:
            says = _("this rests on it: {what}, {at} (event {id})")
            says = says.format(what=deed_words(later.what), at=time_words(later.at), id=later.event.id)
            next_step = _("strike that one first; afterwards record it anew as it was")
            yield Reason("event", says, next_step, firm=True)


def _nothing_else_known(view: View, fact: Fact) -> Iterator[Reason]:
    kind = fact.what.split(".")[0]
    code = fact.the(kind)
    if any(other.event.id != fact.event.id for other in view.facts(kind, code)):
        says = _("more is recorded of {code} than that it was enrolled").format(code=code)
        yield Reason(
            "event", says, _("correct what is wrong in it, or withdraw {code}").format(code=code), True
        )


# ---- the things ----


def _same_kinds(fact: Fact, things: Sequence[Thing]) -> Iterator[Reason]:
    """Yield what is missing or too many, and what cannot be exchanged; parts of a set-up or a load belong to it."""
    own = (fact.what.split(".")[0],) if fact.what in ENROLS else ()
    parts = ("part",) if fact.what.startswith(_OF_MANY) and fact.what not in _PUTS_TOGETHER else ()
    fixed = (*FIXED, *own, *parts)
    for kind in sorted({thing.part for thing in (*things, *fact.things)}):
        old, new = ([t.code for t in found if t.part == kind] for found in (fact.things, things))
        if kind in fixed and sorted(old) != sorted(new):
            says = _("{old} cannot be exchanged for {new}")
            says = says.format(old=", ".join(old) or "–", new=", ".join(new) or "–")
            yield Reason("event", says, _("strike it, and record afterwards what happened"), firm=True)
        elif bool(old) != bool(new) and kind not in ("batch", "tag"):
            says = _("{what} asks for the same kinds of things; {kind}: {codes}").format(
                what=deed_words(fact.what), kind=kind_words(kind), codes=", ".join(new) or _("none")
            )
            yield Reason("event", says, _("give all the things that took part"), firm=True)


_OF_MANY = ("set_up.", "cycle.")
_PUTS_TOGETHER = ("set_up.joined", "cycle.loaded")


def _beside_ward(things: Sequence[Thing]) -> list[Thing]:
    return sorted(thing for thing in things if thing.part not in ("ward", "tag"))


def _parts_alike(view: View, fact: Fact, things: Sequence[Thing]) -> Iterator[Reason]:
    """Yield the parts of another kind: what was done on them is another deed, by another training."""
    if not fact.what.startswith("part."):
        return
    kinds = {_kind_of(view, code) for code in fact.by_kind.get("part", ())}
    for code in (thing.code for thing in things if thing.part == "part"):
        if (kind := _kind_of(view, code)) not in kinds:
            says = _("{code} is a {kind}, a part of another kind").format(code=code, kind=kind)
            yield Reason("event", says, _("strike it, and record afterwards what happened"), firm=True)


def _kind_of(view: View, code: str) -> str:
    state = view.state(PartState, code)
    return state.of_kind if state else ""


def _all_known(view: View, things: Sequence[Thing]) -> Iterator[Reason]:
    for thing in things:
        if thing.part in KINDS and thing.part != "patient":
            known(view, KINDS[thing.part], thing.code)
    yield from ()


# ---- the data ----


def _same_form(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[Reason]:
    for key in sorted({*old, *new}):
        if key not in OPTIONAL and (key in old) != (key in new):
            says = _("{key} is missing, or is nothing that such an entry says").format(key=key)
            yield Reason("form", says, _("give all that such an entry says, and no more"), firm=True)
        elif key in old and key in new and type(old[key]) is not type(new[key]):
            says = _("{key} cannot be {value!r}").format(key=key, value=new[key])
            yield Reason("form", says, _("give it in the form it had"), firm=True)
        elif key == "checks" and not set(new[key]) <= set(old[key]):
            says = _("more was checked than was recorded")
            yield Reason("form", says, _("record the other checks by themselves"), firm=True)
        elif key in DAYS and key in new and not _is_day(new[key]):
            says = _("{key} cannot be {value!r}").format(key=key, value=new[key])
            yield Reason("form", says, _("give a day, such as 2026-11-25"), firm=True)


def _is_day(text: Any) -> bool:
    try:
        return text == "" or bool(date.fromisoformat(text).isoformat() == text)
    except (TypeError, ValueError):
        return False


def _same_values(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[Reason]:
    for key in FOLLOWS:
        if key in old and old[key] != new.get(key):
            says = _("{key} follows from the things of this entry").format(key=key)
            yield Reason("form", says, _("leave it as it was, or correct the things"), firm=True)


def _of_its_kind(view: View, data: Mapping[str, Any]) -> Iterator[Reason]:
    """Yield where an enrolment would say of a part what the protocol does not say of its kind."""
    kind = in_force(view).kind(data.get("kind", ""))
    if kind is None:
        says = _("the protocol in force has no kind called {name!r}").format(name=data.get("kind"))
        yield Reason("protocol", says, _("give a kind in the words of the protocol"), firm=True)
        return
    so = {"kind": kind.name, "machine": kind.machine, "single_patient": kind.reuse == "single patient"}
    for key in (key for key, value in so.items() if data.get(key) != value):
        says = _("{key} of a {kind} is {value}").format(key=key, kind=kind.name, value=so[key])
        yield Reason("protocol", says, _("say so, or have the protocol changed"), firm=True)
    if data.get("cycles", 0) < 0:
        says = _("{count} treatments before enrolment cannot be").format(count=data["cycles"])
        yield Reason("cycles", says, _("give how many it went through, 0 where it is new"), firm=True)


def _kinds_of_its_parts(
    view: View, fact: Fact, data: Mapping[str, Any], things: Sequence[Thing]
) -> Iterator[Reason]:
    parts = [known(view, PartState, thing.code) for thing in things if thing.part == "part"]
    kinds = sorted({part.of_kind for part in parts})
    if data.get("kinds") != kinds:
        says = _("the kinds of these parts are {kinds}").format(kinds="; ".join(kinds))
        yield Reason("form", says, _("say so"), firm=True)
    versions = known(view, ProtocolState, "protocol").versions
    if data.get("protocol") != fact.data.get("protocol") or data.get("protocol") not in versions:
        says = _("the protocol version stays {version}").format(version=fact.data.get("protocol"))
        yield Reason("form", says, _("strike the load and begin anew by another version"), firm=True)


# ---- the time ----


def _in_order(view: View, fact: Fact, happened_at: datetime) -> Iterator[Reason]:
    """Yield what a new time would jump over of the same set-up or cycle, or that it is still to come."""
    when = moment_text(happened_at)
    if happened_at > view.now:
        says = _("{when} is still to come").format(when=time_words(when))
        yield Reason("when", says, _("give the time at which it happened"), firm=True)
    kind = fact.what.split(".")[0]
    first, last = sorted((when, fact.at))
    between = view.facts(kind, fact.the(kind), first, last) if kind in ("set_up", "cycle") else iter(())
    for other in (f for f in between if f.event.id != fact.event.id and not f.what.endswith("duty_done")):
        says = _("between the old time and the new lies this: {what}, {at}")
        says = says.format(what=deed_words(other.what), at=time_words(other.at))
        yield Reason("when", says, _("correct that one first, or give another time"), firm=True)
