"""Why something is not allowed, and what to do next."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from lungwort.errors import LungwortError
from lungwort.language import _


@dataclass(frozen=True)
class Reason:
    """One reason against a deed: the rule's name, what stands in the way, what to do next.

    `firm`: it stands even for what is entered afterwards, since it is about who records what, not about what happened.
    """

    rule: str
    says: str
    next_step: str
    firm: bool = False

    def __str__(self) -> str:
        return f"{self.says}; {self.next_step}"


class Refused(LungwortError):
    """A deed is not allowed; `reasons` says why and what to do next, nothing was recorded."""

    def __init__(self, reasons: Iterable[Reason]) -> None:
        self.reasons = tuple(reasons)
        super().__init__("\n".join(str(reason) for reason in self.reasons))


def time_words(moment: str) -> str:
    """Return a moment of an event to the minute, for people to read.

    >>> time_words("2026-11-25T11:00:07.000000Z")
    '2026-11-25 11:00 UTC'
    """
    return f"{moment[:10]} {moment[11:16]} UTC"


@dataclass(frozen=True)
class Answer:
    """Whether something may be done: yes, or every reason why not."""

    reasons: tuple[Reason, ...]

    @property
    def yes(self) -> bool:
        """Nothing is known to stand in the way; it does not say that nothing does."""
        return not self.reasons

    def __str__(self) -> str:
        return "\n".join(map(str, self.reasons)) or _("nothing recorded stands in the way")
