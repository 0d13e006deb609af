"""`lungwort demo`: five invented cycles of a highland hospital, proved; then a year of its records."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lungwort.language import _

if TYPE_CHECKING:
    from lungwort.demo.cycles import DemoCycle
    from lungwort.evidence.verdict import HeatVerdict

FOLDER = Path("lungwort-demo")
TO_TRY = "5-bath-by-hand.csv"


def demo(
    folder: Annotated[
        Path, typer.Option("--folder", help=_("Where to write logs, certificates, charts and records."))
    ] = FOLDER,
    years: Annotated[
        float, typer.Option("--years", min=0.0, max=10.0, help=_("How long a history to record; 0 for none."))
    ] = 1.0,
) -> None:
    """Prove five invented cycles and say what to notice; then record a year of their hospital and look back on it.

    It takes about half a minute. A hospital recorded earlier is made anew, unless something was recorded in it since.
    """
    from lungwort.cli.demo_hospital import show_hospital
    from lungwort.cli.layout import bold, indented, say
    from lungwort.demo.hospital import RIDGEWAY

    place = _("{name}, {altitude} m above the sea. The hospital, its people and its readings are invented.")
    head = indented(place.format(name=RIDGEWAY.name, altitude=f"{RIDGEWAY.altitude_m:,.0f}"), "")
    say("\n".join(map(bold, head.splitlines())) + "\n")
    number = _show_cycles(folder)
    if years > 0:
        show_hospital(folder, years, number + 1)
    text = _("Everything is in {folder}: open the certificates (PDF) and the charts (HTML).")
    say(indented(text.format(folder=folder), ""))
    example = f"lungwort prove {shlex.quote(str(folder / TO_TRY))} --criterion A0-600"
    say(indented(_("Now prove one yourself: {command}").format(command=example), ""))


def _show_cycles(folder: Path) -> int:
    """Prove the cycles one after the other; return how many there are."""
    from lungwort.cli.layout import heading, indented, say
    from lungwort.cli.report import show
    from lungwort.demo.cycles import write_demo_logs
    from lungwort.demo.proof import prove_demo_cycle

    cycles = write_demo_logs(folder)
    for number, cycle in enumerate(cycles, 1):
        say(heading(f"{number}. {cycle.title}"))
        say(indented(cycle.notice, "  ") + "\n")
        verdict = prove_demo_cycle(cycle)
        show(verdict, everything=False)
        say(indented(_papers(cycle, verdict), "  ") + "\n")
    return len(cycles)


def _papers(cycle: DemoCycle, verdict: HeatVerdict) -> str:
    from datetime import datetime

    from lungwort.paper.certificate import write_certificate
    from lungwort.paper.chart import write_chart

    assert cycle.path is not None
    certificate, chart = cycle.path.with_suffix(".pdf"), cycle.path.with_suffix(".html")
    write_certificate(verdict, certificate, datetime.now().astimezone())
    write_chart(verdict, chart)
    return _("Log {log}, certificate {certificate}, chart {chart}").format(
        log=cycle.path.name, certificate=certificate.name, chart=chart.name
    )
