"""A look-back as plain data, ready for JSON."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from lungwort.records.look_back.next_steps import next_steps
from lungwort.records.look_back.result import Evidence, Exposure, LookBack, TouchedPart


def look_back_data(answer: LookBack) -> dict[str, Any]:
    """Return an answer as plain data, what is still out first; moments are UTC text, "" where there is none.

    Evidence is a table of `kind`, `code` and `at`, or nothing where none was found. A path is a list of links, each
    from a thing to a thing by an event.
    """
    from lungwort import __version__

    return {
        "lungwort": __version__,
        "confidential": True,
        "question": asdict(answer.question),
        "place": answer.place,
        "at": answer.at,
        "still_out": [_part(part) for part in answer.still_out],
        "next_steps": list(next_steps(answer)),
        "exposures": [_exposure(exposure) for exposure in answer.exposures],
        "patients": list(answer.patients),
        "sources": [_exposure(exposure) for exposure in answer.sources],
        "wards": list(answer.wards),
        "parts": [_part(part) for part in answer.parts],
        "cycles": [asdict(cycle) for cycle in answer.cycles],
        "wipes": [{**asdict(wipe), "parts": list(wipe.parts)} for wipe in answer.wipes],
        "equipment": list(answer.equipment),
        "batches": list(answer.batches),
        "persons": [{"code": person.code, "did": list(person.did)} for person in answer.persons],
        "last_good": [
            {"thing": asdict(good.thing), "evidence": _evidence(good.evidence)} for good in answer.last_good
        ],
        "same_ward": [asdict(mate) for mate in answer.same_ward],
        "not_shown": list(answer.not_shown),
    }


def _part(part: TouchedPart) -> dict[str, Any]:
    return {**asdict(part), "held": list(part.held), "good_since": _evidence(part.good_since)}


def _evidence(evidence: Evidence) -> dict[str, str] | None:
    return asdict(evidence) if evidence.kind else None


def _exposure(exposure: Exposure) -> dict[str, Any]:
    return {
        **asdict(exposure),
        "parts": list(exposure.parts),
        "path": [asdict(link) for link in exposure.path],
        "persons": [asdict(deed) for deed in exposure.persons],
    }
