"""Training gates the step: whoever does it holds a training for the role to which the protocol gives it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lungwort.language import _
from lungwort.records.life.as_of import as_it_stands
from lungwort.records.life.reasons import Reason
from lungwort.records.states.kinds import PersonState
from lungwort.records.states.view import View


def trained_for(view: View, who: str, owners: Iterable[str], doing: str) -> Iterator[Reason]:
    """Yield why somebody may not do a step: no current training for a role that owns it.

    Args:
        view: the place when the step was done.
        who: did it, by code.
        owners: the protocol's roles that own the step; one for each kind of part that was worked on.
        doing: the step, for the message.
    """
    person, today = view.state(PersonState, who), view.now.date().isoformat()
    if as_it_stands(view).state(PersonState, who) is None:
        return  # said already, with what to do
    trainings = person.trainings if person else {}  # who came here later was trained later
    for role in dict.fromkeys(owners):
        lapses = trainings.get(role)
        if lapses is not None and lapses >= today:
            continue
        text = _("{who} was not trained as {role}, who owns this step: {doing}")
        if lapses is not None:
            text = _("the training of {who} as {role}, who owns this step, lapsed on {day}: {doing}")
        says = text.format(who=who, role=role, day=lapses, doing=doing)
        yield Reason("training", says, _("let somebody trained do it; or train and assess, then record that"))
