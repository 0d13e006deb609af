"""`lungwort prove`: what the log of one cycle shows, by which published rule, how surely."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, get_args

import typer

from lungwort.language import _

if TYPE_CHECKING:
    from lungwort.evidence.verdict import Verdict

_READING = _("How to read the log (only where the file does not say)")
_PLACE = _("Place and instruments")
_OUTPUT = _("Output")


def prove(
    log: Annotated[Path | None, typer.Argument(help=_("The logger's file: CSV, text or XLSX."))] = None,
    criterion: Annotated[
        list[str] | None, typer.Option("--criterion", "-c", help=_("What must be shown; repeat for several."))
    ] = None,
    hand: Annotated[
        list[str] | None,
        typer.Option(
            "--hand",
            help=_("A line written by hand instead of a file, such as '14:05 78,5' or '14:00 in'; repeat."),
        ),
    ] = None,
    channel: Annotated[
        list[str] | None, typer.Option("--channel", help=_("Judge only this channel; repeat for several."))
    ] = None,
    from_: Annotated[
        str | None, typer.Option("--from", help=_("Judge from this moment: 09:12 or 12min."))
    ] = None,
    to: Annotated[str | None, typer.Option("--to", help=_("Judge up to this moment."))] = None,
    altitude: Annotated[
        float | None,
        typer.Option("--altitude", metavar="M", help=_("Altitude in m."), rich_help_panel=_PLACE),
    ] = None,
    barometer: Annotated[
        float | None,
        typer.Option(
            "--barometer", metavar="KPA", help=_("Air pressure read here, in kPa."), rich_help_panel=_PLACE
        ),
    ] = None,
    gauge: Annotated[
        bool, typer.Option("--gauge", help=_("The log's pressure is gauge pressure."), rich_help_panel=_PLACE)
    ] = False,
    absolute: Annotated[
        bool, typer.Option("--absolute", help=_("The log's pressure is absolute."), rich_help_panel=_PLACE)
    ] = False,
    sensor: Annotated[
        str | None,
        typer.Option(
            "--sensor",
            help=_("'Pt100 A', 'type K class 1', '±0.5 K' or 'calibrated +0.12 ±0.20'."),
            rich_help_panel=_PLACE,
        ),
    ] = None,
    shared_sensor: Annotated[
        bool,
        typer.Option(
            "--shared-sensor", help=_("All channels share one instrument's error."), rich_help_panel=_PLACE
        ),
    ] = False,
    pressure_error: Annotated[
        float | None,
        typer.Option(
            "--pressure-error",
            metavar="KPA",
            help=_("Largest error of the pressure sensor."),
            rich_help_panel=_PLACE,
        ),
    ] = None,
    confidence: Annotated[
        float, typer.Option("--confidence", help=_("One-sided confidence."), rich_help_panel=_PLACE)
    ] = 0.95,
    unit: Annotated[
        list[str] | None,
        typer.Option("--unit", help=_("C, F or K; or 'P1=kPa' for one column."), rich_help_panel=_READING),
    ] = None,
    leave_out: Annotated[
        list[str] | None,
        typer.Option("--leave-out", help=_("A column to leave unread."), rich_help_panel=_READING),
    ] = None,
    date_order: Annotated[
        str | None, typer.Option("--date-order", help=_("dmy, mdy or ymd."), rich_help_panel=_READING)
    ] = None,
    time_unit: Annotated[
        str | None,
        typer.Option(
            "--time-unit", help=_("Unit of a bare time column: s, min or h."), rich_help_panel=_READING
        ),
    ] = None,
    zone: Annotated[
        str | None,
        typer.Option("--zone", help=_("Time zone, such as Africa/Nairobi."), rich_help_panel=_READING),
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help=_("Print as JSON."), rich_help_panel=_OUTPUT)
    ] = False,
    certificate: Annotated[
        Path | None, typer.Option("--certificate", help=_("Write a one-page PDF."), rich_help_panel=_OUTPUT)
    ] = None,
    chart: Annotated[
        Path | None,
        typer.Option("--chart", help=_("Write the curve as .svg, .png or .html."), rich_help_panel=_OUTPUT),
    ] = None,
) -> None:
    """Say what the log of one cycle proves: an autoclave run, a hot-water bath, a soak or a drying written by hand.

    Exit code 0: passed. 1: failed or not shown. 2: the input cannot be used.

    lungwort prove run.csv --criterion steam-134C-3min --altitude 2300 --sensor "Pt100 A"

    lungwort prove bath.csv --criterion A0-600 --channel T2 --json

    lungwort prove --hand "14:00 82" --hand "14:05 83" --hand "14:10 83" --unit C --criterion A0-600

    lungwort prove --hand "14:00 in; strip 1500 mg/L; 14:25 out; made 13:30; rinse sterile"
    --criterion hypochlorite-parts-1000mgL

    lungwort prove --hand "dry 412 g; now 412.4 g; scale ±0.1 g" --criterion dry-0.2-percent
    """
    from lungwort.cli import inputs
    from lungwort.evidence.circumstances import circumstances_at
    from lungwort.evidence.instrument import parse_sensor
    from lungwort.evidence.judge import judge
    from lungwort.evidence.period import select_period
    from lungwort.evidence.reading import Declared
    from lungwort.evidence.reading.declared import DateOrder, TimeUnit

    criteria = inputs.criteria_named(criterion)
    written_only = inputs.written_process(criteria)
    if written_only is not None:
        _refuse_papers(written_only, certificate, chart)
        verdict: Verdict = inputs.judged_record(log, hand, written_only, criteria)
    else:
        circumstances = circumstances_at(
            altitude,
            barometer,
            parse_sensor(sensor) if sensor else None,
            pressure_error,
            confidence,
            shared_sensor,
        )
        declared = Declared(
            units=inputs.units(unit),
            pressure_kind=inputs.pressure_kind(gauge, absolute),
            date_order=inputs.one_of("--date-order", date_order, get_args(DateOrder)),
            time_unit=inputs.one_of("--time-unit", time_unit, get_args(TimeUnit)),
            zone=zone,
            channels=tuple(channel or ()),
            leave_out=tuple(leave_out or ()),
        )
        readings = select_period(inputs.readings(log, hand, declared, criteria), from_, to)
        verdict = judge(readings, criteria, circumstances)
    _write(verdict, as_json, certificate, chart)
    raise typer.Exit(0 if verdict.outcome == "passed" else 1)


def _refuse_papers(process: str, certificate: Path | None, chart: Path | None) -> None:
    from lungwort.cli import inputs

    if certificate or chart:
        text = _(
            "a {process} record has no curve, so no chart and no certificate; print the answer, or use --json"
        )
        raise inputs.unusable(text.format(process=process))


def _write(verdict: Verdict, as_json: bool, certificate: Path | None, chart: Path | None) -> None:
    if as_json:
        import json

        from lungwort.evidence.plain_data import verdict_data

        print(json.dumps(verdict_data(verdict), ensure_ascii=False, indent=2, allow_nan=False))
    else:
        from lungwort.cli.report import show, signature

        show(verdict)
        print(signature(verdict))
    _write_papers(verdict, certificate, chart)


def _write_papers(verdict: Verdict, certificate: Path | None, chart: Path | None) -> None:
    from lungwort.evidence.verdict import HeatVerdict

    if not isinstance(verdict, HeatVerdict):
        return
    if chart is not None:
        from lungwort.paper.chart import write_chart

        write_chart(verdict, chart)
    if certificate is not None:
        from datetime import datetime

        from lungwort.paper.certificate import write_certificate

        write_certificate(verdict, certificate, datetime.now().astimezone())
