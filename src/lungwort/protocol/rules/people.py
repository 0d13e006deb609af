"""Who does it: roles that are listed, own something, and have enough people whose training holds."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from difflib import get_close_matches

from lungwort.language import _
from lungwort.library.loading import Basis
from lungwort.protocol.document import Protocol
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.lines import Path
from lungwort.protocol.people import Role, Training
from lungwort.protocol.rule import rule

MONTH = timedelta(days=31)
FEWEST = 2
SOURCE = "Lungwort: every step has an owner, and one person may be ill"


@rule(
    "people",
    "Every step, check and duty has a role that is listed, with two people at least whose training holds.",
)
def people(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield findings on roles nobody lists, nobody fills or nothing needs, and on training that lapses."""
    listed, held = [role.name for role in protocol.roles], _held(protocol, today)
    owned = list(_owned(protocol))
    yield from (_unlisted(path, by, listed) for path, by in owned if by not in listed)
    yield from _of_roles(protocol, {by for _path, by in owned}, held)
    for t, training in enumerate(protocol.trainings):
        if training.role not in listed:
            yield _unlisted(("training", t, "role"), training.role, listed)
        elif _lapses(training, held, today):
            yield _lapsing(t, training, today)


def _owned(protocol: Protocol) -> Iterator[tuple[Path, str]]:
    """Yield who owns each step, check and duty, with the place in the document that says so."""
    for k, kind in enumerate(protocol.kinds):
        owners = (
            ("step", [step.by for step in kind.steps]),
            ("check", [check.by for check in kind.checks]),
            ("duty", [duty.by for duty in kind.duties]),
        )
        for what, names in owners:
            yield from ((("kind", k, what, n, "by"), by) for n, by in enumerate(names))


def _of_roles(protocol: Protocol, owners: set[str], held: dict[str, dict[str, date]]) -> Iterator[Finding]:
    for r, role in enumerate(protocol.roles):
        if role.name not in owners:
            yield _idle(r, role)
        elif len(held.get(role.name, ())) < FEWEST:
            yield _few(r, role, held.get(role.name, {}))


def _unlisted(path: Path, name: str, listed: list[str]) -> Finding:
    near = get_close_matches(name.lower(), [role.lower() for role in listed], 1, 0.6)
    meant = next((role for role in listed if role.lower() in near), None)
    remedy = _("Add it as [[role]], or mend the name.")
    if meant is not None:
        remedy = _("Was {meant} meant? Mend the name, or add it as [[role]].").format(meant=meant)
    says = _("There is no role called {name} in this document: nobody owns this.").format(name=name)
    return Finding("people", Severity.ERROR, path, says, remedy, SOURCE, Basis.COMPUTED)


def _held(protocol: Protocol, today: date) -> dict[str, dict[str, date]]:
    """Return by role the people whose training holds today, each with the last day on which it holds."""
    held: dict[str, dict[str, date]] = {}
    for training in protocol.trainings:
        if training.passed_on <= today <= training.expires_on:
            people_of = held.setdefault(training.role, {})
            people_of[training.person] = max(training.expires_on, people_of.get(training.person, date.min))
    return held


def _few(r: int, role: Role, held: dict[str, date]) -> Finding:
    """Say that a role which owns something has one person in training, or none."""
    if held:
        severity = Severity.WARNING
        says = _("Only one person, {person}, is in training as {role} today.")
        says = says.format(person=next(iter(held)), role=role.name)
    else:
        severity = Severity.ERROR
        says = _("Nobody's training as {role} holds today.").format(role=role.name)
    remedy = _("Train and list at least {fewest} people, or give what it owns to another role.")
    path: Path = ("role", r, "name")
    return Finding(
        "people", severity, path, says, remedy.format(fewest=FEWEST), SOURCE, Basis.COMMON_PRACTICE
    )


def _idle(r: int, role: Role) -> Finding:
    says = _("The role {role} owns no step, no check and no duty.").format(role=role.name)
    remedy = _("Leave it out, or name it under `by` where it belongs.")
    return Finding("people", Severity.NOTE, ("role", r, "name"), says, remedy, SOURCE, Basis.COMPUTED)


def _lapses(training: Training, held: dict[str, dict[str, date]], today: date) -> bool:
    """Return whether a training holds today and lapses within a month, with no longer one beside it."""
    if not training.passed_on <= today <= training.expires_on:
        return False
    last = held[training.role][training.person]
    return last == training.expires_on and last <= today + MONTH


def _lapsing(t: int, training: Training, today: date) -> Finding:
    says = _("The training of {person} as {role} lapses on {day}, in {count} days.")
    return Finding(
        "people",
        Severity.WARNING,
        ("training", t, "expires_on"),
        says.format(
            person=training.person,
            role=training.role,
            day=training.expires_on,
            count=(training.expires_on - today).days,
        ),
        _("Train again before that day and write the new dates down."),
        "Lungwort: a month is needed to arrange a training",
        Basis.COMMON_PRACTICE,
    )
