"""GS1 element strings. Rules and worked examples by the GS1 General Specifications, from memory."""

import re
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import UnreadableCode
from lungwort.records.chain.preparing import name
from lungwort.records.codes.gs1 import (
    ElementString,
    element_string,
    looks_like_gs1,
    names_one_thing,
    record_code,
)

TODAY = date(2026, 11, 25)
GS = "\x1d"
GTIN, GRAI = "06291041500213", "00614141123452"
# figure 7.11-1, from memory
SET_82 = "!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz"


def read(text: str) -> ElementString:
    """Read a string today."""
    return element_string(text, TODAY)


@pytest.mark.parametrize("gtin", ["06291041500213", "09506000134352"])
def test_the_specifications_own_products_pass_the_check_digit(gtin):
    """6291041500213 is the worked example of the check digit; 9506000134352 that of its guidance on symbols."""
    assert read(f"(01){gtin}").gtin == gtin


@pytest.mark.parametrize("identifier", ["01", "8003"])
def test_every_other_check_digit_is_refused(identifier):
    """Nine of ten."""
    digits = {"01": GTIN, "8003": GRAI}[identifier]
    for wrong in set("0123456789") - {digits[-1]}:
        with pytest.raises(UnreadableCode, match=rf"after \({identifier}\), whose last digit does not fit"):
            read(f"({identifier}){digits[:-1]}{wrong}")


@pytest.mark.parametrize("symbology", ["", "]C1", "]d2", "]Q3", "]e0"])
def test_a_raw_string_is_read_with_and_without_symbology_identifier(symbology):
    """A packet: product, expiry and batch, then the serial after a separator."""
    packet = read(f"{symbology}01{GTIN}1726110010B-7/2{GS}21000042")
    assert packet == ElementString(gtin=GTIN, expires_on=date(2026, 11, 30), batch="B-7/2", serial="000042")


def test_brackets_and_separators_give_the_same():
    """Printed under a symbol, with or without spaces."""
    raw = read(f"8003{GRAI}42{GS}1125123110L7{GS}")
    assert raw == read(f"(8003){GRAI}42(11)251231(10)L7") == read(f"(8003) {GRAI} 42 (11) 251231 (10) L7")
    assert raw == ElementString(grai=GRAI + "42", made_on=date(2025, 12, 31), batch="L7")


values = st.text(SET_82.replace("(", "").replace(")", ""), min_size=1, max_size=20)


@given(values, values, values, st.permutations(["8004", "10", "21"]))
def test_any_values_in_any_order_come_back_raw_and_in_brackets(giai, batch, serial, order):
    """Of open length, each ended by a separator or the end."""
    value = {"8004": giai, "10": batch, "21": serial}
    expected = ElementString(giai=giai, batch=batch, serial=serial)
    assert read("]d2" + GS.join(key + value[key] for key in order)) == expected
    assert read("".join(f"({key}){value[key]}" for key in order)) == expected


@pytest.mark.parametrize(
    ("identifier", "length"),
    [("00", 18), ("02", 14), ("12", 6), ("13", 6), ("15", 6), ("16", 6), ("20", 2), ("3100", 6), ("3695", 6)]
    + [(f"41{last}", 13) for last in range(8)],
)
def test_identifiers_of_set_length_need_no_separator(identifier, length):
    """The specification's table of pre-defined lengths; one that comes all the same is passed over."""
    for separator in ("", GS):
        assert read(f"]C1{identifier}{'1' * length}{separator}80046141411234").giai == "6141411234"


@pytest.mark.parametrize(
    "identifier", ["240", "241", "30", "37", "400", "422", "7003", "710", "8012", "90", "99"]
)
def test_other_identifiers_of_open_length_are_passed_over_to_the_separator(identifier):
    """Accepted, not returned."""
    assert read(f"]d2{identifier}123{GS}80046141411234") == ElementString(giai="6141411234")


def test_the_character_set_has_82_characters_and_each_is_accepted():
    """In an asset identifier; no other ASCII character is."""
    assert len(set(SET_82)) == 82
    accepted = {c for c in map(chr, range(128)) if reads(f"]C1800461414{c}1") and c != GS}
    assert accepted == set(SET_82)


def reads(text: str) -> bool:
    """Tell whether a text is read."""
    try:
        read(text)
    except UnreadableCode:
        return False
    return True


@pytest.mark.parametrize(
    ("text", "accepted"),
    [
        ("(8004)" + "1" * 30, True),
        ("(8004)" + "1" * 31, False),
        ("(8004)", False),
        (f"(8003){GRAI}" + "A" * 16, True),
        (f"(8003){GRAI}" + "A" * 17, False),
        (f"(8003)1{GRAI[1:]}", False),
        (f"(01){GTIN}(10)" + "1" * 20, True),
        (f"(01){GTIN}(10)" + "1" * 21, False),
        (f"(01){GTIN}(21)" + "1" * 21, False),
        (f"(01){GTIN}(17)2611", False),
        (f"]d210{GS}01{GTIN}", False),
        (f"(01){GTIN}(10)٣", False),
        ("(01)٠٦٢٩١٠٤١٥٠٠٢١٣", False),
    ],
)
def test_a_value_has_its_length_and_characters(text, accepted):
    """To the last one; digits are those of ASCII."""
    assert reads(text) is accepted


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("(8004)", r"has '' after \(8004\), where GS1 has X..30; scan again, or type it from it"),
        ("(0109)1", r"has '0109' where GS1 has an application identifier, such as \(8004\)"),
        ("]d2AB", "has 'AB' where GS1 has an application identifier"),
        ("(x)12(8004)1", r"has '\(x\)12' where GS1 has"),
        ("(10)A(17)261125", r"names no thing; a GS1 string needs \(8003\), \(8004\) or \(01\)"),
        ("]C1", "']C1' names no thing"),
        (f"(8004)614141(8003){GRAI}", r"names two assets, \(8003\) and \(8004\); type the one that is meant"),
        (f"(01){GTIN}(10)A(10)B", r"says \(10\) twice and not the same"),
        (f"(01){GTIN}(17)261325", r"has 261325 after \(17\), which is no date of year, month and day"),
        (f"(01){GTIN}(17)260230", "which is no date"),
        (f"(01){GTIN}(11)260000", "which is no date"),
    ],
)
def test_what_is_unreadable_says_why(text, says):
    """Value, what is allowed, remedy."""
    with pytest.raises(UnreadableCode, match=says):
        read(text)


def test_the_same_said_twice_counts_once():
    """Two symbols on one packet may both carry the product."""
    assert read(f"(01){GTIN}(10)A(01){GTIN}").batch == "A"


@pytest.mark.parametrize(
    ("month", "first", "last"),
    [
        ("2602", date(2026, 2, 1), date(2026, 2, 28)),
        ("2802", date(2028, 2, 1), date(2028, 2, 29)),
        ("2612", date(2026, 12, 1), date(2026, 12, 31)),
    ],
)
def test_a_month_without_a_day_is_used_to_its_end_and_made_at_its_beginning(month, first, last):
    """Day 00, leap years included: the thing is never younger than it is."""
    packet = read(f"(01){GTIN}(11){month}00(17){month}00")
    assert (packet.made_on, packet.expires_on) == (first, last)


@pytest.mark.parametrize("this_year", [1999, 2000, 2026, 2049, 2050, 2051, 2099])
def test_a_year_of_two_digits_lies_from_49_years_ago_to_50_ahead(this_year):
    """The one year of that window which ends so (section 7.12, from memory); all hundred."""
    for expected in range(this_year - 49, this_year + 51):
        found = element_string(f"(01){GTIN}(17){expected % 100:02}0115", date(this_year, 6, 1)).expires_on
        assert found == date(expected, 1, 15)


@pytest.mark.parametrize(("today", "short_year"), [(date.min, "99"), (date.max, "00")])
def test_a_year_that_no_calendar_has_is_refused(today, short_year):
    """A clock set far wrong gives a sentence."""
    with pytest.raises(UnreadableCode, match="which is no date"):
        element_string(f"(01){GTIN}(17){short_year}0100", today)


@pytest.mark.parametrize(
    ("text", "code", "one"),
    [
        ("(8004)6141411234(21)7", "8004 6141411234", True),
        (f"(8004)6141411234(01){GTIN}", "8004 6141411234", True),
        (f"(8003){GRAI}", f"8003 {GRAI}", False),
        (f"(8003){GRAI}42", f"8003 {GRAI}42", True),
        (f"(01){GTIN}(17)261125", f"01 {GTIN}", False),
        (f"(01){GTIN}(10)B7", f"01 {GTIN} 10 B7", False),
        (f"(01){GTIN}(10)B7(21)42", f"01 {GTIN} 21 42", True),
        ("(8004)" + "z" * 30, "8004 " + "z" * 30, True),
    ],
)
def test_the_recorded_code_is_a_name_that_reads_back_to_itself(text, code, one):
    """And it is known whether another thing may carry the same."""
    element = read(text)
    assert record_code(element) == name(code, "code") == code
    assert record_code(read(code)) == code
    assert names_one_thing(element) is names_one_thing(read(code)) is one


@given(st.text(SET_82, min_size=1, max_size=30))
def test_any_asset_identifier_reads_back_from_its_recorded_code(giai):
    """Brackets that belong to it included."""
    assert read(f"8004 {giai}") == read(f"]C18004{giai}") == ElementString(giai=giai)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("]C1x", True),
        ("]Q1x", False),
        (f"A{GS}B", True),
        ("(21)4", True),
        ("(B) 4", False),
        (f"01{GTIN}", True),
        ("01062910415002", False),
        (f"8003{GRAI}", True),
        ("80041234", False),
        ("800412345", True),
        ("8004ABCDE", False),
        ("01 Ward 3", False),
    ],
)
def test_a_gs1_string_is_told_from_a_tag_by_its_beginning(text, expected):
    """Right or wrong."""
    assert looks_like_gs1(text) is expected


def test_a_separator_at_the_beginning_is_passed_over():
    """Some scanners send the first FNC1, which only marks the symbol, as a separator too."""
    assert read(f"{GS}80046141411234").giai == "6141411234"


def test_a_very_long_string_is_refused_in_a_short_sentence():
    """The value is shown with its middle left out."""
    with pytest.raises(UnreadableCode, match=re.escape("after (8004)")) as caught:
        read("]d28004" + "1" * 20_000)
    assert len(str(caught.value)) < 200


pieces = st.sampled_from(
    ["]C1", "]d2", "(", ")", "(01)", "(8004)", "01", "8003", "10", "17", "3", GS, " ", GTIN, GRAI]
)


@given(st.text() | st.lists(pieces | st.text(max_size=3), max_size=8).map("".join), st.dates())
def test_any_text_reads_or_is_refused_in_words(text, today):
    """Nothing else comes out, on any day."""
    result = read_or_refused(text, today)
    if isinstance(result, str):
        assert result.isprintable()
    else:
        assert record_code(element_string(record_code(result), today)) == record_code(result)


def read_or_refused(text: str, today: date) -> ElementString | str:
    """Return what was read, or the sentence."""
    try:
        return element_string(text, today)
    except UnreadableCode as error:
        return str(error)
