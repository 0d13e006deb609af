"""What changed between two protocols."""

from datetime import date

import pytest
from documents import SHORT, protocols
from hypothesis import HealthCheck, given, settings

from lungwort.demo.protocol import DEMO_TODAY, demo_protocol_path
from lungwort.protocol.difference import difference
from lungwort.protocol.reading import parse_protocol, read_protocol
from lungwort.protocol.vet import vet
from lungwort.protocol.writing import protocol_text

TEXT = demo_protocol_path().read_text("utf-8")


def changes(old: str, new: str) -> list[str]:
    """Return the changes between two texts as sentences."""
    return [c.says for c in difference(parse_protocol(old), parse_protocol(new), DEMO_TODAY).changes]


@pytest.mark.parametrize(
    ("was", "becomes", "says"),
    [
        ("altitude_m = 0", "altitude_m = 12", ["Changed: place, altitude_m, from 0 to 12"]),
        ("altitude_m = 0", "altitude_m = 0\nroom_m3 = 40", ["Added: place, room_m3 = 40"]),
        ("lowest_c = 15", "lowest_c = 10", ["Changed: place, room, lowest_c, from 15 to 10"]),
        ('["tap", "sterile"]', '["tap"]', ['Changed: place, waters, from ["tap", "sterile"] to ["tap"]']),
        ("minutes = 10", "minutes = 12", ["Changed: kind Hose, step 1 (wash), minutes, from 10 to 12"]),
        ('name = "Hose"', 'name = "Tube"', ["Renamed: kind Hose, now Tube"]),
        (
            '[[role]]\nname = "technician"',
            '[[role]]\nname = "nurse"\n\n[[role]]\nname = "technician"',
            ["Added: role nurse"],
        ),
        (
            "step = [",
            'step = [\n  { do = "take apart", by = "technician", minutes = 3 },',
            ["Added: kind Hose, step 1 (take apart)"],
        ),
        (
            '  { do = "rinse", by = "technician", minutes = 5, water = "tap" },\n',
            "",
            ["Removed: kind Hose, step rinse"],
        ),
        ("# nothing", "# nothing at all", []),
    ],
)
def test_a_change_is_said_in_words(was, becomes, says):
    """By name, never by index; and back again the other way about."""
    text = SHORT + "# nothing\n"
    changed = text.replace(was, becomes, 1)
    assert changed != text
    assert changes(text, changed) == says
    assert len(changes(changed, text)) == len(says)


def test_steps_that_change_places_are_moved_not_rewritten():
    """Rinsed before washed: one of the two has moved."""
    lines = SHORT.splitlines()
    wash, rinse = lines[18], lines[19]
    other = SHORT.replace(f"{wash}\n{rinse}", f"{rinse}\n{wash}")
    (said,) = changes(SHORT, other)
    assert said in (
        "Moved: kind Hose, step wash, from place 1 to 2",
        "Moved: kind Hose, step rinse, from place 2 to 1",
    )


def test_another_order_of_kinds_changes_nothing():
    """Kinds are matched by name."""
    start, end = TEXT.index('[[kind]]\nname = "Water trap"'), TEXT.index('[[kind]]\nname = "Inlet particle')
    moved = TEXT[:start] + TEXT[end:] + "\n" + TEXT[start:end]
    changed = difference(parse_protocol(TEXT), parse_protocol(moved), DEMO_TODAY)
    assert (changed.changes, changed.came, changed.went) == ((), (), ())


def test_a_finding_stays_when_a_step_or_kind_is_put_before_it():
    """Its index and line change; it is the same finding."""
    new = TEXT.replace(
        "[[kind]]\n",
        '[[kind]]\nname = "Wedge"\ncontact = "non-critical"\nreuse = "single patient"\n\n[[kind]]\n',
        1,
    )
    new = new.replace(
        '  { do = "take apart", by = "nurse"',
        '  { do = "look", by = "nurse", minutes = 1 },\n  { do = "take apart", by = "nurse"',
    )
    changed = difference(parse_protocol(TEXT), parse_protocol(new), DEMO_TODAY)
    assert changed.went == ()
    assert {f.says for f in changed.stayed} == {
        f.says for f in vet(parse_protocol(TEXT), DEMO_TODAY).findings
    }


def test_a_mended_fault_goes_and_a_new_one_comes():
    """What went has the line of the old text, what came that of the new."""
    old, new = (
        TEXT.replace("pressure = 2.37", "pressure = 1.4"),
        TEXT.replace("interval_s = 1\n", "interval_s = 10\n"),
    )
    changed = difference(parse_protocol(old), parse_protocol(new), DEMO_TODAY)
    assert [(f.rule, f.line) for f in changed.went] == [("pressure", 59)]
    assert [(f.rule, f.line) for f in changed.came] == [("proof", 77)]
    assert {f.rule for f in changed.stayed} >= {"mixtures", "materials"}


def test_a_fault_that_says_another_number_stays():
    """Still too little at the same place: it did not go and come."""
    old, new = (
        TEXT.replace("pressure = 2.37", "pressure = 1.4"),
        TEXT.replace("pressure = 2.37", "pressure = 1.5"),
    )
    changed = difference(parse_protocol(old), parse_protocol(new), DEMO_TODAY)
    assert (changed.came, changed.went) == ((), ())
    assert [f.says for f in changed.stayed if f.rule == "pressure"] == [
        # IAPWS-IF97 at 150 + 76.6 kPa absolute: 124.2 °C
        "134 wrapped: 1.50 bar (gauge) is steam of 124.2 °C here, not of 135.0 °C."
    ]


@given(protocols)
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
def test_a_document_differs_in_nothing_from_itself(protocol):
    """Whatever stands in it; every finding stays."""
    document = parse_protocol(protocol_text(protocol))
    changed = difference(document, document, date(2026, 1, 1))
    assert (changed.changes, changed.came, changed.went) == ((), (), ())
    assert changed.stayed == vet(document, date(2026, 1, 1)).findings or sorted(
        map(str, changed.stayed)
    ) == sorted(map(str, vet(document, date(2026, 1, 1)).findings))


def same_but_for_order(one, other):
    """Return whether two protocols are the same but for the order of what stands in them: the same letters."""
    return sorted(protocol_text(one)) == sorted(protocol_text(other))


@given(protocols, protocols)
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
def test_different_documents_have_a_change_to_show(one, other):
    """No change is passed over in silence; none of the findings is lost."""
    old, new = parse_protocol(protocol_text(one)), parse_protocol(protocol_text(other))
    changed = difference(old, new, DEMO_TODAY)
    assert changed.changes or same_but_for_order(one, other)
    assert len(changed.came) + len(changed.stayed) == len(vet(new, DEMO_TODAY).findings)
    assert len(changed.went) + len(changed.stayed) == len(vet(old, DEMO_TODAY).findings)


def test_the_demo_against_its_first_version_reads_like_a_letter():
    """Several changes at once, in the order of the document."""
    old = TEXT.replace('"2026-2"', '"2026-1"').replace("hold_min = 25", "hold_min = 30", 1)
    said = [
        c.says
        for c in difference(parse_protocol(old), read_protocol(demo_protocol_path()), DEMO_TODAY).changes
    ]
    assert said == [
        'Changed: version, from "2026-1" to "2026-2"',
        "Changed: kind Mask, adult, step 5 (treat, hot water), hold_min, from 30 to 25",
    ]
