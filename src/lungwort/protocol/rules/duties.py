"""Checks and duties that are usual for a kind of part and missing, done too seldom, or better not done."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from lungwort.language import _, number
from lungwort.library.duties import Habit, Usual, all_duties, usual_for
from lungwort.protocol.document import Protocol
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.kinds import Check, Duty, Kind
from lungwort.protocol.lines import Path
from lungwort.protocol.rule import rule


@rule(
    "duties",
    "Each kind has the checks and duties usual for such a part, often enough, and none that is better not done.",
)
def duties(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield warnings for missing or too rare checks and duties, notes for those done by the calendar only."""
    listed = {kind.like for kind in protocol.kinds}
    for k, kind in enumerate(protocol.kinds):
        for usual in usual_for(kind.like) if kind.like else ():
            if usual.unless_listed not in listed or usual.unless_listed is None:
                yield from _against(k, kind, usual)
        yield from _habits(k, kind)


def _against(k: int, kind: Kind, usual: Usual) -> Iterator[Finding]:
    if usual.when != "in use":
        if not any(_means(check, usual) for check in kind.checks if check.when == usual.when):
            yield _missing(k, kind, usual)
        return
    done = [(d, duty) for d, duty in enumerate(kind.duties) if _means(duty, usual)]
    if not done:
        yield _missing(k, kind, usual)
        return
    d, oftenest = min(done, key=lambda each: each[1].interval_h)
    if usual.every_h_at_most is not None and oftenest.interval_h > usual.every_h_at_most:
        yield _seldom(k, kind, d, oftenest, usual, usual.every_h_at_most)


def _means(written: Check | Duty, usual: Usual) -> bool:
    """Return whether a check or duty is the usual one: by its `like`, or else by its words."""
    return written.like == usual.name if written.like else usual.meant_by(written.what)


def _missing(k: int, kind: Kind, usual: Usual) -> Finding:
    says = (
        _("{kind} has no {when} duty such as: {name}.")
        if usual.when == "in use"
        else _("{kind} has no check {when} such as: {name}.")
    )
    remedy = _('Add it with the role that does it; where it stands in other words, name it: like = "{name}".')
    return Finding(
        "duties",
        Severity.WARNING,
        ("kind", k, "name"),
        says.format(kind=kind.name, when=_(usual.when), name=_(usual.name)),
        remedy.format(name=usual.name),
        usual.source,
        usual.basis,
    )


def _seldom(k: int, kind: Kind, d: int, duty: Duty, usual: Usual, most_h: float) -> Finding:
    path: Path = ("kind", k, "duty", d, "every_h" if duty.every_h is not None else "every_days")
    says = _("{kind}: “{what}” is due every {written}; usual is every {usual} at most.")
    return Finding(
        "duties",
        Severity.WARNING,
        path,
        says.format(kind=kind.name, what=duty.what, written=_every(duty.interval_h), usual=_every(most_h)),
        _("Do it more often, or note the hospital's reason and the maker's clause."),
        usual.source,
        usual.basis,
    )


def _every(hours: float) -> str:
    if hours < 48:
        return _("{count} h").format(count=number(hours, 0 if hours == int(hours) else 1))
    return _("{count} days").format(count=number(hours / 24, 0 if hours % 24 == 0 else 1))


def _habits(k: int, kind: Kind) -> Iterator[Finding]:
    for d, duty in enumerate(kind.duties):
        for habit in all_duties().habits:
            if habit.meant_by(duty.what):
                yield _habit(("kind", k, "duty", d, "what"), kind, duty, habit)


def _habit(path: Path, kind: Kind, duty: Duty, habit: Habit) -> Finding:
    says = _("{kind}: “{what}” every {interval} is done by the calendar, which is not advised.")
    text = says.format(kind=kind.name, what=duty.what, interval=_every(duty.interval_h))
    return Finding("duties", Severity.NOTE, path, text, _(habit.instead), habit.source, habit.basis)
