"""`lungwort drying`: water left by weight, and the least air, time and heat that carry it off."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from lungwort.cli.layout import bold, heading, indented, say
from lungwort.cli.quantities import (
    AIR_FLOW_M3_PER_H,
    MASS_G,
    METRE,
    PERCENT,
    PRESSURE_KPA,
    TEMPERATURE,
    optional,
    quantity,
)
from lungwort.errors import OutOfRange
from lungwort.language import _, number

if TYPE_CHECKING:
    from lungwort.science.drying import DryingAir, DryingNeed, WaterLeft

_SEA_LEVEL_KPA = 101.325


@dataclass(frozen=True)
class Weighing:
    """What the scale says: the difference, its bounds where the scale is known, and the outcome."""

    difference_g: float
    water: WaterLeft | None = None
    limit_g: float | None = None
    outcome: str = "not shown"
    error_stated: bool = False


@dataclass(frozen=True)
class Report:
    """What is printed: the weighing, and the air and what it must do where a flow was given."""

    weighing: Weighing
    air: DryingAir | None
    need: DryingNeed | None
    place_stated: bool
    flow_m3_per_h: float | None
    uptake: float
    lumen: bool


def drying(
    wet: Annotated[
        str | None, typer.Option("--wet", metavar="MASS", help=_("The part's weight now: 1250g."))
    ] = None,
    dry: Annotated[
        str | None,
        typer.Option("--dry", metavar="MASS", help=_("The same part's weight, known dry: 1200g.")),
    ] = None,
    resolution: Annotated[
        str | None, typer.Option("--resolution", metavar="MASS", help=_("Step of the scale's display: 1g."))
    ] = None,
    scale_error: Annotated[
        str | None,
        typer.Option(
            "--scale-error", metavar="MASS", help=_("Largest error of one weighing beyond that step: 2g.")
        ),
    ] = None,
    limit: Annotated[
        str | None,
        typer.Option(
            "--limit", metavar="MASS", help=_("Most water that may be left; the hospital's own figure.")
        ),
    ] = None,
    room: Annotated[
        str | None, typer.Option("--room", metavar="TEMP", help=_("Air that the fan draws in: 25C."))
    ] = None,
    rh: Annotated[
        str | None, typer.Option("--rh", metavar="PERCENT", help=_("Its relative humidity: 60."))
    ] = None,
    heated_to: Annotated[
        str | None,
        typer.Option(
            "--heated-to", metavar="TEMP", help=_("Air as it meets the part; the room's if unsaid: 60C.")
        ),
    ] = None,
    flow: Annotated[
        str | None,
        typer.Option("--flow", metavar="FLOW", help=_("Air past the wet surface: 20m3/h, 300L/min.")),
    ] = None,
    uptake: Annotated[
        str, typer.Option("--uptake", metavar="PERCENT", help=_("Share of its capacity that the air fills."))
    ] = "100",
    lumen: Annotated[bool, typer.Option("--lumen", help=_("The part is a tube or has a channel."))] = False,
    through_flow: Annotated[
        str | None,
        typer.Option("--through-flow", help=_("yes or no: whether air is blown through the lumen.")),
    ] = None,
    altitude: Annotated[
        str | None, typer.Option("--altitude", metavar="M", help=_("Altitude of the place in m."))
    ] = None,
    barometer: Annotated[
        str | None, typer.Option("--barometer", metavar="KPA", help=_("Air pressure read here, in kPa."))
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help=_("Print as JSON."))] = False,
) -> None:
    """Say how much water is left by weight, and the least air, time and heat that carry it off.

    A lumen without air blown through it is refused: it dries by diffusion alone, far too slowly.

    Exit code with --limit: 0 passed, 1 failed or not shown; without it 0. 2: the input cannot be used.

    lungwort drying --wet 1250g --dry 1200g --room 25C --rh 60 --heated-to 60C --flow 20m3/h

    lungwort drying --wet 1201g --dry 1200g --resolution 1g --limit 3g

    lungwort drying --wet 310g --dry 280g --lumen --through-flow yes --room 25C --rh 60 --flow 40L/min --json
    """
    from lungwort.science.drying import require_forced_flow

    forced, air_texts = _yes_or_no(through_flow), (room, rh, heated_to, flow)
    is_lumen = lumen or forced is not None
    if any(air_texts):
        require_forced_flow(is_lumen, forced)
    weighing = _weighing(wet, dry, resolution, scale_error, limit)
    report = _report(weighing, air_texts, is_lumen, uptake, altitude, barometer)
    if as_json:
        say(json.dumps(_data(report), ensure_ascii=False, indent=2, allow_nan=False))
    else:
        _show(report)
    raise typer.Exit(1 if weighing.limit_g is not None and weighing.outcome != "passed" else 0)


def _yes_or_no(text: str | None) -> bool | None:
    if text is not None and text not in ("yes", "no"):
        raise OutOfRange(_("--through-flow {text!r} is not known; give yes or no.").format(text=text))
    return None if text is None else text == "yes"


def _weighing(
    wet: str | None, dry: str | None, resolution: str | None, scale_error: str | None, limit: str | None
) -> Weighing:
    """Return what the weights show; a scale of which nothing is known shows nothing."""
    from lungwort.science.drying import dryness, water_left_g

    if wet is None or dry is None:
        raise OutOfRange(
            _("Give --wet and --dry: the part's weight now, and its weight when it was known dry.")
        )
    wet_g, dry_g = quantity(wet, MASS_G, "--wet"), quantity(dry, MASS_G, "--dry")
    limit_g, error_g = optional(limit, MASS_G, "--limit"), optional(scale_error, MASS_G, "--scale-error")
    if resolution is None:
        return Weighing(_not_below_dry(wet_g, dry_g), limit_g=limit_g)
    step_g = quantity(resolution, MASS_G, "--resolution")
    water = water_left_g(wet_g, dry_g, step_g, step_g if error_g is None else error_g)
    outcome = "not shown" if limit_g is None else dryness(water, limit_g)
    return Weighing(water.best_g, water, limit_g, outcome, error_g is not None)


def _not_below_dry(wet_g: float, dry_g: float) -> float:
    if min(wet_g, dry_g) > 0.0 and wet_g >= dry_g:
        return wet_g - dry_g
    says = _(
        "The weights are {wet} g now and {dry} g dry: the part cannot weigh less than when dry, nor nothing. "
        "Check that it is the same part with nothing missing, and give the scale's --resolution."
    )
    raise OutOfRange(says.format(wet=number(wet_g), dry=number(dry_g)))


def _report(
    weighing: Weighing,
    air_texts: tuple[str | None, str | None, str | None, str | None],
    lumen: bool,
    uptake: str,
    altitude: str | None,
    barometer: str | None,
) -> Report:
    from lungwort.science.drying import drying_air, drying_need

    place_kpa, share = (
        _place_kpa(altitude, barometer),
        quantity(uptake, PERCENT, "--uptake", bare=True) / 100.0,
    )
    room, rh, heated_to, flow = air_texts
    if not any(air_texts):
        return Report(weighing, None, None, place_kpa is not None, None, share, lumen)
    if room is None or rh is None or flow is None:
        raise OutOfRange(
            _("Air needs --room, --rh and --flow; leave them all out to look at the weights only.")
        )
    room_c = quantity(room, TEMPERATURE, "--room")
    heated_c = optional(heated_to, TEMPERATURE, "--heated-to")
    flow_m3_per_h = quantity(flow, AIR_FLOW_M3_PER_H, "--flow")
    air = drying_air(
        room_c,
        quantity(rh, PERCENT, "--rh", bare=True),
        room_c if heated_c is None else heated_c,
        _SEA_LEVEL_KPA if place_kpa is None else place_kpa,
    )
    water_g = weighing.difference_g if weighing.water is None else weighing.water.high_g
    need = drying_need(water_g, air, flow_m3_per_h, share)
    return Report(weighing, air, need, place_kpa is not None, flow_m3_per_h, share, lumen)


def _place_kpa(altitude: str | None, barometer: str | None) -> float | None:
    from lungwort.science.atmosphere import air_pressure_here_kpa

    altitude_m = optional(altitude, METRE, "--altitude", bare=True)
    barometer_kpa = optional(barometer, PRESSURE_KPA, "--barometer", bare=True)
    if altitude_m is None and barometer_kpa is None:
        return None
    return air_pressure_here_kpa(altitude_m, barometer_kpa)


def _data(report: Report) -> dict[str, object]:
    return {**asdict(report), "cautions": _cautions(), "assumed": _assumed(report)}


def _show(report: Report) -> None:
    for caution in _cautions():
        say(indented(caution, "! ", "  "))
    say("")
    say(indented(bold(_weighing_words(report.weighing)), ""))
    say("")
    if report.air is not None and report.need is not None:
        _show_air(report.air, report.need)
    say(heading(_("Assumed")))
    for text in _assumed(report):
        say(indented(text, "- ", "  "))


def _cautions() -> list[str]:
    return [
        _(
            "Hot air softens and ages plastics: check each material's limit. Keep alcohol away from heat and flame."
        ),
        _("Time in a cabinet shows no dryness; a weight speaks of water, not of cleanness or disinfection."),
        _("Filter the air: dust and spores blown onto a treated part undo the treatment."),
    ]


def _weighing_words(weighing: Weighing) -> str:
    best = number(weighing.difference_g)
    if weighing.water is None:
        says = _("NOT SHOWN: {best} g more than when dry, by a scale of unknown step. Give --resolution.")
        return says.format(best=best)
    between = _("{best} g more than when dry; the scale allows {low} to {high} g of water.")
    text = between.format(best=best, low=number(weighing.water.low_g), high=number(weighing.water.high_g))
    return f"{_outcome_word(weighing)}: {text}"


def _outcome_word(weighing: Weighing) -> str:
    if weighing.limit_g is None:
        low_g = weighing.water.low_g if weighing.water else 0.0
        return _("WATER LEFT") if low_g > 0.0 else _("NOT SHOWN")
    limit = number(weighing.limit_g)
    return {
        "passed": _("PASSED, at most {limit} g").format(limit=limit),
        "failed": _("FAILED, more than {limit} g").format(limit=limit),
    }.get(weighing.outcome, _("NOT SHOWN"))


def _show_air(air: DryingAir, need: DryingNeed) -> None:
    says = _("Air of {room} °C and {rh} %, heated to {heated} °C")
    say(
        heading(
            says.format(room=number(air.room_c), rh=number(air.rh_percent, 0), heated=number(air.heated_c))
        )
    )
    rows = (
        (_("relative humidity once heated"), air.heated_rh_percent, 1, "%"),
        (_("wet bulb, as warm as a wet part gets"), air.wet_bulb_c, 1, "°C"),
        (_("most water it can carry off"), air.capacity_g_per_m3, 1, _("g/m³ of heated air")),
        (_("water to carry off"), need.water_g, 1, "g"),
        (_("heated air, at least"), need.heated_m3, 2, "m³"),
        (_("which is room air, at least"), need.room_m3, 2, "m³"),
        (_("time, no less than"), need.at_least_s / 60.0, 1, "min"),
        (_("heat of evaporation"), need.evaporation_kj / 3.6, 1, "Wh"),
        (_("heat given to that air, at least"), need.heating_kj / 3.6, 1, "Wh"),
    )
    for name, value, decimals, unit in rows:
        say(f"  {name}: {number(value, decimals)} {unit}")
    say("")


def _assumed(report: Report) -> list[str]:
    """Return what was taken for granted, as sentences."""
    texts = [_("Both weights are of the same part on the same scale.")]
    if report.weighing.water is not None and not report.weighing.error_stated:
        texts.append(
            _("Each weighing may err by one step of the scale beyond its rounding; --scale-error settles it.")
        )
    if report.weighing.limit_g is None:
        texts.append(_("No limit was given: no weight can show dryness without one. The hospital sets it."))
    if not report.lumen:
        texts.append(_("The part has no lumen; for a tube or a channel say --lumen."))
    return texts if report.air is None else [*texts, *_assumed_of_air(report, report.air)]


def _assumed_of_air(report: Report, air: DryingAir) -> list[str]:
    filled = _(
        "Air leaves the part filled to {share} % of its capacity at the wet bulb. Real drying takes longer."
    )
    texts = [
        filled.format(share=number(report.uptake * 100.0, 0)),
        _("The flow is of heated air that sweeps every wet surface."),
    ]
    if report.place_stated:
        return [*texts, _("Air pressure {kpa} kPa.").format(kpa=number(air.air_pressure_kpa))]
    unstated = _(
        "Nobody said how high the place is: sea level taken. Higher up a cubic metre carries less (a quarter less "
        "at 3,000 m): give --altitude or --barometer."
    )
    return [*texts, unstated]
