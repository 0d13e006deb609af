"""Quantities in words."""

import math
from datetime import UTC, datetime

from lungwort.wording import days_words, duration, figure, moment, tied, value_and_limit, volume_words


def test_rounding_never_flatters() -> None:
    """What was held is rounded down and what was needed up, where the caller says so."""
    assert duration(179.9, math.floor) == "2 min 59 s"
    assert duration(179.2, math.ceil) == "3 min"
    assert days_words(29.7 * 86_400.0, math.floor) == "29 days"


def test_a_value_never_looks_like_its_limit() -> None:
    """A value just short of its limit gets decimals until both differ on paper."""
    assert value_and_limit(599.96, 600.0, "s") == ("599.96 s", "600.00 s")
    assert value_and_limit(600.0, 600.0, "s") == ("600 s", "600 s")
    assert value_and_limit(None, 15.0, "s") == ("–", "15 s")


def test_a_moment_names_its_zone_only_where_known() -> None:
    """A log without a zone gets none."""
    assert moment(datetime(2026, 5, 18, 14, 5)) == "18 May 2026 14:05"
    assert moment(datetime(2026, 5, 18, 14, 5, tzinfo=UTC)) == "18 May 2026 14:05 UTC"


def test_no_more_digits_than_needed() -> None:
    """mL below a litre; hours below two days; one is no plural."""
    assert [figure(x) for x in (10.0, 0.5, 1.0 / 3.0)] == ["10", "0.5", "0.333"]
    assert [volume_words(x) for x in (0.277, 1.42, 0.00093)] == ["277 mL", "1.42 L", "0.93 mL"]
    assert [days_words(x) for x in (3600.0, 86_400.0, 30 * 86_400.0)] == ["1 hour", "24 hours", "30 days"]


def test_only_units_are_tied_to_their_number() -> None:
    """134 °C stays on one line; 3 sensors and 2 hours may part."""
    assert tied("134 °C by 3 sensors") == "134\xa0°C by 3 sensors"
    assert tied("2 hours") == "2 hours"
