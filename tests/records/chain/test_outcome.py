"""A place with one event more, not yet written."""

from dataclasses import replace
from datetime import timedelta

import pytest
from cast import HILL, START, Writer, struck, washed

from lungwort.records.chain.event import Attachment
from lungwort.records.chain.outcome import WithEvent
from lungwort.records.chain.preparing import next_event, prepare
from lungwort.records.states.kinds import PartState
from lungwort.records.stores.memory import MemoryStore


def minute(number):
    """Return a draft of a washing so many minutes after the start."""
    return replace(washed(), happened_at=START + timedelta(minutes=number))


@pytest.fixture
def seen():
    """Return three events, and how their place looks with a fourth that is not written."""
    here = Writer(MemoryStore())
    events = [here.write(minute(number)) for number in (2, 4, 6)]

    def with_event(draft):
        view, head = here.store.view(HILL, lambda: START), here.store.head(HILL)
        more = next_event(HILL, head, prepare(draft), lambda _digest: None, here.clock(), here.rng)
        return WithEvent(view, more)

    return events, with_event


def test_its_fact_stands_among_the_others_where_it_happened(seen):
    """Forward, backward, in and out of a window."""
    events, with_event = seen
    view = with_event(minute(3))
    ids = [events[0].id, view.more.id, events[1].id, events[2].id]
    assert [f.event.id for f in view.facts("part", "C-7")] == ids
    assert [f.event.id for f in view.facts("part", "C-7", newest_first=True)] == ids[::-1]
    assert [f.event.id for f in view.facts("part", "C-7", until=events[0].happened_at)] == ids[:1]
    assert [f.event.id for f in view.facts("part", "C-7", since=events[1].happened_at)] == ids[2:]
    assert list(view.facts("part", "C-8")) == []


def test_what_it_strikes_is_gone_and_it_is_no_fact_itself(seen):
    """As it will be once it is written."""
    events, with_event = seen
    view = with_event(struck(events[1]))
    assert [f.event.id for f in view.facts("part", "C-7")] == [events[0].id, events[2].id]
    assert view.corrected_by(events[1].id) == view.more.id
    assert view.corrected_by(events[0].id) is None
    assert (view.event(view.more.id), view.event(events[0].id)) == (view.more, events[0])


def test_all_else_is_as_before_it(seen):
    """Place, time, states, evidence."""
    events, with_event = seen
    view = with_event(minute(9))
    assert (view.place, view.now) == (HILL, START)
    assert view.state(PartState, "C-7").at == events[2].happened_at
    assert [state.code for state in view.states(PartState)] == ["C-7"]
    log = Attachment("log.csv", b"14:00;82")
    store = MemoryStore()
    kept = Writer(store).write(replace(washed(), evidence=(log,)))
    digest = kept.content["evidence"][0]["sha256"]
    assert WithEvent(store.view(HILL, lambda: START), kept).evidence(digest) == log.content
