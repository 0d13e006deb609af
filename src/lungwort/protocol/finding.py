"""A finding of vetting: what is wrong with the document, where, why, by which computation, and what mends it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from lungwort.library.loading import Basis
from lungwort.protocol.lines import Path


class Severity(StrEnum):
    """How grave a finding is, gravest first: an error forbids use, a warning wants a reason, a note informs."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True)
class Finding:
    """One rule's finding at one place of the document.

    `path` as the document's keys, such as ("kind", 0, "step", 2, "water"); `computed` the computation behind it, empty
    where there is none; `source` and `basis` of the limit it stands on; `line` is filled in by vetting.
    """

    rule: str
    severity: Severity
    path: Path
    says: str
    remedy: str
    source: str
    basis: Basis
    computed: str = ""
    line: int = 0
