"""The part of a log to judge: clock times as the log writes them, or minutes from its start."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta

from lungwort.errors import OutOfRange
from lungwort.evidence.log import Log
from lungwort.language import _, ngettext
from lungwort.typed import typed_number

ANY_DAY = date(2000, 1, 1)
_MINUTES = re.compile(r"(\d+(?:[.,]\d+)?)\s*min")
_ALLOWED = "09:12, 09:12:30, 2026-05-18 09:12, 12min"


def select_period(log: Log, from_text: str | None, to_text: str | None) -> Log:
    """Return the part of `log` from one moment to another, either left open with None.

    A moment is hh:mm, hh:mm:ss (the first such time from the log's start on), an ISO date and time, or "12min"
    after the log's start. Raises OutOfRange where it is none of these, where a time of day lies before the log's
    start and not before its end, or where fewer than two readings remain.
    """
    from_s = 0.0 if from_text is None else moment_s(log, from_text)
    to_s = float(log.elapsed_s[-1]) if to_text is None else moment_s(log, to_text)
    part = log.between(from_s, to_s)
    if len(part.elapsed_s) < 2:
        count = len(part.elapsed_s)
        text = ngettext(
            "from {start} to {end} the log has {count} reading; choose a period with at least two",
            "from {start} to {end} the log has {count} readings; choose a period with at least two",
            count,
        )
        start, end = from_text or _("its start"), to_text or _("its end")
        raise OutOfRange(text.format(start=start, end=end, count=count))
    return part


def moment_s(log: Log, text: str) -> float:
    """Return a moment as elapsed seconds of the log."""
    minutes = _MINUTES.fullmatch(text.strip())
    if minutes:
        return typed_number(minutes[1]) * 60
    started = _started(log)
    if started is None:
        message = _(
            "the log carries no clock times, so {text!r} cannot be found in it; give minutes such as 12min"
        )
        raise OutOfRange(message.format(text=text))
    moment = _clock_moment(started, text)
    if (moment.tzinfo is None) != (started.tzinfo is None):
        message = _("the log's times have no zone, so {text!r} cannot be found in it; write it without one")
        raise OutOfRange(message.format(text=text))
    found_s = _seconds(started, moment)
    if moment.date() > started.date() and _is_time_of_day(text) and found_s > float(log.elapsed_s[-1]):
        message = _(
            "{text!r} is not in the log, which starts at {start} and ends before that time comes round"
        )
        raise OutOfRange(message.format(text=text, start=started.time().isoformat("seconds")))
    return found_s


def _seconds(started: datetime, moment: datetime) -> float:
    """Return the seconds between two moments, counted in UTC where they have a zone, so that summer time counts."""
    if started.tzinfo is not None:
        started, moment = started.astimezone(UTC), moment.astimezone(UTC)
    return (moment - started).total_seconds()


def _is_time_of_day(text: str) -> bool:
    return ":" in text and not re.search(r"\d[-T]\d", text)


def _started(log: Log) -> datetime | None:
    """Return the log's start; where it has a time of day and no date, on a day that stands for any."""
    if log.started is None and log.first_clock is not None:
        return datetime.combine(ANY_DAY, log.first_clock)
    return log.started


def _clock_moment(started: datetime, text: str) -> datetime:
    try:
        if _is_time_of_day(text):
            at = time.fromisoformat(text.strip())
            if at.tzinfo is not None:
                raise ValueError
            moment = datetime.combine(started.date(), at, started.tzinfo)
            return moment if moment >= started else moment + timedelta(days=1)
        moment = datetime.fromisoformat(text.strip())
        return moment if moment.tzinfo or not started.tzinfo else moment.replace(tzinfo=started.tzinfo)
    except ValueError as error:
        message = _("{text!r} is not a moment of the log; write one as {allowed}")
        raise OutOfRange(message.format(text=text, allowed=_ALLOWED)) from error
