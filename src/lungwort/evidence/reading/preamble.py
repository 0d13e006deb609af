"""Lines outside the table that state a unit or the kind of pressure."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lungwort.evidence.log import PressureKind
from lungwort.evidence.reading.refusals import quoted, refuse
from lungwort.evidence.reading.units import Unit, is_bare, unit_of
from lungwort.language import _

_IS = r"(?:[ \t]+(?:is|are|in))*[ \t]*"
_SUBJECT = (
    r"(?:units?|scale|einheit(?:en)?|unit[ée]s?|unidade?s?|temperaturas?|temperatures?|temp|pressures?|readings?"
    r"|values?)"
)
_UNIT_LINE = re.compile(
    rf"^\W*(?:\w+[ \t]+){{0,3}}?{_SUBJECT}\.?{_IS}[:=;,\t ]+[\"']?(?P<unit>[^\"':=;,\t0-9]+?)[\"']?\W*$",
    re.IGNORECASE,
)
_KIND_LINE = re.compile(
    rf"^\W*(?:[\w ]*\bpressures?\b[\w ]*|kind of pressure)[\"']?{_IS}[:=;,\t ]+[\"']?"
    r"(absolute|gauge|abs|gage)\b\W*$",
    re.IGNORECASE,
)


def stated_units(lines: Sequence[str]) -> dict[str, tuple[Unit, str]]:
    """Return the unit, and the line, that lines such as 'Unit: °C' state for temperatures and for pressures.

    >>> stated_units(["Bath 3", "Unit; °F"])["temperature"][0].name
    '°F'
    """
    stated: dict[str, tuple[Unit, str]] = {}
    for line in lines:
        match = _UNIT_LINE.match(line)
        for unit in _units_in(match["unit"]) if match else ():
            before = stated.setdefault(unit.quantity, (unit, line))[0]
            if before.name != unit.name or (before.kind and unit.kind and before.kind != unit.kind):
                refuse(
                    _("the file states two units, {one} and {other}; the second in the line {line}.").format(
                        one=before.written, other=unit.written, line=quoted(line)
                    )
                )
            stated[unit.quantity] = (unit if unit.kind else before, line)
    return stated


def _units_in(text: str) -> list[Unit]:
    whole = unit_of(text.strip("()[] "))
    if whole:
        return [whole]
    words = [word for word in re.split(r"[\s()\[\]/&]+|\band\b", text) if word]
    units = [unit_of(word) for word in words]
    return [u for u, w in zip(units, words, strict=True) if u and not is_bare(w)] if any(units) else []


def stated_kind(lines: Sequence[str]) -> PressureKind | None:
    """Return the pressure kind that lines such as 'Pressure: gauge' state.

    >>> stated_kind(["Pressure: absolute"])
    'absolute'
    """
    kinds: set[PressureKind] = set()
    for line in lines:
        match = _KIND_LINE.match(line)
        if match:
            kinds.add("absolute" if match[1].lower().startswith("abs") else "gauge")
    if len(kinds) > 1:
        refuse(_("the file states both gauge and absolute pressure; say which in the headings."))
    return kinds.pop() if kinds else None
