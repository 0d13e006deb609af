"""What to do now, as sentences in the order in which to do it."""

from __future__ import annotations

from collections.abc import Iterator

from lungwort.language import _
from lungwort.records.look_back.result import LookBack, TouchedPart

GONE = ("withdrawn", "quarantined", "in use", "ready")


def next_steps(answer: LookBack) -> tuple[str, ...]:
    """Return the next steps: take out, quarantine, hold, tell."""
    return (
        *_take_off(answer),
        *_quarantine(answer),
        *_treat_again(answer),
        *_hold(answer),
        *_tell(answer),
        _("Ask the people named here, and seal these records today.")
        if answer.persons
        else _("Seal these records today."),
    )


def _take_off(answer: LookBack) -> Iterator[str]:
    """One sentence for each set-up that is on a patient now."""
    on: dict[tuple[str, str, str], list[str]] = {}
    for part in answer.still_out:
        if part.status == "in use":
            on.setdefault((part.ward, part.patient, part.set_up), []).append(part.code)
    for (ward, patient, set_up), codes in on.items():
        text = _(
            "Tell ward {ward} now: patient {patient} is on set-up {set_up} with {codes}. Put a set-up with proof in "
            "its place, then quarantine {codes}."
        )
        yield text.format(ward=ward or "–", patient=patient, set_up=set_up, codes=", ".join(codes))


def _quarantine(answer: LookBack) -> Iterator[str]:
    ready = [part for part in answer.still_out if part.status == "ready"]
    if ready:
        text = _("Quarantine what lies ready without proof: {codes}.")
        yield text.format(codes=", ".join(_with_set_up(part) for part in ready))


def _with_set_up(part: TouchedPart) -> str:
    text = _("{code} (joined in set-up {set_up})")
    return text.format(code=part.code, set_up=part.set_up) if part.set_up else part.code


def _treat_again(answer: LookBack) -> Iterator[str]:
    waiting = [p.code for p in answer.parts if p.status not in GONE and not p.good_since.kind]
    if waiting:
        text = _("Wash and treat again before any release: {codes}.")
        yield text.format(codes=", ".join(waiting))


def _hold(answer: LookBack) -> Iterator[str]:
    asked = answer.question
    if asked.start_kind in ("positive indicator", "faulty equipment") and answer.equipment:
        text = _("Hold {codes}, if that is not done, until a test shows that the cause is gone.")
        yield text.format(codes=", ".join(answer.equipment))
    if asked.start_kind == "wrong batch":
        yield _("Hold batch {code}, if that is not done, and look for what is left of it.").format(
            code=asked.code
        )
    if asked.start_kind == "defective part":
        yield _("Keep part {code} as it is until it was looked at.").format(code=asked.code)


def _tell(answer: LookBack) -> Iterator[str]:
    wards: dict[str, set[str]] = {}
    for exposure in answer.exposures:
        wards.setdefault(exposure.ward or "–", set()).add(exposure.patient)
    for ward in sorted(wards):
        text = _("Tell those who treat the patients of ward {ward}: {patients}.")
        yield text.format(ward=ward, patients=", ".join(sorted(wards[ward])))
