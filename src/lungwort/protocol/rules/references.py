"""Names that steps and thermometers lean on, and that the document does not have."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from difflib import get_close_matches

from lungwort.language import _
from lungwort.library.loading import Basis
from lungwort.protocol.document import Protocol
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.kinds import Step
from lungwort.protocol.lines import Path
from lungwort.protocol.rule import rule, steps_of

SOURCE = "Lungwort: a name is looked up in this document"
Names = list[str]


@rule(
    "references",
    "Every autoclave, programme, bath and stock that a step or a thermometer names is in the document.",
)
def references(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield an error for each name that stands for nothing."""
    for k, _kind, s, step in steps_of(protocol):
        for key, name, what, known in _named(protocol, step):
            if name not in known:
                yield _unknown(("kind", k, "step", s, key), name, what, known)
    equipment = _names(protocol.autoclaves) + _names(protocol.baths)
    for t, thermometer in enumerate(protocol.thermometers):
        for name in thermometer.used_on:
            if name not in equipment:
                yield _unknown(("thermometer", t, "used_on"), name, _("autoclave or bath"), equipment)


def _named(protocol: Protocol, step: Step) -> Iterator[tuple[str, str, str, Names]]:
    """Yield each name a treat step leans on: its key, the name, what it is, the names there are."""
    if step.process == "steam":
        yield "equipment", step.equipment or "", _("autoclave"), _names(protocol.autoclaves)
        autoclave = protocol.autoclave(step.equipment)
        if autoclave:
            what = _("programme of {autoclave}").format(autoclave=autoclave.name)
            yield "setting", step.setting or "", what, _names(autoclave.settings)
    elif step.process == "hot water":
        yield "equipment", step.equipment or "", _("bath"), _names(protocol.baths)
    elif step.process == "soak":
        yield "stock", step.stock or "", _("stock"), _names(protocol.stocks)


def _names(items: Iterable[object]) -> Names:
    return [getattr(item, "name", "") for item in items]


def _unknown(path: Path, name: str, what: str, known: Names) -> Finding:
    says = _("There is no {what} called {name!r} in this document.").format(what=what, name=name)
    near = get_close_matches(name, known, n=3, cutoff=0.4) or known[:8]
    remedy = _("Mend the name, or add it; there are: {names}.").format(names=", ".join(near) or _("none"))
    return Finding("references", Severity.ERROR, path, says, remedy, SOURCE, Basis.COMPUTED)
