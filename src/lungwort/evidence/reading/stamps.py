"""Date and time as written: one pattern for all spellings, and columns of stamps as arrays.

Which of the three date fields is the day and which the month is settled later, by the whole column (see dates.py).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from lungwort.evidence.log import FloatArray
from lungwort.evidence.reading.months import month_number

IntArray = NDArray[np.int64]
_WEEKDAY = r"(?:[^\W\d_]{2,10}[.,]?\s+)?"
_PLAIN = r"(?P<a>\d{1,4})(?P<sep>[-/. ])(?P<b>\d{1,2})(?P=sep)(?P<c>\d{1,4})"
_COMPACT = r"(?P<y0>\d{4})(?P<m0>\d{2})(?P<d0>\d{2})"
_LETTERS = r"[^\W\d_]{3,10}"
_NAMED = (
    rf"(?P<d1>\d{{1,2}})(?:\.?[-/ ]|(?=[^\W\d_]))(?P<n1>{_LETTERS})\.?[-/, ]\s?(?P<y1>\d{{4}}|\d{{2}})"
    rf"|(?P<n2>{_LETTERS})\.?[-/ ](?P<d2>\d{{1,2}}),?[-/ ]\s?(?P<y2>\d{{4}})"
    rf"|(?P<y3>\d{{4}})[-/. ](?P<n3>{_LETTERS})\.?[-/. ](?P<d3>\d{{1,2}})"
)
DATE = rf"{_WEEKDAY}(?:{_PLAIN}|{_COMPACT}|{_NAMED})"
_MIDNIGHT = r"(?:[T ]0?0:00(?::00(?:[.,]0+)?)?)?"
_CLOCK = r"(?P<h>\d{1,4})[:hH](?P<mi>\d{2})(?::(?P<s>\d{2})(?:[.,](?P<f>\d{1,9}))?)?(?:\s*(?P<ap>[AaPp])\.?[Mm]\.?)?"
_ZONE = r"(?:\s*(?P<z>Z|UTC|GMT|[+-]\d{2}:?\d{2})(?![:\d]))?"
STAMP = re.compile(rf"\s*(?:(?P<date>{DATE}){_MIDNIGHT}(?:[T ,]\s*|\s+))?{_CLOCK}{_ZONE}\s*")
COMPACT_STAMP = re.compile(
    r"\s*(?P<date>(?P<y0>\d{4})(?P<m0>\d{2})(?P<d0>\d{2}))[T ]?(?P<h>\d{2})(?P<mi>\d{2})(?P<s>\d{2})(?P<z>Z)?\s*"
)
DATE_ONLY = re.compile(rf"\s*(?P<date>{DATE}){_MIDNIGHT}\s*")
CLOCK_ONLY = re.compile(rf"\s*{_CLOCK}{_ZONE}\s*")


class Stamps(NamedTuple):
    """A column of stamps: three date fields as written (zeros without a date), seconds of the day, zone offsets.

    `shape` tells what the writing settles: 'ymd', 'dmy' (named month, two-digit year), 'xxy', 'xxx' or 'none'.
    `bad` is the first row that is no stamp of the column's shape, -1 when all are; `rotten` lists all such rows.
    """

    fields: tuple[IntArray, IntArray, IntArray]
    day_s: FloatArray
    offset_s: FloatArray | None
    shape: str
    step_s: float
    rotten: tuple[int, ...] = ()


class _One(NamedTuple):
    shape: str
    fields: tuple[int, int, int]
    day_s: float
    offset_s: float | None
    step_s: float


def match_stamp(cell: str) -> re.Match[str] | None:
    """Return the match of a cell that holds a time of day, with or without its date."""
    return STAMP.fullmatch(cell) or COMPACT_STAMP.fullmatch(cell)


def read_stamps(cells: Sequence[str]) -> Stamps:
    """Read a column of stamps, by array where all are written alike, else one by one.

    >>> s = read_stamps(["18/05/2024 09:00:11"]); s.shape, s.day_s.tolist(), [int(f[0]) for f in s.fields]
    ('xxy', [32411.0], [18, 5, 2024])
    """
    return _alike(cells) or _each(cells)


def _each(cells: Sequence[str]) -> Stamps:
    ones = [_read_one(cell) for cell in cells]
    good = [one for one in ones if one is not None]
    shape = _common_shape(good)
    zoned = sum(one.offset_s is not None for one in good) * 2 > len(good)
    rotten = tuple(
        i
        for i, one in enumerate(ones)
        if one is None or (one.shape, one.offset_s is not None) != (shape, zoned)
    )
    kept = [one if one is not None else _One(shape, (0, 0, 0), 0.0, None, 60.0) for one in ones]
    a, b, c = (np.array([one.fields[i] for one in kept], np.int64) for i in range(3))
    return Stamps(
        (a, b, c),
        np.array([one.day_s for one in kept]),
        np.array([one.offset_s or 0.0 for one in kept]) if zoned else None,
        shape,
        min((one.step_s for one in good), default=60.0),
        rotten,
    )


def _common_shape(good: Sequence[_One]) -> str:
    shapes = [one.shape for one in good]
    return max(set(shapes), key=shapes.count) if shapes else "none"


@lru_cache(maxsize=65536)
def _read_one(cell: str) -> _One | None:
    match = match_stamp(cell)
    if match is None:
        return None
    group = match.groupdict()
    date, day_s = _date(group), _seconds(group)
    if date is None or day_s is None or (date[0] != "none" and day_s >= 86_400):
        return None
    return _One(*date, day_s, _offset(group.get("z")), _step(group))


def _date(group: dict[str, str | None]) -> tuple[str, tuple[int, int, int]] | None:
    if not group.get("date"):
        return "none", (0, 0, 0)
    if group.get("y0"):
        return "ymd", (int(group["y0"] or 0), int(group["m0"] or 0), int(group["d0"] or 0))
    if group.get("a"):
        return _plain_date(str(group["a"]), str(group["b"]), str(group["c"]))
    return _named_date(group)


def _plain_date(a: str, b: str, c: str) -> tuple[str, tuple[int, int, int]] | None:
    shape = {(4, 1): "ymd", (4, 2): "ymd", (1, 4): "xxy", (2, 4): "xxy", (1, 2): "xxx", (2, 2): "xxx"}.get(
        (len(a), len(c))
    )
    return (shape, (int(a), int(b), int(c))) if shape else None


def _named_date(group: dict[str, str | None]) -> tuple[str, tuple[int, int, int]] | None:
    form = next(i for i in "123" if group.get("n" + i))
    year, month, day = (
        str(group["y" + form]),
        month_number(str(group["n" + form])),
        int(str(group["d" + form])),
    )
    if month is None:
        return None
    return ("ymd", (int(year), month, day)) if len(year) == 4 else ("dmy", (day, month, int(year)))


def _seconds(group: dict[str, str | None]) -> float | None:
    hour, minute, second = int(str(group["h"])), int(str(group["mi"])), int(group.get("s") or 0)
    half = (group.get("ap") or "").lower()
    if minute > 59 or second > 59 or (half and not 1 <= hour <= 12):
        return None
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    fraction = group.get("f") or ""
    return hour * 3600 + minute * 60 + second + (int(fraction) / 10 ** len(fraction) if fraction else 0.0)


def _offset(zone: str | None) -> float | None:
    if not zone:
        return None
    if zone in ("Z", "UTC", "GMT"):
        return 0.0
    return (-1.0 if zone[0] == "-" else 1.0) * (int(zone[1:3]) * 3600 + int(zone[-2:]) * 60)


def _step(group: dict[str, str | None]) -> float:
    if group.get("s") is None:
        return 60.0
    return float(10.0 ** -len(group.get("f") or ""))


def read_written(raws: Sequence[NDArray[np.bytes_]]) -> Stamps:
    """Read stamps from one column of UTF-8, or from several that are joined by spaces.

    >>> read_written([np.array([b"18/05/2024"]), np.array([b"09:00:11"])]).day_s.tolist()
    [32411.0]
    """
    joined = raws[0] if len(raws) == 1 else _beside(raws)
    alike = (
        _alike_bytes(joined) if all(raw.size and raw.dtype.itemsize == len(raw[0]) for raw in raws) else None
    )
    if alike is not None:
        return alike
    return _each(
        [" ".join(cell.decode() for cell in row) for row in zip(*(raw.tolist() for raw in raws), strict=True)]
    )


def _beside(raws: Sequence[NDArray[np.bytes_]]) -> NDArray[np.bytes_]:
    """Return each row's cells in one, with a space between."""
    space = np.full((len(raws[0]), 1), 32, np.uint8)
    parts = [part for raw in raws for part in (space, raw.view(np.uint8).reshape(len(raw), -1))][1:]
    grid = np.ascontiguousarray(np.hstack(parts))
    return grid.view(f"S{grid.shape[1]}").reshape(-1)


def _alike(cells: Sequence[str]) -> Stamps | None:
    """Read stamps that all have their digits in the places of the first; None where they do not."""
    try:
        return _alike_bytes(np.array(cells, dtype="S")) if cells else None
    except UnicodeEncodeError:
        return None


def _alike_bytes(raw: NDArray[np.bytes_]) -> Stamps | None:
    try:
        first = bytes(raw[0]).decode("ascii")
    except UnicodeDecodeError:
        return None
    match = match_stamp(first)
    if match is None or raw.dtype.itemsize != len(first):
        return None
    grid = raw.view(np.uint8).reshape(len(raw), -1)
    if not _same_template(grid) or not _same_zone(grid, match):
        return None
    group = {name: _column(grid, match, name) for name in match.groupdict() if (match[name] or "").isdigit()}
    return _from_columns(first, group, len(raw))


def _same_template(grid: NDArray[np.uint8]) -> bool:
    digit = (grid[0] >= 48) & (grid[0] <= 57)
    same = bool((grid[:, ~digit] == grid[0, ~digit]).all())
    return same and bool(((grid[:, digit] - np.uint8(48)) <= 9).all())


def _same_zone(grid: NDArray[np.uint8], match: re.Match[str]) -> bool:
    if not match.groupdict().get("z"):
        return True
    start, end = match.span("z")
    return bool((grid[:, start:end] == grid[0, start:end]).all())


def _column(grid: NDArray[np.uint8], match: re.Match[str], name: str) -> IntArray:
    start, end = match.span(name)
    value = np.zeros(len(grid), np.int64)
    for place in range(start, end):
        value = value * 10 + (grid[:, place] - np.uint8(48))
    return value


def _from_columns(first: str, group: dict[str, IntArray], count: int) -> Stamps | None:
    one = _read_one(first)
    if one is None or "z" in group:
        return None
    match = match_stamp(first)
    half = (match.groupdict().get("ap") or "").lower() if match else ""
    day_s = _day_seconds(group, half, len(match["f"]) if match and match.groupdict().get("f") else 0)
    if day_s is None or (one.shape != "none" and bool((day_s >= 86_400).any())):
        return None
    zeros = np.zeros(count, np.int64)
    fields = _date_columns(one, group, zeros)
    offset = None if one.offset_s is None else np.full(count, one.offset_s)
    return None if fields is None else Stamps(fields, day_s, offset, one.shape, one.step_s)


def _day_seconds(group: dict[str, IntArray], half: str, places: int) -> FloatArray | None:
    hour, minute, second = group["h"], group["mi"], group.get("s", 0)
    if bool((minute > 59).any()) or bool(np.any(second > 59)):
        return None
    if half:
        if bool(((hour < 1) | (hour > 12)).any()):
            return None
        hour = hour % 12 + (12 if half == "p" else 0)
    whole = (hour * 3600 + minute * 60 + second).astype(np.float64)
    return whole + group["f"] / 10**places if places else whole


def _date_columns(
    one: _One, group: dict[str, IntArray], zeros: IntArray
) -> tuple[IntArray, IntArray, IntArray] | None:
    if one.shape == "none":
        return zeros, zeros, zeros
    if "a" in group:
        return group["a"], group["b"], group["c"]
    if "y0" in group:
        return group["y0"], group["m0"], group["d0"]
    form = next(i for i in "123" if "d" + i in group)
    month = zeros + one.fields[1]
    if one.shape == "dmy":
        return group["d" + form], month, group["y" + form]
    return group["y" + form], month, group["d" + form]
