"""The words of the printed report as plain data, in the order in which the page shows them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, tzinfo
from typing import Any

from lungwort import __version__
from lungwort.language import _, language
from lungwort.records.life.held import hold_words
from lungwort.records.look_back.next_steps import next_steps
from lungwort.records.look_back.result import Exposure, LookBack, TouchedPart
from lungwort.records.look_back.sections import forward_heading, treatments, uses_by_heading
from lungwort.records.look_back.words import (
    evidence_words,
    headline,
    last_good_words,
    mate_words,
    moment_words,
    now_words,
    path_words,
    period_words,
    person_words,
    question_words,
    remarks_of,
    summary,
)
from lungwort.wording import moment


def report_data(answer: LookBack, seal: str, made_at: datetime, zone: tzinfo | None = UTC) -> dict[str, Any]:
    """Return all that the printed report says.

    Args:
        answer: of the look-back.
        seal: the line that seals the records as they were asked.
        made_at: the moment printed as the making of the page.
        zone: in which moments are told; None is the machine's own.
    """
    made = made_at.astimezone(zone)
    return {
        "language": language()[:2],
        "software": f"Lungwort {__version__}",
        "made": _("Printed {moment}").format(moment=moment(made)),
        "date": {"year": made.year, "month": made.month, "day": made.day},
        "confidential": _("Confidential: patient references"),
        "title": question_words(answer.question, zone),
        "place": _("{place}, as recorded up to {moment}").format(
            place=answer.place, moment=moment_words(answer.at, zone)
        ),
        "headline": headline(answer),
        "out": bool(answer.still_out),
        "summary": summary(answer),
        "still_out": [_out(part) for part in answer.still_out],
        "steps": list(next_steps(answer)),
        "exposures": [
            _exposures(heading, uses, zone, made, always=heading == forward_heading(answer))
            for heading, uses in uses_by_heading(answer)
        ],
        "same_ward": [mate_words(mate, zone) for mate in answer.same_ward],
        "part_heads": [_("part"), _("kind"), _("now"), _("good evidence since")],
        "parts": [_part(part, zone) for part in answer.parts],
        "treatments": list(treatments(answer, zone)),
        "last_good": [last_good_words(good, zone) for good in answer.last_good],
        "persons": [person_words(person) for person in answer.persons],
        "not_shown": list(answer.not_shown),
        "seal": seal,
        "signature": [_("Name"), _("Role"), _("Date"), _("Signature")],
        "words": _words(),
    }


def _words() -> dict[str, str]:
    return {
        "still_out": _("Still out"),
        "steps": _("What to do now"),
        "same_ward": _("Same ward, no part shared"),
        "parts": _("Parts touched"),
        "treatments": _("Cycles, wipes and washes"),
        "last_good": _("Last good evidence"),
        "persons": _("Who can tell"),
        "not_shown": _("Not shown"),
        "seal": _("Seal of the records"),
        "nobody": _("No exposure of a patient is recorded."),
        "signed": _("Read by"),
        "page": _("page {n} of {all}"),
    }


def _out(part: TouchedPart) -> list[str]:
    return [part.code, part.of_kind, now_words(part)]


def _exposures(
    heading: str, uses: Sequence[Exposure], zone: tzinfo | None, made: datetime, always: bool
) -> dict[str, Any]:
    """Return one table; the zone stands in its head, and in a row only where it is another."""
    name = made.tzname() or ""
    return {
        "heading": heading,
        "always": always,
        "heads": [_("patient"), _("ward"), _("when, {zone}").format(zone=name), _("set-up"), _("parts")],
        "rows": [_row(exposure, zone, name) for exposure in uses],
    }


def _row(exposure: Exposure, zone: tzinfo | None, zone_name: str) -> dict[str, Any]:
    period = period_words(exposure.connected_at, exposure.disconnected_at, zone)
    return {
        "patient": exposure.patient,
        "ward": exposure.ward or "–",
        "when": [period.removesuffix(f" {zone_name}"), *remarks_of(exposure)],
        "set_up": exposure.set_up,
        "parts": list(exposure.parts),
        "path": path_words(exposure.path),
    }


def _part(part: TouchedPart, zone: tzinfo | None) -> dict[str, str]:
    return {
        "code": part.code,
        "kind": part.of_kind,
        "now": now_words(part),
        "since": evidence_words(part.good_since, zone),
        "held": "; ".join(map(hold_words, part.held)),
    }
