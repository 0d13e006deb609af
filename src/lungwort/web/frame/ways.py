"""The ways through the house: the few places that everybody goes to, in the order of the day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.urls import NoReverseMatch, resolve, reverse

from lungwort.language import _
from lungwort.web.access import roles_of


@dataclass(frozen=True)
class Way:
    """A way: its address, word and picture; `here` where the page lies on it."""

    address: str
    word: str
    icon: str
    here: bool


def ways_open_to(roles: Iterable[str], path: str) -> tuple[Way, ...]:
    """Return the ways open to somebody's roles, as seen from a page."""
    named = {
        "now": (_("Now"), "now"),
        "scan": (_("Scan"), "scan"),
        "turnaround": (_("Turnaround"), "turnaround"),
        "cycles": (_("Cycles"), "cycle"),
        "bedside": (_("Bedside"), "bedside"),
        "things": (_("Things"), "things"),
        "more": (_("More"), "more"),
    }
    return ways_among(named, roles, path)


def ways_among(named: Mapping[str, tuple[str, str]], roles: Iterable[str], path: str) -> tuple[Way, ...]:
    """Return those of named addresses, each with its word and picture, that are there and open to somebody's roles."""
    found = []
    for name, (word, icon) in named.items():
        address = _address(name)
        if address and set(roles_of(resolve(address).func)) & set(roles):
            found.append(Way(address, word, icon, path == address))
    return tuple(found)


def _address(name: str) -> str:
    try:
        return reverse(name)
    except NoReverseMatch:
        return ""
