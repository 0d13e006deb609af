"""What people call a place of the document: the mask's fifth step, not kind 7, step 4."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from lungwort.language import _
from lungwort.protocol.document import Protocol
from lungwort.protocol.lines import Path

Plain = Mapping[str, Any]
_CALLED_BY = {
    "adoption": ("criterion",),
    "training": ("person", "role"),
    "step": ("do", "process"),
    "maker": ("what",),
    "check": ("what", "when"),
    "duty": ("what",),
}


def plain_data(protocol: Protocol) -> dict[str, Any]:
    """Return a protocol as plain tables under the keys of its document, defaults left out."""
    return protocol.model_dump(by_alias=True, exclude_defaults=True)


def label(table: str, item: Plain) -> str:
    """Return what tells an item from the others of its table: mostly its name; of a step what it does.

    >>> label("step", {"do": "treat", "process": "steam"}), label("bath", {"name": "Bath 1"})
    ('treat, steam', 'Bath 1')
    """
    return ", ".join(str(item[key]) for key in _CALLED_BY.get(table, ("name",)) if item.get(key) is not None)


def words(data: Plain, path: Path) -> str:
    """Say a path as people would.

    >>> words({"kind": [{"name": "Mask", "step": [{"do": "wash"}]}]}, ("kind", 0, "step", 0, "minutes"))
    'kind Mask, step 1 (wash), minutes'
    """
    said: list[str] = []
    at: Any = data
    for part in path:
        at = _inside(at, part)
        if isinstance(part, str):
            said.append(part)
        elif isinstance(at, Mapping):
            said[-1] = _item(said[-1], part, at)
    return ", ".join(said) or _("the whole document")


def _item(table: str, index: int, item: Plain) -> str:
    if table == "step":
        return _("step {number} ({what})").format(number=index + 1, what=label(table, item))
    return f"{table} {label(table, item)}"


def _inside(value: Any, part: str | int) -> Any:
    """Return what stands at a key or index; None where nothing does, as where a key has its default."""
    if isinstance(part, str):
        return value.get(part) if isinstance(value, Mapping) else None
    return value[part] if isinstance(value, Sequence) and part < len(value) else None


def identity(data: Plain, path: Path) -> tuple[str, ...]:
    """Return a path with names in place of indices, so that it stays the same when other items come or go.

    >>> identity({"kind": [{"name": "Mask", "step": [{"do": "dry"}, {"do": "dry"}]}]}, ("kind", 0, "step", 1))
    ('kind', 'Mask', 'step', 'dry #2')
    """
    found: list[str] = []
    at: Any = data
    for part in path:
        around, at = at, _inside(at, part)
        if isinstance(part, str):
            found.append(part)
        elif isinstance(at, Mapping):
            found.append(_keys(found[-1], around)[part])
    return tuple(found)


def _keys(table: str, items: Sequence[Plain]) -> list[str]:
    """Return a key for each item of a list: its label, and from the second of a label on its number."""
    labels = [label(table, item) for item in items]
    counts = [labels[:i].count(name) + 1 for i, name in enumerate(labels)]
    return [name if n == 1 else f"{name} #{n}" for name, n in zip(labels, counts, strict=True)]


def keyed(table: str, items: Sequence[Plain]) -> dict[str, tuple[int, Plain]]:
    """Return items with their indices, by what tells them apart.

    >>> keyed("bath", [{"name": "A"}, {"name": "B"}])["B"][0]
    1
    """
    return {key: (i, item) for i, (key, item) in enumerate(zip(_keys(table, items), items, strict=True))}
