"""`lungwort humidity`: how soon a water trap must be emptied and a humidifier chamber filled."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, cast, get_args

import typer

from lungwort.cli.humidity_report import Plan, plan_data, show_plan
from lungwort.cli.layout import say_json
from lungwort.cli.options import Altitude, AsJson, Barometer
from lungwort.cli.place import air_pressure_kpa
from lungwort.cli.quantities import (
    GAS_FLOW_L_PER_MIN,
    PERCENT,
    TEMPERATURE_C,
    VOLUME_ML,
    optional,
    quantity,
)
from lungwort.errors import OutOfRange
from lungwort.language import _

if TYPE_CHECKING:
    from lungwort.science.humidifier import Circuit, VolumeAt

_ML_PER_H = 1000.0 / 24.0
"""Of a litre a day."""


def humidity(
    minute_volume: Annotated[
        str | None, typer.Option("--minute-volume", metavar="L/MIN", help=_("What the ventilator shows."))
    ] = None,
    gas: Annotated[
        str | None,
        typer.Option("--gas", metavar="TEMP", help=_("Gas as it enters the limb, taken as saturated: 37C.")),
    ] = None,
    room: Annotated[
        str | None, typer.Option("--room", metavar="TEMP", help=_("The room at its coldest: 24C."))
    ] = None,
    trap: Annotated[
        str | None, typer.Option("--trap", metavar="VOLUME", help=_("The trap's whole volume: 60mL."))
    ] = None,
    safe_fill: Annotated[
        str | None,
        typer.Option(
            "--safe-fill", metavar="PERCENT", help=_("Share of the trap to fill; two thirds if unsaid.")
        ),
    ] = None,
    chamber: Annotated[
        str | None,
        typer.Option("--chamber", metavar="VOLUME", help=_("Chamber's water between its marks: 250mL.")),
    ] = None,
    inlet: Annotated[
        str | None,
        typer.Option("--inlet", metavar="TEMP", help=_("Gas as it enters the chamber; dry gas if unsaid.")),
    ] = None,
    inlet_rh: Annotated[
        str | None, typer.Option("--inlet-rh", metavar="PERCENT", help=_("Its relative humidity."))
    ] = None,
    limb: Annotated[str, typer.Option("--limb", help=_("plain, or heated (heated wire)."))] = "plain",
    wall: Annotated[
        str | None,
        typer.Option("--wall", metavar="TEMP", help=_("Coldest stretch of a heated limb: 36C.")),
    ] = None,
    bias_flow: Annotated[
        str | None,
        typer.Option("--bias-flow", metavar="L/MIN", help=_("Continuous flow past the patient.")),
    ] = None,
    volume_at: Annotated[
        str | None,
        typer.Option(
            "--volume-at",
            help=_(
                "What a litre is: gas (warm, saturated), room (dry, at room temperature), standard (dry, 0 °C)."
            ),
        ),
    ] = None,
    altitude: Altitude = None,
    barometer: Barometer = None,
    patient: Annotated[
        str | None,
        typer.Option("--patient", help=_("adult, child or newborn: example settings for what is unsaid.")),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Say how soon a trap must be emptied and a humidifier chamber filled.

    lungwort humidity --minute-volume 10 --gas 37C --room 24C --trap 60mL --chamber 250mL

    lungwort humidity --patient newborn --room 28C --limb heated --wall 36C --altitude 2300

    lungwort humidity --minute-volume 7,5 --gas 37C --room 22C --inlet 22C --inlet-rh 50 --json
    """
    from lungwort.science.humidifier import SAFE_FILL

    circuit = replace(
        _settings(minute_volume, gas, bias_flow, patient),
        room_c=_required(room, "--room", _("the room's temperature, such as 24C")),
        air_pressure_kpa=air_pressure_kpa(altitude, barometer),
        wall_c=_wall(limb, wall),
        inlet_c=optional(inlet, TEMPERATURE_C, "--inlet"),
        inlet_rh_percent=_inlet_rh(inlet, inlet_rh),
        volume_at=_volume_at(volume_at),
    )
    share = optional(safe_fill, PERCENT, "--safe-fill", bare=True)
    plan = _plan(
        circuit,
        optional(trap, VOLUME_ML, "--trap"),
        optional(chamber, VOLUME_ML, "--chamber"),
        SAFE_FILL.value if share is None else share / 100.0,
        patient,
    )
    if as_json:
        say_json(plan_data(plan))
    else:
        show_plan(plan)


def _settings(
    minute_volume: str | None, gas: str | None, bias_flow: str | None, patient: str | None
) -> Circuit:
    """Return a circuit with what was said of the ventilator, and the example's figures for the rest."""
    from lungwort.science.humidifier import PATIENTS, Circuit

    if patient is not None and patient not in PATIENTS:
        says = _("--patient {name!r} is not known; give one of {names}, or the machine's own figures.")
        raise OutOfRange(says.format(name=patient, names=", ".join(PATIENTS)))
    example = PATIENTS[patient] if patient else None
    flow = optional(minute_volume, GAS_FLOW_L_PER_MIN, "--minute-volume", bare=True)
    gas_c = optional(gas, TEMPERATURE_C, "--gas")
    bias = optional(bias_flow, GAS_FLOW_L_PER_MIN, "--bias-flow", bare=True)
    if example is not None:
        flow = example.minute_volume_l_per_min if flow is None else flow
        gas_c = example.gas_c if gas_c is None else gas_c
        bias = example.bias_flow_l_per_min if bias is None else bias
    if flow is None or gas_c is None:
        raise OutOfRange(
            _("Give --minute-volume and --gas as the machine shows them, or --patient for an example.")
        )
    return Circuit(flow, gas_c, room_c=gas_c, bias_flow_l_per_min=bias or 0.0)


def _required(text: str | None, option: str, what: str) -> float:
    if text is None:
        raise OutOfRange(_("{option} is missing: give {what}.").format(option=option, what=what))
    return quantity(text, TEMPERATURE_C, option)


def _wall(limb: str, wall: str | None) -> float | None:
    if limb not in ("plain", "heated"):
        raise OutOfRange(_("--limb {limb!r} is not known; give plain or heated.").format(limb=limb))
    if limb == "plain" and wall is not None:
        raise OutOfRange(
            _("--wall is for a heated limb: a plain one cools the gas to the room. Add --limb heated.")
        )
    if limb == "heated" and wall is None:
        raise OutOfRange(
            _("A heated limb needs --wall, the temperature of its coldest stretch, such as --wall 36C.")
        )
    return optional(wall, TEMPERATURE_C, "--wall")


def _inlet_rh(inlet: str | None, inlet_rh: str | None) -> float:
    if (inlet is None) != (inlet_rh is None):
        raise OutOfRange(
            _("--inlet and --inlet-rh go together; leave both out for dry medical gas, the cautious case.")
        )
    return optional(inlet_rh, PERCENT, "--inlet-rh", bare=True) or 0.0


def _volume_at(text: str | None) -> VolumeAt | None:
    from lungwort.science.humidifier import VolumeAt

    if text is not None and text not in get_args(VolumeAt):
        says = _("--volume-at {text!r} is not known; give gas, room or standard.")
        raise OutOfRange(says.format(text=text))
    return cast("VolumeAt | None", text)


def _plan(
    circuit: Circuit, trap_ml: float | None, chamber_ml: float | None, share: float, patient: str | None
) -> Plan:
    from lungwort.science.humidifier import forecast

    figures = forecast(circuit)
    return Plan(
        circuit=circuit,
        forecast=figures,
        patient=patient,
        trap_ml=trap_ml,
        safe_fill_share=share,
        trap_simple_h=_hours(trap_ml, figures.condensate_simple_ml_per_h, share),
        trap_h=_hours(trap_ml, figures.condensate_ml_per_h, share),
        trap_cautious_h=_hours(trap_ml, figures.condensate_most_ml_per_h, share, rounded=True),
        chamber_ml=chamber_ml,
        chamber_h=_hours(chamber_ml, figures.chamber_net_l_per_day * _ML_PER_H),
        chamber_cautious_h=_hours(chamber_ml, figures.chamber_most_l_per_day * _ML_PER_H, rounded=True),
    )


def _hours(
    volume_ml: float | None, rate_ml_per_h: float, share: float = 1.0, rounded: bool = False
) -> float | None:
    """Return an interval, or None where there is no such volume or no water comes by this model."""
    from lungwort.science.humidifier import interval_h, rounded_down_h

    if volume_ml is None:
        return None
    hours = interval_h(volume_ml, rate_ml_per_h, share)
    if math.isinf(hours):
        return None
    return rounded_down_h(hours) if rounded else hours
