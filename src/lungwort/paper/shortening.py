"""Texts and names shortened to the room that the page has."""

from __future__ import annotations

from collections.abc import Callable, Sequence


def shortened(text: str, most: int) -> str:
    """Return `text`, its middle replaced by an ellipsis where it is longer than `most` characters.

    >>> shortened("abcdefghij", 7)
    'abc…hij'
    """
    if len(text) <= most:
        return text
    head = (most - 1 + 1) // 2
    tail = most - 1 - head
    return f"{text[:head]}…{text[len(text) - tail :]}"


def shortened_apart(names: Sequence[str], most: int) -> list[str]:
    """Shorten names so that different ones stay different: in the middle, else the end, else the beginning.

    >>> shortened_apart(["Load point 10 of tray", "Load point 11 of tray"], 14)
    ['Load point 10…', 'Load point 11…']
    """
    ways: tuple[Callable[[str], str], ...] = (
        lambda name: shortened(name, most),
        lambda name: name if len(name) <= most else f"{name[: most - 1]}…",
        lambda name: name if len(name) <= most else f"…{name[len(name) - most + 1 :]}",
    )
    for way in ways:
        found = [way(name) for name in names]
        if len(set(found)) == len(set(names)):
            return found
    return [f"{i + 1}: {shortened(name, most - 4)}" for i, name in enumerate(names)]
