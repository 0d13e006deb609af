"""The invented hospital's protocol, and the day on which the demonstration looks at it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

DEMO_TODAY = date(2026, 11, 25)


def demo_protocol_path() -> Path:
    """Return where the demonstration's protocol lies.

    >>> demo_protocol_path().name
    'protocol.toml'
    """
    return Path(__file__).with_name("protocol.toml")
