"""`lungwort vet`: a protocol checked as a compiler checks a program, each finding with its line and its remedy."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from lungwort.cli.options import AsJson
from lungwort.language import _, ngettext

if TYPE_CHECKING:
    from lungwort.protocol.difference import Difference
    from lungwort.protocol.finding import Finding
    from lungwort.protocol.reading import Document
    from lungwort.protocol.vet import Report

SHAPES = {"error": "✕", "warning": "▲", "note": "·"}


def vet(
    file: Annotated[Path, typer.Argument(help=_("The protocol: a TOML file."))],
    today: Annotated[
        str | None,
        typer.Option("--today", metavar="DATE", help=_("Vet as on this day, such as 2026-11-25.")),
    ] = None,
    against: Annotated[
        Path | None,
        typer.Option("--against", metavar="OLD", help=_("Say also what changed since this protocol.")),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Say what is wrong in a hospital's protocol: each finding with its line, its computation and its remedy.

    Exit code 0: no error found. 1: at least one error. 2: the document cannot be used.

    lungwort vet protocol.toml

    lungwort vet protocol.toml --against protocol-2025.toml --today 2026-11-25
    """
    from lungwort.protocol.reading import read_protocol
    from lungwort.protocol.vet import vet as report_on

    document, day = read_protocol(file), day_named(today)
    report = report_on(document, day)
    changed = None if against is None else _difference(against, document, day, report)
    if as_json:
        from lungwort.cli.layout import say_json

        say_json(vetting_data(document, day, report, changed))
    else:
        _show(document, day, report, changed)
    raise typer.Exit(0 if report.usable else 1)


def day_named(text: str | None) -> date:
    """Return the day typed as year, month, day; today where none was."""
    from lungwort.errors import OutOfRange

    try:
        return date.today() if text is None else date.fromisoformat(text.strip())
    except ValueError as error:
        says = _("--today {text!r} is no day; write year, month, day, such as 2026-11-25")
        raise OutOfRange(says.format(text=text)) from error


def _difference(against: Path, new: Document, day: date, report: Report) -> Difference:
    from lungwort.protocol.difference import difference
    from lungwort.protocol.reading import read_protocol

    return difference(read_protocol(against), new, day, report)


def _show(document: Document, day: date, report: Report, changed: Difference | None) -> None:
    from lungwort.cli.layout import indented, say
    from lungwort.protocol.naming import plain_data

    data = plain_data(document.protocol)
    _show_head(document, day, report)
    for severity in SHAPES:
        for finding in (f for f in report.findings if f.severity == severity):
            _show_finding(finding, data)
    if changed is not None:
        _show_difference(changed)
    text = _("Vetting finds what its rules look for; it does not show that the protocol is good. ")
    say(indented(text + _("The maker's instructions and local codes come first."), ""))


def _show_head(document: Document, day: date, report: Report) -> None:
    from lungwort.cli.layout import bold, indented, say

    protocol = document.protocol
    word = _("■ NO ERROR FOUND") if report.usable else _("✕ NOT TO BE USED AS IT IS")
    title = _("{file}: {title}, version {version}, {place}, as on {day}").format(
        file=document.file_name,
        title=protocol.title,
        version=protocol.version,
        place=protocol.place.name,
        day=day.isoformat(),
    )
    say(indented(counts_words(report), f"{word}   ", "  ").replace(word, bold(word), 1))
    say(indented(title, "  ") + "\n")


def counts_words(report: Report) -> str:
    """Say how many findings of each severity there are."""
    counts = counts_of(report)
    return ", ".join(
        (
            ngettext("{n} error", "{n} errors", counts["error"]).format(n=counts["error"]),
            ngettext("{n} warning", "{n} warnings", counts["warning"]).format(n=counts["warning"]),
            ngettext("{n} note", "{n} notes", counts["note"]).format(n=counts["note"]),
        )
    )


def counts_of(report: Report) -> dict[str, int]:
    """Return how many findings of each severity there are."""
    return {severity: sum(f.severity == severity for f in report.findings) for severity in SHAPES}


def _show_finding(finding: Finding, data: dict[str, Any]) -> None:
    from lungwort.cli.layout import bold, indented, say
    from lungwort.protocol.naming import words

    where = _("line {line}, {severity}: {rule}").format(
        line=finding.line, severity=_(finding.severity.value), rule=finding.rule
    )
    say(f"{SHAPES[finding.severity]} {bold(where)}")
    say(indented(words(data, finding.path), "  "))
    say(indented(finding.says, "  "))
    say(indented(finding.remedy, "  → ", "    "))
    if finding.computed:
        say(indented(finding.computed, "  = ", "    "))
    say(indented(f"{finding.source} [{finding.basis}]", "    ") + "\n")


def _show_difference(changed: Difference) -> None:
    from lungwort.cli.layout import say_section

    say_section(_("What changed"), [c.says for c in changed.changes] or [_("Nothing.")])
    say_section(_("Findings that came"), [_short(f) for f in changed.came] or [_("None.")])
    say_section(_("Findings that went"), [_short(f) for f in changed.went] or [_("None.")])
    say_section(_("Findings that stayed"), [_short(f) for f in changed.stayed] or [_("None.")])


def _short(finding: Finding) -> str:
    text = _("line {line}, {severity}, {rule}: {says}")
    return text.format(
        line=finding.line, severity=_(finding.severity.value), rule=finding.rule, says=finding.says
    )


def vetting_data(
    document: Document, day: date, report: Report, changed: Difference | None = None
) -> dict[str, Any]:
    """Return what vetting found as plain data, ready for JSON."""
    from lungwort import __version__
    from lungwort.protocol.naming import plain_data

    data = plain_data(document.protocol)
    found: dict[str, Any] = {
        "lungwort": __version__,
        "file": document.file_name,
        "title": document.protocol.title,
        "version": document.protocol.version,
        "place": document.protocol.place.name,
        "today": day.isoformat(),
        "usable": report.usable,
        "counts": counts_of(report),
        "findings": [_finding_data(f, data) for f in report.findings],
    }
    if changed is not None:
        found["changes"] = [
            {"how": c.how, "where": c.where, "was": c.was, "now": c.now} for c in changed.changes
        ]
        for name in ("came", "went", "stayed"):
            found[name] = [_finding_data(f, None) for f in getattr(changed, name)]
    return found


def _finding_data(finding: Finding, data: dict[str, Any] | None) -> dict[str, Any]:
    from dataclasses import asdict

    from lungwort.protocol.naming import words

    found = {**asdict(finding), "path": list(finding.path)}
    return found if data is None else {**found, "where": words(data, finding.path)}
