"""Editing the protocol as text: vetting beside it, what differs from the version in force, and publishing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from lungwort.errors import LungwortError
from lungwort.language import _, ngettext
from lungwort.protocol.difference import Difference, difference
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.newcomer import new_protocol
from lungwort.protocol.reading import Document, parse_protocol
from lungwort.protocol.vet import Report, vet
from lungwort.records.life import protocols
from lungwort.web.access import for_deed
from lungwort.web.frame.recording import witness_of
from lungwort.web.protocol.forms import Beginning
from lungwort.web.protocol.versions import text_in_force


@for_deed("protocol.published")
@require_http_methods(["GET", "POST"])
def protocol_edit(request: HttpRequest) -> HttpResponse:
    """Show the text; `begin` fills it from the generic library, `vet` judges it, `publish` puts it in force."""
    asked: Any = request
    step = request.POST.get("step", "")
    old = text_in_force(asked.book.view())
    if step == "begin":
        return _begun(request, asked.book.place)
    text = request.POST.get("text", old).replace("\r\n", "\n")
    shown = _beside(text, old) if text.strip() else {"text": text}
    if step == "publish":
        try:
            return _published(request, text)
        except LungwortError as error:
            reasons = getattr(error, "reasons", ())
            return render(request, "protocol/edit.html", shown | {"reasons": reasons}, status=409)
    return render(request, "protocol/edit.html", shown)


def _published(request: HttpRequest, text: str) -> HttpResponse:
    event = protocols.publish(witness_of(request), text)
    says = _("Recorded: version {version} is in force.").format(version=event.data["version"])
    messages.success(request, says)
    return redirect("protocol")


def _begun(request: HttpRequest, place: str) -> HttpResponse:
    form = Beginning(request.POST)
    if form.is_valid():
        try:
            text = new_protocol(form.answers(place), timezone.localdate())
            return render(request, "protocol/edit.html", _beside(text, ""))
        except LungwortError as error:
            form.add_error(None, str(error))
    return render(request, "protocol/begin.html", {"beginning": form}, status=400)


# ---- what stands beside the text ----


@dataclass(frozen=True)
class Found:
    """A finding, and the line of the text it points at."""

    finding: Finding
    quoted: str


def _beside(text: str, old: str) -> dict[str, Any]:
    """Return the text with all that is found in it; where it cannot be read, with every fault of its form."""
    today = timezone.localdate()
    try:
        document = parse_protocol(text)
        report = vet(document, today)
    except LungwortError as error:
        return {"text": text, "faults": str(error).splitlines()}
    return {
        "text": text,
        "report": report,
        "counts": counts_words(report),
        "findings": [Found(finding, _line(text, finding.line)) for finding in report.findings],
        "changed": _changed(old, document, report) if old else None,
        "same": text == old,
    }


def _line(text: str, number: int) -> str:
    lines = text.splitlines()
    return lines[number - 1].strip()[:120] if 0 < number <= len(lines) else ""


def counts_words(report: Report) -> str:
    """Say how many findings of each severity there are."""
    errors, warnings, notes = (len(report.of(severity)) for severity in Severity)
    told = (
        ngettext("{n} error", "{n} errors", errors).format(n=errors),
        ngettext("{n} warning", "{n} warnings", warnings).format(n=warnings),
        ngettext("{n} note", "{n} notes", notes).format(n=notes),
    )
    return ", ".join(told)


def _changed(old: str, document: Document, report: Report) -> Difference | None:
    """Return what differs from the version in force; None where that one cannot be read any more."""
    try:
        return difference(parse_protocol(old), document, timezone.localdate(), report)
    except LungwortError:
        return None
