"""From the time columns of all blocks to seconds on one line, and the moment of the first reading."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, time, timedelta, timezone, tzinfo
from typing import NamedTuple

import numpy as np

from lungwort.evidence.log import Channel, FloatArray, Log
from lungwort.evidence.reading.blocks import Block
from lungwort.evidence.reading.dates import days_of
from lungwort.evidence.reading.declared import DateOrder, Declared
from lungwort.evidence.reading.draft import ValueColumn
from lungwort.evidence.reading.refusals import refuse
from lungwort.evidence.reading.repairs import Rows, newest_first, usual_step
from lungwort.evidence.reading.stamps import IntArray, Stamps
from lungwort.evidence.reading.timecolumns import TimeColumns
from lungwort.evidence.reading.zones import to_utc, zone_of
from lungwort.language import _

DAY_S = 86_400.0
LONGEST_NIGHT_STEP_S = 3_600.0


class Times(NamedTuple):
    """Seconds of each row after `base_s`, which counts from 1970-01-01 00:00 (local or UTC) where `dated`.

    `local` marks times of a clock on the wall, which may be put back; `clock` those that tell the time of day.
    `zone` is that written in the file or declared.
    """

    seconds: FloatArray
    step_s: float
    base_s: float = 0.0
    dated: bool = False
    clock: bool = False
    local: bool = False
    zone: tzinfo | None = None


def times_of(
    blocks: Sequence[Block], columns: TimeColumns, lines: IntArray, declared: Declared, notes: list[str]
) -> Times:
    """Join the times of all blocks.

    Raises UnreadableLog where the order of dates is in doubt or a time of day steps back other than over midnight.
    """
    if columns.kind in ("number", "epoch"):
        return _numbered(blocks, columns, declared)
    stamps = _joined([block.stamps for block in blocks if block.stamps], lines, columns)
    if stamps.shape == "none":
        return _undated(stamps, columns, lines, notes)
    times = moment_seconds(stamps, notes, declared.date_order)
    return times if declared.zone is None else _in_declared_zone(times, declared.zone, lines, notes)


def moment_seconds(stamps: Stamps, notes: list[str], order: DateOrder | None = None) -> Times:
    """Return the times of stamps, dated where they have dates."""
    if stamps.shape == "none":
        return Times(stamps.day_s, stamps.step_s, clock=True)
    days = days_of(stamps.fields, stamps.shape, order, notes)
    times = Times(
        (days - days[0]) * DAY_S + stamps.day_s, stamps.step_s, float(days[0]) * DAY_S, True, True, True
    )
    if stamps.offset_s is None:
        return times
    zone = timezone(timedelta(seconds=float(stamps.offset_s[0])))
    return times._replace(seconds=times.seconds - stamps.offset_s, local=False, zone=zone)


def _in_declared_zone(times: Times, name: str, lines: IntArray, notes: list[str]) -> Times:
    zone = zone_of(name)
    if not times.local:
        return times._replace(zone=zone)
    notes.append(_("The times are those of the zone {zone}, as declared.").format(zone=name))
    order = slice(None, None, -1 if newest_first(times.seconds) else 1)
    utc = to_utc(times.seconds[order], times.base_s, zone, lines[order], notes)[order]
    return times._replace(seconds=utc, local=False, zone=zone)


def _joined(parts: Sequence[Stamps], lines: IntArray, columns: TimeColumns) -> Stamps:
    row = 0
    for part in parts:
        if (part.shape, part.offset_s is None) != (parts[0].shape, parts[0].offset_s is None):
            refuse(
                _(
                    "line {line}, {column}: the times are written in another way from here on; keep to one."
                ).format(line=int(lines[row]), column=columns.label)
            )
        row += len(part.day_s)
    a, b, c = (np.concatenate([part.fields[i] for part in parts]) for i in range(3))
    offsets = [part.offset_s for part in parts if part.offset_s is not None]
    return Stamps(
        (a, b, c),
        np.concatenate([part.day_s for part in parts]),
        np.concatenate(offsets) if offsets else None,
        parts[0].shape,
        min(part.step_s for part in parts),
    )


def _numbered(blocks: Sequence[Block], columns: TimeColumns, declared: Declared) -> Times:
    written = np.concatenate([block.number for block in blocks if block.number is not None])
    step_s = _decimal_step(written) * columns.unit_s
    if columns.kind == "number":
        return Times(written * columns.unit_s, step_s)
    zone = zone_of(declared.zone) if declared.zone else UTC
    base_s = float(written[0]) * columns.unit_s
    return Times((written - written[0]) * columns.unit_s, step_s, base_s, dated=True, clock=True, zone=zone)


def _decimal_step(written: FloatArray) -> float:
    """Return the fineness of written numbers, 1 to 0.0001, by the fewest decimals that hold the first of them."""
    first = written[:1000]
    for places in range(4):
        if bool((np.abs(first - np.round(first, places)) < 1e-9 * np.maximum(np.abs(first), 1.0)).all()):
            return float(10.0**-places)
    return 1e-4


def _undated(stamps: Stamps, columns: TimeColumns, lines: IntArray, notes: list[str]) -> Times:
    if columns.kind == "elapsed":
        scale = columns.unit_s / 3600.0
        return Times(stamps.day_s * scale, min(1.0, stamps.step_s * scale) if scale < 1 else stamps.step_s)
    if bool((stamps.day_s >= DAY_S).any()):
        row = int(np.argmax(stamps.day_s >= DAY_S))
        refuse(
            _("line {line}, {column}: hour {hour} is no time of day.").format(
                line=int(lines[row]), column=columns.label, hour=int(stamps.day_s[row] // 3600)
            )
        )
    return Times(_over_midnights(stamps.day_s, lines, notes), stamps.step_s, clock=True, local=True)


def _over_midnights(day_s: FloatArray, lines: IntArray, notes: list[str]) -> FloatArray:
    """Add a day where the time of day steps back over midnight by no more than an hour or three usual steps."""
    steps = np.diff(day_s)
    usual = usual_step(day_s)
    crossing = (steps < 0) & (steps + DAY_S <= max(LONGEST_NIGHT_STEP_S, 3 * usual))
    text = _("The clock passes midnight before line {line}; a day is added.")
    notes += [text.format(line=line) for line in lines[1:][crossing].tolist()]
    return day_s + DAY_S * np.concatenate(([0.0], np.cumsum(crossing)))


def moment(times: Times, first_s: float) -> datetime | None:
    """Return the moment of the first reading as written, with a zone only where one was written or declared."""
    if not times.dated:
        return None
    started = datetime(1970, 1, 1) + timedelta(seconds=times.base_s) + timedelta(seconds=first_s)
    return started if times.zone is None else started.replace(tzinfo=UTC).astimezone(times.zone)


def _first_clock(times: Times, started: datetime | None, first_s: float) -> time | None:
    if started is not None:
        return started.time()
    return (datetime(1970, 1, 1) + timedelta(seconds=first_s)).time() if times.clock else None


def log_from(
    rows: Rows, times: Times, columns: tuple[ValueColumn, ...], name: str, sha256: str, notes: list[str]
) -> Log:
    """Build a Log of rows whose times go forward."""
    first_s = float(rows.seconds[0])
    channels = tuple(
        Channel(c.name, c.unit.quantity, rows.values[place], c.unit.name, c.kind)
        for place, c in enumerate(columns)
    )
    elapsed_s, started = rows.seconds - first_s, moment(times, first_s)
    return Log(
        elapsed_s=elapsed_s if times.step_s >= 1.0 else np.round(elapsed_s, 6),
        channels=channels,
        started=started,
        first_clock=_first_clock(times, started, first_s),
        clock_step_s=times.step_s,
        assumptions=tuple(notes),
        file_name=name,
        sha256=sha256,
    )
