"""A verdict as a page shows it: in words, by criterion, with every reason."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from lungwort.evidence.verdict import CriterionVerdict, Finding, HeatVerdict, Outcome, Verdict
from lungwort.evidence.verdict_words import gate_words, outcome_meaning, outcome_word, rule_word
from lungwort.language import _


@dataclass(frozen=True)
class ShownFinding:
    """One rule's result; `slug` names its shape."""

    slug: str
    word: str
    rule: str
    says: str
    source: str
    required: bool


@dataclass(frozen=True)
class ShownCriterion:
    """What the evidence shows of one criterion."""

    name: str
    title: str
    slug: str
    word: str
    adopted: str
    findings: tuple[ShownFinding, ...]


@dataclass(frozen=True)
class Shown:
    """One piece of evidence as judged; `number` is its place among them, `heat` that it has a curve."""

    number: int
    name: str
    heat: bool
    slug: str
    word: str
    meaning: str
    gate: str
    criteria: tuple[ShownCriterion, ...]
    assumptions: tuple[str, ...]


def shown(verdicts: Iterable[Verdict]) -> tuple[Shown, ...]:
    """Return verdicts in words, in their order."""
    return tuple(shown_one(verdict, n) for n, verdict in enumerate(verdicts))


def shown_one(verdict: Verdict, number: int = 0) -> Shown:
    """Return one verdict in words."""
    heat = isinstance(verdict, HeatVerdict)
    name = verdict.log.file_name if isinstance(verdict, HeatVerdict) else ""
    return Shown(
        number,
        name or (_("readings by hand") if heat else _("the soak as written down")),
        heat,
        slug(verdict.outcome),
        outcome_word(verdict.outcome),
        outcome_meaning(verdict.outcome, verdict.confidence),
        gate_words(verdict),
        tuple(map(_criterion, verdict.criteria)),
        verdict.assumptions,
    )


def slug(outcome: str) -> str:
    """Return an outcome as part of a class or of a picture's name.

    >>> slug("not shown")
    'not-shown'
    """
    return str(outcome).replace(" ", "-")


def outcome_says(outcome: str) -> str:
    """Return a recorded outcome as a word; "" where nothing was judged."""
    return outcome_word(Outcome(outcome)) if outcome else ""


def _criterion(judged: CriterionVerdict) -> ShownCriterion:
    criterion, outcome = judged.criterion, judged.outcome
    findings = tuple(map(_finding, judged.findings))
    return ShownCriterion(
        criterion.name, criterion.title, slug(outcome), outcome_word(outcome), judged.adopted, findings
    )


def _finding(found: Finding) -> ShownFinding:
    source = f"{found.source} ({_(found.basis)})"
    word = outcome_word(found.outcome)
    return ShownFinding(slug(found.outcome), word, rule_word(found.rule), found.says, source, found.required)
