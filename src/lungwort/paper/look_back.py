"""The report of a look-back for the committee: what is still out and what to do, who was exposed, what is not shown."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, datetime
from importlib.resources import files
from pathlib import Path
from typing import Any

from lungwort.paper.files import save
from lungwort.paper.glyphs import printable


def write_look_back(report: Mapping[str, Any], path: Path, made_at: datetime) -> None:
    """Write the report of a look-back as a PDF/A-2b of as many A4 pages as it takes.

    Args:
        report: its words as plain data, from `report_data` of the records.
        path: where to write; what stood there is replaced.
        made_at: the moment of making; same report and moment, same bytes.

    Raises:
        LungwortError: the file cannot be written.
    """
    save(path, look_back_pdf(report, made_at))


def look_back_pdf(report: Mapping[str, Any], made_at: datetime) -> bytes:
    """Return the report of a look-back as the bytes of a PDF."""
    made = set_report(report, made_at, format="pdf", pdf_standards="a-2b")
    return made if isinstance(made, bytes) else b"".join(made or ())


def set_report(report: Mapping[str, Any], made_at: datetime, **form: Any) -> Any:
    """Return what the typesetting library makes of a report: a PDF or pictures of its pages."""
    import typst

    return typst.compile(
        files("lungwort.paper").joinpath("look_back.typ").read_bytes(),
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(_in_letters_of_the_page(report))},
        timestamp=int((made_at if made_at.tzinfo else made_at.replace(tzinfo=UTC)).timestamp()),
        **form,
    )


def _in_letters_of_the_page(told: Any) -> Any:
    """Return plain data with every text in letters that the page can print."""
    if isinstance(told, str):
        return printable(told)
    if isinstance(told, Mapping):
        return {name: _in_letters_of_the_page(value) for name, value in told.items()}
    return [_in_letters_of_the_page(one) for one in told] if isinstance(told, list | tuple) else told
