"""A verdict made ready for the page: every name and sentence in letters that the page can print."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from lungwort.evidence.verdict import CriterionVerdict, Finding, HeatVerdict
from lungwort.paper.glyphs import distinct, missing, printable
from lungwort.paper.shortening import shortened


def printable_verdict(verdict: HeatVerdict) -> HeatVerdict:
    """Return the same verdict with every text rewritten in printable letters; channel names stay distinct."""
    named = with_names(verdict, printable)
    return replace(
        named,
        criteria=tuple(_criterion(c) for c in verdict.criteria),
        others=tuple(_criterion(c) for c in verdict.others),
        assumptions=tuple(printable(a) for a in verdict.assumptions),
        log=replace(named.log, file_name=printable(verdict.log.file_name)),
    )


def with_names(verdict: HeatVerdict, rewrite: Callable[[str], str]) -> HeatVerdict:
    """Return the same verdict with every channel's name rewritten, and names that would coincide numbered."""
    known = channel_names(verdict)
    new = dict(zip(known, distinct(known, rewrite), strict=True))
    channels = tuple(replace(c, name=new[c.name]) for c in verdict.log.channels)
    figures = tuple(replace(c, name=new[c.name]) for c in verdict.channels)
    return replace(verdict, channels=figures, log=replace(verdict.log, channels=channels))


def channel_names(verdict: HeatVerdict) -> tuple[str, ...]:
    """Return the names of all channels, each once."""
    return tuple(
        dict.fromkeys([*(c.name for c in verdict.log.channels), *(c.name for c in verdict.channels)])
    )


def rewritten_names(verdict: HeatVerdict) -> tuple[tuple[str, str], ...]:
    """Return what was rewritten: the name as the page prints it, and the code points it stands for."""
    names = channel_names(verdict)
    pairs = [
        *zip(names, distinct(names), strict=True),
        (verdict.log.file_name, printable(verdict.log.file_name)),
    ]
    return tuple((new, " ".join(missing(old))) for old, new in pairs if missing(old))


def _criterion(judged: CriterionVerdict) -> CriterionVerdict:
    criterion = judged.criterion
    rewritten = replace(
        criterion,
        name=printable(criterion.name),
        title=printable(criterion.title),
        tradition=printable(criterion.tradition),
        scope=printable(criterion.scope),
    )
    return replace(
        judged,
        criterion=rewritten,
        findings=tuple(_finding(f) for f in judged.findings),
    )


def _finding(finding: Finding) -> Finding:
    says = shortened(printable(finding.says), 320)
    return replace(finding, says=says, source=printable(finding.source), unit=printable(finding.unit))
