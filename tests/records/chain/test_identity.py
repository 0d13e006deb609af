"""Identifiers and moments against the standard library's reading of them."""

import uuid
from datetime import UTC, datetime, timedelta
from random import Random

from hypothesis import given
from hypothesis import strategies as st

from lungwort.records.chain.identity import moment_of, moment_text, time_ordered_id

MOMENTS = st.datetimes(datetime(1970, 1, 1), datetime(9999, 12, 31), timezones=st.just(UTC))


@given(MOMENTS, st.binary(min_size=8, max_size=8))
def test_an_identifier_is_a_uuid_of_version_7(moment, random_bytes):
    """RFC 9562: version 7, its variant, milliseconds since 1970 in the first 48 bits."""
    read = uuid.UUID(time_ordered_id(moment, random_bytes))
    assert (read.version, read.variant) == (7, uuid.RFC_4122)
    assert read.int >> 80 == (moment - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(milliseconds=1)


@given(MOMENTS, MOMENTS)
def test_identifiers_sort_as_moments_do(one, other):
    """To the microsecond, whatever chance adds."""
    rng = Random(1)
    ids = [time_ordered_id(moment, rng.randbytes(8)) for moment in (one, other)]
    if one != other:
        assert (ids[0] < ids[1]) == (one < other)


@given(MOMENTS, MOMENTS)
def test_a_moment_reads_back_and_sorts_as_text(one, other):
    """27 characters, always."""
    texts = [moment_text(one), moment_text(other)]
    assert [moment_of(text) for text in texts] == [one, other]
    assert (texts[0] < texts[1]) == (one < other)
    assert {len(text) for text in texts} == {27}
