"""The lower panel: lethality of the coldest channel filling up to what was asked."""

from __future__ import annotations

import math

from lungwort.language import _, number
from lungwort.paper.marks import (
    ACCENT,
    INK,
    LETTER_PX,
    QUIET,
    TINT,
    Frame,
    KeyEntry,
    Scale,
    Sheet,
    Spec,
    grid,
    in_px,
    key,
    layer,
    points,
    rule,
    words,
    xy,
)
from lungwort.paper.places import emptiest, ticks
from lungwort.paper.series import Filling, Scene
from lungwort.wording import duration

AXIS_PX = 36.0  # what the time axis takes under the panel
FULL_TO_TARGET = 5.0  # drawn up to so many times the target, so that its crossing stays in sight
BEST_LOOK: Spec = {"color": INK, "strokeWidth": 0.9, "strokeDash": [3, 2]}
PROOF_LOOK: Spec = {"color": ACCENT, "strokeWidth": 1.9}


def filling_scale(filling: Filling | None, length_px: float) -> Scale:
    """Return the lethality axis from 0: both curves, but no further than five times the target."""
    if filling is None:
        return Scale(0.0, 1.0, length_px)
    ends = [float(c.values[-1]) for c in (filling.low, filling.best) if len(c.values)]
    highest = max([*ends, 1e-9])
    if filling.target:
        highest = min(max(highest, filling.target), FULL_TO_TARGET * filling.target)
    if highest < 1e-6:
        highest = 1.0
    return Scale(0.0, highest * 1.12, length_px)


def filling_panel(scene: Scene, sheet: Sheet, frame: Frame) -> list[Spec]:
    """Return the layers of the lower panel, from the ground up."""
    filling = scene.filling
    if filling is None:
        text = _("no readings to reckon lethality from")
        return [*words(frame, 6, frame.y.length_px / 2, text, color=QUIET, fontStyle="italic")]
    marks = grid(frame, ticks(frame.y.lowest, frame.y.highest, 3)[1:])
    area = {"type": "area", "clip": True, "color": TINT, "opacity": 1}
    best, edge = ({"type": "line", "clip": True, **look} for look in (BEST_LOOK, PROOF_LOOK))
    return [
        layer(points(filling.low, frame.unit_s), area),
        *marks,
        layer(points(filling.best, frame.unit_s), best),
        layer(points(filling.low, frame.unit_s), edge),
        *_target(filling, sheet, frame),
        *key(frame, _filling_key(filling), sheet, frame.y.length_px, AXIS_PX),
    ]


def _filling_key(filling: Filling) -> list[KeyEntry]:
    best, low = float(filling.best.values[-1]), float(filling.low.values[-1])
    return [
        KeyEntry(_("best estimate {value}").format(value=amount(filling, best)), best, BEST_LOOK),
        KeyEntry(
            _("proved {value}").format(value=amount(filling, low)),
            low,
            PROOF_LOOK,
            bold=True,
        ),
    ]


def amount(filling: Filling, value: float) -> str:
    """Write a lethality with its unit: three figures are enough to see by, whole seconds for A0."""
    return f"{number(value, 0 if filling.unit == 's' or value >= 1000 else 1)} {filling.unit}"


def _target(filling: Filling, sheet: Sheet, frame: Frame) -> list[Spec]:
    if filling.target is None:
        return []
    y = frame.y.px(filling.target)
    line = rule(frame, (0, y), (sheet.width, y), {"color": ACCENT, "strokeWidth": 0.9})
    style: Spec = {"color": ACCENT, "fontSize": 10.5}
    target = f"{number(filling.target, 0)} {filling.unit}"
    if filling.reached_s is None:
        text = _("{target} not reached").format(target=target)
        return [line, *words(frame, 5, y - 8, text, **style)]
    x = frame.x.px(filling.reached_s / frame.unit_s)
    text = _("{target} reached after {time}").format(
        target=target, time=duration(filling.reached_s, math.ceil)
    )
    drop = rule(
        frame, (x, y), (x, frame.y.length_px), {"color": ACCENT, "strokeWidth": 0.6, "strokeDash": [2, 2]}
    )
    dot = {"type": "point", "filled": True, "size": 34, "color": ACCENT, "opacity": 1}
    wide = LETTER_PX * len(text)
    if x + wide + 8 < sheet.width:
        said = words(frame, x + 7, y + 9, text, **style)
    else:
        lines = [in_px(c, frame) for c in (filling.best, filling.low)]
        up = emptiest([(x - wide, x, y - 14, y - 2), (x - wide, x, y + 2, y + 16)], lines) == 0
        said = words(frame, x - 7, y - 8 if up else y + 9, text, halo="white", align="right", **style)
    return [line, drop, layer([xy(frame, x, y)], dot), *said]
