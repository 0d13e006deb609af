"""Duties: what is usually checked before and after use, and done while a patient is connected, from duties.toml."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from lungwort.errors import UnusableLibrary
from lungwort.language import _
from lungwort.library.loading import Basis, find, plain, row, shipped, tables
from lungwort.library.parts import parts_by_name

FILE = "duties.toml"

When = Literal["before use", "after use", "in use"]


@dataclass(frozen=True)
class Usual:
    """A check or duty that is usual for the generic parts it names: a suggestion, and the maker's instructions win.

    `known_by` says by which words a text in a protocol is taken to mean it: each entry is one or more beginnings of
    words, all of which must be there. `every_h_at_most` is the longest usual interval of a duty in use [h].
    `unless_listed` names a generic part which, where the document has a kind like it, carries the duty instead.
    """

    name: str
    parts: tuple[str, ...]
    when: When
    known_by: tuple[str, ...]
    source: str
    basis: Basis
    every_h_at_most: float | None = None
    unless_listed: str | None = None

    def meant_by(self, text: str) -> bool:
        """Return whether a text names this check or duty."""
        return names(text, self.known_by)


@dataclass(frozen=True)
class Habit:
    """A duty that is done by the calendar and better is not: `instead` says what to do; `but_not` excuses a text."""

    name: str
    known_by: tuple[str, ...]
    but_not: tuple[str, ...]
    instead: str
    source: str
    basis: Basis

    def meant_by(self, text: str) -> bool:
        """Return whether a text names this habit."""
        return names(text, self.known_by) and not names(text, self.but_not)


@dataclass(frozen=True)
class Duties:
    """The table: what is usual, in file order, and what is habit only."""

    usual: tuple[Usual, ...]
    habits: tuple[Habit, ...]


def names(text: str, known_by: Sequence[str]) -> bool:
    """Return whether a text has, for one of the entries, a word beginning with each of the entry's words.

    >>> names("Look for a leak of the hoses", ["leak hose"]), names("bleak", ["leak"])
    (True, False)
    """
    words = plain(text).replace(",", " ").replace("/", " ").split()
    return any(
        all(any(word.startswith(stem) for word in words) for stem in entry.split()) for entry in known_by
    )


def parse_duties(text: str) -> Duties:
    """Read `[[usual]]` and `[[habit]]` tables.

    Raises UnusableLibrary where a row lacks a needed value, source or basis, names a part that parts.toml does not
    have, or is a duty in use without an interval.
    """
    raw = tables(text, FILE)
    return Duties(
        tuple(_usual(item) for item in raw["usual"]),
        tuple(row(Habit, item, f"habit {item.get('name', '?')}", FILE) for item in raw.get("habit", [])),
    )


def _usual(raw: Mapping[str, Any]) -> Usual:
    what = f"duty {raw.get('name', '?')}"
    usual = row(Usual, raw, what, FILE)
    named = (*usual.parts, *((usual.unless_listed,) if usual.unless_listed else ()))
    missing = [name for name in named if plain(name) not in parts_by_name()]
    if missing:
        says = _("{what} in {file} names parts that parts.toml does not have: {missing}; mend the name")
        raise UnusableLibrary(says.format(what=what, file=FILE, missing=", ".join(missing)))
    if (usual.when == "in use") != (usual.every_h_at_most is not None):
        says = _("{what} in {file}: a duty in use needs every_h_at_most, and a check has none")
        raise UnusableLibrary(says.format(what=what, file=FILE))
    return usual


@cache
def all_duties() -> Duties:
    """Return the table that ships with Lungwort: suggestions, none of them adopted by anyone."""
    return parse_duties(shipped(FILE))


@cache
def usual_for(part: str) -> tuple[Usual, ...]:
    """Return what is usual for a generic part by its name in parts.toml; nothing where nobody told us.

    >>> [usual.name for usual in usual_for("water trap") if usual.when == "in use"]
    ['empty the trap before it is half full']
    """
    return tuple(usual for usual in all_duties().usual if part in usual.parts)


@cache
def _by_name() -> Mapping[str, Usual]:
    return {plain(usual.name): usual for usual in all_duties().usual}


def find_duty(name: str) -> Usual:
    """Return the usual check or duty called `name` (any case); UnknownName lists near names where there is none.

    >>> find_duty("Leak test with the circuit").when
    'before use'
    """
    return find(name, _by_name(), _("there is no usual check or duty called {name!r}; near ones: {hint}"))
