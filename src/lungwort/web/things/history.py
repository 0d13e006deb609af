"""A thing's whole story, newest first, page by page: what was corrected or struck stays in it, with its correction."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import dropwhile, islice

from lungwort.records.chain.event import Event, Thing
from lungwort.records.life.correctable import NEVER
from lungwort.records.life.permissions import LEAD
from lungwort.records.life.witness import Book
from lungwort.records.states.fact import STRUCK, fact_of
from lungwort.records.states.kinds import PersonState
from lungwort.records.states.view import LATEST
from lungwort.web.things.shapes import page_of
from lungwort.web.things.story import sentence

A_PAGE = 50


@dataclass(frozen=True)
class Link:
    """Another thing of an entry; `address` is "" where it has no page."""

    code: str
    address: str


@dataclass(frozen=True)
class Correction:
    """What corrected or struck an entry: who, when it was recorded, why, and what is said instead; "" for nothing."""

    who: str
    recorded_at: str
    why: str
    says: str


@dataclass(frozen=True)
class Entry:
    """An entry of a story; `in_place_of` is why it was written in place of another, `against` the rules it broke."""

    id: str
    at: str
    recorded_at: str
    who: str
    says: str
    links: Sequence[Link]
    files: Sequence[str]
    late: str
    in_place_of: str
    against: Sequence[str]
    exception: bool
    undone: Correction | None
    amendable: bool


@dataclass(frozen=True)
class Story:
    """A page of a story; `older` is where the next page begins, "" at the end."""

    entries: Sequence[Entry]
    older: str


def story_of(book: Book, person: PersonState, thing: tuple[str, str], before: str = "") -> Story:
    """Return a page of a thing's story.

    Args:
        book: the records of its place.
        person: who reads it, as to what they may correct.
        thing: its kind and code.
        before: `older` of the page before; "" for the newest.
    """
    found = _events(book, thing, before, A_PAGE + 1)
    shown = found[:A_PAGE]
    undone = book.store.corrections_of(book.place, [event.id for event in shown])
    entries = [entry(event, undone, person, thing) for event in shown if event.what != STRUCK]
    return Story(entries, f"{shown[-1].happened_at}~{shown[-1].sequence}" if len(found) > A_PAGE else "")


def _events(book: Book, thing: tuple[str, str], before: str, count: int) -> list[Event]:
    moment, _apart, number = before.partition("~")
    last = (
        (moment, int(number)) if number.isascii() and number.isdigit() and len(number) < 19 else (LATEST, 0)
    )
    events = book.store.about(book.place, *thing, until=last[0], newest_first=True)
    return list(islice(dropwhile(lambda event: (event.happened_at, event.sequence) >= last, events), count))


def entry(event: Event, undone: Mapping[str, Event], person: PersonState, thing: tuple[str, str]) -> Entry:
    """Return an event as an entry of a thing's story."""
    fact, by = fact_of(event), undone.get(event.id)
    others = [other for other in fact.things if (other.part, other.code) != thing]
    return Entry(
        id=event.id,
        at=event.happened_at,
        recorded_at=event.recorded_at,
        who=event.who,
        says=sentence(fact),
        links=_links(others),
        files=[str(file.get("file_name", "")) for file in event.content["evidence"]],
        late=str(fact.data.get("late", "")),
        in_place_of=str(event.data.get("why", "")) if fact.corrects else "",
        against=tuple(map(str, (*fact.data.get("against", ()), *fact.data.get("overruled", ())))),
        exception=fact.what == "part.released_by_exception",
        undone=_correction(by) if by else None,
        amendable=by is None and may_amend(person, event),
    )


def may_amend(person: PersonState, event: Event) -> bool:
    """Return whether somebody may try to correct an event: it is their own, or they are the lead."""
    own = event.who == person.code or LEAD in person.roles
    return own and fact_of(event).what not in NEVER and event.what != STRUCK


def _links(others: Sequence[Thing]) -> list[Link]:
    pages = [(other.code, page_of(other.part, other.code)) for other in others]
    return [Link(code, address) for code, address in pages if address]


def _correction(by: Event) -> Correction:
    fact = fact_of(by)
    says = "" if by.what == STRUCK else sentence(fact)
    return Correction(by.who, by.recorded_at, str(by.data.get("why", "")), says)
