"""Parts for one patient, which must have no way back, and reusable ones, which must have one."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from lungwort.language import _
from lungwort.library.loading import Basis
from lungwort.protocol.document import Protocol
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.kinds import Kind
from lungwort.protocol.rule import rule
from lungwort.protocol.sequence import at_step, for_one_patient, places

BACK = ("wash", "treat", "rinse", "dry", "store")
REUSE = "Lungwort: a reusable part goes from patient to patient only by steps that are written down"
ONE_PATIENT = "The document itself: the part is for a single patient"


@rule(
    "single patient", "A part for one patient has no way back, and a reusable one has steps that lead back."
)
def single_patient(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield an error for each single-patient kind with a way back, and for each reusable kind without steps."""
    for k, kind in enumerate(protocol.kinds):
        back = places(kind, *BACK)
        if for_one_patient(kind) and back:
            yield _way_back(k, kind, back)
        elif not for_one_patient(kind) and not kind.steps:
            yield _no_way(k, kind)


def _way_back(k: int, kind: Kind, back: list[int]) -> Finding:
    done = ", ".join(dict.fromkeys(_(kind.steps[s].do) for s in back))
    says = _("{kind} is for one patient, and yet the document leads it back: {done}.")
    remedy = _(
        "Take the steps out and discard it after its patient. Where its maker allows reuse, describe it "
        "as reusable without this `like`, with the maker's clause."
    )
    source, basis = ONE_PATIENT, Basis.COMPUTED
    if kind.reuse != "single patient" and kind.generic is not None:
        source, basis = kind.generic.source, kind.generic.basis
    path = at_step(k, back[0], "do")
    says = says.format(kind=kind.name, done=done)
    return Finding("single patient", Severity.ERROR, path, says, remedy, source, basis)


def _no_way(k: int, kind: Kind) -> Finding:
    return Finding(
        "single patient",
        Severity.ERROR,
        ("kind", k, "name"),
        _("{kind} is reusable, and no step says how it gets from one patient to the next.").format(
            kind=kind.name
        ),
        _('Write its steps, or, where it is for one patient, reuse = "single patient".'),
        REUSE,
        Basis.COMPUTED,
    )
