"""States and facts in databases: how they are found, and what becomes of a transaction that fails half way."""

from datetime import timedelta

import pytest
from cast import HILL, START, VALLEY, Writer, cycle, history, struck, washed
from closing import close_all
from deciding import projections, view_of
from django.db import OperationalError, connections, transaction

from lungwort.errors import RecordsBusy, UnusableRecords
from lungwort.records.connect import connect
from lungwort.records.projections.rebuild import rebuild
from lungwort.records.states.kinds import PartState
from lungwort.records.stores.place_view import PlaceView, events_about
from lungwort.records.stores.writing import Writing
from lungwort.records.verify import verify


@pytest.mark.parametrize("newest_first", [False, True])
def test_facts_in_a_window_come_from_the_index_in_order(new_sqlite, newest_first):
    """No scan and no sort, however many events there are."""
    store = connect(new_sqlite())
    asked = []

    def rows(query, values):
        asked.extend(store.rows(f"EXPLAIN QUERY PLAN {query}", values))
        return []

    list(events_about(rows, (HILL, "part", "C-7"), newest_first=newest_first, standing=True))
    plan = [row[3] for row in asked]
    window = "(place=? AND part=? AND code=? AND happened_at>? AND happened_at<?)"
    assert plan[0] == f"SEARCH t USING COVERING INDEX thing_in_time {window}"
    assert "(place=? AND sequence=?)" in plan[1]
    assert not [step for step in plan if "SCAN" in step or "TEMP B-TREE" in step]


def test_states_are_found_by_their_key_and_by_their_status(new_sqlite):
    """The states of several things by one query, each by the whole key."""
    store = connect(new_sqlite())
    plans = []

    def rows(query, values):
        plans.append(" / ".join(row[3] for row in store.rows(f"EXPLAIN QUERY PLAN {query}", values)))
        return []

    view = PlaceView(HILL, START, rows, {})
    view.look_at(cycle(1).things)
    list(view.states(PartState, "washed"))
    assert len(plans) == 2
    assert "SEARCH s USING INDEX sqlite_autoindex_records_state_1 (place=? AND kind=? AND code=?)" in plans[0]
    assert "USING INDEX state_by_status (place=? AND kind=? AND status=? AND code>?)" in plans[1]


def test_facts_are_read_as_they_are_asked_for(database_store):
    """Whoever looks for the last one reads a few, not all."""
    writer, read = Writer(database_store), []
    with database_store.together():
        for _number in range(300):
            writer.write(washed())

    def rows(query, values):
        found = database_store.rows(query, values)
        read.append(len(found))
        return found

    facts = PlaceView(HILL, START, rows).facts("part", "C-7", newest_first=True)
    assert next(facts).event.sequence == 300
    assert sum(read) <= 20
    assert len(list(facts)) == 299
    assert max(read) <= 100


def test_postgresql_sorts_as_sqlite_does(postgres):
    """On a server that speaks English and would sort `a` before `B` too."""
    postgres.run(
        "CREATE DATABASE english TEMPLATE template0 LOCALE_PROVIDER icu ICU_LOCALE 'en' ENCODING 'UTF8'"
    )
    store = connect(postgres.url("english"), new=True)
    writer = Writer(store)
    codes = ["B-1", "a-1", "b1", "b-1", "é", "Z"]
    for code in codes:
        writer.write(washed(code))
    view = view_of(store)
    assert [state.code for state in view.states(PartState)] == sorted(codes)
    assert len(list(view.facts("part", "Z", since="", until="~"))) == 1
    assert rebuild(store) == len(codes)
    assert verify(store).whole
    close_all()
    postgres.run("DROP DATABASE english WITH (FORCE)")


def test_a_failure_within_a_block_cannot_be_passed_over(database_store, monkeypatch):
    """Even where the writer takes no notice of it: half an event must never be kept."""
    writer = Writer(database_store)
    writer.write(washed())
    before = projections(database_store)
    write = Writing._write

    def failing(self, place, prepared, outcome):
        write(self, place, prepared, outcome)
        raise OperationalError("disk I/O error")

    def write_on():
        with database_store.together():
            writer.write(washed())
            monkeypatch.setattr(Writing, "_write", failing)
            with pytest.raises(UnusableRecords):
                writer.write(washed())
            monkeypatch.undo()
            with pytest.raises(UnusableRecords, match="disk I/O error"):
                writer.write(washed())
            with pytest.raises(UnusableRecords, match="disk I/O error"):
                Writer(database_store, VALLEY, 2).write(washed())

    with pytest.raises(UnusableRecords, match="disk I/O error"):
        write_on()
    assert database_store.head(HILL).sequence == 1
    assert database_store.places() == [HILL]
    assert projections(database_store) == before
    assert writer.write(washed()).sequence == 2


def test_a_part_of_a_block_can_fail_and_the_rest_be_kept(database_store, monkeypatch):
    """What the part wrote before it failed is taken back."""
    writer = Writer(database_store)
    write = Writing._write

    def failing(self, place, prepared, outcome):
        write(self, place, prepared, outcome)
        raise OperationalError("not now")

    def write_and_fail():
        with database_store.together():
            writer.write(cycle(1, log=b"x"))
            monkeypatch.setattr(Writing, "_write", failing)
            writer.write(washed())

    with database_store.together():
        writer.write(washed("C-1"))
        with pytest.raises(UnusableRecords, match="not now"):
            write_and_fail()
        monkeypatch.undo()
        writer.write(washed("C-2"))
    assert [e.things[0].code for e in database_store.events(HILL)] == ["C-1", "C-2"]
    assert verify(database_store).whole


def test_records_are_not_written_inside_a_transaction_of_django(database_store):
    """Returned must mean kept; a transaction around it could still take it back."""
    with (
        transaction.atomic(using=database_store.alias),
        pytest.raises(RuntimeError, match="a transaction of their own"),
    ):
        Writer(database_store).write(washed())
    with (
        transaction.atomic(using=database_store.alias),
        pytest.raises(RuntimeError),
        database_store.together(),
    ):
        pass


def test_projections_are_made_anew_only_together(database_store):
    """Emptying them outside of a block would leave others to decide on nothing."""
    with pytest.raises(AssertionError, match="only inside `together`"):
        database_store.empty_projections()


def test_a_snapshot_within_a_block_is_the_block(database_store):
    """It begins and ends nothing of its own."""
    writer = Writer(database_store)
    with database_store.together():
        writer.write(washed())
        with database_store.snapshot():
            assert database_store.head(HILL).sequence == 1
        writer.write(washed())
    assert database_store.head(HILL).sequence == 2


def test_nobody_records_on_postgresql_while_states_are_made_anew(new_postgres):
    """Whoever does is waited for, and is told if it takes too long; whoever would, waits."""
    url = new_postgres()
    first, second = connect(url), connect(url, wait_s=0.2)
    history(first, HILL, 4)
    with first.together():
        Writer(first, seed=8).write(washed())
        with pytest.raises(RecordsBusy, match="nothing was written"):
            rebuild(second)
    with first.together():
        first.empty_projections()
        with pytest.raises(RecordsBusy):
            Writer(second, seed=9).write(washed())
    assert rebuild(second) == 5
    assert verify(second).whole


def test_a_block_that_waits_too_long_says_so(new_sqlite):
    """SQLite has one writer; nothing of the block was begun."""
    path = new_sqlite()
    first, second = connect(path), connect(path, wait_s=0.2)
    Writer(first).write(washed())
    with first.together(), pytest.raises(RecordsBusy, match="was kept busy by others"), second.together():
        pass
    assert first.head(HILL).sequence == 1


def test_states_are_read_while_somebody_writes(new_sqlite):
    """As they were before."""
    path = new_sqlite()
    writing, reading = connect(path), connect(path, wait_s=5)
    writer = Writer(writing)
    event = writer.write(washed())
    with writing.together():
        writer.write(struck(event))
        assert view_of(writing).state(PartState, "C-7") is None
        assert view_of(reading).state(PartState, "C-7").status == "washed"
    assert view_of(reading).state(PartState, "C-7") is None


def test_two_events_with_the_same_moment_of_recording_are_two(database_store):
    """A clock that stands still gives each its own identifier all the same."""
    writer = Writer(database_store)
    writer.clock = lambda: START + timedelta(days=1)
    first, second = writer.write(washed()), writer.write(washed())
    assert first.id != second.id
    assert [f.event.sequence for f in view_of(database_store).facts("part", "C-7")] == [1, 2]
    assert connections[database_store.alias].in_atomic_block is False
