"""Helpers of the tests of lives can be imported by name."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from life_cast import House, open_house


@pytest.fixture
def house() -> House:
    """Return a hospital that is open: a protocol in force, people trained, equipment and batches enrolled."""
    return open_house()
