"""Reading a protocol, and saying what is wrong with one that does not fit the form."""

import re
from datetime import date

import pytest
from documents import SHORT

from lungwort.demo.protocol import demo_protocol_path
from lungwort.errors import UnreadableProtocol
from lungwort.protocol.reading import MOST_BYTES, parse_protocol, read_protocol


def test_a_document_knows_its_lines_and_its_file():
    """As an editor counts them."""
    document = parse_protocol(SHORT, "ward.toml")
    assert document.file_name == "ward.toml"
    assert document.line("kind", 0, "step", 1, "water") == 20
    assert document.line("place", "barometer_kpa") == 5


def test_names_are_those_of_the_library():
    """Aliases and any case are understood, and kept under one name."""
    text = SHORT.replace(
        'name = "Hose"', 'name = "Hose"\nlike = "Reusable Silicone-Circuit"\nmaterials = ["VMQ"]'
    )
    kind = parse_protocol(text).protocol.kinds[0]
    assert (kind.like, kind.materials) == ("silicone breathing circuit", ("silicone",))


def test_the_demo_protocol_is_read_whole():
    """Fourteen kinds, one autoclave above the sea, four roles."""
    protocol = read_protocol(demo_protocol_path()).protocol
    assert len(protocol.kinds) == 14
    assert [role.name for role in protocol.roles] == ["technician", "nurse", "engineer", "infection control"]
    assert protocol.place.air_pressure_kpa == pytest.approx(76.6, abs=0.05)  # ISO 2533 at 2,300 m
    assert protocol.valid_from == date(2026, 9, 1)


@pytest.mark.parametrize(
    ("was", "becomes", "says"),
    [
        # what it becomes; line, place and remedy of the message
        (
            "minutes = 10",
            "minute = 10",
            r"line 19, kind 1, step 1, minutes: this key is needed and not there",
        ),
        (
            "minutes = 10",
            "minute = 10",
            r"line 19, kind 1, step 1, minute: .*not known here; is it misspelt\?",
        ),
        (
            'do = "wash"',
            'do = "scrub"',
            r"line 19, kind 1, step 1, do: 'scrub' is not allowed; give 'take apart'",
        ),
        ("minutes = 10", "minutes = 0", r"line 19, kind 1, step 1, minutes: '0' is not allowed"),
        ("minutes = 10", "minutes = nan", r"line 19, .*'nan' is not allowed"),
        (
            '"wash"',
            '"treat"',
            r"line 19, kind 1, step 1: process belongs to do = .treat., and every treat needs one",
        ),
        (', water = "tap"', "", r"line 20, kind 1, step 2: a rinse needs its water: sterile, filtered"),
        ("altitude_m = 0", "", r"line 5, place: the place needs altitude_m or barometer_kpa"),
        ("altitude_m = 0", "altitude_m = 9000", r"line 7, place, altitude_m: '9000' is not allowed"),
        ("lowest_c = 15", "lowest_c = 26", r"line 8, place, room: lowest_c 26.0 is above highest_c 25.0"),
        ("format = 1", "format = 2", r"line 1, format: 2 is not allowed; give 1"),
        (
            'name = "Hose"',
            'name = "Hose"\nlike = "hoze"',
            r"line 17, kind 1, like: there is no kind of part called 'hoze'",
        ),
        ('name = "Hose"', 'name = "Hose"\nmaterials = ["cheese"]', r"line 17, kind 1, materials: .*'cheese'"),
        (
            '"wash", by',
            '"wash", proved_by = ["A0-6"], by',
            r"line 19, .*no criterion called 'A0-6'; near ones: A0-60",
        ),
        (
            "[[kind]]",
            '[[role]]\nname = "technician"\n[[kind]]',
            r"roles have names that stand twice: technician",
        ),
        ("[[kind]]\n", "[[kinds]]\n", r"line 1, kind: this key is needed"),
        ('title = "Short"', 'title = "Short', r"ward.toml: .*line 2.*TOML wants key = value"),
        (
            'do = "wash"',
            'do = "treat", process = "steam"',
            r"process = 'steam' also needs equipment, setting",
        ),
    ],
)
def test_a_fault_is_named_with_line_table_and_remedy(was, becomes, says):
    """One sentence for each fault, from the top."""
    assert was in SHORT
    with pytest.raises(UnreadableProtocol) as told:
        parse_protocol(SHORT.replace(was, becomes, 1), "ward.toml")
    assert re.search(says, str(told.value)), str(told.value)
    assert all(line.startswith("ward.toml") for line in str(told.value).splitlines())


def test_all_faults_are_told_at_once():
    """A person mends them in one go."""
    text = SHORT.replace("minutes = 10", "minute = 10").replace("altitude_m = 0", "altitude_m = 9000")
    with pytest.raises(UnreadableProtocol) as told:
        parse_protocol(text)
    assert len(str(told.value).splitlines()) == 3


def test_a_file_that_is_none_is_refused(tmp_path):
    """Missing, a folder, too large, not UTF-8."""
    with pytest.raises(UnreadableProtocol, match=r"none\.toml cannot be read \(No such file"):
        read_protocol(tmp_path / "none.toml")
    with pytest.raises(UnreadableProtocol, match="cannot be read"):
        read_protocol(tmp_path)
    large, latin = tmp_path / "large.toml", tmp_path / "latin.toml"
    large.write_bytes(b"#" * (MOST_BYTES + 1))
    latin.write_bytes(b'title = "\xe9"\n')
    with pytest.raises(UnreadableProtocol, match="larger than 5 MB; is it a protocol"):
        read_protocol(large)
    with pytest.raises(UnreadableProtocol, match=r"latin\.toml cannot be read \(it is not UTF-8\)"):
        read_protocol(latin)
