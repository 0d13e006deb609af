"""Dangerous mixtures: which two substances must never meet, and what comes of it, loaded from mixtures.toml."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from lungwort.errors import UnknownName, UnusableLibrary
from lungwort.language import _
from lungwort.library.agents import all_agents
from lungwort.library.loading import Basis, plain, row, shipped, tables

FILE = "mixtures.toml"
SO_NEAR_IT_MUST_BE_A_SLIP = 0.8


@dataclass(frozen=True)
class Family:
    """Substances that behave alike when mixed; agents count as members by any of their names."""

    name: str
    members: tuple[str, ...]


@dataclass(frozen=True)
class Danger:
    """What happens when any of one family or substance meets any of another."""

    between: tuple[str, str]
    gives: str
    effect: str
    source: str
    basis: Basis


@dataclass(frozen=True)
class Mixtures:
    """The table: families by name, and dangers in file order, the worst of a pair first."""

    families: tuple[Family, ...]
    dangers: tuple[Danger, ...]


def parse_mixtures(text: str) -> Mixtures:
    """Read `[[family]]` and `[[danger]]` tables; UnusableLibrary where a danger lacks source, basis or its families."""
    raw = tables(text, FILE)
    families = tuple(
        row(Family, item, f"family {item.get('name', '?')}", FILE) for item in raw.get("family", [])
    )
    names = {plain(name) for family in families for name in (family.name, *family.members)}
    return Mixtures(families, tuple(_danger(item, names) for item in raw["danger"]))


def _danger(raw: Mapping[str, Any], names: set[str]) -> Danger:
    what = f"danger between {' and '.join(raw.get('between', ['?']))}"
    danger = row(Danger, raw, what, FILE)
    missing = [name for name in danger.between if plain(name) not in names]
    if missing or len(danger.between) != 2:
        says = _("{what} in {file} must name two families or members of families; not known: {missing}")
        raise UnusableLibrary(says.format(what=what, file=FILE, missing=", ".join(missing) or "–"))
    return danger


@cache
def all_mixtures() -> Mixtures:
    """Return the table that ships with Lungwort."""
    return parse_mixtures(shipped(FILE))


@cache
def _agent_names() -> Mapping[str, str]:
    return {plain(n): plain(agent.name) for agent in all_agents() for n in (agent.name, *agent.aliases)}


@cache
def _groups() -> Mapping[str, frozenset[str]]:
    """By substance, in its one name: itself and every family it belongs to."""
    found: dict[str, set[str]] = {}
    for family in all_mixtures().families:
        for name in (family.name, *family.members):
            found.setdefault(_one_name(name), {_one_name(name)}).add(_one_name(family.name))
    return {name: frozenset(groups) for name, groups in found.items()}


def _one_name(name: str) -> str:
    return _agent_names().get(plain(name), plain(name))


def _groups_of(name: str) -> frozenset[str]:
    one = _one_name(name)
    if one in _groups():
        return _groups()[one]
    _refuse_a_slip(name)
    return frozenset({one})


def _refuse_a_slip(name: str) -> None:
    """A misspelt substance must not be told that nothing is known about it."""
    from difflib import get_close_matches  # here: only a slip needs it

    near = get_close_matches(plain(name), [*_groups(), *_agent_names()], 3, SO_NEAR_IT_MUST_BE_A_SLIP)
    if near and plain(name) not in _agent_names():
        text = _("there is no substance called {name!r} in {file}; was one of these meant: {hint}?")
        raise UnknownName(text.format(name=name, file=FILE, hint=", ".join(near)))


def dangers(a: str, b: str) -> tuple[Danger, ...]:
    """Return everything known against mixing `a` with `b`, worst first; the order of the two does not matter.

    Args:
        a: a substance, an agent or a family, by any of its names.
        b: another.

    An empty answer is *not shown*, never *harmless*: nobody told us, or nobody knows.
    Raises UnknownName where a name is so near a known one that it must be a slip.

    >>> [danger.gives for danger in dangers("vinegar", "bleach")]
    ['chlorine']
    """
    ours, theirs = _groups_of(a), _groups_of(b)
    if _one_name(a) == _one_name(b):
        return ()
    return tuple(d for d in all_mixtures().dangers if _meet(d, ours, theirs))


def _meet(danger: Danger, ours: frozenset[str], theirs: frozenset[str]) -> bool:
    one, other = (_one_name(name) for name in danger.between)
    return (one in ours and other in theirs) or (one in theirs and other in ours)


def dangerous(a: str, b: str) -> Danger | None:
    """Return the worst that is known against mixing `a` with `b`, or None, which means *not shown*, never *harmless*.

    Raises UnknownName where a name is so near a known one that it must be a slip.

    >>> dangerous("bleach", "urine").gives
    'chloramines'
    >>> dangerous("bleach", "window putty") is None
    True
    """
    return next(iter(dangers(a, b)), None)


def mixing_words(a: str, b: str) -> str:
    """Say in a sentence what is known of mixing `a` with `b`.

    >>> mixing_words("bleach", "window putty")
    'bleach with window putty: not shown. Nothing is known here of mixing these two; do not mix them.'
    """
    danger = dangerous(a, b)
    if danger is None:
        says = _("{a} with {b}: not shown. Nothing is known here of mixing these two; do not mix them.")
        return says.format(a=a, b=b)
    says = _("{a} with {b}: never. It gives {gives}. {effect}")
    return says.format(a=a, b=b, gives=danger.gives, effect=danger.effect)
