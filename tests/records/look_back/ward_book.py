"""A fixed cast: Hill Hospital, Ada who reprocesses, Ben of the ward, Chi who checks, Dot the second person."""

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from random import Random

from lungwort.records.chain.event import Attachment, Draft, Event, Thing
from lungwort.records.chain.identity import moment_text
from lungwort.records.states.view import View
from lungwort.records.stores.memory import MemoryStore
from lungwort.records.stores.store import Store

HILL = "Hill Hospital"
START = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)
TURN = timedelta(minutes=10)


def things(**codes: str) -> tuple[Thing, ...]:
    """Return things by kind, several parts apart by blanks; none where the code is empty."""
    split = {kind: told.split() if kind == "part" else [told] for kind, told in codes.items() if told}
    return tuple(Thing(code, kind) for kind, told in split.items() for code in told)


class WardBook:
    """Records what people do, ten minutes a deed."""

    def __init__(self, store: Store | None = None, place: str = HILL) -> None:
        self.store, self.place = store or MemoryStore(), place
        self.now, self.random = START, Random(5).randbytes
        self.set_ups: dict[str, dict[str, str]] = {}

    def note(
        self,
        who: str,
        what: str,
        at: datetime | None = None,
        data: Mapping[str, object] | None = None,
        files: tuple[Attachment, ...] = (),
        **codes: str,
    ) -> Event:
        """Record a deed of somebody, now or at another moment."""
        self.now += TURN
        draft = Draft(at or self.now, who, what, data or {}, things(**codes), files)
        return self.store.append(self.place, draft, lambda: self.now, self.random)

    def view(self) -> View:
        """Return the place as it stands."""
        return self.store.view(self.place, lambda: self.now)

    @property
    def moment(self) -> str:
        """The moment of the newest deed, as events write it."""
        return moment_text(self.now)

    # ---- parts ----

    def enrol(self, codes: str, kind: str = "Silicone circuit", **more: object) -> None:
        """Enrol parts of a kind."""
        for code in codes.split():
            self.note("Ada", "part.enrolled", data={"kind": kind, **more}, part=code)

    def release(self, parts: str) -> Event:
        """Ada releases parts by the rules."""
        return self.note("Ada", "part.released", part=parts)

    def release_anyway(self, parts: str) -> Event:
        """Ada and Dot release parts by exception."""
        data = {"reason": "no other is left", "against": []}
        return self.note("Ada", "part.released_by_exception", data=data, part=parts, person="Dot")

    def wipe(self, parts: str, batch: str = "") -> Event:
        """Ada wipes parts."""
        return self.note("Ada", "part.wiped", part=parts, batch=batch)

    def inspect(self, part: str, defect: str = "") -> Event:
        """Ada looks at a part."""
        return self.note("Ada", "part.inspected", data={"checks": ["look"], "defect": defect}, part=part)

    # ---- cycles ----

    def cycle(
        self,
        code: str,
        parts: str,
        outcome: str = "passed",
        on: str = "A-1",
        batch: str = "",
        growth: str = "",
    ) -> Event:
        """Ada loads, runs and, where an outcome is given, judges a cycle; return its end."""
        told = {"process": "steam", "setting": "134", "protocol": "1", "kinds": ["Silicone circuit"]}
        load = {"cycle": code, "part": parts, "equipment": on, "batch": batch}
        self.note("Ada", "cycle.loaded", data=told, **load)
        self.note("Ada", "cycle.started", data={"process": "steam"}, **load)
        ended = self.note("Ada", "cycle.ended", data={"process": "steam"}, **load)
        if outcome:
            self.judge(code, parts, outcome, on, batch)
        if growth:
            self.indicator(code, parts, growth, on)
        return ended

    def judge(self, code: str, parts: str, outcome: str, on: str = "A-1", batch: str = "") -> Event:
        """Ada judges a cycle, perhaps once more."""
        data = {"process": "steam", "outcome": outcome}
        return self.note("Ada", "cycle.judged", data=data, cycle=code, part=parts, equipment=on, batch=batch)

    def indicator(self, code: str, parts: str, growth: str, on: str = "A-1") -> Event:
        """Ada reads the biological indicator of a cycle."""
        data = {"kind": "biological", "result": growth, "note": ""}
        return self.note("Ada", "cycle.evidence_attached", data=data, cycle=code, part=parts, equipment=on)

    def attach_log(self, code: str, parts: str, on: str = "A-1") -> Event:
        """Ada attaches a log to a cycle."""
        log, data = Attachment("log.csv", code.encode()), {"kind": "log", "note": ""}
        codes = {"cycle": code, "part": parts, "equipment": on}
        return self.note("Ada", "cycle.evidence_attached", data=data, files=(log,), **codes)

    # ---- patients ----

    def connect(
        self,
        set_up: str,
        parts: str,
        patient: str,
        ward: str = "East",
        at: datetime | None = None,
        **data: object,
    ) -> Event:
        """Chi checks a set-up, Ben connects a patient to it."""
        self.set_ups[set_up] = {"part": parts, "patient": patient, "ward": ward}
        machine = parts.split()[-1]
        self.note("Ben", "set_up.joined", at, {"machine": machine}, set_up=set_up, part=parts)
        self.note("Chi", "set_up.checked", at, {"checks": ["leak"], "failed": []}, set_up=set_up, part=parts)
        return self.note("Ben", "set_up.connected", at, data, set_up=set_up, **self.set_ups[set_up])

    def leave(self, set_up: str, at: datetime | None = None) -> Event:
        """Ben disconnects the patient."""
        return self.note("Ben", "set_up.disconnected", at, set_up=set_up, **self.set_ups[set_up])

    def use(self, set_up: str, parts: str, patient: str, ward: str = "East") -> None:
        """A patient is connected and leaves again."""
        self.connect(set_up, parts, patient, ward)
        self.leave(set_up)
