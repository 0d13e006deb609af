"""Reading the library's TOML files: rows with source and basis into frozen dataclasses, and names found in them."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import MISSING, fields
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from lungwort.errors import UnknownName, UnusableLibrary
from lungwort.language import _

if TYPE_CHECKING:
    from _typeshed import DataclassInstance


class Basis(StrEnum):
    """How well a fact is known, strongest first."""

    PUBLISHED = "published"
    COMPUTED = "computed"
    COMMON_PRACTICE = "common practice"
    FROM_MEMORY = "from memory"


class Named(Protocol):
    """Anything with a name of its own."""

    @property
    def name(self) -> str:
        """The one name it is listed under."""


Row = TypeVar("Row", bound="DataclassInstance")
Thing = TypeVar("Thing", bound=Named)
Converter = Callable[[Any], Any]
MOST_NAMES_IN_A_MESSAGE = 20


def weakest(bases: Iterable[Basis]) -> Basis:
    """Return the weakest of several bases.

    >>> str(weakest([Basis.PUBLISHED, Basis.FROM_MEMORY, Basis.COMPUTED]))
    'from memory'
    """
    order = list(Basis)
    return max(bases, key=order.index)


def shipped(file: str) -> str:
    """Return the text of a library file that ships with Lungwort."""
    return Path(__file__).with_name(file).read_text("utf-8")


def tables(text: str, file: str) -> dict[str, Any]:
    """Return the tables of TOML text; UnusableLibrary where it is not TOML."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        says = _("{file} cannot be read as TOML ({error}); mend that line")
        raise UnusableLibrary(says.format(file=file, error=error)) from error


def row(kind: type[Row], raw: Mapping[str, Any], what: str, file: str, **convert: Converter) -> Row:
    """Make one dataclass of one TOML table; a row without a needed value, source or basis is refused.

    Args:
        kind: the dataclass; its fields without a default are the needed values, and none of them may be empty.
        raw: the table.
        what: how a person would call the row, for the message: "limit hold-121-15min".
        file: the file's name, for the message.
        convert: by field, what makes the field's value from the table's; `basis` is always made a Basis.

    Raises UnusableLibrary naming the row, the file, what is wrong and what is needed.

    >>> from lungwort.library.criteria import Limit
    >>> raw = {"name": "h", "rule": "hold", "unit": "s", "source": "S", "basis": "computed", "for_s": 900.0}
    >>> row(Limit, raw, "limit h", "criteria.toml").for_s
    900.0
    """
    makers: dict[str, Converter] = {"basis": Basis, **convert}
    needed = [f.name for f in fields(kind) if f.default is MISSING and f.default_factory is MISSING]
    try:
        empty = [name for name in needed if raw[name] in ("", [], ())]
        if empty:
            raise ValueError(_("empty: {names}").format(names=", ".join(empty)))
        return kind(**{name: makers.get(name, _as_it_is)(value) for name, value in raw.items()})
    except (KeyError, TypeError, ValueError) as error:
        says = _("{what} in {file} is not usable ({error}); give {needed}")
        text = says.format(what=what, file=file, error=error, needed=", ".join(needed))
        raise UnusableLibrary(text) from error


def _as_it_is(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


def plain(name: str) -> str:
    """Return a name as names are compared: small letters, single spaces, hyphens and underscores as spaces.

    >>> plain("  Peracetic-Acid ")
    'peracetic acid'
    """
    return " ".join(name.lower().replace("-", " ").replace("_", " ").split())


def find(name: str, known: Mapping[str, Thing], says: str) -> Thing:
    """Return what `name` stands for; UnknownName with near names where nothing does.

    Args:
        name: as a person wrote it.
        known: by plain name, aliases included.
        says: the message, with {name} and {hint} to fill in.
    """
    found = known.get(plain(name))
    if found is not None:
        return found
    from difflib import get_close_matches  # here: only a slip needs it

    near = get_close_matches(plain(name), known, n=4, cutoff=0.4)
    names = dict.fromkeys(known[n].name for n in near) or _all_where_few(known.values())
    raise UnknownName(says.format(name=name, hint=", ".join(names) or _("none")))


def _all_where_few(things: Iterable[Named]) -> dict[str, None]:
    names = dict.fromkeys(thing.name for thing in things)
    return names if len(names) <= MOST_NAMES_IN_A_MESSAGE else {}
