"""A state in its one written form, canonical JSON, and read back."""

from __future__ import annotations

import json
from dataclasses import fields
from functools import cache
from typing import Any

from lungwort.records.states.kinds import KINDS, State

_IN_ONE_FORM = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False)


@cache
def _names(kind: str) -> tuple[str, ...]:
    return tuple(field.name for field in fields(KINDS[kind]))


def written(state: State) -> str:
    """Return a state as canonical JSON: sorted keys, no spaces; empty fields are left out.

    >>> from lungwort.records.states.kinds import PersonState
    >>> written(PersonState("W-1", "active", roles=("ward",)))
    '{"code":"W-1","roles":["ward"],"status":"active"}'
    """
    told = {name: getattr(state, name) for name in _names(state.kind)}
    full = {name: value for name, value in told.items() if value not in ("", (), {}, 0, False)}
    return _IN_ONE_FORM.encode(full)


def read(kind: str, text: str) -> State:
    """Return the state that `written` wrote.

    >>> read("person", '{"code":"W-1","roles":["ward"],"status":"active"}').roles
    ('ward',)
    """
    told: dict[str, Any] = json.loads(text)
    told = {name: tuple(value) if isinstance(value, list) else value for name, value in told.items()}
    return KINDS[kind](**told)
