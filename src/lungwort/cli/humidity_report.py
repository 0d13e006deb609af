"""A humidifier's plan on the terminal and as plain data."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

from lungwort.cli.layout import bold, heading, indented, say, say_cautions, say_figure, say_section
from lungwort.language import _, number

if TYPE_CHECKING:
    from lungwort.science.humidifier import Circuit, Forecast


@dataclass(frozen=True)
class Plan:
    """What is printed: the set-up, its forecast, and the intervals in hours; None where there is none."""

    circuit: Circuit
    forecast: Forecast
    trap_ml: float | None
    safe_fill_share: float
    trap_simple_h: float | None
    trap_h: float | None
    trap_cautious_h: float | None
    chamber_ml: float | None
    chamber_h: float | None
    chamber_cautious_h: float | None
    patient: str | None


def plan_data(plan: Plan) -> dict[str, object]:
    """Return the plan as plain data, with what it rests on."""
    from lungwort.science.humidifier import SAFE_FILL, TARGET_HIGH, TARGET_LOW

    return {
        **asdict(plan),
        "target_mg_per_l": {"low": asdict(TARGET_LOW), "high": asdict(TARGET_HIGH)},
        "safe_fill_suggested": asdict(SAFE_FILL),
        "assumed": _assumed(plan),
        "cautions": _cautions(),
    }


def show_plan(plan: Plan) -> None:
    """Print a plan: hazards first, then what to do, then the figures and what they rest on."""
    say_cautions(_cautions())
    _show_intervals(plan)
    _show_water(plan)
    _show_limb(plan)
    say_section(_("Assumed"), _assumed(plan))


def _cautions() -> list[str]:
    return [
        _(
            "Condensate is contaminated. Wear gloves, drain it away from the patient, never back to the chamber."
        ),
        _("A forecast, not a measurement: look at trap and chamber on every round whatever it says."),
        _("The maker's instructions and licensed practice come first."),
    ]


def _show_intervals(plan: Plan) -> None:
    if plan.trap_ml is not None:
        say(indented(bold(_trap_words(plan)), ""))
    if plan.chamber_ml is not None:
        say(indented(bold(_chamber_words(plan)), ""))
    if plan.trap_ml is not None or plan.chamber_ml is not None:
        say("")


def _trap_words(plan: Plan) -> str:
    hours = plan.trap_cautious_h
    if hours is None:
        return _(
            "No interval for the trap: by this model nothing condenses. Draughts and bare connectors do it all the "
            "same, so look on every round."
        )
    if hours == 0.0:
        return _("The trap would be at its safe fill within five minutes: take a larger one.")
    says = _("Empty the {volume} mL trap at least every {time}, before it holds {fill} mL.")
    fill_ml = math.floor(plan.safe_fill_share * (plan.trap_ml or 0.0) + 1e-9)
    return says.format(volume=number(plan.trap_ml, 0), time=_time(hours), fill=number(fill_ml, 0))


def _chamber_words(plan: Plan) -> str:
    hours = plan.chamber_cautious_h
    if hours is None:
        return _("No interval for the chamber: the gas arrives with all the water it leaves with.")
    if hours == 0.0:
        return _("The chamber would run low within five minutes: check the figures.")
    says = _("Fill the chamber ({volume} mL between its marks) at least every {time}.")
    return says.format(volume=number(plan.chamber_ml, 0), time=_time(hours))


def _time(hours: float) -> str:
    """Write a rounded interval: 2 h, 2.5 h or 50 min.

    >>> _time(2.0), _time(2.5), _time(50 / 60)
    ('2 h', '2.5 h', '50 min')
    """
    if hours < 1.0:
        return _("{minutes} min").format(minutes=number(hours * 60.0, 0))
    return _("{hours} h").format(hours=number(hours, 0 if hours == int(hours) else 1))


def _show_water(plan: Plan) -> None:
    from lungwort.science.humidifier import HOTTEST_AT_PATIENT, TARGET_HIGH, TARGET_LOW

    figures = plan.forecast
    say(heading(_("Water from the chamber")))
    says = _(
        "Gas of {gas} °C, saturated, carries {water} mg/L. The guideline asks for {low} to {high} mg/L. [{basis}]"
    )
    target = says.format(
        gas=number(plan.circuit.gas_c),
        water=number(figures.gas_mg_per_l),
        low=number(TARGET_LOW.value, 0),
        high=number(TARGET_HIGH.value, 0),
        basis=f"{TARGET_LOW.source}; {TARGET_LOW.basis}",
    )
    say(indented(target, "  "))
    if plan.circuit.gas_c > HOTTEST_AT_PATIENT.value:
        says = _(
            "Above {hot} °C gas burns the airway: it must have cooled before it reaches the patient. [{basis}]"
        )
        basis = f"{HOTTEST_AT_PATIENT.source}; {HOTTEST_AT_PATIENT.basis}"
        say(indented(says.format(hot=number(HOTTEST_AT_PATIENT.value, 0), basis=basis), "! ", "  "))
    say_figure(_("into dry gas"), figures.chamber_gross_l_per_day, 3, "L/day")
    if plan.circuit.inlet_c is not None:
        say_figure(_("net of inlet gas, simple difference"), figures.chamber_net_simple_l_per_day, 3, "L/day")
        say_figure(_("net of inlet gas, dry-gas mass"), figures.chamber_net_l_per_day, 3, "L/day")
    say_figure(_("cautious figure"), figures.chamber_most_l_per_day, 3, "L/day")
    if plan.chamber_h is not None:
        say_figure(_("chamber lasts, before caution and rounding"), plan.chamber_h, 1, "h")
    say("")


def _show_limb(plan: Plan) -> None:
    from lungwort.science.humidifier import TARGET_LOW

    figures, circuit = plan.forecast, plan.circuit
    kind = _("plain limb") if circuit.wall_c is None else _("heated limb")
    to_c = circuit.room_c if circuit.wall_c is None else circuit.wall_c
    title = _("Condensate in one {kind}, cooling the gas to {to} °C")
    say(heading(title.format(kind=kind, to=number(min(to_c, circuit.gas_c)))))
    for name, per_l, per_h in (
        (_("simple difference"), figures.condensate_simple_mg_per_l, figures.condensate_simple_ml_per_h),
        (_("dry-gas mass"), figures.condensate_mg_per_l, figures.condensate_ml_per_h),
    ):
        says = _("  {name}: {per_l} mg/L of gas, {per_h} mL/h")
        say(says.format(name=name, per_l=number(per_l), per_h=number(per_h)))
    say_figure(_("cautious figure"), figures.condensate_most_ml_per_h, 1, "mL/h")
    if plan.trap_h is not None and plan.trap_simple_h is not None:
        say_figure(_("trap at its safe fill, simple difference"), plan.trap_simple_h, 1, "h")
        say_figure(_("trap at its safe fill, dry-gas mass"), plan.trap_h, 1, "h")
    if figures.limb_end_mg_per_l < TARGET_LOW.value:
        says = _(
            "If this is the limb towards the patient: gas cooled so far holds {water} mg/L, "
            "below the {low} mg/L asked for."
        )
        text = says.format(water=number(figures.limb_end_mg_per_l), low=number(TARGET_LOW.value, 0))
        say(indented(text, "! ", "  "))
    say("")


def _assumed(plan: Plan) -> list[str]:
    """Return what was taken for granted, as sentences."""
    circuit = plan.circuit
    return [
        *_patient_says(plan.patient),
        *_litre_says(circuit),
        *_place_says(circuit),
        *_bias_says(circuit),
        *_trap_says(plan),
        _(
            "Gas is saturated as it leaves the chamber, and cools fully in the limb: the most that can condense."
        ),
        _(
            "Cautious figures count the dry gas, which does not change as it cools, and 2 % more for what the "
            "law of ideal gases and 1 mL a gram leave out. Intervals are rounded down, to a day at most."
        ),
        _("Medical gas enters the chamber dry.")
        if circuit.inlet_c is None
        else _("Gas enters the chamber as stated; where it comes from a cylinder or pipe it is dry."),
    ]


def _patient_says(name: str | None) -> list[str]:
    from lungwort.science.humidifier import PATIENTS

    if name is None:
        return []
    example = PATIENTS[name]
    says = _(
        "What was not said was taken from an example, {source}: {flow} L/min, {bias} L/min past the patient, "
        "{gas} °C [{basis}]. Use the machine's own figures."
    )
    return [
        says.format(
            source=example.source,
            flow=number(example.minute_volume_l_per_min),
            bias=number(example.bias_flow_l_per_min),
            gas=number(example.gas_c),
            basis=example.basis,
        )
    ]


def _litre_says(circuit: Circuit) -> list[str]:
    stated = {
        "gas": _("Litres are of warm, saturated gas as it leaves the chamber."),
        "room": _("Litres are of dry gas at room temperature."),
        "standard": _("Litres are of dry gas at 0 °C and 101.325 kPa."),
    }
    unstated = _(
        "Nobody said what a litre is: figures take it as gas leaves the chamber, near to what ventilators show "
        "(BTPS); cautious figures as dry gas at room temperature. --volume-at settles it, and must be given where "
        "a flow meter counts dry gas at 0 °C, which is more water still."
    )
    return [stated.get(circuit.volume_at or "", unstated)]


def _place_says(circuit: Circuit) -> list[str]:
    if circuit.air_pressure_kpa is not None:
        return [_("Air pressure {kpa} kPa.").format(kpa=number(circuit.air_pressure_kpa))]
    return [
        _(
            "Nobody said how high the place is: figures take sea level, cautious figures 5,000 m. "
            "--altitude or --barometer settles it."
        )
    ]


def _bias_says(circuit: Circuit) -> list[str]:
    if circuit.bias_flow_l_per_min > 0.0:
        says = _("A flow of {flow} L/min past the patient is counted in full.")
        return [says.format(flow=number(circuit.bias_flow_l_per_min))]
    return [_("No gas flows past the patient; where it does (a newborn's circuit), give --bias-flow.")]


def _trap_says(plan: Plan) -> list[str]:
    from lungwort.science.humidifier import SAFE_FILL

    if plan.trap_ml is None or plan.safe_fill_share != SAFE_FILL.value:
        return []
    return [
        _("A trap is emptied at two thirds: {source} [{basis}].").format(
            source=SAFE_FILL.source, basis=SAFE_FILL.basis
        )
    ]
