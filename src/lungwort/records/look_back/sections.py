"""A look-back set out in sections, in the order in which a committee needs them: what is still out comes first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, tzinfo

from lungwort.language import _
from lungwort.records.life.held import hold_words
from lungwort.records.look_back.next_steps import next_steps
from lungwort.records.look_back.result import Exposure, LookBack, Person, TouchedPart
from lungwort.records.look_back.words import (
    cycle_words,
    evidence_words,
    last_good_words,
    mate_words,
    moment_words,
    part_words,
    path_words,
    person_words,
    use_words,
)


@dataclass(frozen=True)
class Entry:
    """A sentence, and what belongs under it."""

    says: str
    details: tuple[str, ...] = ()


@dataclass(frozen=True)
class Section:
    """A heading and its entries."""

    heading: str
    entries: tuple[Entry, ...]


def sections(answer: LookBack, zone: tzinfo | None = UTC) -> tuple[Section, ...]:
    """Return all that an answer has to say, sections without entries left out; `zone` None is the machine's own."""
    told = (
        (_("Still out: take out first"), _plain(part_words(part) for part in answer.still_out)),
        (_("What to do now"), _plain(next_steps(answer))),
        *((heading, tuple(_use(e, zone) for e in uses)) for heading, uses in uses_by_heading(answer)),
        (
            _("Same ward at the same time, no part shared"),
            _plain(mate_words(mate, zone) for mate in answer.same_ward),
        ),
        (_("Parts touched"), tuple(_part(part, zone) for part in answer.parts)),
        (_("Cycles, wipes and washes"), _plain(treatments(answer, zone))),
        (_("Last good evidence"), _plain(last_good_words(good, zone) for good in answer.last_good)),
        (_("Who can tell"), _plain(map(person_words, answer.persons))),
        (_("Not shown"), _plain(answer.not_shown)),
    )
    return tuple(Section(heading, entries) for heading, entries in told if entries)


def forward_heading(answer: LookBack) -> str:
    """Return what the list of exposures is called."""
    if answer.question.start_kind == "infected patient":
        return _("After: who was exposed to the patient's parts")
    return _("Who was exposed")


def _plain(sentences: Iterable[str]) -> tuple[Entry, ...]:
    return tuple(Entry(text) for text in sentences)


def uses_by_heading(answer: LookBack) -> tuple[tuple[str, tuple[Exposure, ...]], ...]:
    """Return the uses under their headings: those exposed, those it may have come from, those before a treatment."""
    ways = {way: tuple(e for e in answer.exposures if e.direction == way) for way in ("forward", "backward")}
    return (
        (forward_heading(answer), ways["forward"]),
        (_("Before: from whom it may have come"), ways["backward"]),
        (_("Before: whose use the treatment had to make good"), answer.sources),
    )


def _use(exposure: Exposure, zone: tzinfo | None) -> Entry:
    return Entry(use_words(exposure, zone), (path_words(exposure.path), people_words(exposure)))


def people_words(exposure: Exposure) -> str:
    """Name those who connected, checked, released and disconnected."""
    did: dict[str, list[str]] = {}
    for deed in exposure.persons:
        did.setdefault(deed.person, []).append(deed.did)
    return "; ".join(person_words(Person(code, tuple(deeds))) for code, deeds in did.items())


def _part(part: TouchedPart, zone: tzinfo | None) -> Entry:
    since = _("good evidence since: {evidence}").format(evidence=evidence_words(part.good_since, zone))
    held = [_("held: {reasons}").format(reasons="; ".join(map(hold_words, part.held)))] if part.held else []
    return Entry(part_words(part), (since, *held))


def treatments(answer: LookBack, zone: tzinfo | None = UTC) -> Iterator[str]:
    """Yield the cycles, wipes and washes that are doubted, and the cycles that parts went through without passing."""
    yield from (cycle_words(cycle, zone) for cycle in answer.cycles)
    for wipe in answer.wipes:
        wiped, washed = (
            _("wiped with batch {batch}, {moment}: {parts}"),
            _("washed with batch {batch}, {moment}: {parts}"),
        )
        text = washed if wipe.wash else wiped
        yield text.format(batch=wipe.batch, moment=moment_words(wipe.at, zone), parts=", ".join(wipe.parts))
