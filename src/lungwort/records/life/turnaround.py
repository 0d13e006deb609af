"""The turnaround as the protocol orders it: which recorded steps must come before which."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lungwort.language import _
from lungwort.protocol.kinds import Kind, Step
from lungwort.records.life.reasons import Reason
from lungwort.records.states.kinds import PartState

RECORDED = ("take apart", "wash", "treat", "dry", "look", "assemble", "test")
"""The protocol's steps that are recorded one by one; rinsing belongs to washing or treating, storing to releasing."""


def marks(step: Step) -> str:
    """Return how a part's `done` shows that a step was done: a treatment by its process."""
    return f"treat {step.process}" if step.do == "treat" else step.do


def before(kind: Kind, do: str, process: str | None = None) -> tuple[Step, ...]:
    """Return the recorded steps that must have been done before a step: taken apart, and all since the last wash.

    All of them where the kind has no such step.
    """
    earlier: list[Step] = []
    for step in kind.steps:
        if step.do == do and (process is None or step.process == process):
            break
        if step.do == "wash":
            earlier = [past for past in earlier if past.do == "take apart"]
        if step.do in RECORDED:
            earlier.append(step)
    return tuple(earlier)


def whole(kind: Kind) -> tuple[Step, ...]:
    """Return the recorded steps of a whole turnaround; of those before its last wash only the taking apart counts."""
    return before(kind, "")


def proved_by_cycle(step: Step) -> bool:
    """Return whether a step is a treatment whose cycle must be proved; a wipe is only recorded."""
    return step.do == "treat" and step.process != "wipe"


def fit_for(kind: Kind, process: str) -> tuple[str, ...]:
    """Return the statuses in which a part may be put in a load, by what the protocol puts before the treatment."""
    earlier = [step.do for step in before(kind, "treat", process)]
    treats = sum(map(proved_by_cycle, kind.steps))
    fit = ("washed", "treated") if treats > 1 else ("washed",)
    return fit if "wash" in earlier else ("soiled", *fit)


def not_done(part: PartState, steps: Sequence[Step], why: str) -> Iterator[Reason]:
    """Yield a reason for each step that was not done since the part's last use.

    Args:
        part: as it is now.
        steps: what must have been done.
        why: the rule's name.
    """
    for mark in dict.fromkeys(map(marks, steps)):
        if mark not in part.done:
            yield missing(part, mark, why)


def missing(part: PartState, mark: str, why: str) -> Reason:
    """Return as a reason that a step is missing."""
    says = _("{code}: not done since its last use: {step}")
    return Reason(why, says.format(code=part.code, step=step_words(mark)), _("do it, record it, then go on"))


def since_treated(part: PartState, kind: Kind) -> Iterator[Reason]:
    """Yield the steps that the protocol puts after the last treatment and that were done only before it."""
    last = max((n for n, step in enumerate(kind.steps) if step.do == "treat"), default=len(kind.steps))
    exposed = max((n for n, mark in enumerate(part.done) if mark.startswith("expose")), default=-1)
    for do in dict.fromkeys(step.do for step in kind.steps[last + 1 :] if step.do in RECORDED):
        if do in part.done and part.done.index(do) < exposed:
            says = _("{code}: not done since its treatment: {step}")
            says = says.format(code=part.code, step=step_words(do))
            yield Reason("dry" if do == "dry" else "order", says, _("do it, record it, then go on"))


def step_words(mark: str) -> str:
    """Return a step's name for people to read.

    >>> step_words("treat steam")
    'treat with steam (cycle passed)'
    """
    names = {
        "take apart": _("take apart"),
        "wash": _("wash"),
        "dry": _("dry"),
        "look": _("look"),
        "assemble": _("assemble"),
        "test": _("test"),
        "treat wipe": _("wipe with disinfectant"),
        "treat steam": _("treat with steam (cycle passed)"),
        "treat hot water": _("treat with hot water (cycle passed)"),
        "treat soak": _("treat by soaking (cycle passed)"),
    }
    return names.get(mark, mark)
