"""A look-back in sentences, for the terminal, the page and the paper alike."""

from __future__ import annotations

from datetime import UTC, tzinfo

from lungwort.language import _, ngettext
from lungwort.records.chain.event import Thing
from lungwort.records.chain.identity import moment_of
from lungwort.records.life.status import status_words as status_word
from lungwort.records.look_back.question import Question
from lungwort.records.look_back.result import (
    DoubtedCycle,
    Evidence,
    Exposure,
    LastGood,
    Link,
    LookBack,
    Path,
    Person,
    TouchedPart,
    WardMate,
)
from lungwort.wording import day, moment

ARROW = " → "


# ---- moments ----


def moment_words(at: str, zone: tzinfo | None = UTC) -> str:
    """Write a moment of an event for a reader; `zone` None is the machine's own.

    >>> moment_words("2026-03-02T08:10:00.000000Z")
    '2 March 2026 08:10 UTC'
    """
    return moment(moment_of(at).astimezone(zone))


def period_words(since: str, until: str, zone: tzinfo | None = UTC) -> str:
    """Write from when to when; with `until` "" it goes on.

    >>> period_words("2026-03-02T08:10:00.000000Z", "2026-03-02T09:00:00.000000Z")
    '2 March 2026 08:10 to 09:00 UTC'
    """
    if not until:
        return _("since {since}").format(since=moment_words(since, zone))
    begun, ended = (moment_of(at).astimezone(zone) for at in (since, until))
    first = f"{day(begun)} {begun:%H:%M}"
    last = f"{ended:%H:%M} {ended.tzname()}" if begun.date() == ended.date() else moment(ended)
    return _("{since} to {until}").format(since=first, until=last)


# ---- the question ----


def _asked(kind: str) -> str:
    words = {
        "failed cycle": _("Look-back from cycle {code}, whose proof failed or is doubted"),
        "positive indicator": _("Look-back from a positive biological indicator in cycle {code}"),
        "faulty equipment": _("Look-back from faulty equipment {code}"),
        "wrong batch": _("Look-back from a wrong batch, {code}"),
        "defective part": _("Look-back from a defective part, {code}"),
        "infected patient": _("Look-back around infected patient {code}"),
    }
    return words[kind]


def question_words(question: Question, zone: tzinfo | None = UTC) -> str:
    """Say what was asked, with its period."""
    asked = _asked(question.start_kind).format(code=question.code)
    if question.since and question.until:
        return f"{asked}, {period_words(question.since, question.until, zone)}"
    if question.since:
        return f"{asked}, {_('since {moment}').format(moment=moment_words(question.since, zone))}"
    if question.until:
        return f"{asked}, {_('until {moment}').format(moment=moment_words(question.until, zone))}"
    return asked


def headline(answer: LookBack) -> str:
    """Say first what matters first: how much is still out."""
    count = len(answer.still_out)
    if count:
        return ngettext("{n} part is still out", "{n} parts are still out", count).format(n=count)
    return _("No touched part is recorded as still out")


def summary(answer: LookBack) -> str:
    """Say in a sentence how many uses, patients, wards and parts were found."""
    if not answer.exposures:
        return _("No exposure of a patient is recorded.")
    patients, wards = len(answer.patients), len({e.ward for e in answer.exposures if e.ward})
    uses, parts = len(answer.exposures), len({code for e in answer.exposures for code in e.parts})
    return _("{patients} in {wards}: {uses} of {parts}.").format(
        patients=ngettext("{n} patient", "{n} patients", patients).format(n=patients),
        wards=ngettext("{n} ward", "{n} wards", wards).format(n=wards),
        uses=ngettext("{n} use", "{n} uses", uses).format(n=uses),
        parts=ngettext("{n} touched part", "{n} touched parts", parts).format(n=parts),
    )


# ---- things and links ----


def _kind(kind: str) -> str:
    words = {
        "cycle": _("cycle {code}"),
        "part": _("part {code}"),
        "patient": _("patient {code}"),
        "equipment": _("equipment {code}"),
        "batch": _("batch {code}"),
    }
    return words[kind]


def thing_words(thing: Thing) -> str:
    """Name a thing with its kind.

    >>> thing_words(Thing("Y-7", "cycle"))
    'cycle Y-7'
    """
    return _kind(thing.part).format(code=thing.code)


def _told(start: str, end: str) -> str:
    words = {
        ("cycle", "part"): _("{start} had {end} in its load"),
        ("part", "cycle"): _("{start} went through {end}"),
        ("part", "patient"): _("{start} was on {end}"),
        ("patient", "part"): _("{start} was connected to {end}"),
        ("cycle", "equipment"): _("{start} was run by {end}"),
        ("equipment", "cycle"): _("{start} ran {end}"),
        ("batch", "cycle"): _("{start} was used in {end}"),
        ("batch", "part"): _("{start} was used on {end}"),
        ("part", "part"): _("{start} was wiped, but not released by the rules"),
    }
    return words[start, end]


def link_words(link: Link, zone: tzinfo | None = UTC) -> str:
    """Say what brought two things together, and when."""
    told = _told(link.start.part, link.end.part)
    told = told.format(start=thing_words(link.start), end=thing_words(link.end))
    return _("{told}, {moment}").format(told=told, moment=moment_words(link.at, zone))


def path_words(path: Path) -> str:
    """Write a path in short: its things, with arrows."""
    return ARROW.join([thing_words(path[0].start), *(thing_words(link.end) for link in path)])


# ---- what was found ----


def now_words(part: TouchedPart) -> str:
    """Say what a part is now, and where it is while on a patient."""
    if part.status != "in use":
        return status_word(part.status) if part.status else _("never enrolled")
    where = _("in use on patient {patient}, set-up {set_up}").format(
        patient=part.patient or "–", set_up=part.set_up or "–"
    )
    return _("{where}, ward {ward}").format(where=where, ward=part.ward) if part.ward else where


def part_words(part: TouchedPart) -> str:
    """Name a part, its kind and what it is now."""
    named = f"{part.code} ({part.of_kind})" if part.of_kind else part.code
    return _("{part}: {status}").format(part=named, status=now_words(part))


def _good(kind: str) -> str:
    words = {
        "": _("none found"),
        "cycle": _("cycle {code}, passed, {moment}"),
        "indicator": _("cycle {code}, negative biological indicator, {moment}"),
        "wipe": _("wiped, not proved, {moment}"),
        "inspection": _("inspected without defect, {moment}"),
        "new": _("came new, for a single patient, {moment}"),
    }
    return words[kind]


def evidence_words(evidence: Evidence, zone: tzinfo | None = UTC) -> str:
    """Say what the good evidence is."""
    told = _good(evidence.kind)
    return told.format(code=evidence.code, moment=moment_words(evidence.at, zone)) if evidence.kind else told


def last_good_words(good: LastGood, zone: tzinfo | None = UTC) -> str:
    """Say where the walk back from a thing stopped."""
    return _("{thing}: {evidence}").format(
        thing=thing_words(good.thing), evidence=evidence_words(good.evidence, zone)
    )


def _judged(outcome: str) -> str:
    words = {
        "passed": _("passed"),
        "failed": _("failed"),
        "not shown": _("not shown"),
    }
    return words.get(outcome, _("not judged"))


def outcome_words(cycle: DoubtedCycle) -> str:
    """Say how a cycle was judged, and that it is doubted nevertheless."""
    judged = _judged(cycle.outcome)
    return _("judged passed, doubted here") if cycle.doubted and cycle.outcome == "passed" else judged


def cycle_words(cycle: DoubtedCycle, zone: tzinfo | None = UTC) -> str:
    """Name a cycle with its equipment, its end and its outcome."""
    batch = _("batch {code}").format(code=cycle.batch) if cycle.batch else ""
    ended = moment_words(cycle.ended_at, zone) if cycle.ended_at else _("never ended")
    told = (cycle.code, cycle.process, cycle.equipment, batch, ended, outcome_words(cycle))
    return ", ".join(text for text in told if text)


def use_words(exposure: Exposure, zone: tzinfo | None = UTC) -> str:
    """Say who, where, when and through which parts."""
    told = _("{patient}, ward {ward}, {period}: set-up {set_up}, {parts}").format(
        patient=exposure.patient,
        ward=exposure.ward or "–",
        period=period_words(exposure.connected_at, exposure.disconnected_at, zone),
        set_up=exposure.set_up,
        parts=", ".join(exposure.parts),
    )
    remarks = remarks_of(exposure)
    return _("{told} ({remarks})").format(told=told, remarks=", ".join(remarks)) if remarks else told


def remarks_of(exposure: Exposure) -> list[str]:
    """Return what is special about a use."""
    return [
        *([_("still connected")] if not exposure.disconnected_at else []),
        *([_("released by exception")] if exposure.by_exception else []),
        *([_("entered afterwards")] if exposure.late else []),
    ]


def _did(deed: str) -> str:
    words = {
        "connected": _("connected"),
        "disconnected": _("disconnected"),
        "checked": _("checked the set-up"),
        "released": _("released"),
        "released by exception": _("released by exception"),
        "agreed to an exception": _("agreed to an exception"),
        "ended the cycle": _("ended the cycle"),
        "judged the cycle": _("judged the cycle"),
        "loaded the cycle": _("loaded the cycle"),
        "started the cycle": _("started the cycle"),
        "attached evidence": _("attached evidence"),
        "took apart": _("took apart"),
        "dried": _("dried"),
        "inspected": _("inspected"),
        "joined the set-up": _("joined the set-up"),
        "wiped": _("wiped"),
        "washed": _("washed"),
    }
    return words[deed]


def person_words(person: Person) -> str:
    """Name a person with all that he or she did."""
    did = ", ".join(_did(deed) for deed in person.did)
    return _("{person}: {did}").format(person=person.code, did=did)


def mate_words(mate: WardMate, zone: tzinfo | None = UTC) -> str:
    """Name a patient of the same ward at the same time."""
    text = _("{patient}, ward {ward}, set-up {set_up}, connected {moment}")
    return text.format(
        patient=mate.patient,
        ward=mate.ward,
        set_up=mate.set_up,
        moment=moment_words(mate.connected_at, zone),
    )
