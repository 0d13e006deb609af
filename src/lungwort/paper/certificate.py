"""The certificate: one A4 page, PDF/A-2b, that says what was measured, what it proves and by which rule."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from importlib.resources import files
from pathlib import Path

from lungwort.evidence.verdict import HeatVerdict
from lungwort.paper.chart import chart, chart_svg
from lungwort.paper.files import save
from lungwort.paper.marks import Sheet
from lungwort.paper.page import page_data
from lungwort.paper.printing import printable_verdict

TALL = Sheet()
LOW = Sheet(upper=116.0, lower=62.0)


def write_certificate(verdict: HeatVerdict, path: Path, made_at: datetime) -> None:
    """Write the certificate of a verdict as a PDF/A-2b of exactly one A4 page.

    `made_at` is the moment printed as the making of the page; same verdict and moment, same bytes.
    Long lists are cut on the page, gravest findings first, with the count of what was left out.
    Raises LungwortError where the file cannot be written.
    """
    save(path, certificate_pdf(verdict, made_at))


def certificate_pdf(verdict: HeatVerdict, made_at: datetime) -> bytes:
    """Return the certificate as the bytes of a PDF."""
    import typst

    ready = printable_verdict(verdict)
    inputs = {
        "data": json.dumps(page_data(ready, verdict, made_at)),
        "chart_tall": chart_svg(chart(ready, TALL)),
        "chart_low": chart_svg(chart(ready, LOW)),
    }
    made = typst.compile(
        files("lungwort.paper").joinpath("certificate.typ").read_bytes(),
        format="pdf",
        pdf_standards="a-2b",
        ignore_system_fonts=True,
        sys_inputs=inputs,
        timestamp=int((made_at if made_at.tzinfo else made_at.replace(tzinfo=UTC)).timestamp()),
    )
    return made if isinstance(made, bytes) else b"".join(made or ())
