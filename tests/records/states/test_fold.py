"""Folding: any facts in any order give states, each written in one form that reads back; what is gone stays gone."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lungwort.errors import UnusableEvent
from lungwort.records.chain.event import Event, Thing, canonical_json, payload_text
from lungwort.records.chain.identity import moment_text
from lungwort.records.states.fact import Fact, fact_of
from lungwort.records.states.fold import STEPS, fold, fold_all
from lungwort.records.states.kinds import KINDS, BatchState, EquipmentState, PartState
from lungwort.records.states.written import read, written

START = datetime(2026, 11, 25, 6, 0, tzinfo=UTC)
WHATS = sorted({what for steps in STEPS.values() for what in steps})
FILE = {"sha256": "ab" * 32, "file_name": "log.csv", "size": 3}
TOLD = {
    "kind": st.sampled_from(["Mask", "log", "biological"]),
    "single_patient": st.booleans(),
    "machine": st.sampled_from(["M-1", ""]),
    "process": st.sampled_from(["steam", "soak"]),
    "outcome": st.sampled_from(["passed", "failed", "not shown"]),
    "result": st.sampled_from(["positive", "negative"]),
    "reason": st.just("why"),
    "duty": st.just("look"),
    "checks": st.lists(st.sampled_from(["look", "test"]), max_size=2),
    "defect": st.sampled_from(["", "crack"]),
    "done": st.booleans(),
    "failed": st.lists(st.just("leak"), max_size=1),
    "roles": st.lists(st.just("ward"), max_size=1),
    "role": st.just("nurse"),
    "passed": st.booleans(),
    "expires_on": st.just("2027-01-01"),
    "kinds": st.lists(st.just("Mask"), max_size=1),
    "version": st.sampled_from(["1", "2"]),
    "name": st.just("Bath 1"),
    "stock": st.just("Bleach"),
    "due": st.just("2027-01-01"),
    "source": st.just("guideline"),
    "steps": st.sampled_from([{}, {"Mask": []}, {"Mask": ["wash"]}, {"Foam": []}]),
    "evidence": st.just([]),
}
CODES = ["P-1", "P-2", "M-1", "S-1", "S-2", "C-1", "C-2", "A"]


def fact(what: str, minute: int, data: dict, things: list[Thing]) -> Fact:
    """Return a fact as an event would tell it."""
    at = moment_text(START + timedelta(minutes=minute))
    payload = payload_text(canonical_json(data), [FILE] if what == "cycle.evidence_attached" else [], things)
    return fact_of(Event(f"{minute:032x}", "Hill", minute + 1, at, at, "T-01", what, payload, "0", "0"))


@st.composite
def lives(draw: st.DrawFn) -> list[Fact]:
    """Return any facts, one a minute, about any things."""
    facts = []
    for minute in range(draw(st.integers(1, 25))):
        data = draw(st.fixed_dictionaries({}, optional=TOLD))
        things = draw(
            st.lists(
                st.builds(Thing, st.sampled_from(CODES), st.sampled_from(sorted(KINDS))),
                max_size=5,
                unique=True,
            )
        )
        facts.append(fact(draw(st.sampled_from(WHATS)), minute, data, things))
    return facts


@settings(max_examples=80)
@given(lives(), st.sampled_from(sorted(KINDS)))
def test_any_facts_in_any_order_give_a_state_that_reads_back(facts, kind):
    """Or a sentence on what one of them does not say; the state is of the latest fact that moved it."""
    state = None
    for one in facts:
        try:
            state = fold(kind, "P-1", state, one)
        except UnusableEvent as error:
            assert "give its data in full" in str(error)  # noqa: PT017
        if state is not None:
            assert read(kind, written(state)) == state
            assert state.at <= one.at
    assert state == fold_all(kind, "P-1", facts)


@settings(max_examples=80)
@given(lives())
def test_what_is_always_so_of_a_part(facts):
    """On a patient it is in use, and only then; withdrawn for ever; held, it is quarantined unless excepted."""
    gone = False
    for end in range(1, len(facts) + 1):
        state = fold_all("part", "P-1", facts[:end])
        if not isinstance(state, PartState):
            continue
        gone = gone or bool(state.withdrawn_at)
        assert state.status in ("withdrawn", "in use") or not gone
        assert not state.held or state.excepted or state.status in ("quarantined", "in use", "withdrawn")
        assert state.status != "quarantined" or state.held
        assert not state.excepted or state.status in ("ready", "in use", "withdrawn")
        assert not any(
            mark.startswith("treat ") and mark.replace("treat", "expose") not in state.done
            for mark in state.done
        )


def told(kind: type, *facts: tuple[str, dict]) -> object:
    """Return a thing's state after facts about it alone."""
    thing = Thing("X-1", kind.kind)
    return fold_all(kind.kind, "X-1", [fact(what, n, data, [thing]) for n, (what, data) in enumerate(facts)])


def test_equipment_withdrawn_and_a_batch_used_up_stay_so():
    """Whatever is recorded after."""
    begun = ("equipment.enrolled", {"name": "Bath 1"})
    ended = ("equipment.withdrawn", {"reason": "rust"})
    for later in (("equipment.held", {"reason": "leaks"}), ("equipment.freed", {"reason": "mended"})):
        assert told(EquipmentState, begun, ended, later).status == "withdrawn"
    begun, ended = ("batch.enrolled", {"stock": "Bleach"}), ("batch.used_up", {})
    assert told(BatchState, begun, ended, ("batch.held", {"reason": "weak"})).status == "used up"


def test_a_release_counts_where_the_steps_it_names_were_done():
    """By the part's own kind; one that names no steps is taken at its word."""
    begun = [("part.enrolled", {"kind": "Mask"}), ("part.washed", {})]
    for data, status in (
        ({}, "ready"),
        ({"steps": {"Mask": ["wash"]}}, "ready"),
        ({"steps": {"Mask": ["wash", "dry"]}}, "washed"),
        ({"steps": {"Foam": []}}, "washed"),
    ):
        assert told(PartState, *begun, ("part.released", data)).status == status


@pytest.mark.parametrize(
    ("after", "status"),
    [
        ([], "in use"),
        ([("part.washed", {}), ("part.dried", {}), ("part.released", {})], "in use"),
        ([("part.withdrawn", {"reason": "torn"})], "in use"),
        ([("set_up.disconnected", {})], "soiled"),
        ([("part.withdrawn", {"reason": "torn"}), ("set_up.disconnected", {})], "withdrawn"),
        ([("part.quarantined", {"reason": "smells"}), ("set_up.disconnected", {})], "quarantined"),
    ],
)
def test_only_a_disconnection_takes_a_part_off_a_patient(after, status):
    """What else is recorded of it meanwhile shows when it is off."""
    begun = [("part.enrolled", {"kind": "Mask"}), ("set_up.connected", {})]
    assert told(PartState, *begun, *after).status == status
