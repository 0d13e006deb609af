"""Who is linked to what, as a picture's plain data: things in columns by how far they lie from the beginning."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from lungwort.language import _
from lungwort.records.chain.event import Thing
from lungwort.records.life.known import kind_words
from lungwort.records.look_back.question import THING
from lungwort.records.look_back.result import LookBack

MOST_THINGS = 80
"""Most things that a picture shows; the lists beside it have all. Ours, no source."""
COLUMN, ROW, WIDE, HIGH, EDGE = 176, 62, 136, 44, 8
"""Measures of the picture in its own units: from column to column, row to row, a thing's size, the rim."""


@dataclass(frozen=True)
class Node:
    """A thing in the picture: where its middle lies, and whether it is the beginning or is still out."""

    thing: Thing
    x: int
    y: int
    kind: str
    begins: bool = False
    out: bool = False

    @property
    def left(self) -> int:
        """Where it begins, from the left."""
        return self.x - WIDE // 2

    @property
    def top(self) -> int:
        """Where it begins, from the top."""
        return self.y - HIGH // 2


@dataclass(frozen=True)
class Line:
    """A link between two things; `loose` where it is known that one was touched, but no path is drawn."""

    x1: int
    y1: int
    x2: int
    y2: int
    loose: bool = False


@dataclass(frozen=True)
class Picture:
    """All that is drawn, and how many things are left out of it."""

    nodes: tuple[Node, ...]
    lines: tuple[Line, ...]
    width: int
    height: int
    left_out: int


def picture_of(answer: LookBack) -> Picture:
    """Return the picture of an answer: every path to an exposed patient, and the parts touched besides."""
    start = Thing(answer.question.code, THING[answer.question.start_kind])
    links = list(dict.fromkeys(_links(answer)))
    depth = _depths(start, links)
    loose = [Thing(p.code, "part") for p in answer.parts if Thing(p.code, "part") not in depth]
    depth |= dict.fromkeys(loose, 1)
    kept = sorted(depth, key=lambda thing: depth[thing])[:MOST_THINGS]
    nodes = [_marked(node, answer) for node in _placed(start, kept, depth)]
    at = {node.thing: node for node in nodes}
    lines = [*_lines(at, links), *_lines(at, [(start, t) for t in loose], loose=True)]
    return Picture(
        nodes=tuple(nodes),
        lines=tuple(lines),
        width=max((n.x for n in nodes), default=0) + WIDE // 2 + EDGE,
        height=max((n.y for n in nodes), default=0) + HIGH // 2 + EDGE,
        left_out=len(depth) - len(kept),
    )


def _links(answer: LookBack) -> Iterator[tuple[Thing, Thing]]:
    for exposure in answer.exposures:
        yield from ((link.start, link.end) for link in exposure.path)


def _depths(start: Thing, links: Iterable[tuple[Thing, Thing]]) -> dict[Thing, int]:
    """Return how many links lie between the beginning and each thing, in the order in which they are met."""
    onward: dict[Thing, list[Thing]] = {}
    for one, other in links:
        onward.setdefault(one, []).append(other)
    depth, edge = {start: 0}, [start]
    while edge:
        found = [other for one in edge for other in onward.get(one, []) if other not in depth]
        depth |= dict.fromkeys(found, depth[edge[0]] + 1)
        edge = list(dict.fromkeys(found))
    return depth


def _placed(start: Thing, things: Iterable[Thing], depth: dict[Thing, int]) -> list[Node]:
    rows: dict[int, int] = {}
    nodes = []
    for thing in things:
        column = depth[thing]
        row = rows[column] = rows.get(column, -1) + 1
        x, y = EDGE + WIDE // 2 + column * COLUMN, EDGE + HIGH // 2 + row * ROW
        nodes.append(Node(thing, x, y, kind_words(thing.part), thing == start))
    return nodes


def _marked(node: Node, answer: LookBack) -> Node:
    """Return a part marked as still out; a patient from whom it may have come, and no other way, as one before."""
    if node.thing.part == "patient":
        ways = {exposure.direction for exposure in answer.exposures if exposure.patient == node.thing.code}
        return replace(node, kind=_("patient, before")) if ways == {"backward"} else node
    out = node.thing.part == "part" and node.thing.code in {part.code for part in answer.still_out}
    return replace(node, out=out)


def _lines(
    at: dict[Thing, Node], links: Iterable[tuple[Thing, Thing]], loose: bool = False
) -> Iterator[Line]:
    """Yield each link once, from left to right, whichever way it was walked."""
    pairs = dict.fromkeys(frozenset(link) for link in links if link[0] != link[1])
    for pair in pairs:
        if all(thing in at for thing in pair):
            a, b = sorted((at[thing] for thing in pair), key=lambda node: (node.x, node.y))
            yield Line(a.x + WIDE // 2, a.y, b.x - WIDE // 2, b.y, loose)
