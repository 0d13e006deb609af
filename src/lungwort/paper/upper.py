"""The upper panel: temperatures, the band asked for, the hold, and the steam's own temperature."""

from __future__ import annotations

import math

import numpy as np

from lungwort.language import _, number
from lungwort.paper.marks import (
    ACCENT,
    INK,
    LETTER_PX,
    QUIET,
    SHADE,
    TINT,
    Frame,
    KeyEntry,
    Scale,
    Sheet,
    Spec,
    block,
    grid,
    in_px,
    key,
    layer,
    points,
    rule,
    words,
)
from lungwort.paper.places import emptiest, ticks
from lungwort.paper.series import Curve, Scene
from lungwort.paper.shortening import shortened_apart
from lungwort.wording import duration

NAME_LENGTH = 25
FEW_READINGS = 40  # up to so many, each reading is a dot of its own
STEAM_DRAWN_FROM_C = 100.0
LEAST_SPAN_K = 8.0
DASHES: tuple[tuple[float, ...], ...] = (
    (7, 2.5),
    (3, 2),
    (9, 2.5, 2, 2.5),
    (1.5, 1.5),
    (14, 3),
    (6, 2, 1.5, 2, 1.5, 2),
    (5, 5),
    (11, 2.5, 4, 2.5),
    (2.5, 5),
    (16, 2, 2, 2, 2, 2),
    (9, 6),
    (4, 1.5, 1.5, 1.5),
)
STEAM_LOOK: Spec = {"color": QUIET, "strokeWidth": 1.7, "strokeDash": [0.1, 3.2], "strokeCap": "round"}


def temperature_scale(scene: Scene, length_px: float) -> Scale:
    """Return the temperature axis: all readings, or from 100 °C up for steam that gets well past it."""
    values = [c.values[np.isfinite(c.values)] for c in scene.curves]
    readings = np.concatenate([v for v in values if len(v)] or [np.array([20.0, 100.0])])
    lowest, highest = float(readings.min()), float(readings.max())
    if scene.band is not None and scene.band.at_least is not None:
        highest = max(highest, scene.band.at_most or scene.band.at_least)
        lowest = min(lowest, scene.band.at_least - 5)
    if scene.process == "steam" and highest > STEAM_DRAWN_FROM_C + 10:
        lowest = max(lowest, STEAM_DRAWN_FROM_C)
    lowest, highest = _at_least_apart(lowest, highest, LEAST_SPAN_K)
    margin = max(0.06 * (highest - lowest), 0.5)
    floor = lowest if lowest == STEAM_DRAWN_FROM_C else lowest - margin
    return Scale(floor, highest + margin, length_px)


def _at_least_apart(lowest: float, highest: float, span: float) -> tuple[float, float]:
    more = max(0.0, span - (highest - lowest)) / 2
    return lowest - more, highest + more


def temperature_panel(scene: Scene, sheet: Sheet, frame: Frame) -> list[Spec]:
    """Return the layers of the upper panel, from the ground up."""
    return [
        *_hold(scene, frame),
        *grid(frame, ticks(frame.y.lowest, frame.y.highest, 5)),
        *_band(scene, sheet, frame),
        *_saturation(scene, frame),
        *_channels(scene, frame),
        *_band_words(scene, sheet, frame),
        *key(frame, _key_entries(scene, frame), sheet, sheet.upper + 14),
    ]


def _hold(scene: Scene, frame: Frame) -> list[Spec]:
    if scene.held_s is None:
        return []
    start, stop = (frame.x.px(s / frame.unit_s) for s in scene.held_s)
    text = _("every reading in the band for {time}")
    if scene.band is not None and scene.band.at_most is None:
        text = _("every reading at or above the limit for {time}")
    text = text.format(time=duration(scene.held_s[1] - scene.held_s[0], math.floor))
    middle = min(max((start + stop) / 2, 90.0), frame.x.length_px - 90.0)
    bracket = {"color": QUIET, "strokeWidth": 0.7}
    return [
        block(frame, start, stop, -5, frame.y.length_px, SHADE),
        rule(frame, (start, -5), (stop, -5), bracket),
        *words(frame, middle, -13, text, align="center", color=QUIET, fontSize=10.5, fontStyle="italic"),
    ]


def _band(scene: Scene, sheet: Sheet, frame: Frame) -> list[Spec]:
    band = scene.band
    if band is None or band.at_least is None:
        return []
    bottom = frame.y.px(band.at_least)
    top = 0.0 if band.at_most is None else frame.y.px(band.at_most)
    edge = {"color": ACCENT, "strokeWidth": 0.9}
    layers = [rule(frame, (0, bottom), (sheet.width, bottom), edge)]
    if band.at_most is None:
        return layers
    upper_edge = {**edge, "strokeWidth": 0.5}
    tint = block(frame, 0, sheet.width, top, bottom, TINT)
    return [tint, *layers, rule(frame, (0, top), (sheet.width, top), upper_edge)]


def _band_words(scene: Scene, sheet: Sheet, frame: Frame) -> list[Spec]:
    band = scene.band
    if band is None or band.at_least is None:
        return []
    text = _("asked: {low} to {high} °C") if band.at_most else _("asked: at least {low} °C")
    if band.for_s:
        text += _(" for {time}")
    time = duration(band.for_s or 0)
    low, high = (number(v, 0 if v == round(v or 0) else 1) for v in (band.at_least, band.at_most))
    said = text.format(low=low, high=high, time=time)
    top = frame.y.px(band.at_most if band.at_most else band.at_least)
    x, y, align = _free_place(scene, sheet, frame, said, (top - 8, frame.y.px(band.at_least) + 9))
    return words(frame, x, y, said, halo="white", align=align, color=ACCENT, fontSize=10.5)


def _free_place(
    scene: Scene, sheet: Sheet, frame: Frame, text: str, heights: tuple[float, float]
) -> tuple[float, float, str]:
    """Return x, y and alignment of the place beside a rule that the curves leave emptiest."""
    wide = LETTER_PX * len(text)
    above, below = heights
    starts = {"left": 5.0, "right": sheet.width - 5.0, "center": sheet.width / 2}
    spans = {"left": (5.0, 5 + wide), "right": (sheet.width - 5 - wide, sheet.width - 5)}
    spans["center"] = (sheet.width / 2 - wide / 2, sheet.width / 2 + wide / 2)
    places = [
        (starts[a], y, a)
        for a in ("left", "right", "center")
        for y in (above, below)
        if 6 < y < sheet.upper - 4
    ]
    if not places:
        return starts["left"], below - 18, "left"
    boxes = [(*spans[a], y - 6, y + 6) for _x, y, a in places]
    return places[emptiest(boxes, [in_px(c, frame) for c in scene.curves])]


def _saturation(scene: Scene, frame: Frame) -> list[Spec]:
    if scene.saturation is None:
        return []
    return [layer(points(scene.saturation, frame.unit_s), {"type": "line", "clip": True, **STEAM_LOOK})]


def _channels(scene: Scene, frame: Frame) -> list[Spec]:
    ordered = sorted(scene.curves, key=lambda c: c.name == scene.coldest)
    layers = []
    for curve in ordered:
        look = channel_look(scene, curve.name)
        rows = points(curve, frame.unit_s)
        layers.append(layer(rows, {"type": "line", "clip": True, "interpolate": "linear", **look}))
        if np.count_nonzero(np.isfinite(curve.values)) <= FEW_READINGS:
            dot = {"type": "point", "filled": True, "size": 16, "color": look["color"], "opacity": 1}
            layers.append(layer([r for r in rows if r["y"] is not None], dot))
    return layers


def channel_look(scene: Scene, name: str) -> Spec:
    """Return how a channel's line looks: the coldest unbroken and heavy, every other with its own dash."""
    if name == scene.coldest:
        return {"color": ACCENT, "strokeWidth": 1.9}
    rank = [c.name for c in scene.curves if c.name != scene.coldest].index(name)
    return {"color": INK, "strokeWidth": 0.95, "strokeDash": list(DASHES[rank % len(DASHES)])}


def _key_entries(scene: Scene, frame: Frame) -> list[KeyEntry]:
    names = shortened_apart([c.name for c in scene.curves], NAME_LENGTH)
    entries = [
        KeyEntry(
            _key_name(scene, curve, name),
            _end(curve),
            channel_look(scene, curve.name),
            bold=curve.name == scene.coldest,
            level=_level(curve, frame),
        )
        for curve, name in zip(scene.curves, names, strict=True)
    ]
    if scene.saturation is not None:
        level = _level(scene.saturation, frame)
        entries.append(
            KeyEntry(_("steam at this pressure"), _end(scene.saturation), STEAM_LOOK, False, level)
        )
    return entries


def _key_name(scene: Scene, curve: Curve, name: str) -> str:
    said = _("{name}, coldest").format(name=name)
    is_coldest = curve.name == scene.coldest and len(scene.curves) > 1
    return said if is_coldest and len(said) <= NAME_LENGTH else name


def _end(curve: Curve) -> float | None:
    """Return the value at which a curve meets the plot's right edge; None where it stops before."""
    return float(curve.values[-1]) if len(curve.values) and math.isfinite(curve.values[-1]) else None


def _level(curve: Curve, frame: Frame) -> float | None:
    """Return the line's highest where it ends outside the plot, for its name to stand at; else None."""
    end = _end(curve)
    there = curve.values[np.isfinite(curve.values)]
    if not len(there) or (end is not None and frame.y.lowest <= end <= frame.y.highest):
        return None
    return float(there.max())
