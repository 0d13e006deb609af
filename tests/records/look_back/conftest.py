"""Helpers of the look-back's tests can be imported by name."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from ward_book import WardBook


@pytest.fixture
def book() -> WardBook:
    """Return the empty book of Hill Hospital."""
    return WardBook()
