"""Whole histories: the same again from the same seed, and nothing in them that a hospital could not live."""

from collections import Counter
from datetime import UTC, datetime, timedelta

import pytest

from lungwort.demo.history.write import write_history
from lungwort.records.chain.identity import moment_of
from lungwort.records.connect import connect, disconnect
from lungwort.records.look_back.ask import look_back
from lungwort.records.look_back.question import failed_cycle, positive_indicator
from lungwort.records.projections.rebuild import rebuild
from lungwort.records.states.kinds import PartState
from lungwort.records.stores.memory import MemoryStore
from lungwort.records.verify import verify

PLACE = "Ridgeway Hospital"


def heads(beds, years, seed, ends):
    """Return where the chain of a history ends, and the history."""
    store = MemoryStore()
    history = write_history(store, PLACE, beds=beds, years=years, seed=seed, ends=ends)
    return store.head(PLACE), history


# ---- the same again ----


def test_the_same_seed_writes_the_same_bytes_and_another_seed_others(small):
    """The head of the chain is equal only where every byte before it is."""
    ends, own = small.history.ends, small.store.head(PLACE)
    again, _history = heads(2, 0.1, 11, ends)
    other, _history = heads(2, 0.1, 12, ends)
    assert again == own
    assert other.hash != own.hash


def test_a_database_holds_the_same_bytes_as_memory(small, tmp_path):
    """The simulation sees the same place through either store, so the chains end alike."""
    store = connect(tmp_path / "small.db", new=True)
    write_history(store, PLACE, beds=2, years=0.1, seed=11, ends=small.history.ends)
    head = store.head(PLACE)
    disconnect(tmp_path / "small.db")
    assert head == small.store.head(PLACE)


def test_another_end_tells_the_same_story_on_other_days(small):
    """So the demonstration tells the same story whenever it is run."""
    _head, moved = heads(2, 0.1, 11, small.history.ends + timedelta(days=100))
    assert dict(moved.counts) == dict(small.history.counts)
    assert moved.planted == small.history.planted


# ---- whole and in time ----


def test_it_is_whole_and_rebuilds_to_the_same_states(any_history):
    """Verifying finds no fault; states made anew from the events are what they were, byte for byte."""
    store = any_history.store
    assert verify(store).faults == ()
    before = list(store.stored_states(PLACE)), sorted(store.stored_corrections())
    assert rebuild(store) == any_history.history.counts["events"] == store.head(PLACE).sequence
    assert (list(store.stored_states(PLACE)), sorted(store.stored_corrections())) == before


def test_it_lasts_as_long_as_asked_and_nothing_is_recorded_after_its_end(any_history):
    """Recorded in order, from the first morning up to the last day, never later than the end."""
    recorded = [moment_of(event.recorded_at) for event in any_history.events]
    history = any_history.history
    assert recorded == sorted(recorded)
    assert history.began < recorded[0]
    assert history.ends - timedelta(days=1) < recorded[-1] <= history.ends


def test_only_what_says_so_was_entered_afterwards(any_history):
    """An event that happened before it was recorded says why, or sets right what was recorded before."""
    for event in any_history.events:
        if event.happened_at != event.recorded_at:
            assert "late" in event.data or event.what in ("event.struck", "event.corrected")


# ---- what cannot be ----


def test_no_part_and_no_patient_is_ever_connected_twice(any_history):
    """Told from the events alone, in the order in which they happened."""
    connected: dict[str, str] = {}
    for event in sorted(any_history.events, key=lambda e: (e.happened_at, e.sequence)):
        things = [t.code for t in event.things if t.part in ("part", "patient")]
        (set_up,) = [t.code for t in event.things if t.part == "set_up"] or [""]
        if event.what == "set_up.connected":
            assert not connected.keys() & set(things)
            connected |= dict.fromkeys(things, set_up)
        elif event.what == "set_up.disconnected":
            assert {connected.pop(code) for code in things} == {set_up}


SPOILS = {
    "set_up.connected",
    "part.taken_apart",
    "part.washed",
    "part.quarantined",
    "part.repaired",
    "part.withdrawn",
}


def test_every_connected_part_was_released_since_whatever_spoiled_it(any_history):
    """Told from the events alone: a release, or a packet just opened, and no use, doubt or defect after it."""
    ready: set[str] = set()
    last_cycle: dict[str, str] = {}
    struck = {e.data["event"] for e in any_history.events if e.what == "event.struck"}
    for event in sorted(any_history.events, key=lambda e: (e.happened_at, e.sequence)):
        parts = {t.code for t in event.things if t.part == "part"}
        cycle = next((t.code for t in event.things if t.part == "cycle"), "")
        if event.what == "set_up.connected":
            assert parts <= ready, event
        if event.what in ("part.released", "part.released_by_exception") or event.data.get("single_patient"):
            ready |= parts
        if event.what == "cycle.loaded":
            last_cycle |= dict.fromkeys(parts, cycle)
        spoilt = event.data.get("defect") or event.what in SPOILS
        doubted = event.data.get("result") == "positive" or event.data.get("outcome", "passed") != "passed"
        if spoilt and event.id not in struck:
            ready -= parts
        elif doubted:
            ready -= {part for part in parts if last_cycle.get(part) == cycle}


def test_nobody_records_under_a_code_that_was_not_enrolled(any_history):
    """Everybody is invented and bears a code of one letter and a number."""
    enrolled = {t.code for e in any_history.events for t in e.things if t.part == "person"}
    assert {event.who for event in any_history.events} <= enrolled
    assert all(code[0] in "TNEISAU" and code[1] == "-" and code[2:].isdigit() for code in enrolled)


# ---- what happens in it ----


def test_a_good_half_year_holds_most_of_what_goes_wrong(long):
    """Cycles of each outcome, refusals, defects, late entries, corrections, an autoclave out of service."""
    counts = long.history.counts
    wanted = (
        "cycles: passed",
        "cycles: failed",
        "cycles: not shown",
        "refused: proof",
        "defects",
        "withdrawn",
    )
    more = ("entered late", "struck", "corrected", "refused: equipment", "indicators: negative", "repairs")
    assert [name for name in (*wanted, *more) if not counts.get(name)] == []
    assert counts["indicators: positive"] == 1


def test_what_it_counts_is_what_it_recorded(long):
    """Cycles, connections, exceptions and corrections by the simulation are as many as by the events."""
    told, counts = Counter(event.what for event in long.events), long.history.counts
    assert told["cycle.ended"] == counts["cycles"]
    assert told["set_up.connected"] == counts["set-ups connected"]
    assert told["part.released_by_exception"] == counts.get("exceptions", 0)
    assert (told["event.struck"], told["event.corrected"]) == (
        counts.get("struck", 0),
        counts.get("corrected", 0),
    )
    assert sum("late" in event.data for event in long.events) == counts.get("entered late", 0)


def test_every_cycle_was_judged_by_evidence_of_its_own(long):
    """Steam by a log, hot water by hand, soaks by what was written down; each file attached once."""
    kinds = {"steam": "log", "hot water": "hand", "soak": "strip"}
    files = [
        f["sha256"] for e in long.events if e.what == "cycle.evidence_attached" for f in e.content["evidence"]
    ]
    assert len(files) == len(set(files)) == long.history.counts["cycles"]
    for event in (e for e in long.events if e.what == "cycle.judged"):
        assert {kind.split(":")[0] for kind in event.data["evidence"]} == {kinds[event.data["process"]]}


def test_the_duties_recorded_are_as_many_as_asked():
    """None at all where none are asked for; nothing else hangs on them."""
    store = MemoryStore()
    ends = datetime(2026, 11, 25, 16, tzinfo=UTC)
    write_history(store, PLACE, beds=2, years=0.04, seed=1, ends=ends, duties_per_day=0)
    assert not [e for e in store.events(PLACE) if e.what == "set_up.duty_done"]


# ---- the planted failure ----


def test_the_look_back_finds_exactly_the_patients_of_the_planted_failure(any_history):
    """From the cycle alone: the patients who by the simulation's own ledger met its load, none more, none less."""
    planted = any_history.history.planted
    assert planted is not None
    answer = look_back(any_history.view, failed_cycle(planted.cycle))
    assert answer.patients == planted.patients
    assert tuple(sorted(part.code for part in answer.parts)) == tuple(sorted(planted.parts))


def test_the_look_back_finds_exactly_the_patients_since_the_last_negative_indicator(any_history):
    """From the positive indicator: everybody who met a load of that autoclave since its last negative one."""
    planted = any_history.history.planted
    answer = look_back(any_history.view, positive_indicator(planted.cycle))
    assert answer.patients == planted.since_last_negative
    assert {cycle.code for cycle in answer.cycles if cycle.doubted} == set(planted.doubted)
    assert set(planted.patients) <= set(planted.since_last_negative)


def test_the_planted_cycle_had_passed_was_used_and_then_failed(long):
    """First passed by its log; two days later its indicator is positive, and it is judged again: failed."""
    planted = long.history.planted
    facts = list(long.view.facts("cycle", planted.cycle))
    judged = [(f.at, f.data["outcome"]) for f in facts if f.what == "cycle.judged"]
    (read,) = [f.at for f in facts if f.data.get("result") == "positive"]
    assert [outcome for _at, outcome in judged] == ["passed", "failed"]
    assert judged[0][0] < read < judged[1][0]
    assert moment_of(read) - moment_of(judged[0][0]) > timedelta(days=2)
    assert planted.patients


def test_no_part_of_the_planted_load_stayed_on_the_shelf(any_history):
    """Once the indicator is read, a part of its load is ready again only after another cycle."""
    for code in any_history.history.planted.parts:
        state = any_history.view.state(PartState, code)
        assert state.status != "ready" or state.cycle != any_history.history.planted.cycle


def test_a_history_too_short_for_an_indicator_has_no_planted_failure():
    """Ten days are told as they are."""
    _head, history = heads(2, 0.02, 5, datetime(2026, 11, 25, 16, tzinfo=UTC))
    assert history.planted is None


@pytest.mark.parametrize("seed", [21, 22, 23])
def test_other_seeds_agree_with_the_look_back_too(seed):
    """Whatever goes wrong meanwhile."""
    store, ends = MemoryStore(), datetime(2026, 11, 25, 16, tzinfo=UTC)
    history = write_history(store, PLACE, beds=5, years=0.12, seed=seed, ends=ends)
    view = store.view(PLACE, lambda: ends)
    assert look_back(view, failed_cycle(history.planted.cycle)).patients == history.planted.patients
    found = look_back(view, positive_indicator(history.planted.cycle)).patients
    assert found == history.planted.since_last_negative
