"""What every store of records must do; each store's test file runs all of it by naming its own fixture `store`."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from cast import AUTOCLAVE, HILL, START, VALLEY, Writer, cycle, history, washed

from lungwort.errors import RecordsMovedOn, UnusableEvent, UnusableRecords
from lungwort.records.chain.event import BEFORE_THE_FIRST, Attachment, Draft, Event, Thing, hash_of
from lungwort.records.chain.preparing import Head
from lungwort.records.chain.seal import seal
from lungwort.records.stores.store import Store
from lungwort.records.verify import verify


class StoreContract:
    """Append, read, verify."""

    def test_a_new_store_is_empty_and_whole(self, store: Store):
        """No place, no event, no fault."""
        assert (store.places(), list(store.events(HILL)), store.head(HILL)) == ([], [], Head())
        assert verify(store).whole

    def test_the_first_event_starts_the_chain_of_its_place(self, store: Store):
        """Sequence 1 follows zeros."""
        event = Writer(store).write(washed())
        assert (event.place, event.sequence, event.previous_hash) == (HILL, 1, BEFORE_THE_FIRST)
        assert event.hash == hash_of(event)

    def test_each_event_names_the_hash_of_the_one_before(self, store: Store):
        """So the chain hangs together, and every place has its own."""
        hill, valley = Writer(store, HILL, 1), Writer(store, VALLEY, 2)
        first, other, second = hill.write(washed()), valley.write(washed()), hill.write(cycle(1))
        assert (second.sequence, second.previous_hash) == (2, first.hash)
        assert (other.sequence, other.previous_hash) == (1, BEFORE_THE_FIRST)
        assert store.places() == [HILL, VALLEY]
        assert (store.head(HILL), store.head(VALLEY)) == (Head(2, second.hash), Head(1, other.hash))

    def test_events_are_read_back_character_by_character(self, store: Store):
        """In order, from any point on; more than a page of them."""
        written = history(store, count=20)
        assert list(store.events(HILL)) == written
        assert list(store.events(HILL, after_sequence=15)) == written[15:]
        assert list(store.events(VALLEY)) == []

    def test_happened_and_recorded_are_kept_apart_and_in_utc(self, store: Store):
        """A late entry keeps both; an hour of another zone is turned into UTC, microseconds and all."""
        late = datetime(2026, 11, 24, 23, 59, 59, 123456, tzinfo=timezone(timedelta(hours=3)))
        event = Writer(store).write(Draft(late, "Ada", "cycle.ended"))
        assert event.happened_at == "2026-11-24T20:59:59.123456Z"
        assert event.recorded_at == "2026-11-25T06:00:01.000000Z"

    def test_identifiers_sort_by_time_of_recording(self, store: Store):
        """So that keys grow at one end."""
        ids = [e.id for e in history(store, count=10)]
        assert ids == sorted(ids)
        assert len(set(ids)) == 10

    def test_data_things_and_kind_are_read_as_written(self, store: Store):
        """Text of any script, numbers, lists, tables, nothing; things in order of code."""
        said = {
            "process": "steam",
            "note": "ሰላም é “x”\n\u0000",
            "a0_s": 612.25,
            "rows": [1, None, True, {"k": []}],
        }
        draft = Draft(START, "Ada", "cycle.ended", said, (Thing("Z", "part"), AUTOCLAVE))
        Writer(store).write(draft)
        (event,) = store.events(HILL)
        assert (event.data, event.things, event.what) == (
            said,
            (AUTOCLAVE, Thing("Z", "part")),
            "cycle.ended",
        )

    def test_evidence_is_kept_once_and_opened_as_attached(self, store: Store):
        """The same file under another name is not kept twice; both names stand."""
        writer, log = Writer(store), b"14:00;82,0\r\n" * 50
        writer.write(cycle(1, log=log))
        again = writer.write(cycle(2, log=log))
        (told,) = again.content["evidence"]
        assert (told["file_name"], told["given_name"], told["size"]) == ("cycle-1.csv", "cycle-2.csv", 600)
        assert store.evidence(told["sha256"]) == log
        assert list(store.kept_digests()) == [told["sha256"]]
        assert verify(store).whole

    def test_an_unknown_digest_is_told(self, store: Store):
        """Nothing is kept under it."""
        with pytest.raises(UnusableRecords, match="no evidence is kept under 00ff"):
            store.evidence("00ff")

    def test_whoever_decided_on_an_old_state_is_stopped(self, store: Store):
        """Two writers conflict instead of overwriting."""
        writer = Writer(store)
        writer.write(washed(), after_sequence=0)
        writer.write(washed(), after_sequence=1)
        with pytest.raises(
            RecordsMovedOn, match="Hill Hospital stands at event 2, not at 1 as when you looked"
        ):
            writer.write(washed(), after_sequence=1)
        assert store.head(HILL).sequence == 2

    @pytest.mark.parametrize(
        ("draft", "says"),
        [
            (Draft(datetime(2026, 1, 1), "Ada", "a.b"), "has no time zone; give it one"),
            (Draft(START, "", "a.b"), "who is ''; give 1 to 80 printable characters"),
            (Draft(START, "=1+1", "a.b"), "the first a letter or a digit"),
            (Draft(START, "Ada\n", "a.b"), "printable"),
            (Draft(START, "Ada", "washed"), "give a dotted kind of at most 80 characters"),
            (Draft(START, "Ada", "a.b", {"x": float("nan")}), "cannot be recorded"),
            (Draft(START, "Ada", "a.b", {"x": (1, 2)}), "it would read back differently"),
            (Draft(START, "Ada", "a.b", {"x": "\ud800"}), "cannot be recorded"),
            (Draft(START, "Ada", "a.b", {"x": START}), "not JSON serializable"),
            (Draft(START, "Ada", "a.b", {}, (AUTOCLAVE, AUTOCLAVE)), "the same part twice in a.b"),
            (Draft(START, "Ada", "a.b", {}, (Thing("C\t1", "part"),)), "the code of a thing is"),
            (Draft(START, "Ada", "a.b", {}, (), (Attachment("", b""),)), "a file of evidence is called ''"),
            (
                Draft(START, "Ada", "a.b", {}, (), (Attachment("a", b"x"), Attachment("b", b"x"))),
                "attached twice",
            ),
        ],
    )
    def test_what_is_not_in_the_form_of_records_is_refused(self, store: Store, draft: Draft, says: str):
        """With the value, what is allowed, and nothing written."""
        with pytest.raises(UnusableEvent, match=says):
            Writer(store).write(draft)
        assert list(store.events(HILL)) == []
        assert list(store.kept_digests()) == []

    def test_a_file_too_large_to_keep_is_refused(self, store: Store, monkeypatch: pytest.MonkeyPatch):
        """With its size and the largest."""
        monkeypatch.setattr("lungwort.records.chain.keeping.LARGEST_FILE_BYTES", 9)
        with pytest.raises(UnusableEvent, match="cycle-1.csv has 10 bytes; at most 9 are kept"):
            Writer(store).write(cycle(1, log=b"0123456789"))
        assert store.places() == []

    def test_a_clock_that_was_never_set_is_refused(self, store: Store):
        """Its event would sort before all others."""
        writer = Writer(store)
        writer.clock = lambda: datetime(1969, 1, 1, tzinfo=UTC)
        with pytest.raises(UnusableEvent, match="before 1970; set the clock"):
            writer.write(washed())
        assert store.places() == []

    def test_a_place_is_checked_like_any_name(self, store: Store):
        """Nothing is begun under a slip of the hand."""
        with pytest.raises(UnusableEvent, match="the place is ' Hill'"):
            Writer(store, " Hill").write(washed())

    def test_a_whole_history_verifies_against_its_seals(self, store: Store):
        """An early seal and a late one."""
        history(store, count=7)
        early = seal(store, HILL)
        events = [*store.events(HILL), *history(store, VALLEY, 9, seed=3)]
        report = verify(store, [early, seal(store, VALLEY)])
        assert report.whole
        assert report.heads == {HILL: Head(7, events[6].hash), VALLEY: Head(9, events[-1].hash)}

    def test_a_seal_beyond_the_end_shows_what_is_missing(self, store: Store):
        """As where a backup from before the seal was put in place of the records."""
        history(store, count=3)
        kept = seal(store, HILL)
        later = type(kept)(HILL, 5, "ab" * 32, kept.recorded_at)
        (fault,) = verify(store, [kept, later]).faults
        assert (fault.place, fault.sequence, fault.id) == (HILL, 4, None)
        assert "events 4 to 5 are missing at the end: event 5 was sealed on 2026-11-25" in fault.says

    def test_a_seal_of_another_history_is_told(self, store: Store):
        """The chain was rewritten, or the records belong to somebody else."""
        written: list[Event] = history(store, count=3)
        other = type(seal(store, HILL))(HILL, 2, "cd" * 32, written[1].recorded_at)
        (fault,) = verify(store, [other]).faults
        assert (fault.sequence, fault.id) == (2, written[1].id)
        assert "not the event that was sealed" in fault.says

    def test_an_empty_place_gives_no_seal(self, store: Store):
        """And says which places have events."""
        history(store, VALLEY, 1)
        with pytest.raises(
            UnusableRecords, match="Hill Hospital has no events to seal; places with events: Valley"
        ):
            seal(store, HILL)
