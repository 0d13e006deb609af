"""The parts that somebody chose: ticked, typed or scanned one after another into one field."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lungwort.errors import UnreadableCode
from lungwort.records.codes.scan import read_scan
from lungwort.records.life.known import known
from lungwort.records.states.kinds import PartState
from lungwort.records.states.view import View

_PARTED = re.compile(r"[\s,;]+")


def parts_chosen(view: View, ticked: Sequence[str], typed: str = "") -> list[PartState]:
    """Return the parts by their codes or tags, each once.

    Args:
        view: the place.
        ticked: codes from a list.
        typed: codes or tags, parted by space, comma or line.

    Raises:
        Refused: nothing is known of one.
        UnreadableCode: one is meant as a code and is none.
    """
    codes = [*ticked, *(code_of(view, text) for text in _PARTED.split(typed) if text)]
    return [known(view, PartState, code) for code in dict.fromkeys(codes)]


def code_of(view: View, text: str) -> str:
    """Return the code of the part that bears a code or a tag; the text as read where no part is known by it."""
    if view.state(PartState, text) is not None:
        return text
    try:
        code = read_scan(text, view.now.date()).code
    except UnreadableCode:
        if _by_tag(view, text):
            return _by_tag(view, text)
        raise
    return code if view.state(PartState, code) else _by_tag(view, code) or code


def _by_tag(view: View, tag: str) -> str:
    """Return the part that bore a tag last and is not withdrawn; "" for none."""
    for fact in view.facts("tag", tag, newest_first=True):
        part = view.state(PartState, fact.the("part"))
        if part is not None and part.status != "withdrawn":
            return part.code
    return ""
