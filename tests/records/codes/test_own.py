"""Our own codes: what the check character finds, counted; how many codes there are; what people may type."""

import math
from itertools import combinations, pairwise, product
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lungwort.errors import LungwortError, UnknownName, UnreadableCode
from lungwort.records.chain.preparing import name
from lungwort.records.codes.own import ALPHABET, LETTERS, is_own, kind_of, looks_own, mint, read_code

DIGITS_AND_LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
START = 18
"""The sum before the first character: doubled, (36 or 0) · 2 mod 37 as the standard's hybrid systems begin."""

minted = st.builds(
    lambda kind, seed: mint(kind, Random(seed).randbytes), st.sampled_from([*LETTERS]), st.integers()
)


def carried(total: int, character: str) -> int:
    """Return the sum of MOD 37,36 after one more character, by ISO/IEC 7064's formula for hybrid systems."""
    return ((total or 36) * 2 % 37 + DIGITS_AND_LETTERS.index(character)) % 36


def check_sum(text: str) -> int:
    """Return the sum over a text; 1 where its check character fits."""
    total = START
    for character in text:
        total = carried(total, character)
    return total


def missed(total: int, one: str, other: str) -> bool:
    """Tell whether two neighbours may swap unseen after a given sum."""
    return carried(carried(total, one), other) == carried(carried(total, other), one)


@pytest.mark.parametrize(
    "number",
    ["00000000D07A0090Q", "00000000D07A009000000000X", "000000003A8D0000Z", "000000003A8D0000000000006"],
)
def test_the_formula_fits_numbers_published_elsewhere(number):
    """Two audiovisual numbers (ISO 15706, which takes MOD 37,36), each short and long; from memory."""
    assert check_sum(number) == 1


@given(minted)
def test_a_minted_code_carries_the_check_character_of_iso_7064(code):
    """By the formula, not by the package that computed it."""
    assert check_sum(code.replace("-", "")) == 1


@given(minted)
def test_a_minted_code_reads_back_is_a_name_and_tells_its_kind(code):
    """Printed as letter, six, check."""
    assert read_code(code) == name(code, "code") == code
    assert code[0] == LETTERS[kind_of(code)]
    assert [len(group) for group in code.split("-")] == [1, 6, 1]


@given(minted)
def test_a_minted_code_shows_no_two_characters_that_look_alike(code):
    """Beyond the first, which is always a letter."""
    assert not set(code[1:]) & set("0O1ILUBGSZ")


@given(minted)
def test_one_wrong_character_is_refused_or_is_a_look_alike_of_the_right_one(code):
    """All 36 in all eight places."""
    letters = code.replace("-", "")
    alike = {("8", "B"), ("6", "G"), ("5", "S"), ("2", "Z"), ("B", "8"), ("S", "5")}
    for place, wrong in product(range(8), DIGITS_AND_LETTERS):
        typed = letters[:place] + wrong + letters[place + 1 :]
        if wrong == letters[place] or (letters[place], wrong) in alike:
            assert read_code(typed) == code
        else:
            assert not is_own(typed)


@given(minted)
def test_two_neighbours_swapped_are_refused(code):
    """In every place of a minted code."""
    letters = code.replace("-", "")
    for place, (one, other) in enumerate(pairwise(letters)):
        if one != other:
            assert not is_own(letters[:place] + other + one + letters[place + 2 :])


def test_the_check_alone_would_miss_one_swap_in_650():
    """One pair of all 36 characters after each sum, 1 in 630; in our alphabet 18 of 36 sums have one, 1 in 650."""
    of_all, of_ours = (
        [pair for pair in product(range(36), combinations(alphabet, 2)) if missed(pair[0], *pair[1])]
        for alphabet in (DIGITS_AND_LETTERS, ALPHABET)
    )
    assert {total for total, _pair in of_all} == set(range(36))
    assert len(of_all) == 36 * 630 / 630
    assert len(of_ours) == 36 * 325 / 650


@pytest.mark.parametrize("kind", LETTERS)
def test_a_kind_has_as_many_codes_as_the_docstring_says(kind):
    """Counted over all six characters by their sums: 195 to 222 million; two draws in three, or a few more."""
    codes = count_of_codes(LETTERS[kind])
    assert 195e6 < codes < 222e6
    assert 0.63 < codes / 26**6 < 0.72


def count_of_codes(letter: str) -> int:
    """Count the bodies whose check character is in the alphabet and in which no neighbours swap unseen."""
    counts = {
        (carried(START, letter), first): 1 for first in ALPHABET if not first_two_swap_unseen(letter, first)
    }
    for _place in range(5):
        longer: dict[tuple[int, str], int] = {}
        for (total, last), count in counts.items():
            for new in ALPHABET:
                if new == last or not missed(total, last, new):
                    key = carried(total, last), new
                    longer[key] = longer.get(key, 0) + count
        counts = longer
    return sum(count for (total, last), count in counts.items() if closes(total, last))


def first_two_swap_unseen(letter: str, first: str) -> bool:
    """Tell whether the letter and the first of the six, unlike, swapped and read as look-alikes, give the same sum."""
    front, second = {"8": "B", "5": "S"}.get(first, first), {"B": "8", "S": "5"}.get(letter, letter)
    if first == letter or front not in LETTERS.values():
        return False
    return carried(carried(START, front), second) == carried(carried(START, letter), first)


def closes(total: int, last: str) -> bool:
    """Tell whether the check character is in the alphabet and does not swap unseen with the one before."""
    check = next(c for c in DIGITS_AND_LETTERS if carried(carried(total, last), c) == 1)
    return check in ALPHABET and (check == last or not missed(total, last, check))


@pytest.mark.parametrize(("things", "percent"), [(1_000, 0.3), (10_000, 26)])
def test_the_chance_of_two_alike_is_as_the_docstring_says(things, percent):
    """The bound as printed there, and no smaller than the exact chance by the product over all things."""
    bound = things * (things - 1) / 2 / 195e6
    exact = -math.expm1(sum(math.log1p(-taken / 195e6) for taken in range(things)))
    assert 100 * bound == pytest.approx(percent, abs=0.05 if percent < 1 else 0.5)
    assert exact < bound


def test_codes_minted_apart_are_as_seldom_alike_as_chance_says():
    """20,000 codes of one kind: 1.0 alike expected, so more than 8 would be a fault of the drawing."""
    rng = Random(7)
    assert len({mint("batch", rng.randbytes) for _thing in range(20_000)}) >= 20_000 - 8


def test_each_character_is_drawn_as_often_as_another():
    """6,000 codes: in each place each of 26 characters 231 times, give or take 100, over six standard deviations."""
    rng = Random(11)
    bodies = [mint("part", rng.randbytes).split("-")[1] for _thing in range(6_000)]
    counts = [
        sum(body[place] == character for body in bodies) for place, character in product(range(6), ALPHABET)
    ]
    assert min(counts) > 131
    assert max(counts) < 331


def test_a_kind_that_has_no_letter_is_refused():
    """The kinds are named."""
    with pytest.raises(UnknownName, match="no code for the kind 'bed'; choose one of part, machine, set_up"):
        mint("bed", Random(1).randbytes)


def test_random_numbers_that_repeat_themselves_end_in_a_sentence():
    """The same unusable draw for ever must not hang."""
    draws = (number.to_bytes(8, "big") for number in range(1000))
    stuck = next(draw for draw in draws if not mints(draw))
    with pytest.raises(LungwortError, match="random numbers repeat themselves; restart it"):
        mint("part", lambda _count: stuck)


def mints(draw: bytes) -> bool:
    """Tell whether a draw gives a code at once."""
    later = iter([draw])
    try:
        mint("part", lambda _count: next(later))
    except StopIteration:
        return False
    return True


@pytest.mark.parametrize(
    "typed",
    [
        "p8md8atm",
        " P 8MD 8AT M\n",
        "p–8md8at–m",
        "P-8MD-8AT-M",
        "P8MD8ATM",
        "P-BMDBAT-M",
        "P\u00a08MD8AT\u2011M",
    ],
)
def test_capitals_spaces_hyphens_and_look_alikes_are_free(typed):
    """Also dashes and spaces as phones put them in."""
    assert read_code(typed) == "P-8MD8AT-M"


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (
            "",
            "begins with no letter of ours; a code begins with one of P, M, S, C, E, B, W: read the label again",
        ),
        ("X-8MD8AT-M", "'X-8MD8AT-M' begins with no letter of ours"),
        ("P-8MD8AT", r"'P-8MD8AT' \(kind: part\) has 7 characters where a code has 8; read the label again"),
        ("S-8MD8AT-MM", r"\(kind: set-up\) has 9 characters"),
        ("P-8MD0AT-M", r"\(kind: part\) has '0', which no code has: 0, O, 1, I, L and U are never printed"),
        ("P-8MDſAT-M", "has 'ſ', which no code has"),
        (
            "M-8MD8AT-M",
            r"\(kind: machine\) does not fit its check character: one is wrong, or two are swapped",
        ),
        ("P-8M8DAT-M", "does not fit its check character"),
    ],
)
def test_what_is_unreadable_says_why_and_of_which_kind_it_would_be(typed, says):
    """And never what it might have been."""
    with pytest.raises(UnreadableCode, match=says):
        read_code(typed)


@pytest.mark.parametrize("kind", LETTERS)
def test_every_kind_has_words(kind):
    """An unreadable code of each kind is refused by its kind."""
    with pytest.raises(UnreadableCode, match=f"kind: {kind.replace('_', '-')}"):
        read_code(LETTERS[kind])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("P-8MD8AT-M", True),
        ("P-8MD8AT-N", True),  # wrong check
        ("P-8MDOAT-0", True),  # letters we never print, but parted as ours
        ("8-8MD8AT-M", True),  # B read as 8
        ("P8MD8ATN", True),
        ("P 8MD 8AT N", True),
        ("P8MD8AT-N", True),
        ("P8MD8ATNN", False),
        ("P-8MD8AT", False),
        ("MASK-2345", False),
        ("PUMP0012", False),
        ("82345678", False),
        ("VENT-0012", False),
        ("X-8MD8AT-M", False),
        ("", False),
        ("-", False),
    ],
)
def test_a_code_of_ours_is_told_from_a_tag_by_its_look(text, expected):
    """Right or wrong."""
    assert looks_own(text) is expected


@given(st.text() | st.text(ALPHABET + "-0OPMW", min_size=6, max_size=11))
def test_any_text_reads_or_is_refused_in_words(text):
    """Nothing else comes out, and `is_own` agrees."""
    if is_own(text):
        assert is_own(read_code(text))
    else:
        with pytest.raises(UnreadableCode):
            read_code(text)
