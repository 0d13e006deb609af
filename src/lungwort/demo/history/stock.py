"""Where parts and machines are: ready on the shelf, dirty in the basket, or with a patient and in neither."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from random import Random


@dataclass
class Stock:
    """Codes by kind: on the `shelf`, in the `basket`; each part's kind and its number of treatments."""

    shelf: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    basket: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    kinds: dict[str, str] = field(default_factory=dict)
    treatments: dict[str, int] = field(default_factory=lambda: defaultdict(int))

    def shelve(self, codes: Iterable[str]) -> None:
        """Put what is ready on the shelf."""
        for code in codes:
            self.shelf[self.kinds[code]].append(code)

    def soil(self, codes: Iterable[str]) -> None:
        """Put what must be treated in the basket."""
        for code in codes:
            self.basket[self.kinds[code]].append(code)

    def unshelve(self, codes: Iterable[str]) -> list[str]:
        """Take from the shelf those of some codes that lie there, and return them."""
        found = [code for code in codes if code in self.shelf[self.kinds[code]]]
        for code in found:
            self.shelf[self.kinds[code]].remove(code)
        return found

    def missing(self, kinds: Sequence[str]) -> list[str]:
        """Return the kinds of which nothing is ready."""
        return [kind for kind in kinds if not self.shelf[kind]]

    def take(self, kinds: Sequence[str], chance: Random) -> list[str]:
        """Take one of each kind from the shelf, as it comes to hand."""
        return [self.shelf[kind].pop(chance.randrange(len(self.shelf[kind]))) for kind in kinds]

    def empty_basket(self, kinds: Iterable[str]) -> list[str]:
        """Take everything of some kinds from the basket, in the order in which it came."""
        return [code for kind in kinds for code in self.basket.pop(kind, [])]
