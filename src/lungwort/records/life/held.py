"""Why something is held, in words, and what would free it."""

from __future__ import annotations

from collections.abc import Iterator

from lungwort.language import _
from lungwort.records.life.reasons import Reason
from lungwort.records.states.kinds import PartState


def hold_words(entry: str) -> str:
    """Return an entry of `held` for people to read.

    >>> hold_words("cycle:C-1:failed")
    'cycle C-1: failed'
    """
    kind, _colon, rest = entry.partition(":")
    if kind == "cycle":
        code, _colon, outcome = rest.partition(":")
        return _("cycle {code}: {outcome}").format(code=code, outcome=outcome_words(outcome))
    if kind == "indicator":
        code, _colon, what = rest.partition(":")
        return _("cycle {code}: {what} indicator positive").format(code=code, what=what)
    return (_("defect: {text}") if kind == "defect" else _("ordered: {text}")).format(text=rest)


def outcome_words(outcome: str) -> str:
    """Return what was judged of a cycle for people to read.

    >>> outcome_words("not shown")
    'not shown'
    """
    names = {"passed": _("passed"), "failed": _("failed"), "not shown": _("not shown")}
    return names.get(outcome, outcome)


def held_back(part: PartState) -> Iterator[Reason]:
    """Yield every reason for which a part is held, with what frees it."""
    for entry in part.held:
        says = _("{code} is held: {why}").format(code=part.code, why=hold_words(entry))
        yield Reason("quarantine", says, _next_step(entry))


def _next_step(entry: str) -> str:
    if entry.startswith(("cycle:", "indicator:")):
        return _("treat it again from the wash, and find out why the cycle was not proved")
    if entry.startswith("defect:"):
        return _("have it repaired or withdrawn")
    return _("ask the infection control lead, who alone can lift it")
