"""The sentence for each kind of fault, and falsehoods too fine for chance."""

import zlib
from dataclasses import replace
from random import Random

import pytest
from cast import HILL, Writer, cycle, history, washed
from django.db import connections, transaction
from tampering import Forger, insert, lay_bare

from lungwort.errors import UnusableRecords
from lungwort.records.chain.event import sealed
from lungwort.records.chain.seal import seal
from lungwort.records.connect import connect
from lungwort.records.verify import verify


@pytest.fixture
def forger(new_sqlite):
    """Return somebody with a history of six events and the database in hand."""
    store = connect(new_sqlite())
    events = history(store, HILL, 6)
    lay_bare(store)
    with transaction.atomic(using=store.alias), connections[store.alias].cursor() as cursor:
        yield Forger(store, events, cursor, Random(1))


def only_fault(forger):
    """Return the first fault."""
    return verify(forger.store).faults[0]


def test_a_missing_event_is_named_with_the_one_that_follows(forger):
    """It has no id any more."""
    gone, after = forger.events[2:4]
    forger.run("DELETE FROM records_event WHERE id = %s", gone.id)
    fault = only_fault(forger)
    assert (fault.place, fault.sequence, fault.id) == (HILL, 3, None)
    assert fault.says == f"event 3 is missing: after 2 comes 4 (id {after.id})"


def test_a_changed_event_is_named_with_sequence_and_id(forger):
    """And how far the chain is whole."""
    forger.set_column(forger.events[3], "who", "Adam")
    report = verify(forger.store)
    assert (report.faults[0].sequence, report.faults[0].id) == (4, forger.events[3].id)
    assert "it was changed after it was recorded" in report.faults[0].says
    assert report.heads[HILL].sequence == 3


def test_a_sequence_given_twice(forger):
    """The second of the two is named."""
    insert(forger, replace(forger.events[2], id="f" * 32))
    fault = only_fault(forger)
    assert (fault.sequence, fault.id) == (3, "f" * 32)
    assert "sequence 3 where 4 is due: it is there twice" in fault.says


def test_an_event_put_in_place_of_another(forger):
    """With a hash of its own that fits: the next one does not continue it."""
    forged = sealed(replace(forger.events[2], who="Mallory"))
    forger.set_column(forger.events[2], "who", "Mallory")
    forger.set_column(forger.events[2], "hash", forged.hash)
    fault = only_fault(forger)
    assert (fault.sequence, fault.says) == (4, "it does not continue event 3: one of the two was replaced")


@pytest.mark.parametrize(
    "payload", ['{"data": {},"evidence":[],"things":[]}', "{}", "[]", "no JSON", '{"data":NaN}']
)
def test_a_last_event_whose_payload_is_not_in_its_one_form(forger, payload):
    """Even with a hash that fits."""
    last = forger.events[-1]
    forged = sealed(replace(last, payload=payload))
    forger.set_column(last, "payload", payload)
    forger.set_column(last, "hash", forged.hash)
    fault = only_fault(forger)
    assert (fault.sequence, fault.says) == (6, "its payload is not JSON in its one written form")


def test_a_byte_that_the_unpacked_evidence_does_not_show(new_sqlite):
    """zlib's header tells how hard it was pressed, and nothing depends on that: the digest of what is kept finds it."""
    store = connect(new_sqlite())
    event = Writer(store).write(cycle(1, log=b"14:00;82\n" * 9))
    lay_bare(store)
    (row,) = store.rows("SELECT kept FROM records_evidence")
    changed = bytes([row[0][0], 0xDA]) + bytes(row[0][2:])
    assert zlib.decompress(changed) == zlib.decompress(row[0])
    with connections[store.alias].cursor() as cursor:
        cursor.execute("UPDATE records_evidence SET kept = %s", [changed])
    (fault,) = verify(store).faults
    assert (fault.sequence, fault.id) == (1, event.id)
    assert "its evidence cycle-1.csv" in fault.says
    assert "was changed after it was attached" in fault.says


def test_missing_evidence_is_named_by_the_event_that_attached_it(forger):
    """Event 2 has the first log of this history."""
    forger.run("DELETE FROM records_evidence")
    fault = only_fault(forger)
    assert (fault.sequence, fault.id) == (2, forger.events[1].id)
    assert "its evidence cycle-1.csv" in fault.says
    assert "is missing" in fault.says


def test_a_second_writer_may_go_on_while_one_verifies(new_sqlite):
    """What is read is held still; what is written meanwhile is not seen, and not stopped."""
    path = new_sqlite()
    reader, writer = connect(path), connect(path, wait_s=1)
    assert reader.alias != writer.alias
    history(writer, HILL, 3)
    with reader.snapshot():
        assert reader.head(HILL).sequence == 3
        Writer(writer, seed=9).write(washed())
        assert reader.head(HILL).sequence == 3
    assert reader.head(HILL).sequence == 4


@pytest.mark.parametrize("kept", [b"no zlib", zlib.compress(b"another log")])
def test_evidence_that_is_not_what_was_attached_is_never_handed_out(forger, kept):
    """Whoever opens it is told to verify."""
    digest = next(iter(forger.store.kept_digests()))
    forger.run("UPDATE records_evidence SET kept = %s", kept)
    with pytest.raises(UnusableRecords, match="is not what was attached; run `lungwort records verify`"):
        forger.store.evidence(str(digest))


def test_a_damaged_last_event_is_not_sealed(forger):
    """A seal would make it look right."""
    forger.set_column(forger.events[-1], "who", "Mallory")
    with pytest.raises(UnusableRecords, match="event 6 of Hill Hospital is damaged, so no seal is given"):
        seal(forger.store, HILL)


def test_an_event_that_tells_of_a_file_otherwise_than_the_first(forger):
    """Even with a hash that fits: the file is kept once, so all must tell the same of it."""
    last, first = forger.events[-1], forger.events[1]
    forged = sealed(replace(last, payload=first.payload.replace('"size":180', '"size":181')))
    forger.set_column(last, "payload", forged.payload)
    forger.set_column(last, "hash", forged.hash)
    forger.run("DELETE FROM records_event_thing WHERE event_id = %s", last.id)
    for thing in first.things:
        columns = "event_id, code, part, place, happened_at, sequence"
        statement = f"INSERT INTO records_event_thing ({columns}) VALUES (%s, %s, %s, %s, %s, %s)"
        at = (last.place, last.happened_at, last.sequence)
        forger.run(statement, last.id, thing.code, thing.part, *at)
    fault = only_fault(forger)
    assert (fault.sequence, fault.says) == (6, "it tells of its evidence cycle-1.csv otherwise than before")


# ---- what follows from the events ----


@pytest.mark.parametrize(
    ("harm", "says"),
    [
        ("DELETE FROM records_state WHERE code = 'C-9'", "part C-9 has no state; 1 state is not what"),
        (
            "UPDATE records_state SET status = 'ready' WHERE code = 'C-9'",
            "part C-9 has another state than its",
        ),
        (
            "UPDATE records_state SET body = '{}' WHERE code IN ('A-1', 'C-9')",
            "equipment A-1 has another state than its events give it; 2 states are not what the events say",
        ),
        (
            "INSERT INTO records_state (place, kind, code, status, body) "
            "VALUES ('Hill Hospital', 'part', 'Z-9', '', '')",
            "part Z-9 has a state, but no event tells of it; 1 state",
        ),
        (
            "INSERT INTO records_state (place, kind, code, status, body) VALUES ('Nowhere', 'part', 'Z', '', '')",
            "states are kept for the place Nowhere, which has no events",
        ),
    ],
)
def test_a_state_that_is_not_what_the_events_say(forger, harm, says):
    """The thing is named, how many there are, and the remedy; the chain is whole."""
    forger.run(harm)
    report = verify(forger.store)
    (fault,) = report.faults
    assert says in fault.says
    assert fault.says.endswith("run `lungwort records rebuild`")
    assert (fault.sequence, fault.id, report.heads[HILL].sequence) == (None, None, 6)


def test_corrections_that_are_not_what_the_events_say(new_sqlite):
    """One forgotten, one made up: both are told, and the states that they would change are not blamed."""
    store = connect(new_sqlite())
    events = history(store, HILL, 8)
    struck_event, strike = events[4], events[6]
    lay_bare(store)
    with connections[store.alias].cursor() as cursor:
        cursor.execute("UPDATE records_correction SET corrected = %s", [events[0].id])
    made_up, forgotten = (fault.says for fault in verify(store).faults)
    remedy = "run `lungwort records rebuild`"
    assert (
        made_up == f"event {events[0].id} is kept as corrected by {strike.id}, which no event says; {remedy}"
    )
    assert (
        forgotten
        == f"event {struck_event.id} was corrected by event {strike.id}, but is kept as standing; {remedy}"
    )


def test_a_row_of_a_thing_at_another_time_than_its_event(forger):
    """A look-back would miss it."""
    moved = "UPDATE records_event_thing SET happened_at = '2020-01-01T00:00:00.000000Z' WHERE event_id = %s"
    forger.run(moved, forger.events[3].id)
    fault = only_fault(forger)
    assert fault.sequence == 4
    assert fault.says == "the rows of its things tell another place, time or sequence than the event itself"


def test_an_event_below_the_first_sequence_is_found(forger):
    """It would lie before every page that is walked, but a look-back would meet it."""
    forger.run("PRAGMA ignore_check_constraints = ON")
    insert(forger, replace(forger.events[2], id="f" * 32, sequence=-(2**63)))
    forger.run("PRAGMA ignore_check_constraints = OFF")
    says = [fault.says for fault in verify(forger.store).faults]
    assert f"event {'f' * 32} of {HILL} has a sequence below 1, which none was ever given" in says


def test_a_state_of_no_kind_and_no_code_is_found(forger):
    """The first page begins before the least of all names."""
    forger.run(
        "INSERT INTO records_state (place, kind, code, status, body) VALUES (%s, '', '', '', '{}')", HILL
    )
    assert "has a state, but no event tells of it" in only_fault(forger).says


def test_where_a_chain_is_broken_its_states_are_not_judged(forger):
    """What should follow from events that are not known, nobody can say; other places are judged."""
    forger.set_column(forger.events[3], "who", "Adam")
    forger.run("DELETE FROM records_state")
    (fault,) = verify(forger.store).faults
    assert fault.sequence == 4
