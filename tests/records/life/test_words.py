"""Refusals as a nurse reads them: plain, with what to do next; never a promise, never a traceback."""

import ast
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from life_cast import House, open_house, refused
from test_permissions import ATTEMPTS, MORE, set_up_things

import lungwort.records.life as life
import lungwort.records.states as states
from lungwort.errors import LungwortError
from lungwort.records.connect import connect
from lungwort.records.life import corrections, cycles, parts
from lungwort.records.life.permissions import _DEEDS, MAY, deed_words
from lungwort.records.life.reasons import Answer, Reason, Refused

FILES = [*Path(life.__path__[0]).glob("*.py"), *Path(states.__path__[0]).glob("*.py")]
UNWELCOME = re.compile(
    r"\b(safe|safely|safety|invalid|illegal|forbidden|error|exception|fail to|must not|please|sorry|you|your|null)\b",
    re.IGNORECASE,
)
MEANT = ("by exception", "under your own code", "no exception makes")


def texts() -> Iterator[tuple[str, str]]:
    """Yield every text that people read, with its file."""
    for file in FILES:
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "_":
                (argument,) = node.args
                yield file.name, ast.literal_eval(argument)


@pytest.mark.parametrize(("file", "text"), sorted(set(texts())))
def test_a_text_is_plain(file, text):
    """No full stop at its end, no capital at its beginning, no word of machines or of blame, and nothing promised."""
    assert not text.endswith((".", "!", " ."))
    assert text[:1] == text[:1].lower()
    assert not UNWELCOME.search(re.sub("|".join(MEANT), "", text)), text
    assert len(text) < 120


def test_every_reason_says_what_to_do_next():
    """Three words at least are given to each: the rule, what stands in the way, the next step."""
    reasons = [
        node
        for file in FILES
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Reason"
    ]
    assert len(reasons) > 90
    assert all(len(node.args) >= 3 for node in reasons)


def test_no_file_of_lives_promises_anything():
    """The word is nowhere, not even in a remark."""
    assert [file.name for file in FILES if re.search(r"\bsafe", file.read_text("utf-8"), re.IGNORECASE)] == []


def test_every_deed_has_words():
    """Nobody reads a dotted name."""
    assert set(_DEEDS) == set(MAY)
    assert not any("." in deed_words(what) or "_" in deed_words(what) for what in MAY)


def test_a_reason_reads_as_a_line():
    """What stands in the way, then what to do; every reason on a line of its own."""
    reasons = (
        Reason("status", "P-1 is soiled", "wash it"),
        Reason("joined", "P-2 is part of S-1", "dissolve it"),
    )
    assert str(Refused(reasons)) == "P-1 is soiled; wash it\nP-2 is part of S-1; dissolve it"
    assert str(Answer(reasons)) == str(Refused(reasons))
    assert (Answer(()).yes, str(Answer(()))) == (True, "nothing recorded stands in the way")


JUNK = st.one_of(
    st.sampled_from(
        [
            "",
            " ",
            "=1+1",
            "P-1",
            "M-1",
            "C-1",
            "I-01",
            "x" * 200,
            "a\nb",
            "\ud800",
            "ሰላም",
            "P 1 ",
            "0",
            "steam",
        ]
    ),
    st.text(max_size=12),
)


def spoiled(value: object, draw: st.DrawFn) -> object:
    """Return an argument with every text in it, or some, replaced by junk."""
    if isinstance(value, str):
        return draw(JUNK) if draw(st.booleans()) else value
    if isinstance(value, list):
        return [spoiled(each, draw) for each in value] if draw(st.integers(0, 4)) else []
    return value


@st.composite
def attempts(draw: st.DrawFn) -> tuple[str, list[object]]:
    """Return a deed with what it is told, spoiled."""
    what = draw(st.sampled_from(sorted(ATTEMPTS)))
    return what, [spoiled(value, draw) for value in ATTEMPTS[what][1]]


def said(deed: Callable[[], object]) -> str:
    """Return why a deed is refused; a word where it is not."""
    try:
        deed()
    except LungwortError as error:
        return str(error)
    return "recorded"


@pytest.fixture(params=["memory", "sqlite", "postgresql"])
def busy(request) -> House:
    """Return a hospital in which some things are known, in each kind of store."""
    kept_in = {"sqlite": "new_sqlite", "postgresql": "new_postgres"}.get(request.param)
    house = open_house(connect(request.getfixturevalue(kept_in)()) if kept_in else None)
    set_up_things(house)
    return house


quickly = settings(max_examples=100, suppress_health_check=[HealthCheck.function_scoped_fixture])


@quickly
@given(told=attempts(), who=st.one_of(st.sampled_from(["I-01", "T-01", "N-01", "E-01", "S-01"]), JUNK))
def test_whatever_is_typed_is_recorded_or_refused_in_words(busy, told, who):
    """Never anything else comes of it."""
    what, values = told
    assert said(lambda: ATTEMPTS[what][0](busy.who(who), *values, **MORE.get(what, {}))).strip()


DATA = st.dictionaries(JUNK, st.one_of(JUNK, st.integers(), st.none(), st.lists(JUNK, max_size=2)))


@quickly
@given(event=JUNK, why=JUNK, data=DATA)
def test_whatever_is_typed_as_a_correction_is_recorded_or_refused_in_words(busy, event, why, data):
    """For an event that is there, too."""
    there = [e.id for e in busy.events() if e.what.startswith(("part.", "cycle.", "set_up.", "batch."))]
    for identifier in (event, there[len(why) % len(there)]):
        assert said(lambda: corrections.strike(busy.lead, identifier, why)).strip()  # noqa: B023
        assert said(lambda: corrections.correct(busy.lead, identifier, why, data=data)).strip()  # noqa: B023


def test_a_mistyped_code_of_ours_is_told_from_one_that_is_unknown(house):
    """A character wrong is read again on the label; nothing is enrolled, loaded or joined under it."""
    part = house.new(code="P-8MD8AT-M")
    why = ("unknown", "P-8MD8AT-N is no code that was ever printed", "read the label again")
    refused(parts.take_apart, house.technician, ["P-8MD8AT-N"], why=why)
    refused(parts.enrol, house.store, "Mask", code="P-8MD8AT-N", why=why)
    house.turn_round([part], until="treat")
    load = {"equipment": house.codes["Bath 1"], "code": "C-8MD8AT-N"}
    why = ("unknown", "C-8MD8AT-N is no code that was ever printed", "read the label again")
    refused(cycles.load, house.technician, [part], "hot water", **load, why=why)
    refused(
        parts.take_apart,
        house.technician,
        ["MASK-7"],
        why=("unknown", "no part MASK-7 is known", "check the code"),
    )
