"""The chart's alphabet: colours, measures, scales, and small marks as plain Vega-Lite data."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from lungwort.evidence.log import FloatArray
from lungwort.paper.places import apart
from lungwort.paper.series import Curve

Spec = dict[str, Any]

INK = "#1c1c1a"
QUIET = "#6a6a66"
HAIR = "#e3e3de"
ACCENT = "#0f4d52"
TINT = "#dfe9e8"
SHADE = "#f1f1ed"
KEY_STEP_PX = 12.5
UNDER_STEP_PX = 15.0
LEADER_PX, SWATCH_PX, WORD_PX = 13, 26, 7
LETTER_PX = 4.8


@dataclass(frozen=True)
class Sheet:
    """The drawing's measures in px: both panels share `width`; `key` is the room for names on the right.

    With `key` 0 the names stand under each panel.
    """

    width: float = 400.0
    upper: float = 170.0
    lower: float = 90.0
    key: float = 164.0
    left: float = 36.0


@dataclass(frozen=True)
class Scale:
    """A straight scale: `lowest` to `highest` drawn over `length_px`, upward where `upward`."""

    lowest: float
    highest: float
    length_px: float
    upward: bool = True

    def px(self, value: float) -> float:
        """Return the place of a value in px from the left or the top."""
        share = (value - self.lowest) / (self.highest - self.lowest)
        return self.length_px * ((1 - share) if self.upward else share)

    def value(self, px: float) -> float:
        """Return the value at a place in px."""
        share = px / self.length_px
        return self.lowest + (self.highest - self.lowest) * ((1 - share) if self.upward else share)


@dataclass(frozen=True)
class Frame:
    """Both scales of a panel, `x` in `unit` of `unit_s` seconds each."""

    x: Scale
    y: Scale
    unit_s: float

    def place(self, time_s: float, value: float) -> tuple[float, float]:
        """Return a moment and a value as px from the panel's upper left corner."""
        return self.x.px(time_s / self.unit_s), self.y.px(value)


@dataclass(frozen=True)
class KeyEntry:
    """A name beside the plot: what it says, the value its line ends at, and how the line looks.

    Where the line does not end at the plot's right edge, no leader is drawn; `level` says how high to stand.
    """

    text: str
    end: float | None
    mark: Spec
    bold: bool = False
    level: float | None = None


def xy(frame: Frame, x_px: float, y_px: float, **more: Any) -> Spec:
    """Return a row of data at a place given in px."""
    return {"x": round(frame.x.value(x_px), 6), "y": round(frame.y.value(y_px), 6), **more}


def layer(rows: Iterable[Spec], mark: Spec, **channels: Any) -> Spec:
    """Return a layer drawing `rows` with x and y in data units."""
    encoding: Spec = {
        "x": {"field": "x", "type": "quantitative"},
        "y": {"field": "y", "type": "quantitative"},
        **channels,
    }
    return {"data": {"values": list(rows)}, "mark": mark, "encoding": encoding}


def words(frame: Frame, x_px: float, y_px: float, text: str, halo: str = "", **style: Any) -> list[Spec]:
    """Return a text at a place in px, over a halo of that colour where lines may pass beneath it."""
    rows = [xy(frame, x_px, y_px, text=text)]
    mark = {"type": "text", "baseline": "middle", "align": "left", "color": INK, **style}
    around = {**mark, "stroke": halo, "strokeWidth": 3.5, "strokeJoin": "round", "color": halo}
    return [layer(rows, m, text={"field": "text"}) for m in ([around, mark] if halo else [mark])]


def points(curve: Curve, unit_s: float) -> list[Spec]:
    """Return the rows of a curve; a break is a row without a value."""
    times = np.round(curve.times_s / unit_s, 5).tolist()
    values = np.round(curve.values, 4).tolist()
    return [{"x": t, "y": v if math.isfinite(v) else None} for t, v in zip(times, values, strict=True)]


def rule(frame: Frame, from_px: tuple[float, float], to_px: tuple[float, float], mark: Spec) -> Spec:
    """Return a straight line between two places in px."""
    rows = [{**xy(frame, *from_px), "x2": frame.x.value(to_px[0]), "y2": frame.y.value(to_px[1])}]
    return layer(rows, {"type": "rule", **mark}, x2={"field": "x2"}, y2={"field": "y2"})


def block(frame: Frame, left_px: float, right_px: float, top_px: float, bottom_px: float, color: str) -> Spec:
    """Return a filled rectangle given in px."""
    rows = [{**xy(frame, left_px, top_px), "x2": frame.x.value(right_px), "y2": frame.y.value(bottom_px)}]
    mark = {"type": "rect", "color": color, "opacity": 1, "strokeWidth": 0}
    return layer(rows, mark, x2={"field": "x2"}, y2={"field": "y2"})


def key(
    frame: Frame, entries: Sequence[KeyEntry], sheet: Sheet, room_px: float, foot_px: float = 0.0
) -> list[Spec]:
    """Return the names beside the plot, kept apart, each led to its line's end and showing its look.

    A sheet without room for names has them under the plot, below the `foot_px` that the axis takes.
    """
    if sheet.key == 0.0:
        first_px = frame.y.length_px + foot_px + KEY_STEP_PX
        places = [(e, first_px + UNDER_STEP_PX * i) for i, e in enumerate(entries)]
        return [mark for entry, y in places for mark in _entry(frame, entry, 0.0, y, 11.0)]
    inside = [None if e.end is None else frame.y.px(e.end) for e in entries]
    wanted = [_height(e, frame) for e in entries]
    step = min(KEY_STEP_PX, room_px / max(1, len(entries) - 1))
    spread = apart(wanted, step, 0.0, room_px)
    layers: list[Spec] = []
    for entry, end, y in zip(entries, inside, spread, strict=True):
        start = sheet.width + 2
        if end is not None and -1e-6 <= end <= frame.y.length_px:
            leader = {"color": QUIET, "strokeWidth": 0.5}
            layers.append(rule(frame, (start, end), (start + LEADER_PX, y), leader))
        layers += _entry(frame, entry, start + LEADER_PX + 2, y, min(11.0, step))
    return layers


def _entry(frame: Frame, entry: KeyEntry, x: float, y: float, font_px: float) -> list[Spec]:
    style: Spec = {"fontSize": font_px, "fontWeight": "bold" if entry.bold else "normal"}
    swatch = rule(frame, (x, y), (x + SWATCH_PX, y), entry.mark)
    return [swatch, *words(frame, x + SWATCH_PX + WORD_PX, y + 0.5, entry.text, **style)]


def _height(entry: KeyEntry, frame: Frame) -> float:
    value = entry.level if entry.end is None or entry.level is not None else entry.end
    return frame.y.length_px / 2 if value is None else min(max(frame.y.px(value), 0.0), frame.y.length_px)


def grid(frame: Frame, values: Sequence[float]) -> list[Spec]:
    """Return hairlines across the plot at the given values."""
    rows = [{"x": frame.x.lowest, "x2": frame.x.highest, "y": v} for v in values]
    mark = {"type": "rule", "color": HAIR, "strokeWidth": 0.7}
    return [layer(rows, mark, x2={"field": "x2"})] if rows else []


def in_px(curve: Curve, frame: Frame) -> tuple[FloatArray, FloatArray]:
    """Return a curve's x and y in px."""
    x = curve.times_s / frame.unit_s * (frame.x.length_px / (frame.x.highest - frame.x.lowest))
    share = (curve.values - frame.y.lowest) / (frame.y.highest - frame.y.lowest)
    return x, frame.y.length_px * (1 - share)
