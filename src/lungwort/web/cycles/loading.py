"""Loading: choose how parts are treated, then which of those that wait for it go in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from lungwort.language import _
from lungwort.protocol.document import Protocol
from lungwort.protocol.kinds import Step
from lungwort.records.life import cycles as deeds
from lungwort.records.life.known import PROTOCOL, in_force
from lungwort.records.states.fact import fact_of
from lungwort.records.states.kinds import BatchState, CycleState, EquipmentState, PartState, ProtocolState
from lungwort.records.states.view import View
from lungwort.web.access import for_deed
from lungwort.web.frame.recording import witness_of
from lungwort.web.turnaround.actions import How, how_to
from lungwort.web.turnaround.journey import next_step, open_cycles


@dataclass(frozen=True)
class Way:
    """A way to treat by the protocol with what is here; `equipment` or `batch` by its code, "" where none is here."""

    process: str
    name: str
    setting: str
    strength: str
    equipment: str
    batch: str
    kinds: tuple[str, ...]

    @property
    def key(self) -> str:
        """What a form sends for it."""
        return "|".join((self.process, self.code, self.setting, self.strength))

    @property
    def here(self) -> bool:
        """Whether something to treat with is in service or in stock."""
        return bool(self.code)

    @property
    def says(self) -> str:
        """The way in words."""
        return ", ".join(text for text in (self.name, self.setting, self.strength) if text)

    @property
    def code(self) -> str:
        """The code of what treats."""
        return self.equipment or self.batch

    @property
    def process_word(self) -> str:
        """The process in words."""
        return _process_words(self.process)


def _process_words(process: str) -> str:
    return {"steam": _("Steam"), "hot water": _("Hot water"), "soak": _("Soak")}[process]


def ways(view: View, protocol: Protocol) -> list[Way]:
    """Return every way by which the protocol treats a load, with each equipment and batch that is here."""
    asked: dict[tuple[str, ...], list[str]] = {}
    for kind in protocol.kinds:
        for step in kind.steps:
            if step.process in deeds.PROCESSES:
                asked.setdefault(_way(step), []).append(kind.name)
    batches = list(view.states(BatchState, "in stock"))
    equipment = list(view.states(EquipmentState, "in service"))
    found = []
    for (process, name, setting, strength), kinds in asked.items():
        for machine, batch in _here(process, name, equipment, batches):
            found.append(Way(process, name, setting, strength, machine, batch, tuple(dict.fromkeys(kinds))))
    return found


def _way(step: Step) -> tuple[str, ...]:
    name = step.stock if step.process == "soak" else step.equipment
    setting = step.setting if step.process == "steam" else ""
    strength = step.strength if step.process == "soak" else ""
    return step.process or "", name or "", setting or "", strength or ""


def _here(
    process: str, name: str, equipment: Sequence[EquipmentState], batches: Sequence[BatchState]
) -> Iterator[tuple[str, str]]:
    """Yield the codes of what is here under a name: equipment, batch; one pair of nothing where none is."""
    if process == "soak":
        found = [("", batch.code) for batch in batches if batch.stock == name]
    else:
        found = [(machine.code, "") for machine in equipment if machine.name == name]
    yield from found or [("", "")]


@for_deed("cycle.loaded")
def load(request: HttpRequest) -> HttpResponse:
    """Ask for the way, then for the parts; put them in a load."""
    asked: Any = request
    view: View = asked.book.view()
    told = request.POST if request.method == "POST" else request.GET
    found, key, ticked = ways(view, in_force(view)), told.get("way", ""), told.getlist("part")
    way = next((way for way in found if way.here and way.key == key), None)
    if way is not None and request.method == "POST":
        return _record(request, way, ticked)
    waiting = _waiting(view)
    if way is None:
        rows = [(each, sum(p.of_kind in each.kinds for p in waiting)) for each in found]
        chosen = {part.of_kind for part in waiting if part.code in ticked}
        fits = sorted(rows, key=lambda row: (not chosen & set(row[0].kinds), -row[1]))
        return render(request, "cycles/treatments.html", {"treatments": fits, "ticked": ticked})
    parts = [part for part in waiting if part.of_kind in way.kinds]
    shown = {
        "way": way,
        "parts": parts,
        "how": _how(view, parts, way),
        "ticked": ticked,
        "left_out": [code for code in ticked if code not in {part.code for part in parts}],
        "open": _open_loads(view, way),
    }
    return render(request, "cycles/load.html", shown)


def _how(view: View, parts: Sequence[PartState], way: Way) -> list[How]:
    """Return how the treatment is done on the kinds that wait for it, hazards first."""
    protocol = in_force(view)
    kinds = [kind for kind in protocol.kinds if kind.name in {part.of_kind for part in parts}]
    return how_to(view, protocol, kinds, [f"treat {way.process}"])


def _waiting(view: View) -> list[PartState]:
    """Return the parts for which a load comes next by their protocol, sorted by kind."""
    protocol, cycles = in_force(view), open_cycles(view)
    states = [part for status in ("soiled", "washed", "treated") for part in view.states(PartState, status)]
    found = [part for part in states if next_step(protocol, cycles, part).action == "load"]
    return sorted(found, key=lambda part: (part.of_kind, part.code))


def _open_loads(view: View, way: Way) -> list[CycleState]:
    """Return the loads that are open and treated in the same way, under the protocol's version in force."""
    protocol = view.state(ProtocolState, PROTOCOL)
    version = protocol.version if protocol else ""
    same = (way.process, way.equipment, way.setting, way.batch, version)
    loads = view.states(CycleState, "loading")
    return [c for c in loads if (c.process, c.equipment, c.setting, c.batch, c.protocol) == same]


def _record(request: HttpRequest, way: Way, parts: Sequence[str]) -> HttpResponse:
    event = deeds.load(
        witness_of(request),
        parts,
        way.process,
        equipment=way.equipment,
        setting=way.setting,
        batch=way.batch,
        code=request.POST.get("code") or None,
    )
    code = fact_of(event).the("cycle")
    messages.success(request, _("In load {cycle}: {parts}.").format(cycle=code, parts=", ".join(parts)))
    return redirect("cycle", code)
