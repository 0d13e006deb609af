"""How a computed value is held against a printed one."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest


def _agrees(computed: float, printed: str) -> None:
    """Assert agreement to half a unit of the last printed digit."""
    half_digit = 0.5 * 10.0 ** int(Decimal(printed).as_tuple().exponent)
    assert computed == pytest.approx(float(printed), rel=0.0, abs=half_digit * (1.0 + 1e-9))


@pytest.fixture
def agrees() -> Callable[[float, str], None]:
    """Give the comparison with a printed number; tolerance is half its last digit."""
    return _agrees
