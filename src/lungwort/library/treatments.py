"""Processes by the names people use: which column of the material table answers, and at what temperature."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from lungwort.errors import OutOfRange, UnknownName
from lungwort.language import _, number
from lungwort.library.agents import Level, find_agent
from lungwort.library.loading import find, plain
from lungwort.library.materials import Column, material_table
from lungwort.typed import typed_number

_HEAT = re.compile(
    r"(steam|autoclave|hot water)(?: (?:of |at )?(\d+(?:[.,]\d+)?) ?°? ?c?(?: \d+ ?min.*)?)?(?: mapped)?"
)
_RANGE_C = {"steam": (100.0, 150.0), "hot water": (40.0, 100.0)}


@dataclass(frozen=True)
class Treatment:
    """A process as asked for: the column that answers for it, its temperature if it is heat, its agent if it is one."""

    name: str
    column: Column
    temperature_c: float | None = None
    agent: str | None = None

    @property
    def level(self) -> Level | None:
        """The highest level its agents reach; None for heat, which depends on the cycle, and for oil."""
        names = [self.agent] if self.agent else self.column.agents
        levels = [find_agent(name).level for name in names]
        return max(levels, key=list(Level).index, default=None)


def find_treatment(name: str) -> Treatment:
    """Return the process called `name`, its temperature read from the name where it carries one.

    Args:
        name: "steam 134", "hot water 90" (°C), an agent by any of its names, "oil", or a criterion named by its
            temperature such as "hot-water-80C-10min". Hot water without a number is the hottest the table speaks of.

    Raises UnknownName for another name and for steam without its temperature; OutOfRange for steam outside 100 to
    150 °C and hot water outside 40 to 100 °C.

    >>> find_treatment("hot-water-80C-10min").temperature_c, find_treatment("javel").name
    (80.0, 'hypochlorite, 0.1 to 0.5 %')
    """
    heat = _HEAT.fullmatch(plain(name))
    if heat:
        return _heat("hot water" if heat.group(1) == "hot water" else "steam", heat.group(2))
    says = _(
        "there is no process called {name!r}; near ones: {hint}. Heat is named with its temperature: steam-134, "
        "hot-water-90. `lungwort fits` lists them all"
    )
    column = find(name, _columns(), says)
    if plain(name) == plain(column.name) or column.kind != "agent":
        return Treatment(_words(column.name, column), column)
    agent = next((a for a in column.agents if plain(name) in _names_of(a)), None)
    return Treatment(_words(agent or column.name, column), column, agent=agent)


def _words(name: str, column: Column) -> str:
    return f"{name}, {column.strength}" if column.strength else name


@cache
def _columns() -> Mapping[str, Column]:
    columns: dict[str, Column] = {}
    for column in material_table().columns:
        names = [column.name, *column.aliases, *(n for agent in column.agents for n in _names_of(agent))]
        columns.update({plain(name): column for name in names})
    return columns


def _names_of(agent: str) -> list[str]:
    found = find_agent(agent)
    return [plain(name) for name in (found.name, *found.aliases)]


def _heat(kind: str, digits: str | None) -> Treatment:
    columns = [column for column in material_table().columns if column.kind == kind]
    hottest_c = max(column.hottest_c or 0.0 for column in columns)
    if digits is None and kind == "steam":
        raise UnknownName(_("steam is named with its temperature: steam-121 or steam-134"))
    temperature_c = hottest_c if digits is None else typed_number(digits)
    low_c, high_c = _RANGE_C[kind]
    if not low_c <= temperature_c <= high_c:
        says = _("{kind} of {value} °C is outside {low} to {high} °C; give the temperature in °C")
        values = {"value": degrees(temperature_c), "low": degrees(low_c), "high": degrees(high_c)}
        raise OutOfRange(says.format(kind=kind, **values))
    column = next((c for c in columns if temperature_c <= (c.hottest_c or 0.0)), columns[-1])
    name = _("steam at {value} °C") if kind == "steam" else _("hot water at {value} °C")
    return Treatment(name.format(value=degrees(temperature_c)), column, temperature_c)


def degrees(value_c: float) -> str:
    """Write a temperature, with a decimal only where it has one.

    >>> degrees(134.0), degrees(62.5)
    ('134', '62.5')
    """
    return number(value_c, 0 if value_c == int(value_c) else 1)
