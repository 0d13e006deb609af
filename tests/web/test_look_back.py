"""Looking back on a page: the questions, the answer, its picture, the report, and who may ask."""

from dataclasses import replace

import pytest
from served import PART, PLACE, code_of

from lungwort.records.chain.event import Thing
from lungwort.records.life import parts, releases, set_ups
from lungwort.records.life.known import in_force
from lungwort.records.look_back.ask import look_back
from lungwort.records.look_back.question import defective_part, failed_cycle, infected_patient
from lungwort.records.look_back.result import LookBack, TouchedPart
from lungwort.records.look_back.sections import Entry, Section
from lungwort.web.look_back.links import HIGH, MOST_THINGS, WIDE, picture_of
from lungwort.web.look_back.views import MOST, _shown

MACHINE, FILTER = "M-1", "P-1"


@pytest.fixture
def used(hospital):
    """Return the book after two patients were connected, one after the other, to the same machine."""
    store, lead, nurse = (hospital.witness(code) for code in (code_of("store"), "I-01", code_of("ward")))
    parts.enrol(store, "Ventilator with turbine", code=MACHINE)
    for number, patient in enumerate(("R-1", "R-2")):
        parts.enrol(store, "Bacterial filter", code=f"P-{number + 1}")
        releases.release_by_exception(lead, code_of("infection control lead"), [MACHINE], "no other machine")
        set_ups.join(nurse, MACHINE, [f"P-{number + 1}"], code=f"S-{number + 1}")
        kinds = ("Ventilator with turbine", "Bacterial filter")
        protocol = in_force(hospital.view())
        checks = [c.what for kind in kinds for c in protocol.kind(kind).checks if c.when == "before use"]
        set_ups.check(nurse, f"S-{number + 1}", checks)
        set_ups.connect(nurse, f"S-{number + 1}", patient, "ICU")
        set_ups.disconnect(nurse, f"S-{number + 1}")
    return hospital


def asked(client, kind, code, **more):
    """Return the page that answers a question."""
    return client.post("/look-back", {"kind": kind, "code": code, **more})


def test_an_infection_leads_to_the_next_patient(used, signed_in):
    """The answer names who shared the machine, what to do, and what these records cannot show."""
    page = asked(signed_in("infection control lead"), "infected patient", "R-1").content.decode()
    assert "1 patient" in page
    assert "R-2, ward ICU" in page
    for heading in ("What to do now", "Not shown", "Who can tell", "Who is linked to what"):
        assert heading in page
    assert "<svg" in page
    assert "style=" not in page
    assert page.count("<h1") == 1


def test_the_picture_holds_every_link_of_every_path(used):
    """It says what the list says: each thing of a path stands in it once, each link is a line."""
    answer = look_back(used.view(), infected_patient("R-1"))
    picture = picture_of(answer)
    (exposure,) = answer.exposures
    drawn = {node.thing for node in picture.nodes}
    assert {link.end for link in exposure.path} | {exposure.path[0].start} <= drawn
    assert {Thing(part.code, "part") for part in answer.parts} <= drawn
    assert len(drawn) == len(picture.nodes)
    assert sum(not line.loose for line in picture.lines) == len(
        {frozenset((link.start, link.end)) for link in exposure.path}
    )
    assert all(
        n.left >= 0 and n.left + WIDE <= picture.width and n.top + HIGH <= picture.height
        for n in picture.nodes
    )
    places = {(node.x, node.y) for node in picture.nodes}
    assert len(places) == len(picture.nodes)
    assert len(picture.nodes) <= MOST_THINGS


def test_a_part_without_patients_is_drawn_alone(used):
    """Nobody was exposed: the picture is the beginning."""
    picture = picture_of(look_back(used.view(), defective_part(PART)))
    assert [node.begins for node in picture.nodes] == [True]
    assert picture.lines == ()


def test_a_mistake_is_said_beside_its_field(used, signed_in):
    """An unknown code, a period and a ward where they do not belong."""
    lead = signed_in("infection control lead")
    unknown = asked(lead, "failed cycle", "C-0")
    assert unknown.status_code == 400
    assert "C-0" in unknown.content.decode()
    assert "A period belongs to" in asked(lead, "wrong batch", "B-1", since="2026-11-01").content.decode()
    assert "This belongs to a patient" in asked(lead, "wrong batch", "B-1", same_ward="on").content.decode()


def test_the_report_is_a_pdf_of_the_same_question(used, signed_in):
    """It is sent for what was asked, and names the place."""
    answer = signed_in("auditor").post("/look-back/report", {"kind": "infected patient", "code": "R-1"})
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF-")
    assert "no-store" in answer.headers["Cache-Control"]


def test_an_address_fills_in_the_question(used, signed_in):
    """A cycle's own page leads here with its code; nothing is answered by an address, which browsers keep."""
    page = signed_in("infection control lead").get("/look-back?cycle=C-7").content.decode()
    assert 'value="C-7"' in page
    assert '<option value="failed cycle" selected>' in page
    assert "What to do now" not in page


def test_only_lead_and_auditor_ask(used, signed_in):
    """Answers name patients."""
    for role in ("ward", "reprocessing", "technical", "store", "administrator"):
        assert asked(signed_in(role), "infected patient", "R-1").status_code == 403
    assert used.place == PLACE


def test_a_long_section_is_cut_and_says_so_but_never_what_is_still_out():
    """The page stays small; what can still be taken out is told in full."""
    many = tuple(Entry(str(number)) for number in range(MOST + 5))
    told = (Section("Still out", many), Section("Exposed", many))
    out = LookBack(failed_cycle("C-1"), "Hill", "", (TouchedPart("P-1"),), *[()] * 11)
    assert [(len(s.entries), s.left_out) for s in _shown(out, told)] == [(MOST + 5, 0), (MOST, 5)]
    nothing_out = replace(out, still_out=())
    assert [(len(s.entries), s.left_out) for s in _shown(nothing_out, told)] == [(MOST, 5), (MOST, 5)]
