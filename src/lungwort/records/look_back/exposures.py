"""From legs that were touched to the uses in them: one exposure a use and direction, with its people."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from lungwort.records.chain.event import Thing
from lungwort.records.look_back.legs import BY_EXCEPTION, CHECKED, RELEASED, Use, end_of
from lungwort.records.look_back.result import Deed, Direction, Exposure, Link, Path
from lungwort.records.look_back.walk import Reached, link
from lungwort.records.states.fact import Fact
from lungwort.records.states.view import View

DEEDS: Mapping[str, str] = {
    CHECKED: "checked",
    RELEASED: "released",
    BY_EXCEPTION: "released by exception",
}


@dataclass(frozen=True)
class Met:
    """A touched part met in use, and the path to the part."""

    use: Use
    part: str
    direction: Direction
    path: Path


def met_in(reached: Iterable[Reached], except_patient: str = "") -> Iterator[Met]:
    """Yield the uses in legs that were reached, but those of one patient; the nearest first."""
    for here in reached:
        for use in here.uses:
            if use.patient != except_patient:
                yield Met(use, here.leg.part, here.direction, here.path)


def exposures_of(view: View, met: Iterable[Met]) -> tuple[Exposure, ...]:
    """Return the uses as exposures, sorted by time; several touched parts of one set-up make one."""
    grouped: dict[tuple[str, Direction], list[Met]] = {}
    for one in met:
        grouped.setdefault((one.use.connected.event.id, one.direction), []).append(one)
    in_order = sorted(grouped.values(), key=lambda group: (group[0].use.connected.order, group[0].direction))
    return tuple(_exposure(view, group) for group in in_order)


def _exposure(view: View, group: list[Met]) -> Exposure:
    """Return one exposure; the path is that of the part that was met first."""
    nearest = group[0]
    connected = nearest.use.connected
    ended = end_of(view, nearest.use)
    before = [fact for one in group for fact in one.use.before]
    return Exposure(
        patient=nearest.use.patient,
        ward=connected.the("ward"),
        set_up=nearest.use.set_up,
        connected_at=connected.at,
        disconnected_at=ended.at if ended else "",
        parts=tuple(sorted({one.part for one in group})),
        direction=nearest.direction,
        path=(*nearest.path, _last_link(nearest)),
        persons=tuple(dict.fromkeys(_deeds(connected, ended, before))),
        by_exception=any(fact.what == BY_EXCEPTION for fact in before),
        late="late" in connected.data,
    )


def _last_link(met: Met) -> Link:
    use = met.use
    return link(Thing(met.part, "part"), Thing(use.patient, "patient"), use.connected)


def _deeds(connected: Fact, ended: Fact | None, before: list[Fact]) -> Iterator[Deed]:
    yield Deed(connected.event.who, "connected")
    if ended is not None:
        yield Deed(ended.event.who, "disconnected")
    for fact in before:
        yield Deed(fact.event.who, DEEDS[fact.what])
        for second in fact.by_kind.get("person", ()):
            yield Deed(second, "agreed to an exception")
