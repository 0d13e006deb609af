"""One picture of a judged log: temperature above, lethality filling up below, as one Vega-Lite specification.

The same specification makes the still picture (SVG, PNG) and the interactive page (HTML, all in one file).
"""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path
from typing import Any

from lungwort.errors import LungwortError
from lungwort.evidence.verdict import HeatVerdict
from lungwort.evidence.verdict_words import outcome_word
from lungwort.language import _, number
from lungwort.paper.files import save
from lungwort.paper.glyphs import drawable
from lungwort.paper.hover import with_hover
from lungwort.paper.lower import filling_panel, filling_scale
from lungwort.paper.marks import HAIR, INK, QUIET, Frame, Scale, Sheet, Spec, rule
from lungwort.paper.places import ticks, time_ticks
from lungwort.paper.printing import printable_verdict, with_names
from lungwort.paper.series import Scene, scene
from lungwort.paper.upper import STEAM_DRAWN_FROM_C, temperature_panel, temperature_scale
from lungwort.paper.web_page import page
from lungwort.wording import duration, moment

FONT = "Libertinus Serif, Georgia, serif"
SCHEMA = "https://vega.github.io/schema/vega-lite/v6.json"
SUFFIXES = (".svg", ".png", ".html")
PHONE = Sheet(width=268.0, key=0.0)
PNG_PER_INCH = 220.0
TITLE_LETTER_PX, HALF_HOLD_WORDS_PX = 5.8, 110.0
HOURS_FROM_S, DAYS_FROM_S = 5 * 3600.0, 3.5 * 86400.0


def chart(verdict: HeatVerdict, sheet: Sheet | None = None) -> Spec:
    """Return the chart of a verdict as one Vega-Lite specification, plain data.

    `sheet` sets the measures in px. A gauge pressure is drawn as steam temperature only where the verdict
    knows the air pressure of the place. A log without temperature channels gives empty panels.
    """
    ready = with_names(verdict, drawable)
    return _specification(ready, scene(ready), sheet or Sheet())


def write_chart(verdict: HeatVerdict, path: Path) -> None:
    """Write the chart as `.svg`, `.png` or `.html` after the suffix of `path`; HTML needs no network.

    Raises LungwortError for another suffix, or where the file cannot be written.
    """
    suffix = path.suffix.lower()
    if suffix not in SUFFIXES:
        text = _("a chart cannot be written as {suffix!r}; name a file that ends in {allowed}")
        raise LungwortError(text.format(suffix=suffix or path.name, allowed=", ".join(SUFFIXES)))
    if suffix == ".png":
        save(path, _png(chart_svg(chart(printable_verdict(verdict)))))
    elif suffix == ".svg":
        save(path, chart_svg(chart(verdict)).encode())
    else:
        save(path, _html(verdict))


def chart_svg(specification: Spec) -> str:
    """Return a specification drawn as SVG text."""
    import vl_convert

    return str(vl_convert.vegalite_to_svg(specification, show_warnings=False))


def _html(verdict: HeatVerdict) -> bytes:
    """Return the interactive page: one drawing for a desk, one for a phone, of the same curves."""
    ready = with_names(verdict, drawable)
    shown = scene(ready)
    wide, narrow = (with_hover(_specification(ready, shown, sheet), shown) for sheet in (Sheet(), PHONE))
    return page(outcome_word(verdict.outcome), _what(ready), wide, narrow).encode()


def _what(verdict: HeatVerdict) -> list[str]:
    """Return what was judged, when, and by which criteria."""
    log = verdict.log
    when = [moment(log.started)] if log.started else []
    return [log.file_name or _("readings by hand"), *when, *(c.criterion.name for c in verdict.criteria)]


def _png(svg: str) -> bytes:
    """Draw by the typesetting library, whose own typeface makes the picture the same on every machine."""
    import typst

    template = files("lungwort.paper").joinpath("picture.typ").read_bytes()
    made = typst.compile(
        template, format="png", ppi=PNG_PER_INCH, ignore_system_fonts=True, sys_inputs={"svg": svg}
    )
    return made if isinstance(made, bytes) else b"".join(made or ())


def _time_unit(lasts_s: float) -> tuple[float, str]:
    if lasts_s > DAYS_FROM_S:
        return 86400.0, _("days from the start")
    if lasts_s > HOURS_FROM_S:
        return 3600.0, _("hours from the start")
    return 60.0, _("minutes from the start")


def _specification(verdict: HeatVerdict, shown: Scene, sheet: Sheet) -> Spec:
    unit_s, time_title = _time_unit(shown.lasts_s)
    across = Scale(0.0, max(shown.lasts_s / unit_s, 1e-3), sheet.width, upward=False)
    above = Frame(across, temperature_scale(shown, sheet.upper), unit_s)
    below = Frame(across, filling_scale(shown.filling, sheet.lower), unit_s)
    marked = 0 if shown.filling is None else 3
    upper = _panel(temperature_panel(shown, sheet, above), above, sheet, 5, _upper_title(above, shown))
    upper["title"]["offset"] = 26 if _title_meets_hold(shown, above) else 8
    lower = _panel(filling_panel(shown, sheet, below), below, sheet, marked, _lower_title(shown), time_title)
    return {
        "$schema": SCHEMA,
        "description": description(verdict, shown),
        "background": "white",
        "padding": {"left": 2, "right": 2, "top": 2, "bottom": 2},
        "spacing": 16,
        "vconcat": [upper, lower],
        "resolve": {"scale": {"x": "independent", "y": "independent"}},
        "config": _config(),
    }


def _title_meets_hold(shown: Scene, frame: Frame) -> bool:
    if shown.held_s is None:
        return False
    starts_px = frame.x.px(sum(shown.held_s) / 2 / frame.unit_s) - HALF_HOLD_WORDS_PX
    return starts_px < TITLE_LETTER_PX * len(_upper_title(frame, shown))


def _panel(
    layers: list[Spec], frame: Frame, sheet: Sheet, lines: int, title: str, time_title: str = ""
) -> Spec:
    nothing = {"strokeWidth": 0, "color": "white", "opacity": 0}
    peg = rule(frame, (sheet.width, frame.y.length_px), (sheet.width + sheet.key, frame.y.length_px), nothing)
    first, *rest = [*layers, peg]
    encoding: dict[str, Any] = {
        **first["encoding"],
        "x": {
            **first["encoding"]["x"],
            **_axis(frame.x, time_ticks(frame.x.highest, 9), time_title, bool(time_title)),
        },
        "y": {
            **first["encoding"]["y"],
            **_axis(frame.y, ticks(frame.y.lowest, frame.y.highest, lines) if lines else [], "", True),
        },
    }
    encoding["y"]["axis"] |= {
        "minExtent": sheet.left,
        "maxExtent": sheet.left,
        "domain": False,
        "ticks": False,
    }
    return {
        "width": sheet.width,
        "height": frame.y.length_px,
        "title": {"text": title, "anchor": "start", "frame": "group", "offset": 8},
        "layer": [{**first, "encoding": encoding}, *rest],
    }


def _axis(scale: Scale, values: list[float], title: str, labels: bool) -> Spec:
    decimals = next((d for d in (0, 1) if all(v == round(v, d) for v in values)), 2)
    axis: Spec = {
        "values": values,
        "format": f".{decimals}f",
        "title": title or None,
        "labels": labels,
        "grid": False,
    }
    axis |= {"labelOverlap": False, "tickCount": 2 * len(values) + 1}
    domain = {"domain": [scale.lowest, scale.highest], "nice": False, "zero": False}
    return {"scale": domain, "axis": axis}


def _upper_title(frame: Frame, shown: Scene) -> str:
    if shown.process == "steam" and frame.y.lowest == STEAM_DRAWN_FROM_C:
        return _("Temperature, °C, drawn from 100 °C up")
    return _("Temperature, °C")


def _lower_title(shown: Scene) -> str:
    filling = shown.filling
    if filling is None:
        return _("Lethality")
    unit = _("seconds") if filling.unit == "s" else _("minutes")
    reference = number(filling.reference_c, 0 if filling.reference_c == round(filling.reference_c) else 1)
    text = _("{symbol} of the coldest channel, {unit} at {reference} °C")
    return text.format(symbol=filling.symbol, unit=unit, reference=reference)


def description(verdict: HeatVerdict, shown: Scene) -> str:
    """Return the chart in words, for those who cannot see it."""
    says = [
        _("Temperature of {count} channels over {time}.").format(
            count=len(shown.curves), time=duration(shown.lasts_s)
        )
    ]
    if shown.filling is not None:
        text = _("{symbol} of {channel}, which decides: proved {low}, best estimate {best} {unit}.")
        low, best = (number(float(c.values[-1]), 1) for c in (shown.filling.low, shown.filling.best))
        filling = shown.filling
        says.append(
            text.format(
                symbol=filling.symbol, channel=filling.low.name, low=low, best=best, unit=filling.unit
            )
        )
    says.append(_("Verdict: {verdict}.").format(verdict=outcome_word(verdict.outcome).lower()))
    return " ".join(says)


def _config() -> Spec:
    text = {"labelFontSize": 10.5, "labelColor": QUIET, "titleFontSize": 10.5, "titleColor": QUIET}
    axis = {
        **text,
        "titleFontWeight": "normal",
        "titleFontStyle": "italic",
        "tickColor": QUIET,
        "tickWidth": 0.6,
    }
    axis |= {
        "domainColor": QUIET,
        "domainWidth": 0.6,
        "tickSize": 4,
        "labelPadding": 4,
        "labelFlush": False,
        "titlePadding": 6,
    }
    title = {"fontSize": 11.5, "fontWeight": "normal", "fontStyle": "italic", "color": INK}
    return {
        "font": FONT,
        "axis": axis,
        "title": title,
        "view": {"stroke": None},
        "text": {"fontSize": 11},
        "rule": {"color": HAIR},
        "mark": {"invalid": "break-paths-show-path-domains"},
        "locale": {
            "number": {"decimal": number(0.5, 1)[1], "thousands": "", "grouping": [3], "currency": ["", ""]}
        },
    }


def as_json(specification: Spec) -> str:
    """Return a specification as JSON text with names kept readable."""
    return json.dumps(specification, ensure_ascii=False)
