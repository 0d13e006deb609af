"""A list of things: what is asked for, found, put in order, shown page by page, and written as CSV."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from io import StringIO
from itertools import chain

from lungwort.language import _
from lungwort.records.life.status import status_words
from lungwort.records.states.kinds import State
from lungwort.records.states.view import View
from lungwort.web.things.shapes import TABS, described, detail

A_PAGE = 50
ORDERS = ("code", "what", "status", "newest")


@dataclass(frozen=True)
class Asked:
    """What a list is asked for; anything not known counts as not asked."""

    tab: str = "part"
    words: str = ""
    status: str = ""
    order: str = ""
    page: int = 1


def asked_of(told: Mapping[str, str]) -> Asked:
    """Return what an address asks of a list.

    >>> asked_of({"kind": "cycle", "page": "2", "order": "sideways"})
    Asked(tab='cycle', words='', status='', order='newest', page=2)
    """
    tab = told.get("kind", "part") if told.get("kind") in TABS else "part"
    usual = "newest" if tab in ("cycle", "set_up", "patient") else "code"
    status = told.get("status", "") if told.get("status") in TABS[tab].statuses else ""
    order = told.get("order", usual) if told.get("order") in ORDERS else usual
    number = told.get("page", "1")
    page = int(number) if number.isascii() and number.isdigit() and len(number) < 7 else 1
    return Asked(tab, told.get("q", "").strip()[:100], status, order, max(1, page))


def found(view: View, asked: Asked) -> list[State]:
    """Return every thing that is asked for, in the order asked for."""
    tab = TABS[asked.tab]
    states = [state for state in view.states(tab.shape, asked.status or None) if tab.holds(state)]
    words = asked.words.casefold().split()
    return _in_order([state for state in states if _says(state, words)], asked.order)


def _says(state: State, words: Sequence[str]) -> bool:
    if not words:
        return True
    text = " ".join((state.code, described(state), detail(state), getattr(state, "serial", ""))).casefold()
    return all(word in text for word in words)


def _in_order(states: list[State], order: str) -> list[State]:
    if order == "newest":
        return sorted(states, key=lambda state: state.at, reverse=True)
    if order == "what":
        return sorted(states, key=lambda state: (described(state), state.code))
    return sorted(states, key=lambda state: (state.status, state.code)) if order == "status" else states


# ---- as CSV ----


def as_csv(states: Sequence[State]) -> Iterator[str]:
    """Yield a list as lines of CSV, the columns named first; times are UTC."""
    head = (_("code"), _("what"), _("status"), _("more"), _("last recorded, UTC"))
    rows = ((s.code, described(s), status_words(s.status), detail(s), s.at) for s in states)
    for row in chain([head], rows):
        text = StringIO()
        csv.writer(text).writerow([_plain(cell) for cell in row])
        yield text.getvalue()


def _plain(cell: str) -> str:
    """Return a cell that no spreadsheet takes for a formula."""
    return f"'{cell}" if cell.startswith(("=", "+", "-", "@", "\t", "\r")) else cell
