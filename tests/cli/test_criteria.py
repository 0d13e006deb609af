"""`lungwort criteria`."""

import json

from running import lungwort

from lungwort.library.catalogue import all_criteria


def test_every_criterion_is_listed_with_source_and_basis():
    """Names, sources and basis are all there."""
    done = lungwort("criteria")
    text = " ".join(done.out.split())
    assert done.code == 0
    for criterion in all_criteria():
        assert criterion.name in text
    assert "at least 134 °C, at most 137 °C, for 3 min" in text
    assert "[from memory]" in text


def test_one_can_be_asked_for():
    """Only the named one is shown."""
    done = lungwort("criteria", "a0-600")
    assert "A0-600" in done.out
    assert "A0-3000" not in done.out


def test_json_is_whole():
    """Programs get every field."""
    data = json.loads(lungwort("criteria", "--json").out)
    assert {c["name"] for c in data} == {c.name for c in all_criteria()}
    assert data[0]["limits"][0]["basis"]


def test_an_unknown_one_exits_with_2():
    """With near names."""
    done = lungwort("criteria", "A0-6000")
    assert done.code == 2
    assert "A0-600" in done.err
