"""A verdict in words: what its outcome is called, what it means for the load, and the names of its rules."""

from __future__ import annotations

from lungwort.evidence.verdict import CriterionVerdict, Outcome, Verdict
from lungwort.language import _
from lungwort.wording import percent


def outcome_word(outcome: Outcome) -> str:
    """Return the outcome as a word that opens a line."""
    words = {
        Outcome.PASSED: _("Passed"),
        Outcome.FAILED: _("Failed"),
        Outcome.NOT_SHOWN: _("Not shown"),
    }
    return words[outcome]


def outcome_meaning(outcome: Outcome, confidence: float | None) -> str:
    """Say in one or two sentences what the outcome means and what follows for the load.

    `confidence` None: every stated error was taken as the largest possible.
    """
    if outcome is Outcome.FAILED:
        return _("The evidence shows that a rule was not met. Hold the load back and treat it again.")
    if outcome is Outcome.NOT_SHOWN:
        return _("The evidence reaches neither proof nor disproof. Hold the load back.")
    if confidence is None:
        return _(
            "Every rule asked for is shown to be met, with every stated error against it. "
            "The hospital decides on release."
        )
    text = _(
        "Every rule asked for is shown to be met, at {confidence} confidence. The hospital decides on release."
    )
    return text.format(confidence=percent(confidence))


def gate_words(verdict: Verdict) -> str:
    """Say whether the criteria asked for are adopted, and so whether the verdict may open a gate."""
    if len(verdict.not_adopted) == len(verdict.criteria):
        return _(
            "No criterion here is adopted: this verdict opens no gate until the hospital has adopted its criteria."
        )
    if verdict.not_adopted:
        text = _("Not adopted: {names}; this verdict opens no gate until the hospital has adopted them too.")
        return text.format(names=", ".join(verdict.not_adopted))
    return _(
        "The hospital has adopted what it asks for; whether the load is released is still a person's decision."
    )


def with_reason(judged: CriterionVerdict, name: str) -> str:
    """Return a criterion's name, where it failed with the first rule that failed it: 'steam-121C-15min (hold)'."""
    failed = [f.rule for f in judged.findings if f.required and f.outcome is Outcome.FAILED]
    return f"{name} ({rule_word(failed[0])})" if failed else name


def rule_word(rule: str) -> str:
    """Return a rule's name as the page prints it; an unknown rule keeps its own name.

    >>> rule_word("a0"), rule_word("own_rule")
    ('A0', 'own rule')
    """
    words = {
        "a0": "A0",
        "f0": "F0",
        "sampling": _("sampling"),
        "hold": _("hold"),
        "equilibration": _("equilibration"),
        "spread": _("spread"),
        "saturation": _("saturation"),
        "air": _("air"),
        "superheat": _("superheat"),
    }
    return words.get(rule, rule.replace("_", " ").replace("-", " "))
