"""A protocol written as text."""

import tomllib

from documents import SHORT, protocols
from hypothesis import HealthCheck, given, settings

from lungwort.demo.protocol import demo_protocol_path
from lungwort.protocol.reading import parse_protocol, read_protocol
from lungwort.protocol.writing import protocol_text


@given(protocols)
@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
def test_what_is_written_reads_back_equal(protocol):
    """Every valid document, whatever its names and numbers."""
    assert parse_protocol(protocol_text(protocol)).protocol == protocol


def test_the_demo_protocol_reads_back_equal():
    """A whole hospital."""
    protocol = read_protocol(demo_protocol_path()).protocol
    assert parse_protocol(protocol_text(protocol)).protocol == protocol


def test_tables_stand_in_their_natural_order_with_a_step_a_line():
    """The title first, then place, people, kinds; defaults are left out, whole numbers stay whole."""
    text = protocol_text(parse_protocol(SHORT).protocol)
    assert text == SHORT
    assert list(tomllib.loads(text)) == ["format", "title", "version", "place", "role", "kind"]


def test_a_second_writing_changes_nothing():
    """Text, protocol, text: so that a diff shows only what a person changed."""
    once = protocol_text(read_protocol(demo_protocol_path()).protocol)
    assert protocol_text(parse_protocol(once).protocol) == once
