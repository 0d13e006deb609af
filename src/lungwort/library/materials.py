"""Materials: what each bears of steam, hot water, chemicals and oils, loaded from materials.toml."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Any, Literal

from lungwort.errors import UnusableLibrary
from lungwort.language import _
from lungwort.library.loading import Basis, find, plain, row, shipped, tables

FILE = "materials.toml"

ProcessKind = Literal["steam", "hot water", "agent", "oil"]


class Answer(StrEnum):
    """Whether something bears a process, best first; *not shown* stands above *limited*: nobody may lean on it."""

    FITS = "fits"
    LIMITED = "limited"
    NOT_SHOWN = "not shown"
    DOES_NOT_FIT = "does not fit"


def worst(answers: Iterable[Answer]) -> Answer:
    """Return the worst of several answers; *not shown* where there are none.

    >>> str(worst([Answer.FITS, Answer.LIMITED, Answer.NOT_SHOWN]))
    'not shown'
    >>> str(worst([]))
    'not shown'
    """
    return max(answers, key=list(Answer).index, default=Answer.NOT_SHOWN)


@dataclass(frozen=True)
class Column:
    """One column of the table: a process as the answers were given for it.

    `hottest_c` is the highest temperature the answers speak of; `strength` the strengths, in words. `agents` are the
    agents of agents.toml that the column speaks for. A column `like` another has no answers of its own.
    """

    name: str
    kind: ProcessKind
    aliases: tuple[str, ...] = ()
    hottest_c: float | None = None
    strength: str = ""
    agents: tuple[str, ...] = ()
    like: str = ""
    note: str = ""


@dataclass(frozen=True)
class Bearing:
    """One cell of the table; where `above_c` is given, the answer holds above that temperature only."""

    process: str
    answer: Answer
    source: str
    basis: Basis
    note: str = ""
    above_c: float | None = None


@dataclass(frozen=True)
class Material:
    """A material of parts; `long_c` and `long_at_most_c` are the two ends of what handbooks let it bear for long."""

    name: str
    aliases: tuple[str, ...]
    long_c: float
    source: str
    basis: Basis
    bearings: tuple[Bearing, ...]
    long_at_most_c: float | None = None
    note: str = ""

    def bearing(self, process: str) -> Bearing | None:
        """Return the cell for a column, or None where the table has none."""
        return next((bearing for bearing in self.bearings if bearing.process == process), None)


@dataclass(frozen=True)
class MaterialTable:
    """The whole table: columns in file order, and materials with their cells."""

    columns: tuple[Column, ...]
    materials: tuple[Material, ...]


def parse_materials(text: str) -> MaterialTable:
    """Read `[[process]]` and `[[material]]` tables; a cell has its material's source and basis unless it gives its own.

    Raises UnusableLibrary where a needed value, source or basis is missing, or a cell names no column.
    """
    raw = tables(text, FILE)
    columns = tuple(row(Column, item, f"process {item.get('name', '?')}", FILE) for item in raw["process"])
    names = [column.name for column in columns]
    return MaterialTable(columns, tuple(_material(item, names) for item in raw["material"]))


def _material(raw: Mapping[str, Any], columns: list[str]) -> Material:
    owner = str(raw.get("name", "?"))
    inherited = {key: raw[key] for key in ("source", "basis") if key in raw}
    cells = [{**inherited, **cell} for cell in raw.get("bearings", [])]
    missing = [str(cell.get("process", "?")) for cell in cells if cell.get("process") not in columns]
    if missing:
        says = _(
            "material {name} in {file} answers for processes that are not there: {missing}; mend the name"
        )
        raise UnusableLibrary(says.format(name=owner, file=FILE, missing=", ".join(missing)))
    bearings = [row(Bearing, c, f"{c['process']} of material {owner}", FILE, answer=Answer) for c in cells]
    return row(Material, {**raw, "bearings": bearings}, f"material {owner}", FILE)


@cache
def material_table() -> MaterialTable:
    """Return the table that ships with Lungwort: suggestions, none of them adopted by anyone."""
    return parse_materials(shipped(FILE))


def all_materials() -> tuple[Material, ...]:
    """Return the materials that ship with Lungwort."""
    return material_table().materials


@cache
def materials_by_name() -> Mapping[str, Material]:
    """Return the materials by plain name, aliases included."""
    return {plain(n): material for material in all_materials() for n in (material.name, *material.aliases)}


def find_material(name: str) -> Material:
    """Return the material called `name` (any case, aliases included); UnknownName lists near names.

    >>> find_material("VMQ").name, find_material("latex").name
    ('silicone', 'natural rubber')
    """
    return find(name, materials_by_name(), _("there is no material called {name!r}; near ones: {hint}"))
