"""`lungwort demo`: five invented cycles of a highland hospital, proved, with what to notice in each."""

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
        Path, typer.Option("--folder", help=_("Where to write logs, certificates and charts."))
    ] = FOLDER,
) -> None:
    """Prove five invented cycles, say what to notice, and write their certificates and charts."""
    from lungwort.cli.layout import bold, heading, indented, say
    from lungwort.cli.report import show
    from lungwort.demo.cycles import write_demo_logs
    from lungwort.demo.hospital import RIDGEWAY
    from lungwort.demo.proof import prove_demo_cycle

    place = _("{name}, {altitude} m above the sea. The hospital, its people and its readings are invented.")
    head = indented(place.format(name=RIDGEWAY.name, altitude=f"{RIDGEWAY.altitude_m:.0f}"), "")
    say("\n".join(map(bold, head.splitlines())) + "\n")
    for number, cycle in enumerate(write_demo_logs(folder), 1):
        say(heading(f"{number}. {cycle.title}"))
        say(indented(cycle.notice, "  ") + "\n")
        verdict = prove_demo_cycle(cycle)
        show(verdict, everything=False)
        say(indented(_papers(cycle, verdict), "  ") + "\n")
    text = _("Everything is in {folder}: open the certificates (PDF) and the charts (HTML).")
    say(indented(text.format(folder=folder), ""))
    example = f"lungwort prove {shlex.quote(str(folder / TO_TRY))} --criterion A0-600"
    say(indented(_("Now prove one yourself: {command}").format(command=example), ""))


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
