"""The form of the document, told from its models: every table and key with type, unit and meaning."""

from __future__ import annotations

import types
import typing
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from annotated_types import Ge, Gt, Le, Lt
from pydantic.fields import FieldInfo

from lungwort.errors import UnusableLibrary
from lungwort.language import _
from lungwort.protocol.document import Protocol
from lungwort.protocol.meanings import MEANINGS
from lungwort.protocol.model import Table

_UNITS = {
    "_mg_per_h": "mg/h",
    "_per_h": "1/h",
    "_per_day": "1/d",
    "_kpa": "kPa",
    "_m3": "m³",
    "_min": "min",
    "minutes": "min",
    "_days": "d",
    "_c": "°C",
    "_m": "m",
    "_h": "h",
    "_l": "L",
    "_g": "g",
    "_s": "s",
}
_WORDS: dict[Any, str] = {
    str: "text",
    float: "number",
    int: "whole number",
    bool: "true or false",
    date: "day",
}
_SIGNS = ((Gt, "gt", ">"), (Ge, "ge", "≥"), (Lt, "lt", "<"), (Le, "le", "≤"))


@dataclass(frozen=True)
class Key:
    """One key: what it holds, its unit, whether it must be there, its default in words, and what it means."""

    name: str
    holds: str
    unit: str
    needed: bool
    default: str
    means: str


@dataclass(frozen=True)
class FormTable:
    """One table by its header, what it is, and its keys."""

    header: str
    about: str
    keys: tuple[Key, ...]


def form() -> tuple[FormTable, ...]:
    """Return every table of the document, in its order.

    Raises UnusableLibrary where a key has no meaning written for it.

    >>> [table.header for table in form()][:3]
    ['', '[place]', 'room, store']
    """
    return tuple(dict.fromkeys(_tables(Protocol, "")))


def _tables(model: type[Table], header: str) -> Iterator[FormTable]:
    inner = [(name, field, _inner(field.annotation)) for name, field in model.model_fields.items()]
    own = tuple(
        _key(model, field.alias or name, field)
        for name, field, table in inner
        if table is None or model is not Protocol
    )
    yield FormTable(header, " ".join((model.__doc__ or "").split()), own)
    for name, field, table in inner:
        if table is not None:
            yield from _tables(table, _header(header, field.alias or name, field.annotation))


def _header(around: str, name: str, annotation: Any) -> str:
    """Return a table's header as it may be written; room and store, which are alike, share one."""
    if name in ("room", "store"):
        return "room, store"
    if typing.get_origin(annotation) is not tuple:
        return f"[{name}]"
    return f"[[{around.strip('[]')}.{name}]]" if around else f"[[{name}]]"


def _inner(annotation: Any) -> type[Table] | None:
    """Return the model of a table, or of each table of a list; None for plain values."""
    inside = typing.get_args(annotation)[0] if typing.get_origin(annotation) is tuple else annotation
    return inside if isinstance(inside, type) and issubclass(inside, Table) else None


def _key(model: type[Table], name: str, field: FieldInfo) -> Key:
    means = MEANINGS.get(model.__name__, {}).get(name)
    if means is None:
        says = _("the key {key} of {table} has no meaning; write it in meanings.py")
        raise UnusableLibrary(says.format(key=name, table=model.__name__))
    needed = field.is_required()
    default = "" if needed or field.default in (None, (), "") else _plain(field.default)
    return Key(name, _holds(field.annotation) + _bounds(field), _unit(name), needed, default, means)


def _plain(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _unit(name: str) -> str:
    return next((unit for ending, unit in _UNITS.items() if name.endswith(ending)), "")


def _holds(annotation: Any) -> str:
    origin, inside = typing.get_origin(annotation), typing.get_args(annotation)
    if origin is typing.Annotated:
        return _holds(inside[0])
    if origin in (typing.Union, types.UnionType):
        return _holds(next(x for x in inside if x is not type(None)))
    if origin is Literal:
        return _(", ").join(map(str, inside))
    if origin is tuple:
        return _("list of {items}").format(items=_("tables") if _inner(annotation) else _holds(inside[0]))
    return _("table") if _inner(annotation) else _WORDS.get(annotation, str(annotation))


def _bounds(field: FieldInfo) -> str:
    """Return the bounds of a number, such as ` > 0, ≤ 20`."""
    said = [
        f"{sign} {getattr(bound, name):g}"
        for bound in field.metadata
        for kind, name, sign in _SIGNS
        if isinstance(bound, kind)
    ]
    return f" {', '.join(said)}" if said else ""
