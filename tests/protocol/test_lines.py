"""Lines of tables and keys."""

import tomllib

import pytest
from documents import protocols
from hypothesis import HealthCheck, given, settings

from lungwort.demo.protocol import demo_protocol_path
from lungwort.protocol.lines import line_at, lines_of
from lungwort.protocol.writing import protocol_text


def paths_of(value, path=()):
    """Yield the path of every value inside a parsed document."""
    yield path
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in items:
        yield from paths_of(item, (*path, key))


TEXT = '''# a comment [not.a.table]
title = "a # b [c] = {d}"    # and a comment = here
note = """
[kind]
do = "no"
"""
also = \'\'\'
"""
[kind] \'\'\'
[place]
room = { lowest_c = 1, deep.key = 2 }
waters = [
  "tap",      # the well
  "boiled = not a key",
]
store.lowest_c = -3
"quoted key" = 1

[[kind]]
name = "A"
  [[kind.step]]
  do = "wash"
  [[kind.step]]
  do = "dry"
  [kind.more]
  x = 1979-05-27T07:32:00Z
[[kind]]
name = "B"
step = [
  { do = "look", proved_by = ["A0-60",
     "A0-600"] },
  { do = "store" },
]
[[kind.duty]]
every_h = 1.5e+3'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("title",), 2),
        (("note",), 3),
        (("also",), 7),
        (("place",), 10),
        (("place", "room", "lowest_c"), 11),
        (("place", "room", "deep", "key"), 11),
        (("place", "waters", 0), 13),
        (("place", "waters", 1), 14),
        (("place", "store", "lowest_c"), 16),
        (("place", "quoted key"), 17),
        (("kind", 0, "name"), 20),
        (("kind", 0, "step", 0), 21),
        (("kind", 0, "step", 1, "do"), 24),
        (("kind", 0, "more", "x"), 26),
        (("kind", 1), 27),
        (("kind", 1, "step"), 29),
        (("kind", 1, "step", 0, "do"), 30),
        (("kind", 1, "step", 0, "proved_by", 1), 31),
        (("kind", 1, "step", 1, "do"), 32),
        (("kind", 1, "duty", 0, "every_h"), 35),
    ],
)
def test_each_key_stands_where_an_editor_shows_it(path, line):
    """Lines counted by hand."""
    assert lines_of(TEXT)[path] == line


def test_every_value_has_a_line_and_no_other_path_is_made_up():
    """The paths are those of the standard library's own reading of the text."""
    for text in (TEXT, demo_protocol_path().read_text("utf-8")):
        assert set(lines_of(text)) == set(paths_of(tomllib.loads(text)))


@given(protocols)
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
def test_every_value_of_any_document_has_a_line(protocol):
    """Whatever stands in names: quotes, brackets, hashes, line ends."""
    text = protocol_text(protocol)
    assert set(lines_of(text)) == set(paths_of(tomllib.loads(text)))


def test_windows_line_ends_count_once():
    """The same lines as with a bare line end."""
    assert lines_of(TEXT.replace("\n", "\r\n")) == lines_of(TEXT)


def test_a_missing_key_is_named_at_its_table():
    """The nearest table around it, or the first line."""
    lines = lines_of(TEXT)
    assert line_at(lines, ("kind", 0, "step", 1, "minutes")) == 23
    assert line_at(lines, ("nowhere", 3)) == 1
