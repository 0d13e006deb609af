"""Whatever was scanned: a code of ours, a GS1 string, a hospital's tag, or a sentence."""

from datetime import date
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import UnreadableCode
from lungwort.records.chain.preparing import name
from lungwort.records.codes.own import LETTERS, mint
from lungwort.records.codes.scan import Scanned, read_scan

TODAY = date(2026, 11, 25)
GTIN = "06291041500213"


@pytest.mark.parametrize("kind", LETTERS)
@pytest.mark.parametrize("around", ["{}", " {}\r\n", "]Q1{}", "]C0{}"])
def test_a_code_of_ours_comes_with_its_kind(kind, around):
    """Whatever a scanner puts before and after."""
    code = mint(kind, Random(3).randbytes)
    assert read_scan(around.format(code), TODAY) == Scanned(code, kind)
    assert read_scan(around.format(code.replace("-", "").lower()), TODAY) == Scanned(code, kind)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("]C180046141411234", "8004 6141411234"),
        ("80046141411234\r\n", "8004 6141411234"),
        ("(8004) 6141411234", "8004 6141411234"),
        ("8004 6141411234", "8004 6141411234"),
        ("]C0(8004)6141411234", "8004 6141411234"),
        (f"]d201{GTIN}1726110010B7", f"01 {GTIN} 10 B7"),
    ],
)
def test_a_gs1_string_comes_with_what_it_says(text, code):
    """As records write it."""
    scanned = read_scan(text, TODAY)
    assert (scanned.code, scanned.kind) == (code, None)
    assert scanned.element is not None


def test_a_scanned_packet_gives_expiry_and_batch():
    """For a single-patient part."""
    element = read_scan(f"]d201{GTIN}1726110010B7", TODAY).element
    assert element is not None
    assert (element.expires_on, element.batch) == (date(2026, 11, 30), "B7")


@pytest.mark.parametrize(
    "tag", ["VENT-0012", "vent 12/B", "MASK-2345", "PUMP0012", "80041234", "A]C0B", "Nr. 7", "ሀ-1"]
)
@pytest.mark.parametrize("around", ["{}", " {}\n", "]C0{}"])
def test_a_tag_of_the_hospital_stays_as_it_is(tag, around):
    """No kind is guessed."""
    assert read_scan(around.format(tag), TODAY) == Scanned(tag)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "nothing was read; scan again, or type the code from the label"),
        (" \r\n", "nothing was read"),
        ("]C0", "nothing was read"),
        ("A\x00B", "give 1 to 80 printable characters"),
        ("=1+1", "the first a letter or a digit"),
        ("A" * 81, "give 1 to 80 printable characters"),
        ("A" * 501, "has 501 characters, more than the 500 of any code; scan the code of one thing"),
        ("P-8MD8AT-N", "does not fit its check character"),
        ("P8MD8ATN", "If it is a tag of the hospital's own, type it parted: P8MD-8ATN"),
        ("MASK2345", "type it parted: MASK-2345"),
        ("0112345678901234", "does not fit the others; .* type it parted: 0112-345678901234"),
        ("]C1MASK", "has 'MASK' where GS1 has an application identifier"),
    ],
)
def test_what_cannot_be_read_says_why(text, says):
    """With the way out for a tag that only looks like a code."""
    with pytest.raises(UnreadableCode, match=says):
        read_scan(text, TODAY)


@pytest.mark.parametrize("tag", ["P8MD-8ATN", "MASK-2345", "0112-345678901234"])
def test_the_way_out_works(tag):
    """The tag parted as the sentence says."""
    assert read_scan(tag, TODAY) == Scanned(tag)


def test_a_hyphen_left_out_shows_in_no_message_of_a_printed_code():
    """Where a code is parted as ours nobody is told to make a tag of it."""
    with pytest.raises(UnreadableCode) as caught:
        read_scan("P-8MD8AT-N", TODAY)
    assert "tag" not in str(caught.value)


pieces = st.sampled_from(
    ["]C1", "]C0", "(01)", "(8004)", "8004", "01", GTIN, "\x1d", "-", " ", "P", "8MD8AT", "M", "\n"]
)


@given(
    st.text() | st.text(max_size=600) | st.lists(pieces | st.text(max_size=2), max_size=8).map("".join),
    st.dates(),
)
def test_any_text_gives_a_code_or_a_sentence(text, today):
    """A code is a name that records take, and reads back to itself; a sentence can be printed."""
    result = read_or_refused(text, today)
    if isinstance(result, str):
        assert result.isprintable()
        return
    assert name(result.code, "code") == result.code
    again = read_scan(result.code, today)
    assert (again.code, again.kind) == (result.code, result.kind)


def read_or_refused(text: str, today: date) -> Scanned | str:
    """Return what was read, or the sentence."""
    try:
        return read_scan(text, today)
    except UnreadableCode as error:
        return str(error)
