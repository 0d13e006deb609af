"""The demonstration's protocol as published on another day: the same text, its days moved, its version new."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path

from lungwort.demo.protocol import DEMO_TODAY, demo_protocol_path

INTERVAL_S = 3
"""How often the logger of the autoclave writes in a history: as seldom as still proves, to keep histories small."""

_DAY = re.compile(r"\b\d{4}-\d\d-\d\d\b")
_OWNED = re.compile(r'(?m)^name = "(?P<kind>[^"]+)"$(?P<between>(?:\n(?!\[).*)*?\nsets_owned = )\d+')


def protocol_published(day: date, version: str, sets: Mapping[str, int], path: Path | None = None) -> str:
    """Return the demonstration's protocol as it would be written for publishing on a day.

    Args:
        day: takes the place of the demonstration's today; every other day keeps its distance from it.
        version: takes the place of the version.
        sets: how many of each kind the hospital owns.
        path: of the protocol; the demonstration's own where not given.
    """
    text = (path or demo_protocol_path()).read_text(encoding="utf-8")
    moved = day - DEMO_TODAY
    text = _DAY.sub(lambda found: _moved(found[0], moved), text)
    text = re.sub(r'(?m)^version = ".*"$', f'version = "{version}"', text)
    text = text.replace("interval_s = 1\n", f"interval_s = {INTERVAL_S}\n")
    return _OWNED.sub(lambda found: _owned(found, sets), text)


def _moved(written: str, by: timedelta) -> str:
    return (date.fromisoformat(written) + by).isoformat()


def _owned(found: re.Match[str], sets: Mapping[str, int]) -> str:
    number = sets.get(found["kind"])
    return found[0] if number is None else f'name = "{found["kind"]}"{found["between"]}{number}'
