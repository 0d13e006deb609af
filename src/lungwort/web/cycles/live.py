"""Readings while a cycle runs: kept on the device until they are attached, and how many more minutes are needed."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from statistics import median

from django.conf import settings
from django.http import HttpRequest, HttpResponse

from lungwort.errors import LungwortError, UnreadableLog
from lungwort.evidence.verdict import HeatVerdict, Outcome
from lungwort.language import _
from lungwort.records.life.judging import shown_by
from lungwort.records.states.kinds import CycleState
from lungwort.records.states.view import View

LONGEST_MIN = 240
"""So far ahead an answer is looked for."""

WRITTEN = "%Y-%m-%d %H:%M"
A_DAY_S = 86_400
_CLOSE = "%Y%m%d%H%M"
_KEPT = re.compile(r"(\d{12})_(\d{1,3}(?:\.\d{1,3})?)")
Show = Callable[[Sequence[str]], HeatVerdict]


@dataclass(frozen=True)
class Answer:
    """How long the cycle must go on: minutes at the last temperature, 0 for enough, None for never at that."""

    minutes: int | None
    at_c: float
    every_min: int


def lines_of(request: HttpRequest, code: str) -> list[str]:
    """Return the readings typed so far, one a line, in order of time."""
    found = _KEPT.findall(request.COOKIES.get(_name(code), ""))
    try:
        return sorted(line_of(datetime.strptime(when, _CLOSE), float(value)) for when, value in found)
    except ValueError:  # somebody changed it: there are no such days
        return []


def keep_lines(response: HttpResponse, code: str, lines: Sequence[str]) -> None:
    """Keep readings on the device until they are attached; none are forgotten.

    A session would not do: a picture asked for at the same moment writes the session back as it was before.
    """
    path = f"/cycle/{code}/"
    if not lines:
        response.delete_cookie(_name(code), path=path, samesite="Strict")
        return
    kept = "~".join(
        f"{moment:{_CLOSE}}_{line.split()[-1]}" for line, moment in zip(lines, _times(lines), strict=True)
    )
    response.set_cookie(
        _name(code), kept, A_DAY_S, path=path, secure=settings.HTTPS, httponly=True, samesite="Strict"
    )


def _name(code: str) -> str:
    return "readings-" + re.sub(r"[^A-Za-z0-9-]", "-", code)


def line_of(moment: datetime, temperature_c: float) -> str:
    """Return a reading as a line of text.

    >>> line_of(datetime(2026, 11, 25, 14, 5), 78.5)
    '2026-11-25 14:05 78.5'
    """
    return f"{moment.strftime(WRITTEN)} {temperature_c:g}"


def shown_so_far(view: View, cycle: CycleState, lines: Sequence[str]) -> HeatVerdict:
    """Return what the readings show so far; LungwortError where they are too few, or of no heat."""
    verdict = shown_by(view, cycle, "hand", "\n".join(lines).encode(), "")
    if not isinstance(verdict, HeatVerdict):
        raise UnreadableLog(_("readings by hand show nothing of this cycle: it is not treated by heat"))
    return verdict


def minutes_still(show: Show, lines: Sequence[str]) -> Answer:
    """Return how many more minutes are needed if the temperature stays, and is read on as often as before.

    It is found by trying: readings at the last temperature are added until every rule would pass, sensor allowed for.

    Args:
        show: from readings to what they show.
        lines: readings so far, at least two.
    """
    times, at_c = _times(lines), float(lines[-1].split()[-1])
    gaps_min = [(b - a).total_seconds() / 60 for a, b in pairwise(times)]
    every_min = int(min(5, max(1, median(gaps_min)))) if gaps_min else 1

    def enough(minutes: int) -> bool:
        ahead = [*range(every_min, minutes, every_min), *([minutes] if minutes else [])]
        more = [line_of(times[-1] + timedelta(minutes=n), at_c) for n in ahead]
        return show([*lines, *more]).outcome is Outcome.PASSED

    if not enough(LONGEST_MIN):
        return Answer(0 if enough(0) else None, at_c, every_min)
    return Answer(_least(enough), at_c, every_min)


def _least(enough: Callable[[int], bool]) -> int:
    """Return the least number of minutes that is enough, by halving."""
    low, high = 0, LONGEST_MIN
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle + 1, high)
    return low


def _times(lines: Sequence[str]) -> list[datetime]:
    return [datetime.strptime(line.rsplit(" ", 1)[0], WRITTEN) for line in lines]


def answer(view: View, cycle: CycleState, lines: Sequence[str]) -> tuple[HeatVerdict, Answer] | None:
    """Return what the readings show and how long the cycle must go on; None where they say nothing yet."""
    try:
        verdict = shown_so_far(view, cycle, lines)
    except LungwortError:
        return None
    return verdict, minutes_still(lambda more: shown_so_far(view, cycle, more), lines)
