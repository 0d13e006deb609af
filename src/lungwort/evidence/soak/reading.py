"""Reading a soak from lines written by hand, such as "14:00 in", "strip 1500 mg/L", "14:25 out"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta

from lungwort.errors import UnreadableLog
from lungwort.evidence.soak.record import Method, Soak, StrengthReading, Water
from lungwort.evidence.strengths import Liquid, Substance, parse_strength
from lungwort.language import _, number
from lungwort.typed import typed_number

METHOD_ERROR = {
    "strip": 0.25,
    "titration": 0.05,
}  # where nobody states it; common practice, no document found
THERMOMETER_ERROR_K = 1.0
LONGEST_OVER_MIDNIGHT_S = (
    43_200.0  # a soak without dates that would last longer has its times the wrong way round
)

_WHEN = r"(?:(?P<when>(?:\d{4}-\d\d-\d\d[ T])?\d{1,2}:\d\d(?::\d\d)?)\s+)?"
_LINES: dict[str, re.Pattern[str]] = {
    "in": re.compile(_WHEN + r"(?:in|start)", re.IGNORECASE),
    "out": re.compile(_WHEN + r"(?:out|stop)", re.IGNORECASE),
    "strength": re.compile(
        _WHEN
        + r"(?P<method>strip|titration)\s+(?P<strength>.+?)(?:\s*(?:±|\+/-)\s*(?P<error>\d+(?:[.,]\d+)?)\s*%)?",
        re.IGNORECASE,
    ),
    "temperature": re.compile(_WHEN + r"(?P<degrees>-?\d+(?:[.,]\d+)?)\s*°?\s*C", re.IGNORECASE),
    "made": re.compile(
        r"made\s+(?P<made>(?:\d{4}-\d\d-\d\d[ T])?\d{1,2}:\d\d(?::\d\d)?|\d{4}-\d\d-\d\d)", re.IGNORECASE
    ),
    "loads": re.compile(r"loads?\s+(?P<loads>\d+)", re.IGNORECASE),
    "rinse": re.compile(
        r"rinsed?\s+(?P<water>sterile|filtered|boiled|tap)(?:\s+water)?(?:\s*[x×]\s*(?P<times>\d+))?",
        re.IGNORECASE,
    ),
}
_ALLOWED = (
    "14:00 in; 14:25 out; 14:00 strip 1500 mg/L; titration 1020 mg/L ±5 %; 14:10 21 C; made 2026-05-18 13:00; "
    "load 3; rinse sterile x3"
)


@dataclass
class _Gathered:
    """What the lines have said so far."""

    parts_in: datetime | time | None = None
    parts_out: datetime | time | None = None
    made: datetime | time | None = None
    coarse_clock: bool = False
    strengths: list[StrengthReading] = field(default_factory=list)
    temperatures_c: list[float] = field(default_factory=list)
    loads: int | None = None
    rinse_water: Water | None = None
    rinses: int | None = None
    assumptions: list[str] = field(default_factory=list)


def read_soak(lines: Sequence[str], substance: Substance) -> Soak:
    """Read a soak from lines written by hand; one text may hold several, parted by semicolons.

    A line says when the parts went in or came out, a strength by strip or titration, a temperature, when the
    solution was made, how many loads it has served, this one included, or how the parts were rinsed.
    Raises UnreadableLog naming the line and what is allowed.

    >>> from lungwort.evidence.strengths import substance_of
    >>> from lungwort.library.agents import find_agent
    >>> soak = read_soak(["14:00 in; strip 1500 mg/L; 14:25 out"], substance_of(find_agent("bleach")))
    >>> soak.contact_s, soak.strengths[0].low_mg_per_l
    (1500.0, 1125.0)
    """
    gathered = _Gathered()
    for line in (part.strip() for text in lines for part in text.split(";")):
        if line:
            _take(line, gathered, substance)
    contact_s = _contact_s(gathered)
    return Soak(
        contact_s=contact_s,
        clock_step_s=60.0 if gathered.coarse_clock else 1.0,
        strengths=tuple(gathered.strengths),
        temperatures_c=tuple(gathered.temperatures_c),
        thermometer_error_k=THERMOMETER_ERROR_K,
        age_s=_age_s(gathered, contact_s),
        loads=gathered.loads,
        rinse_water=gathered.rinse_water,
        rinses=gathered.rinses,
        assumptions=tuple(dict.fromkeys(gathered.assumptions)),
    )


def _take(line: str, gathered: _Gathered, substance: Substance) -> None:
    for kind, pattern in _LINES.items():
        match = pattern.fullmatch(line)
        if match:
            _TAKERS[kind](line, match, gathered, substance)
            return
    text = _("{line!r} is no line of a soak; write lines such as: {allowed}")
    raise UnreadableLog(text.format(line=line, allowed=_ALLOWED))


def _moment(line: str, written: str | None, gathered: _Gathered) -> datetime | time:
    if written is None:
        raise UnreadableLog(_("{line!r} says no time; write it before, such as 14:00 in").format(line=line))
    padded = re.sub(r"(?<![\d:])(\d):", r"0\1:", written)
    try:
        found = datetime.fromisoformat(padded) if "-" in padded else time.fromisoformat(padded)
    except ValueError as error:
        text = _("{line!r} carries no time of day; write it as 14:05, 14:05:30 or 2026-05-18 14:05")
        raise UnreadableLog(text.format(line=line)) from error
    gathered.coarse_clock |= padded.count(":") < 2
    return found


def _take_in(line: str, match: re.Match[str], gathered: _Gathered, substance: Substance) -> None:
    _once(line, gathered.parts_in)
    gathered.parts_in = _moment(line, match["when"], gathered)


def _take_out(line: str, match: re.Match[str], gathered: _Gathered, substance: Substance) -> None:
    _once(line, gathered.parts_out)
    gathered.parts_out = _moment(line, match["when"], gathered)


def _once(line: str, before: object) -> None:
    if before is not None:
        text = _("{line!r}: this was said already; write one line for in, out, made, load and rinse")
        raise UnreadableLog(text.format(line=line))


def _take_strength(line: str, match: re.Match[str], gathered: _Gathered, substance: Substance) -> None:
    method: Method = "titration" if match["method"].lower() == "titration" else "strip"
    if re.search(r"[<>≤≥~≈]", match["strength"]):
        text = _(
            "{line!r}: a reading that is only a bound proves little; write the strength that the strip shows"
        )
        raise UnreadableLog(text.format(line=line))
    found = parse_strength(match["strength"], substance, kind="target")
    if not isinstance(found, Liquid):
        raise UnreadableLog(
            _("{line!r} is no strength of a solution; write it as 1500 mg/L").format(line=line)
        )
    stated = match["error"] is not None
    error = typed_number(match["error"]) / 100 if stated else METHOD_ERROR[method]
    if not 0 <= error < 1:
        raise UnreadableLog(_("{line!r}: an error is from 0 up to 99 %").format(line=line))
    if not stated:
        text = _("A {method} is taken as good to {percent} %; state its own with ±.")
        gathered.assumptions.append(text.format(method=_(method), percent=number(100 * error, 0)))
    gathered.assumptions.extend(found.says)
    gathered.strengths.append(StrengthReading(found.written, found.strength_mg_per_l, method, error, stated))


def _take_temperature(line: str, match: re.Match[str], gathered: _Gathered, substance: Substance) -> None:
    degrees = typed_number(match["degrees"])
    if not 0 <= degrees <= 100:
        text = _("{line!r}: a solution of {degrees} °C is not possible; write 0 to 100 °C")
        raise UnreadableLog(text.format(line=line, degrees=number(degrees)))
    gathered.temperatures_c.append(degrees)


def _take_made(line: str, match: re.Match[str], gathered: _Gathered, substance: Substance) -> None:
    _once(line, gathered.made)
    gathered.made = _moment(line, match["made"], _Gathered())


def _take_loads(line: str, match: re.Match[str], gathered: _Gathered, substance: Substance) -> None:
    _once(line, gathered.loads)
    gathered.loads = int(match["loads"])
    if gathered.loads < 1:
        raise UnreadableLog(_("{line!r}: this load counts too, so the first is load 1").format(line=line))


def _take_rinse(line: str, match: re.Match[str], gathered: _Gathered, substance: Substance) -> None:
    _once(line, gathered.rinse_water)
    waters: dict[str, Water] = {
        "sterile": "sterile",
        "filtered": "filtered",
        "boiled": "boiled",
        "tap": "tap",
    }
    gathered.rinse_water = waters[match["water"].lower()]
    gathered.rinses = int(match["times"] or 1)


_TAKERS = {
    "in": _take_in,
    "out": _take_out,
    "strength": _take_strength,
    "temperature": _take_temperature,
    "made": _take_made,
    "loads": _take_loads,
    "rinse": _take_rinse,
}


def _contact_s(gathered: _Gathered) -> float | None:
    if gathered.parts_in is None or gathered.parts_out is None:
        return None
    seconds = _between_s(gathered.parts_in, gathered.parts_out)
    if seconds is None or seconds <= 0:
        text = _(
            "the parts came out at {out}, not after they went in at {into}; mend the times or write dates"
        )
        raise UnreadableLog(text.format(out=gathered.parts_out, into=gathered.parts_in))
    if isinstance(gathered.parts_in, time) and gathered.parts_out < gathered.parts_in:  # type: ignore[operator]
        if seconds > LONGEST_OVER_MIDNIGHT_S:
            text = _(
                "the parts came out at {out}, before they went in at {into}; mend the times or write dates"
            )
            raise UnreadableLog(text.format(out=gathered.parts_out, into=gathered.parts_in))
        gathered.assumptions.append(_("The soak ran past midnight."))
    return seconds


def _between_s(start: datetime | time, stop: datetime | time) -> float | None:
    """Return the seconds from one moment to another, past one midnight where neither has a date; None if unlike."""
    if isinstance(start, datetime) and isinstance(stop, datetime):
        return (stop - start).total_seconds()
    if isinstance(start, datetime) or isinstance(stop, datetime):
        return None
    any_day = datetime(2000, 1, 1)
    seconds = (datetime.combine(any_day, stop) - datetime.combine(any_day, start)).total_seconds()
    return seconds if seconds >= 0 else seconds + timedelta(days=1).total_seconds()


def _age_s(gathered: _Gathered, contact_s: float | None) -> float | None:
    """Return the solution's age when the parts came out; a made day without a time counts from its beginning."""
    made, out = gathered.made, gathered.parts_out
    if made is None or out is None:
        return None
    seconds = _between_s(made, out)
    if seconds is None:
        gathered.assumptions.append(
            _("Only one of the times of making and of taking out carries a date, so the age is not known.")
        )
        return None
    _require_made_before(gathered, seconds, contact_s)
    if isinstance(made, time):
        gathered.assumptions.append(
            _(
                "The solution was made at the last {made} before the parts came out; write a date if not."
            ).format(made=made.isoformat("minutes"))
        )
    return seconds


def _require_made_before(gathered: _Gathered, age_s: float, contact_s: float | None) -> None:
    """Refuse a solution made after the parts went in, or after they came out."""
    if age_s < 0:
        text = _("the solution was made at {made}, after the parts came out at {out}; mend the times")
        raise UnreadableLog(text.format(made=gathered.made, out=gathered.parts_out))
    if contact_s is not None and age_s < contact_s:
        text = _(
            "the solution was made at {made}, after the parts went in at {into}; mend the times or write dates"
        )
        raise UnreadableLog(text.format(made=gathered.made, into=gathered.parts_in))
