"""From a code to the things that bear it."""

from __future__ import annotations

from lungwort.records.chain.event import Thing
from lungwort.records.codes.scan import Scanned
from lungwort.records.states.view import View
from lungwort.records.stores.place_view import PlaceView
from lungwort.web.things.shapes import SHAPES, remembering


def things_with(view: View, scanned: Scanned) -> list[Thing]:
    """Return the things that bear a code: as their own, or as another code on them.

    Of things that bore a tag one after the other, those withdrawn come last; of one code of several kinds, all come.
    """
    view = remembering(view)
    if isinstance(view, PlaceView):
        view.look_at(Thing(scanned.code, kind) for kind in SHAPES)
    own = [Thing(scanned.code, kind) for kind, shape in SHAPES.items() if view.state(shape, scanned.code)]
    return own or _tagged(view, scanned.code)


def _tagged(view: View, code: str) -> list[Thing]:
    """Return the parts that bear a tag; one that is not withdrawn stands for all."""
    bearers = dict.fromkeys(part for fact in view.facts("tag", code) for part in fact.by_kind.get("part", ()))
    states = [state for part in bearers if (state := view.state(SHAPES["part"], part)) is not None]
    standing = [state for state in states if state.status != "withdrawn"]
    return [Thing(state.code, "part") for state in standing or states]
