"""Writing a protocol: a document as TOML text in its natural order, one step a line."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import tomli_w

from lungwort.protocol.document import Protocol

_WHOLE_BELOW = 1e15  # a float of whole value is written without its .0 up to here


def protocol_text(protocol: Protocol) -> str:
    """Return a protocol as TOML text that reads back as an equal one; keys with their default are left out.

    >>> from lungwort.protocol.reading import parse_protocol
    >>> place = {"name": "A", "altitude_m": 0, "waters": ["tap"]}
    >>> place |= {x: {"lowest_c": 9, "highest_c": 30} for x in ("room", "store")}
    >>> kind = {"name": "Mask", "contact": "semi-critical"}
    >>> one = Protocol.model_validate({"format": 1, "title": "T", "version": "1", "place": place, "kind": [kind]})
    >>> print(protocol_text(one).splitlines()[5], parse_protocol(protocol_text(one)).protocol == one)
    name = "A" True
    """
    data = protocol.model_dump(by_alias=True, exclude_defaults=True)
    head = {key: value for key, value in data.items() if not isinstance(value, dict | tuple)}
    parts = [_body(head)]
    for key, value in data.items():
        if isinstance(value, dict):
            parts.append(f"[{key}]\n{_body(value)}")
        elif isinstance(value, tuple):
            parts += [f"[[{key}]]\n{_body(item)}" for item in value]
    return "\n".join(parts)


def _body(table: Mapping[str, Any]) -> str:
    return "".join(f"{key} = {_value(value)}\n" for key, value in table.items())


def _value(value: Any) -> str:
    """Write a value; a list of tables stands one table a line."""
    if isinstance(value, tuple | list) and value and isinstance(value[0], dict):
        return "[\n" + "".join(f"  {value_text(item)},\n" for item in value) + "]"
    return value_text(value)


def value_text(value: Any) -> str:
    """Return one value as it stands after its equals sign.

    >>> value_text(25.0), value_text(["tap"]), value_text({"do": "wash"})
    ('25', '["tap"]', '{ do = "wash" }')
    """
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {value_text(item)}" for key, item in value.items()) + " }"
    if isinstance(value, tuple | list):
        return "[" + ", ".join(value_text(item) for item in value) + "]"
    if isinstance(value, float) and value.is_integer() and abs(value) < _WHOLE_BELOW:
        value = int(value)
    return tomli_w.dumps({"x": value}).strip().removeprefix("x = ")
