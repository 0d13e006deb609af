"""What changed from one protocol to another, in words, and what that does to the findings."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from lungwort.language import _
from lungwort.protocol.finding import Finding
from lungwort.protocol.naming import Plain, identity, keyed, label, plain_data, words
from lungwort.protocol.reading import Document
from lungwort.protocol.vet import Report, vet
from lungwort.protocol.writing import value_text

How = Literal["added", "removed", "changed", "moved", "renamed"]


@dataclass(frozen=True)
class Change:
    """One change: how, of which place of the document, from what to what (empty where there was or is nothing)."""

    how: How
    where: str
    was: str = ""
    now: str = ""

    @property
    def says(self) -> str:
        """The change as a sentence."""
        texts: dict[How, str] = {
            "added": _("Added: {where}{now}"),
            "removed": _("Removed: {where}{was}"),
            "changed": _("Changed: {where}, from {was} to {now}"),
            "moved": _("Moved: {where}, from place {was} to {now}"),
            "renamed": _("Renamed: {where}, now {now}"),
        }
        was, now = self.was, self.now
        if self.how in ("added", "removed"):
            was, now = (f" = {text}" if text else "" for text in (was, now))
        return texts[self.how].format(where=self.where, was=was, now=now)


@dataclass(frozen=True)
class Difference:
    """The changes from an old to a new protocol, and the findings that came, went and stayed, all on one day.

    A finding that stayed is given as it stands in the new document; `went` has the lines of the old one.
    """

    changes: tuple[Change, ...]
    came: tuple[Finding, ...]
    went: tuple[Finding, ...]
    stayed: tuple[Finding, ...]


def difference(old: Document, new: Document, today: date, report: Report | None = None) -> Difference:
    """Return what changed between two documents; `report` is the new one's where it is at hand."""
    before, after = plain_data(old.protocol), plain_data(new.protocol)
    found = (report or vet(new, today)).findings
    came, went, stayed = _matched(_by_place(vet(old, today).findings, before), _by_place(found, after))
    return Difference(tuple(_tables(before, after, after, ())), came, went, stayed)


def _tables(old: Plain, new: Plain, top: Plain, path: tuple[str | int, ...]) -> Iterator[Change]:
    """Yield the changes between two tables, in the order of their keys."""
    for key in dict.fromkeys((*old, *new)):
        was, now, here = old.get(key), new.get(key), (*path, key)
        if was == now:
            continue
        if _holds_tables(was) or _holds_tables(now):
            yield from _lists(key, was or (), now or (), top, here)
        elif isinstance(was, Mapping) and isinstance(now, Mapping):
            yield from _tables(was, now, top, here)
        else:
            how: How = "added" if key not in old else "removed" if key not in new else "changed"
            yield Change(how, words(top, here), _text(was), _text(now))


def _holds_tables(value: Any) -> bool:
    return isinstance(value, tuple | list) and bool(value) and isinstance(value[0], Mapping)


def _text(value: Any) -> str:
    return "" if value is None else value_text(value)


def _lists(
    table: str, old: Sequence[Plain], new: Sequence[Plain], top: Plain, path: tuple[str | int, ...]
) -> Iterator[Change]:
    """Yield the changes between two lists of tables, matched by name; of steps by what they do, in their order."""
    was, now = keyed(table, old), keyed(table, new)
    gone, come = [k for k in was if k not in now], [k for k in now if k not in was]
    around = "".join(f"{words(top, path[:-1])}, " if len(path) > 1 else "")
    for key in list(gone):
        twin = next((k for k in come if _same_but_for_the_name(was[key][1], now[k][1])), None)
        if twin is not None and table != "step":
            yield Change("renamed", f"{around}{table} {key}", key, twin)
            gone.remove(key)
            come.remove(twin)
    yield from (Change("removed", f"{around}{table} {key}") for key in gone)
    yield from (Change("added", _where(top, (*path, now[key][0]), table, now[key][1])) for key in come)
    both = [key for key in now if key in was]
    for key in both:
        yield from _tables(was[key][1], now[key][1], top, (*path, now[key][0]))
    if table == "step":
        for key in _out_of_order([k for k in was if k in now], both):
            places = str(was[key][0] + 1), str(now[key][0] + 1)
            yield Change("moved", f"{around}step {key}", *places)


def _where(top: Plain, path: tuple[str | int, ...], table: str, item: Plain) -> str:
    return words(top, path) or label(table, item)


def _same_but_for_the_name(one: Plain, other: Plain) -> bool:
    def without(item: Plain) -> dict[str, Any]:
        return {key: value for key, value in item.items() if key != "name"}

    return "name" in one and len(without(one)) > 0 and without(one) == without(other)


def _out_of_order(before: list[str], after: list[str]) -> list[str]:
    """Return the steps that stand in another order: as few as explain it."""
    from difflib import SequenceMatcher

    blocks = SequenceMatcher(None, before, after, autojunk=False).get_matching_blocks()
    kept = {key for block in blocks for key in before[block.a : block.a + block.size]}
    return [key for key in after if key not in kept]


Placed = dict[tuple[str, ...], list[Finding]]


def _by_place(findings: Iterable[Finding], data: Plain) -> Placed:
    placed: Placed = defaultdict(list)
    for finding in findings:
        placed[finding.rule, *identity(data, finding.path)].append(finding)
    return placed


def _matched(
    old: Placed, new: Placed
) -> tuple[tuple[Finding, ...], tuple[Finding, ...], tuple[Finding, ...]]:
    """Return what came, went and stayed; where a rule finds several at one place, those that say the same first."""
    came: list[Finding] = []
    went: list[Finding] = []
    stayed: list[Finding] = []
    for place in dict.fromkeys((*old, *new)):
        before, after = list(old.get(place, ())), list(new.get(place, ()))
        for alike in (_says_the_same, _as_grave):
            for now in list(after):
                twin = next((was for was in before if alike(was, now)), None)
                if twin is not None:
                    stayed.append(now)
                    after.remove(now)
                    before.remove(twin)
        came += after
        went += before
    return tuple(_in_order(came)), tuple(_in_order(went)), tuple(_in_order(stayed))


def _says_the_same(one: Finding, other: Finding) -> bool:
    return one.severity is other.severity and one.says == other.says


def _as_grave(one: Finding, other: Finding) -> bool:
    return one.severity is other.severity


def _in_order(findings: list[Finding]) -> list[Finding]:
    return sorted(findings, key=lambda finding: (finding.line, finding.rule))
