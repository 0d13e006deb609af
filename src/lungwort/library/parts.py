"""Kinds of part: what each is made of and how far it must be treated (Spaulding), loaded from parts.toml."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from lungwort.errors import UnusableLibrary
from lungwort.language import _
from lungwort.library.agents import Level
from lungwort.library.loading import Basis, find, plain, row, shipped, tables
from lungwort.library.materials import materials_by_name

FILE = "parts.toml"

Spaulding = Literal["critical", "semi-critical", "non-critical"]
Reuse = Literal["reusable", "single patient"]


@dataclass(frozen=True)
class Part:
    """A kind of part, generic: the part in hand may differ, and its maker's instructions override.

    `materials` are all those it may be made of, alternatives included, since any of them may be the weakest; `unknown`
    names what in it nobody told us of. `level` is what its Spaulding class asks for. `wipe_only` parts never go under
    water nor into heat. `oxygen` says that oxygen flows through it.
    """

    name: str
    aliases: tuple[str, ...]
    spaulding: Spaulding
    level: Level
    source: str
    basis: Basis
    materials: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    reuse: Reuse = "reusable"
    wipe_only: bool = False
    oxygen: bool = False
    made_of_source: str = ""
    made_of_basis: Basis = Basis.FROM_MEMORY
    note: str = ""


def parse_parts(text: str) -> tuple[Part, ...]:
    """Read `[[part]]` tables; `made_of_source` and `made_of_basis` may stand once at the top for all of them.

    Raises UnusableLibrary where a needed value, source or basis is missing, or a material is not in materials.toml.
    """
    raw = tables(text, FILE)
    shared: dict[str, Any] = {key: raw[key] for key in ("made_of_source", "made_of_basis") if key in raw}
    return tuple(_part({**shared, **item}) for item in raw["part"])


def _part(raw: Mapping[str, Any]) -> Part:
    what = f"part {raw.get('name', '?')}"
    part = row(Part, raw, what, FILE, level=Level, made_of_basis=Basis)
    known = materials_by_name()
    missing = [name for name in part.materials if plain(name) not in known]
    if missing:
        says = _(
            "{what} in {file} is made of what materials.toml does not have: {missing}; put it under `unknown`"
        )
        raise UnusableLibrary(says.format(what=what, file=FILE, missing=", ".join(missing)))
    if part.reuse == "reusable" and not (part.materials and part.made_of_source):
        says = _("{what} in {file} is reusable, so it needs materials and made_of_source")
        raise UnusableLibrary(says.format(what=what, file=FILE))
    return part


@cache
def all_parts() -> tuple[Part, ...]:
    """Return the kinds of part that ship with Lungwort: suggestions, none of them adopted by anyone."""
    return parse_parts(shipped(FILE))


@cache
def parts_by_name() -> Mapping[str, Part]:
    """Return the kinds of part by plain name, aliases included."""
    return {plain(n): part for part in all_parts() for n in (part.name, *part.aliases)}


def find_part(name: str) -> Part:
    """Return the kind of part called `name` (any case, aliases included); UnknownName lists near names.

    >>> find_part("Humidifier-Chamber").materials
    ('polysulfone', 'polycarbonate', 'aluminium', 'silicone')
    >>> str(find_part("trolley").level)
    'low'
    """
    return find(name, parts_by_name(), _("there is no kind of part called {name!r}; near ones: {hint}"))
