"""`lungwort prove`: what the log of one cycle shows, by which published rule, how surely."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, get_args

import typer

from lungwort.cli.options import PLACE, Altitude, Barometer
from lungwort.language import _

if TYPE_CHECKING:
    from lungwort.evidence.verdict import Verdict
    from lungwort.protocol.given import Given

_READING = _("How to read the log (only where the file does not say)")
_OUTPUT = _("Output")
_PROTOCOL = _("From the hospital's protocol")


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
    to: Annotated[
        str | None, typer.Option("--to", help=_("Judge up to this moment: 09:48 or 48min."))
    ] = None,
    protocol: Annotated[
        Path | None,
        typer.Option(
            "--protocol",
            metavar="FILE",
            help=_("Take criteria, place and thermometer from this protocol."),
            rich_help_panel=_PROTOCOL,
        ),
    ] = None,
    part: Annotated[
        str | None,
        typer.Option(
            "--part", metavar="KIND", help=_("The kind of part that was treated."), rich_help_panel=_PROTOCOL
        ),
    ] = None,
    step: Annotated[
        int | None,
        typer.Option(
            "--step", help=_("Which of its steps, where several treat it."), rich_help_panel=_PROTOCOL
        ),
    ] = None,
    altitude: Altitude = None,
    barometer: Barometer = None,
    gauge: Annotated[
        bool, typer.Option("--gauge", help=_("The log's pressure is gauge pressure."), rich_help_panel=PLACE)
    ] = False,
    absolute: Annotated[
        bool, typer.Option("--absolute", help=_("The log's pressure is absolute."), rich_help_panel=PLACE)
    ] = False,
    sensor: Annotated[
        str | None,
        typer.Option(
            "--sensor",
            help=_("'Pt100 A', 'type K class 1', '±0.5 K' or 'calibrated +0.12 ±0.20'; ±2.5 K if unsaid."),
            rich_help_panel=PLACE,
        ),
    ] = None,
    shared_sensor: Annotated[
        bool,
        typer.Option(
            "--shared-sensor", help=_("All channels share one instrument's error."), rich_help_panel=PLACE
        ),
    ] = False,
    pressure_error: Annotated[
        float | None,
        typer.Option(
            "--pressure-error",
            metavar="KPA",
            help=_("Largest error of the pressure sensor; 5 if unsaid."),
            rich_help_panel=PLACE,
        ),
    ] = None,
    confidence: Annotated[
        float,
        typer.Option("--confidence", help=_("How sure the proof must be, one-sided."), rich_help_panel=PLACE),
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
        typer.Option(
            "--zone",
            help=_("Time zone, such as Africa/Nairobi, to settle daylight saving."),
            rich_help_panel=_READING,
        ),
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

    lungwort prove run.csv --protocol protocol.toml --part "Silicone circuit"

    lungwort prove --hand "14:00 82" --hand "14:05 83" --hand "14:10 83" --unit C --criterion A0-600

    lungwort prove --hand "14:00 in; strip 1500 mg/L; 14:25 out; made 13:30; rinse sterile"
    --criterion hypochlorite-parts-1000mgL

    lungwort prove --hand "dry 412 g; now 412.4 g; scale ±0.1 g" --criterion dry-0.2-percent
    """
    from lungwort.cli import inputs
    from lungwort.cli.place import altitude_m, barometer_kpa
    from lungwort.evidence.circumstances import circumstances_at
    from lungwort.evidence.instrument import parse_sensor
    from lungwort.evidence.judge import judge
    from lungwort.evidence.period import select_period
    from lungwort.evidence.reading import Declared
    from lungwort.evidence.reading.declared import DateOrder, TimeUnit

    air, thermometer = altitude is None and barometer is None, sensor is None  # taken from a protocol
    task = _task(protocol, part, step, criterion, air, thermometer)
    criteria = list(task.criteria) if task else inputs.criteria_named(criterion)
    inputs.check_zone(zone)
    written_only = inputs.written_process(criteria)
    if written_only is not None:
        _refuse_papers(written_only, certificate, chart)
        verdict: Verdict = inputs.judged_record(log, hand, written_only, criteria)
    else:
        circumstances = circumstances_at(
            altitude_m(altitude),
            barometer_kpa(barometer),
            parse_sensor(sensor) if sensor else None,
            pressure_error,
            confidence,
            shared_sensor,
        )
        if task:
            from lungwort.cli.from_protocol import known_here

            circumstances = known_here(task, circumstances)
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
    if task:
        from lungwort.cli.from_protocol import signed_here

        verdict = signed_here(task, verdict)
    _write(verdict, as_json, certificate, chart)
    raise typer.Exit(0 if verdict.outcome == "passed" else 1)


def _task(
    path: Path | None,
    part: str | None,
    step: int | None,
    criterion: list[str] | None,
    air: bool,
    thermometer: bool,
) -> Given | None:
    """Return what the protocol says is to be proved; None where no protocol was given."""
    if path is None:
        from lungwort.cli import inputs

        if part is not None or step is not None:
            raise inputs.unusable(_("--part and --step belong to a protocol; give it with --protocol"))
        return None
    from datetime import date

    from lungwort.cli.from_protocol import task_of

    return task_of(path, part, step, criterion, date.today(), air, thermometer)


def _refuse_papers(process: str, certificate: Path | None, chart: Path | None) -> None:
    from lungwort.cli import inputs

    if certificate or chart:
        text = _(
            "a {process} record has no curve, so no chart and no certificate; print the answer, or use --json"
        )
        raise inputs.unusable(text.format(process=process))


def _write(verdict: Verdict, as_json: bool, certificate: Path | None, chart: Path | None) -> None:
    if as_json:
        from lungwort.cli.layout import say_json
        from lungwort.evidence.plain_data import verdict_data

        say_json(verdict_data(verdict))
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
