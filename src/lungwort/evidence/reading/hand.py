"""Readings taken by hand with a thermometer and a watch, as typed on the command line."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from lungwort.errors import UnreadableLog
from lungwort.evidence.log import FloatArray, Log
from lungwort.evidence.reading.assemble import enough
from lungwort.evidence.reading.cells import NUMBER, numbers, split_cell
from lungwort.evidence.reading.draft import ValueColumn, known_unit
from lungwort.evidence.reading.headings import Heading
from lungwort.evidence.reading.near_times import time_remedy
from lungwort.evidence.reading.plausible import checked
from lungwort.evidence.reading.refusals import quoted, refuse
from lungwort.evidence.reading.repairs import Rows
from lungwort.evidence.reading.seconds import DAY_S, Times, log_from, moment_seconds
from lungwort.evidence.reading.stamps import Stamps, read_stamps
from lungwort.language import _

LONGEST_STEP_OVER_MIDNIGHT_S = 43_200.0
_READING = re.compile(
    rf"\s*(?P<when>\S.*?)(?:\s*=\s*|\s+)(?P<value>{NUMBER.pattern})\s*(?P<unit>[°ºA-Za-z][°A-Za-z ]*)?"
)


def read_hand(readings: Sequence[str], unit: str) -> Log:
    """Read temperatures taken by hand, such as "14:05 78,5", "14:05=78.5" or "2026-05-18 14:05 78.5".

    One text may hold several readings parted by ';'. `unit` is C, F or K. Times go strictly forward; without dates
    one passing of midnight is allowed and noted. Raises UnreadableLog naming the reading, UnknownName for the unit.

    >>> log = read_hand(["14:05 78,5; 14:07 79"], "C")
    >>> log.elapsed_s.tolist(), log.channels[0].values.tolist(), log.clock_step_s
    ([0.0, 120.0], [78.5, 79.0], 60.0)
    """
    texts = [part.strip() for text in readings for part in text.split(";") if part.strip()]
    parts = [_parts(text) for text in texts]
    enough(len(parts))
    stamps = _stamps([when for when, _value in parts], texts)
    column = _column(unit, [value for _when, value in parts])
    notes: list[str] = []
    times = _forward(moment_seconds(stamps, notes), texts, stamps.shape == "none", notes)
    values = _values([value for _when, value in parts], column, texts)
    rows = Rows(times.seconds, values[np.newaxis], np.arange(1, len(texts) + 1))
    return replace(log_from(rows, times, (column,), "", "", notes), hand=True)


def _parts(text: str) -> tuple[str, str]:
    match = _READING.fullmatch(text)
    if match is None:
        refuse(
            _(
                "the reading {text} is not understood; write a time and a temperature, such as 14:05 78.5."
            ).format(text=quoted(text))
        )
    return match["when"].strip(), match["value"] + (" " + match["unit"] if match["unit"] else "")


def _stamps(whens: Sequence[str], texts: Sequence[str]) -> Stamps:
    stamps = read_stamps(whens)
    if stamps.rotten:
        bad = stamps.rotten[0]
        remedy = time_remedy(whens[bad], zoned=False) or _("write 14:05 or 2026-05-18 14:05")
        text = _("the time in the reading {text} is not understood or not written like the others; {remedy}.")
        refuse(text.format(text=quoted(texts[bad]), remedy=remedy))
    return stamps


def _column(unit: str, values: Sequence[str]) -> ValueColumn:
    known = known_unit(unit)
    if known.quantity != "temperature":
        raise UnreadableLog(
            _("readings by hand are temperatures; their unit is C, F or K, not {unit}.").format(
                unit=repr(unit)
            )
        )
    for value in values:
        parts = split_cell(value)
        if parts is None or (parts[1] is not None and parts[1].name != known.name):
            refuse(
                _("the reading {value} is not in {unit} as declared.").format(
                    value=quoted(value), unit=known.name
                )
            )
    name = _("by hand")
    return ValueColumn(0, name, Heading(name, name, known), known, None)


def _values(cells: Sequence[str], column: ValueColumn, texts: Sequence[str]) -> FloatArray:
    found = numbers([cell.replace(",", ".") for cell in cells], ".")
    marks: dict[str, int] = {}
    places = [_("the reading {text}").format(text=quoted(text)) for text in texts]
    values = checked(found.values, column, np.arange(1, len(cells) + 1), marks, places)
    if marks:
        refuse(_("the reading {value} marks a missing sensor; leave it out.").format(value=next(iter(marks))))
    return values


def _forward(times: Times, texts: Sequence[str], midnight: bool, notes: list[str]) -> Times:
    """Return times that go strictly forward, over one midnight at most."""
    seconds = times.seconds.copy()
    for row in (np.flatnonzero(np.diff(seconds) <= 0) + 1).tolist():
        step = seconds[row] - seconds[row - 1] + DAY_S
        if not midnight or not 0 < step <= LONGEST_STEP_OVER_MIDNIGHT_S:
            refuse(
                _(
                    "the time of the reading {text} is not after the one before; put them in order or write dates."
                ).format(text=quoted(texts[row]))
            )
        seconds[row:] += DAY_S
        midnight = False
        notes.append(
            _("The clock passes midnight before the reading {text}; a day is added.").format(
                text=quoted(texts[row])
            )
        )
    return times._replace(seconds=seconds)
