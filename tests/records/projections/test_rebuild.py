"""States and corrections made anew from the events come to the same bytes, whatever was recorded in whatever order."""

from datetime import timedelta

import pytest
from cast import HILL, START, VALLEY, Writer, corrected, history, struck
from closing import close_all
from deciding import projections, view_of
from django.db import connections
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lungwort.errors import UnusableEvent
from lungwort.records.chain.event import Attachment, Draft, Thing
from lungwort.records.connect import connect
from lungwort.records.projections.rebuild import rebuild
from lungwort.records.states.fold import STEPS, fold_all
from lungwort.records.states.kinds import KINDS
from lungwort.records.stores.memory import MemoryStore
from lungwort.records.verify import verify

# ---- random histories ----

KINDS_OF_FACT = sorted({what for steps in STEPS.values() for what in steps})
DATA = {
    "roles": ["ward"],
    "role": "ward",
    "passed": True,
    "expires_on": "2027-01-01",
    "kind": "log",
    "machine": "P-1",
    "checks": ["look"],
    "failed": [],
    "duty": "empty the trap",
    "process": "steam",
    "kinds": ["circuit"],
    "outcome": "failed",
    "criteria": {"A0": "failed"},
    "reasons": ["too short"],
    "reason": "torn",
    "name": "Bath",
    "due": "2027-02-01",
    "stock": "bleach",
    "source": "page 7",
    "version": "1",
    "cycles": 2,
}
CHOICES = {
    "outcome": ["passed", "failed", "not shown"],
    "result": ["positive", "negative"],
    "process": ["steam", "soak"],
    "defect": ["", "crack"],
    "done": [True, False],
    "single_patient": [True, False],
    "version": ["1", "2"],
    "passed": [True, False],
}
"""What the catalogue of facts lets them say, more than any one of them needs; what is beyond it is ignored."""

things = st.lists(
    st.builds(Thing, st.sampled_from(["P-1", "P-2", "X"]), st.sampled_from([*sorted(KINDS), "ward"])),
    max_size=4,
    unique=True,
)
facts = st.tuples(
    st.just("fact"),
    st.sampled_from(KINDS_OF_FACT),
    st.fixed_dictionaries({}, optional={key: st.sampled_from(values) for key, values in CHOICES.items()}),
    things,
    st.integers(0, 12),
)
changes = st.tuples(
    st.sampled_from(["strike", "correct"]), st.sampled_from(KINDS_OF_FACT), things, st.integers(0, 30)
)
histories = st.lists(st.one_of(facts, facts, changes), max_size=25)


def record(store, steps):
    """Record a random history at two places; return how many events it came to."""
    writers = [Writer(store, HILL, 1), Writer(store, VALLEY, 2)]
    written = {HILL: [], VALLEY: []}
    for number, step in enumerate(steps):
        writer = writers[number % 3 == 2]
        own = written[writer.place]
        draft = draft_of(step, own)
        if draft is None:
            continue
        try:
            own.append(writer.write(draft))
        except UnusableEvent as refused:
            if not ("corrected already" in str(refused) or "struck another" in str(refused)):
                raise
    return sum(map(len, written.values()))


def draft_of(step, own):
    """Return the draft of a step; None where there is nothing yet that it could correct."""
    if step[0] == "fact":
        _fact, what, told, named, minutes = step
        files = (Attachment("log.csv", b"14:00;82"),)
        at = START + timedelta(minutes=minutes)
        return Draft(at, "Ada", what, {**DATA, **told}, tuple(named), files)
    way, what, named, which = step
    if not own:
        return None
    event = own[which % len(own)]
    if way == "strike":
        return struck(event)
    draft = corrected(event, *named)
    told = {**draft.data, "what": what, "data": DATA}
    files = (Attachment("log.csv", b"14:00;82"),)
    return Draft(draft.happened_at, "Ada", "event.corrected", told, tuple(named), files)


def agrees(store, count):
    """Check that states are those of the facts in order, that they come out the same anew, and that all is whole."""
    before = projections(store)
    for place in store.places():
        view = view_of(store, place)
        for kind, shape in KINDS.items():
            for state in view.states(shape):
                assert state == fold_all(kind, state.code, view.facts(kind, state.code))
    assert verify(store).faults == ()
    assert rebuild(store) == count
    assert projections(store) == before


@given(steps=histories)
@settings(max_examples=250)
def test_any_history_comes_to_the_same_bytes_in_memory(steps):
    """Late entries, corrections of corrections, strikes, of any kind of fact and thing."""
    store = MemoryStore()
    agrees(store, record(store, steps))


@given(steps=histories)
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_history_comes_to_the_same_bytes_in_sqlite(new_sqlite, steps):
    """And to the same as in memory."""
    in_memory, store = MemoryStore(), connect(new_sqlite())
    with store.together():
        count = record(store, steps)
    record(in_memory, steps)
    assert projections(store) == projections(in_memory)
    agrees(store, count)
    close_all()


def test_any_history_comes_to_the_same_bytes_in_postgresql(new_postgres):
    """Fewer of them, all in one database after another."""

    @given(steps=histories)
    @settings(max_examples=8)
    def compare(steps):
        in_memory, store = MemoryStore(), connect(new_postgres())
        count = record(store, steps)
        record(in_memory, steps)
        assert projections(store) == projections(in_memory)
        agrees(store, count)
        close_all()

    compare()


# ---- a given history ----


def test_whatever_became_of_the_states_they_are_made_anew(database_store):
    """Lost, changed, put in: a projection is nothing that could not be had again."""
    history(database_store, HILL, 20, seed=1)
    history(database_store, VALLEY, 9, seed=2)
    before = projections(database_store)
    assert len(before[0]) > 20
    assert len(before[1]) == 6
    for harm in (
        "DELETE FROM records_state",
        "DELETE FROM records_correction",
        "UPDATE records_state SET status = 'ready'",
        "INSERT INTO records_state (place, kind, code, status, body) VALUES ('Nowhere', 'part', 'Z', '', '{}')",
    ):
        with connections[database_store.alias].cursor() as cursor:
            cursor.execute(harm)
        assert not verify(database_store).whole
        assert rebuild(database_store) == 29
        assert projections(database_store) == before
        assert verify(database_store).whole


def test_rebuilding_is_all_or_nothing(database_store, monkeypatch):
    """Where it is stopped half way, the states are as they were."""
    history(database_store, HILL, 9, seed=1)
    history(database_store, VALLEY, 5, seed=2)
    before, fill = projections(database_store), type(database_store).fill_projections

    def stopped(self, place, corrections, states):
        if place == VALLEY:
            raise KeyboardInterrupt
        fill(self, place, corrections, states)

    monkeypatch.setattr(type(database_store), "fill_projections", stopped)
    with pytest.raises(KeyboardInterrupt):
        rebuild(database_store)
    assert projections(database_store) == before
    monkeypatch.undo()
    assert rebuild(database_store) == 14


def test_empty_records_are_rebuilt_to_nothing(database_store):
    """No event, no state."""
    assert rebuild(database_store) == 0
    assert projections(database_store) == ([], [])
