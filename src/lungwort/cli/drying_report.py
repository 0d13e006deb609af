"""Water left and the air that carries it off, on the terminal and as plain data."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

from lungwort.cli.layout import bold, heading, indented, say, say_cautions, say_figure, say_section
from lungwort.language import _, number

if TYPE_CHECKING:
    from lungwort.science.drying import DryingAir, DryingNeed, WaterLeft


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


def report_data(report: Report) -> dict[str, object]:
    """Return the report as plain data, with its cautions and what it rests on."""
    return {**asdict(report), "cautions": _cautions(), "assumed": _assumed(report)}


def show_report(report: Report) -> None:
    """Print a report: hazards first, then the weighing, then the air and what it rests on."""
    say_cautions(_cautions())
    say(indented(bold(_weighing_words(report.weighing)), ""))
    say("")
    if report.air is not None and report.need is not None:
        _show_air(report.air, report.need)
    say_section(_("Assumed"), _assumed(report))


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
        say_figure(name, value, decimals, unit)
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
