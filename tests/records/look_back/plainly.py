"""Look-back by definition: all facts, each part's whole life cut up, rules applied until nothing changes."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from lungwort.records.chain.event import Event
from lungwort.records.look_back.question import Question
from lungwort.records.states.fact import Fact, fact_of

Order = tuple[str, int]
FIRST, LAST = ("", 0), ("~", 0)
Piece = tuple[str, int]
"""A part and the number of its leg, from 0, which begins with enrolment."""


def standing(events: Iterable[Event]) -> list[Fact]:
    """Return the facts that were neither struck nor corrected, in order of happening."""
    events = list(events)
    gone = {e.data["event"] for e in events if e.what in ("event.struck", "event.corrected")}
    facts = [fact_of(e) for e in events if e.id not in gone and e.what != "event.struck"]
    return sorted(facts, key=lambda fact: (fact.at, fact.event.sequence))


@dataclass
class Lives:
    """Every leg of every part: with which fact it begins, and its uses; and every cycle's last verdict and growth."""

    facts: list[Fact]

    def __post_init__(self) -> None:
        """Cut every life up."""
        self.begins: dict[str, list[Fact | None]] = {}
        self.uses: dict[Piece, list[Fact]] = {}
        self.released: dict[Piece, bool] = {}
        self.washes: dict[Piece, list[Fact]] = {}
        on_patient: dict[str, bool] = {}
        for fact in self.facts:
            for part in fact.by_kind.get("part", ()):
                self._take(part, fact, on_patient)

    def _take(self, part: str, fact: Fact, on_patient: dict[str, bool]) -> None:
        legs = self.begins.setdefault(part, [None])
        if fact.what == "cycle.ended" or (fact.what == "part.wiped" and not on_patient.get(part)):
            same_moment = [u for u in self.uses.get((part, len(legs) - 1), []) if u.at == fact.at]
            legs.append(fact)
            on_patient[part] = False
            if same_moment:  # which came first is not known
                self.uses[part, len(legs) - 1] = same_moment
                self.released[part, len(legs) - 1] = False
        here = (part, len(legs) - 1)
        if fact.what == "set_up.connected":
            on_patient[part] = True
            self.uses.setdefault(here, []).append(fact)
        if fact.what == "set_up.disconnected":
            on_patient[part] = False
        if fact.what == "part.washed":
            self.washes.setdefault(here, []).append(fact)
        if fact.what in ("part.released", "part.released_by_exception", "set_up.connected"):
            self.released.setdefault(here, fact.what == "part.released")

    # ---- cycles ----

    def verdict(self, cycle: str) -> str:
        """Return a cycle's last verdict."""
        judged = [f for f in self.facts if f.what == "cycle.judged" and f.the("cycle") == cycle]
        return judged[-1].data["outcome"] if judged else ""

    def growth(self, cycle: str) -> set[str]:
        """Return all that a cycle's indicators said."""
        attached = [f for f in self.facts if f.what == "cycle.evidence_attached" and f.the("cycle") == cycle]
        return {f.data["result"] for f in attached if f.data.get("result")}

    def proven(self, cycle: str) -> bool:
        """Tell whether a cycle passed."""
        return self.verdict(cycle) == "passed" and "positive" not in self.growth(cycle)

    def no_growth(self, cycle: str) -> bool:
        """Tell whether a cycle is good evidence of its equipment."""
        ended = any(f.what == "cycle.ended" and f.the("cycle") == cycle for f in self.facts)
        return ended and self.growth(cycle) == {"negative"} and self.verdict(cycle) != "failed"

    def ends(self, equipment: str) -> list[Fact]:
        """Return the ends of all cycles of equipment, and the starts of those that never ended."""
        run = [f for f in self.facts if f.the("equipment") == equipment]
        ended = [f for f in run if f.what == "cycle.ended"]
        codes = {f.the("cycle") for f in ended}
        return [
            f
            for f in run
            if f.what == "cycle.ended" or (f.what == "cycle.started" and f.the("cycle") not in codes)
        ]

    # ---- legs ----

    def pieces(self) -> list[Piece]:
        """Return all legs of all parts."""
        return [(part, number) for part, legs in self.begins.items() for number in range(len(legs))]

    def begin(self, piece: Piece) -> Fact | None:
        """Return the fact with which a leg begins; None for the first, and for one that is not there."""
        legs = self.begins[piece[0]]
        return legs[piece[1]] if 0 <= piece[1] < len(legs) else None

    def good(self, piece: Piece, doubted: set[str]) -> bool:
        """Tell whether a leg begins with good treatment."""
        begin = self.begin(piece)
        if begin is None or begin.the("cycle") in doubted or begin.event.id in doubted:
            return False
        return (
            self.proven(begin.the("cycle"))
            if begin.what == "cycle.ended"
            else self.released.get(piece, False)
        )

    def piece_at(self, part: str, fact: Fact) -> Piece:
        """Return the leg a part was in at a fact."""
        legs = self.begins.get(part, [None])
        return part, max(i for i, begin in enumerate(legs) if begin is None or begin.order <= fact.order)


Found = dict[tuple[str, str], set[str]]
"""By the event that connected and the direction: the touched parts."""


def plainly(events: Iterable[Event], question: Question) -> tuple[Found, set[str]]:
    """Return all exposures and all touched parts."""
    lives = Lives(standing(events))
    if question.start_kind == "infected patient":
        return _around_patient(lives, question)
    if question.start_kind == "defective part":
        return _of_part(lives, question), {question.code}
    found, touched = _after(lives, _doubted(lives, question))
    if question.start_kind == "wrong batch":
        for wash in (f for f in lives.facts if f.what == "part.washed" and f.the("batch") == question.code):
            for part in wash.by_kind.get("part", ()):
                touched.add(part)
                _note(found, _after_wash(lives, wash, part), part, "forward")
    return found, touched


def _after_wash(lives: Lives, wash: Fact, part: str) -> list[Fact]:
    """Return the uses from a wash up to the next good treatment that comes after another wash."""
    piece = lives.piece_at(part, wash)
    uses = [u for u in lives.uses.get(piece, []) if u.order > wash.order]
    washed_again = False
    while True:
        washed_again = washed_again or any(w.order > wash.order for w in lives.washes.get(piece, []))
        piece = (part, piece[1] + 1)
        if lives.begin(piece) is None or (washed_again and lives.good(piece, _wiped_or_treated(lives, wash))):
            return uses
        uses += lives.uses.get(piece, [])


def _wiped_or_treated(lives: Lives, wash: Fact) -> set[str]:
    """Return what else the batch of a wash was used in."""
    exposures = _doubted(lives, Question("wrong batch", wash.the("batch")))
    return {f.the("cycle") or f.event.id for f in exposures}


def _note(found: Found, uses: Iterable[Fact], part: str, direction: str) -> None:
    for use in uses:
        found.setdefault((use.event.id, direction), set()).add(part)


# ---- treatment in doubt ----


def _doubted(lives: Lives, question: Question) -> list[Fact]:
    """Return the facts that stand for every doubted exposure."""
    code = question.code
    if question.start_kind == "failed cycle":
        return _exposures(lives, {code})
    if question.start_kind == "wrong batch":
        mine = [f for f in lives.facts if f.the("batch") == code]
        wipes = [f for f in mine if f.what == "part.wiped"]
        return _exposures(lives, {f.the("cycle") for f in mine} - {""}) + wipes
    if question.start_kind == "faulty equipment":
        return _run(lives, code, question)
    own = _exposures(lives, {code})
    equipment = own[0].the("equipment") if own else ""
    return own if not equipment else own + _around(lives, equipment, own[0])


def _exposures(lives: Lives, cycles: set[str]) -> list[Fact]:
    found = []
    for cycle in sorted(cycles):
        mine = [f for f in lives.facts if f.the("cycle") == cycle]
        ended = [f for f in mine if f.what == "cycle.ended"]
        loaded = [f for f in mine if f.what == "cycle.loaded"]
        started = [f for f in mine if f.what == "cycle.started"]
        found += ended[:1] or loaded[-1:] or started[:1] or mine[-1:]
    return found


def _run(lives: Lives, equipment: str, question: Question) -> list[Fact]:
    ends = [f for f in lives.ends(equipment) if f.at <= (question.until or "~")]
    running = _running(lives, equipment, question.until or "~")
    if question.since:
        return [*[f for f in ends if f.at >= question.since], *running]
    return [*ends[_after_good(lives, ends) :], *running]


def _running(lives: Lives, equipment: str, moment: str) -> list[Fact]:
    """Return what stands for the cycle that ran at a moment: its later end, or its start where it never ended."""
    run = [f for f in lives.facts if f.the("equipment") == equipment and f.at <= moment]
    run = [f for f in run if f.what in ("cycle.started", "cycle.ended")]
    if not run or run[-1].what == "cycle.ended":
        return []
    ends = [f for f in lives.facts if f.what == "cycle.ended" and f.the("cycle") == run[-1].the("cycle")]
    return [f for f in ends if f.order > run[-1].order][:1] or run[-1:]


def _after_good(lives: Lives, ends: list[Fact]) -> int:
    """Return the number of cycles up to and with the last good evidence."""
    for shows in (lives.no_growth, lives.proven):
        good = [i for i, f in enumerate(ends) if shows(f.the("cycle"))]
        if good:
            return good[-1] + 1
    return 0


def _around(lives: Lives, equipment: str, own: Fact) -> list[Fact]:
    before = [f for f in lives.ends(equipment) if f.order < own.order]
    found = before[_after_good(lives, before) :]
    told = [
        f for f in lives.facts if f.what == "cycle.evidence_attached" and f.data.get("result") == "positive"
    ]
    told = [f.order for f in told if f.the("cycle") == own.the("cycle")]
    known = told[0] if told else ("~", 0)
    for fact in lives.facts:
        if fact.order <= own.order or fact.the("equipment") != equipment:
            continue
        freed = fact.what == "equipment.freed" and fact.order > known
        if freed or (fact.what == "cycle.ended" and lives.no_growth(fact.the("cycle"))):
            break
        if fact in lives.ends(equipment):
            found.append(fact)
    return [fact for fact in found if fact.the("cycle") != own.the("cycle")]


def _after(lives: Lives, exposures: list[Fact]) -> tuple[Found, set[str]]:
    doubted = {f.the("cycle") or f.event.id for f in exposures}
    found: Found = {}
    touched: set[str] = set()
    for exposure in exposures:
        loaded = [
            f for f in lives.facts if f.what == "cycle.loaded" and f.the("cycle") == exposure.the("cycle")
        ]
        named = [exposure, *(loaded if exposure.the("cycle") else [])]
        for part in {code for f in named for code in f.by_kind.get("part", ())}:
            touched.add(part)
            first = lives.piece_at(part, exposure)
            uses = [u for u in lives.uses.get(first, []) if u.order > exposure.order or u.at == exposure.at]
            following = (part, first[1] + 1)
            while lives.begin(following) is not None and not lives.good(following, doubted):
                uses += lives.uses.get(following, [])
                following = (part, following[1] + 1)
            _note(found, uses, part, "forward")
    return found, touched


# ---- a part, a patient ----


def _of_part(lives: Lives, question: Question) -> Found:
    mine = [f for f in lives.facts if question.code in f.by_kind.get("part", ())]
    mine = [f for f in mine if f.at <= (question.until or "~")]
    good = [f for f in mine if f.what == "part.inspected" and not f.data["defect"]]
    start = (question.since, 0) if question.since or not good else good[-1].order
    uses = [f for f in mine if f.what == "set_up.connected" and f.order > start]
    found: Found = {}
    turning = ("set_up.connected", "set_up.disconnected", "cycle.ended")
    earlier = [f for f in mine if f.order < start and f.what in turning]
    if question.since and earlier and earlier[-1].what == "set_up.connected":
        uses.append(earlier[-1])
    _note(found, uses, question.code, "forward")
    return found


def _around_patient(lives: Lives, question: Question) -> tuple[Found, set[str]]:
    found: Found = {}
    touched: set[str] = set()
    own = [f for f in lives.facts if f.what == "set_up.connected" and f.the("patient") == question.code]
    own = [f for f in own if f.at <= (question.until or "~") and _ended(lives, f) >= question.since]
    sides: tuple[tuple[str, int, Callable[[Fact, Fact], bool]], ...] = (
        ("forward", 1, lambda use, mine: use.order > mine.order),
        ("backward", -1, lambda use, mine: use.order < mine.order),
    )
    for direction, step, counts in sides:
        first = {lives.piece_at(part, mine) for mine in own for part in mine.by_kind.get("part", ())}
        whole = _spread(lives, first, step)
        touched |= {part for part, _number in first} | {part for (part, _number), *_bounds in whole}
        for part, number in first:
            uses = lives.uses.get((part, number), [])
            here = [mine for mine in own if mine in uses and lives.piece_at(part, mine) == (part, number)]
            _note_others(
                found, [u for u in uses if any(counts(u, mine) for mine in here)], part, direction, question
            )
        for piece, low, high in whole:
            uses = [
                u for u in lives.uses.get(piece, []) if u.order < high and (u.order > low or u.at == low[0])
            ]
            _note_others(found, uses, piece[0], direction, question)
    return found, touched


def _note_others(found: Found, uses: list[Fact], part: str, direction: str, question: Question) -> None:
    _note(found, [u for u in uses if u.the("patient") != question.code], part, direction)


def _ended(lives: Lives, use: Fact) -> str:
    """Return when a use ended; after all moments where it goes on."""
    ends = [
        f for f in lives.facts if f.what == "set_up.disconnected" and f.the("set_up") == use.the("set_up")
    ]
    mine = [f.at for f in ends if f.order > use.order and f.the("patient") == use.the("patient")]
    return mine[0] if mine else "~"


def _spread(lives: Lives, first: set[Piece], step: int) -> set[tuple[Piece, Order, Order]]:
    """Return the legs reached from first ones: onward (1) or back (-1) through treatment that was not good.

    Each with the bounds between which its uses count: a part that was loaded, but is not named at the end of the
    cycle, has no leg that begins there.
    """
    reached: set[tuple[Piece, Order, Order]] = set()
    while True:
        new: set[tuple[Piece, Order, Order]] = set()
        for part, number in first | {piece for piece, *_bounds in reached}:
            between = (part, number + 1) if step == 1 else (part, number)
            exposure = lives.begin(between)
            if exposure is None or lives.good(between, set()):
                continue
            for other in _sharing(lives, exposure, part):
                _part, begun = lives.piece_at(other, exposure)
                named = lives.begin((other, begun)) is exposure
                if step == 1:
                    new.add(((other, begun), FIRST if named else exposure.order, LAST))
                else:
                    new.add(
                        ((other, begun - 1 if named else begun), FIRST, LAST if named else exposure.order)
                    )
        if new <= reached:
            return reached
        reached |= new


def _sharing(lives: Lives, exposure: Fact, part: str) -> set[str]:
    if exposure.what != "cycle.ended":
        return {part}
    loads = [f for f in lives.facts if f.what in ("cycle.loaded", "cycle.ended")]
    mine = [f for f in loads if f.the("cycle") == exposure.the("cycle")]
    return {code for f in mine for code in f.by_kind.get("part", ())}
