"""`lungwort drying`: water left by weight, and the least air, time and heat that carry it off."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from lungwort.cli.drying_report import Report, Weighing, report_data, show_report
from lungwort.cli.layout import say_json
from lungwort.cli.options import Altitude, AsJson, Barometer
from lungwort.cli.place import air_pressure_kpa
from lungwort.cli.quantities import (
    AIR_FLOW_M3_PER_H,
    MASS_G,
    PERCENT,
    TEMPERATURE_C,
    optional,
    quantity,
)
from lungwort.errors import OutOfRange
from lungwort.language import _, number
from lungwort.science.constants import STANDARD_PRESSURE_KPA

if TYPE_CHECKING:
    from lungwort.science.drying import DryingAir


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
    altitude: Altitude = None,
    barometer: Barometer = None,
    as_json: AsJson = False,
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
    share = quantity(uptake, PERCENT, "--uptake", bare=True) / 100.0
    report = _report(weighing, air_texts, is_lumen, share, air_pressure_kpa(altitude, barometer))
    if as_json:
        say_json(report_data(report))
    else:
        show_report(report)
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
    share: float,
    place_kpa: float | None,
) -> Report:
    from lungwort.science.drying import drying_need

    stated = place_kpa is not None
    if not any(air_texts):
        return Report(weighing, None, None, stated, None, share, lumen)
    air, flow_m3_per_h = _air_and_flow(*air_texts, STANDARD_PRESSURE_KPA if place_kpa is None else place_kpa)
    water_g = weighing.difference_g if weighing.water is None else weighing.water.high_g
    need = drying_need(water_g, air, flow_m3_per_h, share)
    return Report(weighing, air, need, stated, flow_m3_per_h, share, lumen)


def _air_and_flow(
    room: str | None, rh: str | None, heated_to: str | None, flow: str | None, place_kpa: float
) -> tuple[DryingAir, float]:
    """Return the air past the part and its flow [m³/h]."""
    from lungwort.science.drying import drying_air

    if room is None or rh is None or flow is None:
        raise OutOfRange(
            _("Air needs --room, --rh and --flow; leave them all out to look at the weights only.")
        )
    room_c = quantity(room, TEMPERATURE_C, "--room")
    heated_c = optional(heated_to, TEMPERATURE_C, "--heated-to")
    rh_percent = quantity(rh, PERCENT, "--rh", bare=True)
    air = drying_air(room_c, rh_percent, room_c if heated_c is None else heated_c, place_kpa)
    return air, quantity(flow, AIR_FLOW_M3_PER_H, "--flow")
