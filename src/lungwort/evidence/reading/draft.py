"""The columns of one file while it is decided what each of them is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from lungwort.errors import UnknownName
from lungwort.evidence.log import PressureKind
from lungwort.evidence.reading.cells import split_cell
from lungwort.evidence.reading.declared import Declared
from lungwort.evidence.reading.headings import Heading
from lungwort.evidence.reading.layout import Layout
from lungwort.evidence.reading.refusals import column_label
from lungwort.evidence.reading.timecolumns import TimeColumns
from lungwort.evidence.reading.units import Unit, unit_of
from lungwort.language import _


@dataclass(frozen=True)
class ValueColumn:
    """A column to read: its place from 0, its name, its unit; `only_in_cells` where nothing else tells it.

    `asked` marks a channel that was asked for by name.
    """

    index: int
    name: str
    heading: Heading
    unit: Unit
    kind: PressureKind | None
    only_in_cells: bool = False
    asked: bool = False

    @property
    def label(self) -> str:
        """Number and heading for messages."""
        return column_label(self.index + 1, self.heading.whole)


class Plan(NamedTuple):
    """What to read from which column; `constant` columns must keep their text, `blank` ones must stay empty."""

    times: TimeColumns
    values: tuple[ValueColumn, ...]
    constant: dict[int, str]
    blank: tuple[int, ...]
    labels: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass
class Draft:
    """What is known so far; `told` lists, by source, the columns whose unit is not in their heading."""

    layout: Layout
    declared: Declared
    headings: list[Heading]
    times: TimeColumns
    units: dict[int, Unit] = field(default_factory=dict)
    constant: dict[int, str] = field(default_factory=dict)
    blank: list[int] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    told: dict[str, list[str]] = field(default_factory=dict)
    unit_column: dict[int, int] = field(default_factory=dict)
    left: dict[str, list[str]] = field(default_factory=dict)
    chosen: set[int] | None = None

    def label(self, index: int) -> str:
        """Number and heading for messages."""
        return column_label(index + 1, self.headings[index].whole)

    def cells(self, index: int) -> list[str]:
        """The sample cells of one column."""
        return [row[index] for row in self.layout.sample]

    def leave(self, index: int, why: str) -> None:
        """Note that a column is left out."""
        self.left.setdefault(why, []).append(self.label(index))


def named(draft: Draft, names: Sequence[str]) -> set[int]:
    """Return all columns of these names."""
    found: set[int] = set()
    for name in names:
        found |= find(draft.headings, name)
    return found


def find(headings: Sequence[Heading], name: str) -> set[int]:
    """Return the columns of that name, whole heading or number; raise UnknownName where there is none."""
    wanted = " ".join(name.split()).casefold()
    found = {
        i for i, h in enumerate(headings) if wanted in (h.name.casefold(), h.whole.casefold()) and h.whole
    }
    if not found and wanted.isdecimal() and 0 < int(wanted) <= len(headings):
        found = {int(wanted) - 1}
    if found:
        return found
    known = ", ".join(h.whole or str(i + 1) for i, h in enumerate(headings))
    raise UnknownName(
        _("no column is called {name}; the columns are: {known}.").format(name=repr(name), known=known)
    )


def cell_unit(cells: Sequence[str]) -> Unit | None:
    """Return the unit in the first sample cell that has one."""
    return next((parts[1] for cell in cells if (parts := split_cell(cell)) and parts[1]), None)


def quantity_of(draft: Draft, index: int, declared: dict[int, Unit]) -> str:
    """Return 'temperature' or 'pressure': by the unit where one is known, else by the name."""
    unit = known_unit_of(draft, index, declared)
    if unit:
        return unit.quantity
    return "pressure" if draft.headings[index].is_pressure else "temperature"


def known_unit_of(draft: Draft, index: int, declared: dict[int, Unit]) -> Unit | None:
    """Return the unit that heading, unit column, declaration or cells give."""
    heading = draft.headings[index].unit
    return heading or draft.units.get(index) or declared.get(index) or cell_unit(draft.cells(index))


def known_unit(text: str) -> Unit:
    """Return the unit spelled, or raise UnknownName listing those that are known."""
    unit = unit_of(text)
    if unit is None:
        raise UnknownName(
            _("{unit} is no unit known here; known are C, F, K, kPa, bar, mbar, hPa, psi, MPa, Pa.").format(
                unit=repr(text)
            )
        )
    return unit
