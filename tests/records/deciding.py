"""What every store of records must do with decisions, states and corrections; run as `contract` is."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest
from cast import AUTOCLAVE, HILL, START, VALLEY, Writer, corrected, cycle, struck, washed

from lungwort.errors import LungwortError, UnusableEvent
from lungwort.records.chain.event import Attachment, Draft, Event, Thing
from lungwort.records.chain.identity import moment_text
from lungwort.records.chain.keeping import press
from lungwort.records.chain.preparing import Head
from lungwort.records.states.fold import fold_all
from lungwort.records.states.kinds import CycleState, EquipmentState, PartState
from lungwort.records.states.view import View
from lungwort.records.stores.store import Decide, Store
from lungwort.records.verify import verify

C7 = Thing("C-7", "part")


class RefusalError(LungwortError):
    """A rule speaks against it."""


def refuse(_view: View) -> Draft:
    """Decide that nothing is recorded."""
    raise RefusalError("not trained")


def always(draft: Draft) -> Decide:
    """Return the decision to record a draft, whatever the place says."""
    return lambda _view: draft


def part(draft: Draft, minutes: float) -> Draft:
    """Return a draft that happened so many minutes after the start."""
    return replace(draft, happened_at=START + timedelta(minutes=minutes))


def view_of(store: Store, place: str = HILL) -> View:
    """Return a place to be read."""
    return store.view(place, lambda: START)


def decide(writer: Writer, decision: Callable[[View], Draft]) -> Event:
    """Record what is decided."""
    return writer.store.record(writer.place, decision, writer.clock, writer.rng)


def projections(store: Store) -> tuple[list[object], list[object]]:
    """Return all states of both places, and all corrections, as stored."""
    states = [(place, state) for place in (HILL, VALLEY) for state in store.stored_states(place)]
    return sorted(states, key=repr), sorted(store.stored_corrections(), key=repr)


class DecidingContract:
    """Decide, fold, correct."""

    def test_a_decision_sees_the_place_at_the_moment_of_recording(self, store: Store):
        """One reading of the clock; what it returns is recorded."""
        writer, seen = Writer(store), []

        def look(view: View) -> Draft:
            seen.append((view.place, moment_text(view.now), view.state(PartState, "C-7")))
            return Draft(view.now, "Ada", "part.washed", {}, (C7,))

        events = [decide(writer, look), decide(writer, look)]
        assert [e.recorded_at for e in events] == [at for _place, at, _state in seen]
        assert [e.happened_at for e in events] == [e.recorded_at for e in events]
        assert seen[0][2] is None
        assert (seen[1][0], seen[1][2].status, seen[1][2].at) == (HILL, "washed", events[0].happened_at)
        assert list(store.events(HILL)) == events

    def test_a_decision_against_leaves_nothing(self, store: Store):
        """Not even the place, where it would have been its first event."""
        writer = Writer(store)
        with pytest.raises(RefusalError, match="not trained"):
            decide(writer, refuse)
        assert (store.places(), store.head(HILL)) == ([], Head())
        writer.write(washed())
        before = projections(store)
        with pytest.raises(RefusalError):
            decide(writer, refuse)
        assert (store.head(HILL).sequence, projections(store)) == (1, before)
        assert verify(store).whole

    def test_a_decision_out_of_form_leaves_nothing(self, store: Store):
        """As a draft out of form does."""
        with pytest.raises(UnusableEvent, match="give a dotted kind"):
            decide(Writer(store), always(Draft(START, "Ada", "washed")))
        with pytest.raises(UnusableEvent, match="the place is ' Hill'"):
            decide(Writer(store, " Hill"), always(washed()))
        assert store.places() == []

    def test_evidence_may_be_pressed_before(self, store: Store):
        """The event is the same as if it was pressed while others waited."""
        log = Attachment("log.csv", b"14:00;82\n" * 99)
        draft = Draft(START, "Ada", "cycle.evidence_attached", {"kind": "log"}, (Thing("Y-1", "cycle"),))
        pressed = decide(Writer(store, HILL), always(replace(draft, evidence=(press(log),))))
        plain = decide(Writer(store, VALLEY, 2), always(replace(draft, evidence=(log,))))
        assert pressed.payload == plain.payload
        digest = pressed.content["evidence"][0]["sha256"]
        assert view_of(store).evidence(digest) == log.content
        assert verify(store).whole

    # ---- states ----

    def test_states_are_folded_as_events_are_recorded(self, store: Store):
        """Of every thing whose kind has a state, at its own place alone."""
        writer = Writer(store)
        writer.write(washed("C-7"))
        ended = writer.write(cycle(1, ("C-7",)))
        view = view_of(store)
        treated = view.state(PartState, "C-7")
        assert (treated.status, treated.cycle, treated.done) == ("treated", "Y-1", ("wash", "expose steam"))
        assert view.state(EquipmentState, "A-1") == EquipmentState(
            "A-1", "", ended.happened_at, cycles=1, last_cycle="Y-1"
        )
        assert view.state(CycleState, "Y-1").ended_at == ended.happened_at
        assert view.state(PartState, "Y-1") is None
        assert view.state(PartState, "nowhere") is None
        assert view_of(store, VALLEY).state(PartState, "C-7") is None

    def test_states_come_in_order_of_code_and_by_status(self, store: Store):
        """More than a page of them; code point by code point, on every database."""
        writer = Writer(store)
        codes = [f"{letter}{number}" for letter in "aBäZ" for number in range(50)]
        with store.together():
            for number, code in enumerate(codes):
                writer.write(washed(code) if number % 3 else cycle(number, (code,)))
        view = view_of(store)
        assert [state.code for state in view.states(PartState)] == sorted(codes)
        treated = sorted(code for number, code in enumerate(codes) if number % 3 == 0)
        assert [state.code for state in view.states(PartState, "treated")] == treated
        assert list(view.states(PartState, "in use")) == []
        assert list(view_of(store, VALLEY).states(PartState)) == []

    def test_what_has_no_kind_with_a_state_is_recorded_all_the_same(self, store: Store):
        """A ward, a thing of another program."""
        Writer(store).write(Draft(START, "Ada", "trolley.moved", {}, (Thing("W-1", "ward"), C7)))
        assert projections(store) == ([], [])
        assert [fact.what for fact in view_of(store).facts("ward", "W-1")] == ["trolley.moved"]

    def test_a_fact_that_lacks_what_its_kind_needs_is_refused(self, store: Store):
        """Nothing is written, late or not."""
        writer = Writer(store)
        writer.write(part(washed(), 5))
        for minutes in (1, 9):
            bare = part(Draft(START, "Ada", "part.enrolled", {}, (C7,)), minutes)
            with pytest.raises(UnusableEvent, match=r"part.enrolled does not say of part C-7 .*'kind'"):
                writer.write(bare)
        assert store.head(HILL).sequence == 1
        assert verify(store).whole

    # ---- facts ----

    def test_facts_come_in_order_of_happening(self, store: Store):
        """Whatever the order of recording; at the same moment that one, though the clock went back."""
        writer = Writer(store)
        for minutes in (5, 1, 3, 3, 9):
            writer.write(part(washed("C-7"), minutes))
        writer.clock = lambda: START - timedelta(days=1)
        writer.write(part(washed("C-7"), 3))
        writer.write(part(washed("C-8"), 2))
        facts = view_of(store).facts("part", "C-7")
        assert [fact.event.sequence for fact in facts] == [2, 3, 4, 6, 1, 5]
        backward = view_of(store).facts("part", "C-7", newest_first=True)
        assert [fact.event.sequence for fact in backward] == [5, 1, 6, 4, 3, 2]

    def test_a_window_of_facts_holds_both_its_ends(self, store: Store):
        """Forward and backward; an open end reaches as far as there are facts."""
        writer = Writer(store)
        at = [writer.write(part(washed(), minutes)).happened_at for minutes in range(6)]
        view = view_of(store)

        def found(**window: object) -> list[int]:
            return [fact.event.sequence for fact in view.facts("part", "C-7", **window)]

        assert found(since=at[1], until=at[3]) == [2, 3, 4]
        assert found(since=at[1], until=at[3], newest_first=True) == [4, 3, 2]
        assert found(since=at[4]) == [5, 6]
        assert found(until=at[1], newest_first=True) == [2, 1]
        assert found(since=at[3], until=at[2]) == []
        assert found(since="2026-11-25T06:00:30", until="2026-11-25T06:02:30") == [2, 3]

    def test_facts_of_many_pages_are_all_there(self, store: Store):
        """Forward and backward, of the one thing, in its own part and at its own place."""
        writer = Writer(store)
        with store.together():
            for number in range(330):
                writer.write(part(washed("C-7"), number // 7))
                writer.write(part(washed("C-70"), number))
        Writer(store, VALLEY, 2).write(washed("C-7"))
        writer.write(Draft(START, "Ada", "trolley.moved", {}, (Thing("C-7", "ward"),)))
        view = view_of(store)
        facts = list(view.facts("part", "C-7"))
        assert [fact.event.sequence for fact in facts] == list(range(1, 660, 2))
        assert list(view.facts("part", "C-7", newest_first=True)) == facts[::-1]
        told = [fact.event for fact in facts]
        assert list(store.about(HILL, "part", "C-7")) == told
        assert list(store.about(HILL, "part", "C-7", newest_first=True)) == told[::-1]
        until = told[100].happened_at
        assert list(store.about(HILL, "part", "C-7", until)) == [e for e in told if e.happened_at <= until]

    # ---- late entries and corrections ----

    def test_a_late_entry_is_folded_where_it_happened(self, store: Store):
        """The state is that of the facts in order of happening, not of recording."""
        writer = Writer(store)
        writer.write(part(washed(), 5))
        writer.write(cycle(10, ("C-7",)))
        enrolled = Draft(START, "Ada", "part.enrolled", {"kind": "circuit", "cycles": 4}, (C7,))
        writer.write(enrolled)
        view = view_of(store)
        state = view.state(PartState, "C-7")
        assert (state.status, state.cycles, state.of_kind) == ("treated", 5, "circuit")
        assert state == fold_all("part", "C-7", view.facts("part", "C-7"))

    def test_what_was_struck_never_was(self, store: Store):
        """Its things are as without it; both events stay to be seen."""
        writer = Writer(store)
        writer.write(washed("C-7"))
        ended = writer.write(cycle(1, ("C-7", "C-8")))
        strike = writer.write(struck(ended))
        view = view_of(store)
        assert view.state(PartState, "C-7").status == "washed"
        assert view.state(PartState, "C-8") is None
        assert view.state(EquipmentState, "A-1") is None
        assert [fact.event.sequence for fact in view.facts("part", "C-7")] == [1]
        assert (view.corrected_by(ended.id), view.corrected_by(strike.id)) == (strike.id, None)
        assert [view.event(e.id) for e in (ended, strike)] == [ended, strike]
        assert store.corrections_of(HILL, [ended.id, strike.id]) == {ended.id: strike}
        assert store.corrections_of(VALLEY, [ended.id]) == store.corrections_of(HILL, []) == {}
        assert [e.sequence for e in store.about(HILL, "part", "C-7")] == [1, 3, 2]

    def test_a_correction_takes_the_place_of_what_it_corrects(self, store: Store):
        """The wrong part is as it was before, the right one as it should have been; a correction can be corrected."""
        writer = Writer(store)
        wrong = writer.write(cycle(1, ("C-7",)))
        right = writer.write(corrected(wrong, AUTOCLAVE, Thing("Y-1", "cycle"), Thing("C-8", "part")))
        view = view_of(store)
        assert view.state(PartState, "C-7") is None
        assert view.state(PartState, "C-8").cycle == "Y-1"
        assert view.state(EquipmentState, "A-1").cycles == 1
        (fact,) = view.facts("part", "C-8")
        assert (fact.what, fact.data, fact.corrects) == (wrong.what, wrong.data, wrong.id)
        told = {"event": right.id, "why": "again", "what": "part.washed", "data": {}}
        last = writer.write(Draft(START, "Ada", "event.corrected", told, (Thing("C-9", "part"),)))
        view = view_of(store)
        assert [view.state(PartState, code) for code in ("C-7", "C-8")] == [None, None]
        assert view.state(EquipmentState, "A-1") is None
        assert view.state(PartState, "C-9").status == "washed"
        assert (view.corrected_by(wrong.id), view.corrected_by(right.id)) == (right.id, last.id)
        assert verify(store).whole

    def test_what_was_struck_by_mistake_comes_back_by_a_correction_of_the_striking(self, store: Store):
        """It says what happened after all."""
        writer = Writer(store)
        event = writer.write(washed())
        strike = writer.write(struck(event))
        told = {"event": strike.id, "why": "it was so", "what": "part.washed", "data": {}}
        writer.write(Draft(START, "Ada", "event.corrected", told, (C7,)))
        assert view_of(store).state(PartState, "C-7").status == "washed"
        assert len(list(view_of(store).facts("part", "C-7"))) == 1

    def test_what_is_corrected_already_is_not_corrected_again(self, store: Store):
        """The event that did it is named; two corrections of one event would both count."""
        writer = Writer(store)
        event = writer.write(washed())
        strike = writer.write(struck(event))
        for draft in (struck(event), corrected(event, C7)):
            with pytest.raises(
                UnusableEvent, match=f"event {event.id} is corrected already by event {strike.id}"
            ):
                writer.write(draft)
        with pytest.raises(
            UnusableEvent, match=f"event {strike.id} struck another, and striking it would not"
        ):
            writer.write(struck(strike))
        assert store.head(HILL).sequence == 2

    def test_only_what_was_recorded_at_the_place_is_corrected(self, store: Store):
        """No other place's event, none that is not there."""
        other = Writer(store, VALLEY).write(washed())
        for event in (other, replace(other, id="0" * 32), replace(other, id="C-7")):
            with pytest.raises(
                UnusableEvent, match=f"Hill Hospital has no event '{event.id}' to be corrected"
            ):
                Writer(store).write(struck(event))
            assert view_of(store).event(event.id) is None
            assert view_of(store).corrected_by(event.id) is None
        assert store.places() == [VALLEY]

    @pytest.mark.parametrize(
        ("change", "missing"),
        [
            ({"why": ""}, "why"),
            ({"why": None, "data": []}, "why, data"),
            ({"event": 7}, "event"),
            ({"what": "event.struck"}, "what"),
        ],
    )
    def test_a_correction_says_all_of_it(self, store: Store, change: dict[str, object], missing: str):
        """Which event, why, what and data as they should have been."""
        writer = Writer(store)
        draft = corrected(writer.write(washed()), C7)
        with pytest.raises(UnusableEvent, match=f"event.corrected does not say {missing} in the form"):
            writer.write(replace(draft, data={**draft.data, **change}))
        assert store.head(HILL).sequence == 1

    # ---- together ----

    def test_what_is_recorded_together_is_seen_within_and_kept(self, store: Store):
        """Of several places, decisions and drafts."""
        hill, valley = Writer(store, HILL, 1), Writer(store, VALLEY, 2)
        with store.together():
            first = hill.write(washed())
            decide(valley, always(washed()))
            second = decide(hill, lambda view: part(washed(view.state(PartState, "C-7").code), 1))
            assert store.head(HILL) == Head(2, second.hash)
            assert view_of(store).state(PartState, "C-7").at == second.happened_at
        assert list(store.events(HILL)) == [first, second]
        assert verify(store).heads[VALLEY].sequence == 1
        assert verify(store).whole

    def test_together_means_all_or_nothing(self, store: Store):
        """Whatever ends the block early takes back all of it: events, states, corrections, evidence."""
        writer = Writer(store)
        first = writer.write(washed())
        before = projections(store)

        def write_and_fail() -> None:
            with store.together():
                writer.write(struck(first))
                writer.write(cycle(1, log=b"14:00;82"))
                Writer(store, VALLEY, 3).write(washed())
                raise ZeroDivisionError

        with pytest.raises(ZeroDivisionError):
            write_and_fail()
        assert (list(store.events(HILL)), store.places()) == ([first], [HILL])
        assert projections(store) == before
        assert list(store.kept_digests()) == []
        assert writer.write(cycle(2, log=b"14:00;82")).sequence == 2
        assert verify(store).whole

    def test_a_refusal_within_takes_back_itself_alone(self, store: Store):
        """Where it is caught, the rest is kept."""
        writer = Writer(store)
        with store.together():
            writer.write(washed())
            for draft in (Draft(START, "Ada", "part.enrolled", {}, (C7,)), Draft(START, "", "a.b")):
                with pytest.raises(UnusableEvent):
                    writer.write(draft)
            with pytest.raises(RefusalError):
                decide(writer, refuse)
            writer.write(washed())
        assert store.head(HILL).sequence == 2
        assert verify(store).whole

    def test_a_refused_first_event_within_leaves_no_place(self, store: Store):
        """A place is entered by its first event, and by nothing else."""
        with store.together():
            with pytest.raises(RefusalError):
                decide(Writer(store, VALLEY, 2), refuse)
            Writer(store).write(washed())
            with pytest.raises(RefusalError):
                decide(Writer(store, VALLEY, 2), refuse)
        assert store.places() == [HILL]
        assert verify(store).whole
        assert Writer(store, VALLEY, 2).write(washed()).sequence == 1

    def test_a_block_within_a_block_is_a_part_of_it(self, store: Store):
        """It can fail alone; the outer one decides what is kept."""
        writer = Writer(store)

        def write_and_fail() -> None:
            with store.together():
                writer.write(cycle(1, ("C-1", "C-2"), log=b"x"))
                decide(writer, refuse)

        with store.together():
            writer.write(washed("C-1"))
            with pytest.raises(RefusalError):
                write_and_fail()
            with store.together():
                writer.write(washed("C-3"))
        assert store.head(HILL).sequence == 2
        assert [state.code for state in view_of(store).states(PartState)] == ["C-1", "C-3"]
        assert view_of(store).state(PartState, "C-1").status == "washed"
        assert verify(store).whole
