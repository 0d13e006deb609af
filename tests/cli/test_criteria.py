"""`lungwort criteria`."""

import json

from running import lungwort, words

from lungwort.library.catalogue import all_criteria


def test_every_criterion_is_listed_with_source_and_basis():
    """Each name is followed by the source and basis of the limit that makes it what it is."""
    done = lungwort("criteria")
    text = words(done)
    assert done.code == 0
    for criterion in all_criteria():
        assert criterion.name in text
    assert "Steam 134 °C, held 18 min · EN/UK. WHO 1999 and national rules for prions" in text
    assert text.count(" [from memory] ") >= len(all_criteria())


def test_the_list_leaves_the_limits_to_whoever_asks():
    """The list is short; --full has every limit of every criterion."""
    short, full = lungwort("criteria").out, lungwort("criteria", "--full").out
    assert "at least 134 °C, at most 137 °C, for 3 min" not in short
    assert full.count("  - ") == sum(len(c.limits) for c in all_criteria())
    assert "at least 134 °C, at most 137 °C, for 3 min" in " ".join(full.split())


def test_one_can_be_asked_for():
    """Only the named one is shown."""
    done = lungwort("criteria", "a0-600")
    assert "at least 600 s, counted at 80 °C, from 65 °C up" in done.out
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


def test_a_name_like_no_other_does_not_bring_the_whole_catalogue():
    """The message says where the list is instead of being it."""
    assert "near ones: none. `lungwort criteria` lists them all" in lungwort("criteria", "xyzzy").err


def test_a_soak_is_asked_for_in_minutes():
    """Twelve minutes, as the label says, not 720 s; a count of rinses has no unit."""
    out = lungwort("criteria", "OPA-0.55pc-20C").out
    assert "contact: at least 12 min\n" in out
    assert "rinse: at least 3\n" in out
