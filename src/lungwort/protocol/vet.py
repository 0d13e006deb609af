"""Vetting: every rule applied to a document, as a compiler checks a program."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from functools import cache

from lungwort.protocol import rules as rules_folder
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.reading import Document
from lungwort.protocol.rule import Rule


@dataclass(frozen=True)
class Report:
    """What vetting found, by line."""

    findings: tuple[Finding, ...]

    def of(self, severity: Severity) -> tuple[Finding, ...]:
        """The findings of one severity."""
        return tuple(f for f in self.findings if f.severity is severity)

    @property
    def usable(self) -> bool:
        """Whether nothing forbids use: no error. It does not say that the protocol is good."""
        return not self.of(Severity.ERROR)


@cache
def all_rules() -> tuple[Rule, ...]:
    """Return every rule of the folder `rules`, by name; a new file there is found by itself."""
    found: list[Rule] = []
    for module in pkgutil.iter_modules(rules_folder.__path__):
        loaded = importlib.import_module(f"{rules_folder.__name__}.{module.name}")
        found += [x for x in vars(loaded).values() if isinstance(x, Rule)]
    return tuple(sorted(set(found), key=lambda rule: rule.name))


def vet(document: Document, today: date) -> Report:
    """Return every finding of every rule on a document as it stands on a day, in the order of its lines."""
    found = _located(document, (f for rule in all_rules() for f in rule.find(document.protocol, today)))
    return Report(tuple(sorted(set(found), key=lambda f: (f.line, list(Severity).index(f.severity), f.rule))))


def _located(document: Document, findings: Iterable[Finding]) -> Iterator[Finding]:
    for finding in findings:
        yield replace(finding, line=document.line(*finding.path))
