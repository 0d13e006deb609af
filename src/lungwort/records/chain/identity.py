"""Moments as text, and identifiers that sort by the time at which they were made."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from lungwort.errors import UnusableEvent
from lungwort.language import _

Clock = Callable[[], datetime]
"""Returns the time now, with its zone."""

RandomBytes = Callable[[int], bytes]
"""Returns that many random bytes, as `os.urandom` and `random.Random(1).randbytes` do."""

RANDOM_BYTES = 8
_VERSION, _VARIANT = 7, 0b10


def moment_text(moment: datetime) -> str:
    """Write a moment in its one form: UTC, microseconds, 27 characters, which sort as time does.

    Args:
        moment: with its zone; one without is refused, since its hour would have to be guessed.

    Raises:
        UnusableEvent: the moment has no zone.

    >>> from datetime import timedelta, timezone
    >>> moment_text(datetime(2026, 11, 25, 14, 0, tzinfo=timezone(timedelta(hours=3))))
    '2026-11-25T11:00:00.000000Z'
    """
    if moment.utcoffset() is None:
        says = _("the moment {moment} has no time zone; give it one, such as UTC")
        raise UnusableEvent(says.format(moment=moment.isoformat(" ")))
    return moment.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")


def moment_of(text: str) -> datetime:
    """Return the moment that `moment_text` wrote.

    >>> moment_of("2026-11-25T11:00:00.000000Z").hour
    11
    """
    return datetime.fromisoformat(text)


def time_ordered_id(moment: datetime, random_bytes: bytes) -> str:
    """Return an identifier of 128 bits that sorts by time, as 32 hexadecimal digits.

    Laid out as UUID version 7, RFC 9562 section 5.7: 48 bits of milliseconds since 1970; 12 bits for the
    microseconds within the millisecond (section 6.2, method 3); 62 random bits. Basis: from memory.

    Args:
        moment: with its zone, 1970 or later.
        random_bytes: 8 bytes, of which two bits give way to the variant.

    Raises:
        UnusableEvent: a moment before 1970, which no clock shows that was set.

    >>> time_ordered_id(datetime(2026, 11, 25, tzinfo=UTC), bytes(8))
    '01a21000880070008000000000000000'
    """
    micros = (moment - datetime(1970, 1, 1, tzinfo=UTC)) // _MICROSECOND
    if micros < 0:
        says = _("this machine's clock says {moment}, before 1970; set the clock")
        raise UnusableEvent(says.format(moment=moment.isoformat(" ")))
    millis, rest = divmod(micros, 1000)
    random = int.from_bytes(random_bytes[:RANDOM_BYTES], "big") & (1 << 62) - 1
    whole = millis << 80 | _VERSION << 76 | (rest * 4096 // 1000) << 64 | _VARIANT << 62 | random
    return f"{whole:032x}"


_MICROSECOND = datetime.resolution
