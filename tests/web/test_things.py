"""Things: lists, what a thing is, whether it may go on, its story with corrections, its label, orders."""

from contextlib import ExitStack
from datetime import UTC, datetime, timedelta
from html import unescape

import pytest
import zxingcpp
from django.db import connections
from django.test.utils import CaptureQueriesContext
from PIL import Image, ImageDraw
from served import PART, code_of

from lungwort.records.life import corrections, cycles, parts, people, releases, supplies
from lungwort.records.life.permissions import LEAD
from lungwort.records.states.kinds import BatchState, EquipmentState, PartState
from lungwort.web.things.enrolling import names_of
from lungwort.web.things.listing import as_csv

PAGE = f"/thing/part/{PART}"


def text_of(answer):
    """Return a page as text."""
    return unescape(answer.content.decode())


def of(book, role):
    """Return the witness of a role."""
    return book.witness(code_of(role))


def trained(book):
    """Return the witness of the reprocessing role, trained for its steps."""
    lead = book.witness("I-01")
    day = (book.clock() + timedelta(days=300)).date()
    for role in ("technician", "nurse"):
        people.train(lead, code_of("reprocessing"), role, passed=True, expires_on=day)
    return of(book, "reprocessing")


# ---- lists ----


def test_the_list_finds_by_code_words_and_status(signed_in):
    """What is asked for is shown, with its status in words, and nothing else."""
    client = signed_in("auditor")
    page = text_of(client.get("/things?q=silicone+8md8&status=soiled"))
    assert PART in page
    assert f'href="{PAGE}"' in page
    assert PART not in text_of(client.get("/things?q=mask"))
    assert PART not in text_of(client.get("/things?status=ready"))
    assert PART not in text_of(client.get("/things?kind=machine"))


def test_a_long_list_has_fifty_a_page(hospital, signed_in):
    """The rest is a link away; a page number beyond the end shows the last page."""
    for _number in range(60):
        parts.enrol(of(hospital, "store"), "Silicone circuit, adult")
    client = signed_in("ward")
    first = text_of(client.get("/things"))
    assert first.count('<li><a class="code"') == 50
    assert "1 to 50 of 61" in first
    assert text_of(client.get("/things?page=999")).count('<li><a class="code"') == 11


def test_the_list_comes_as_csv(signed_in):
    """A line for each thing, under a line that names the columns."""
    answer = signed_in("auditor").get("/things?form=csv")
    lines = b"".join(answer.streaming_content).decode().splitlines()
    assert answer.headers["Content-Disposition"] == 'attachment; filename="part.csv"'
    assert lines[0].startswith("code,what,status")
    assert lines[1].startswith(f'{PART},"Silicone circuit, adult",soiled,')


def test_no_cell_of_the_csv_is_a_formula():
    """A serial number somebody typed cannot run in a spreadsheet."""
    evil = PartState("P-1", "soiled", of_kind="Mask", serial="=1+1")
    assert "'=1+1" in list(as_csv([evil]))[1]


@pytest.mark.parametrize("asked", ["kind=nothing", "order=sideways", "page=-3", "page=²", "status=x"])
def test_an_address_that_asks_nonsense_shows_the_usual_list(signed_in, asked):
    """Nothing typed in the address breaks the page."""
    assert PART in text_of(signed_in("ward").get(f"/things?{asked}"))


# ---- one thing ----


def test_a_part_says_what_it_is_whether_it_may_go_on_and_what_next(signed_in):
    """A soiled part may not be released: each reason with its next step."""
    page = text_of(signed_in("reprocessing").get(PAGE))
    assert "May it be released?" in page
    assert "Not yet." in page
    assert f"{PART} is soiled" in page
    assert "take it apart, wash it, treat it" in page
    assert "Enrolled as Silicone circuit, adult." in page
    assert page.index("May it be released?") < page.index("What next") < page.index("What it is now")


def test_treatments_are_shown_against_the_makers_limit(hospital, signed_in):
    """Of the kind that the protocol limits, what is left is said."""
    event = parts.enrol(of(hospital, "store"), "Silicone circuit, adult", cycles=48)
    code = next(thing.code for thing in event.things if thing.part == "part")
    page = text_of(signed_in("ward").get(f"/thing/part/{code}"))
    assert "48 of the 50 that its maker allows; 2 left" in page


def test_offers_are_those_of_the_role(signed_in):
    """The store may withdraw, the ward may hold, an auditor is offered nothing that records."""
    assert f"{PAGE}/order/withdraw" in text_of(signed_in("store").get(PAGE))
    ward = text_of(signed_in("ward").get(PAGE))
    assert f"{PAGE}/order/hold" in ward
    assert f"{PAGE}/order/withdraw" not in ward
    assert "/order/" not in text_of(signed_in("auditor").get(PAGE))


def test_a_machine_that_is_a_part_is_found_under_either_word(hospital, signed_in):
    """A machine's page is a part's."""
    event = parts.enrol(of(hospital, "store"), "Ventilator with turbine", serial="SN 7")
    code = next(thing.code for thing in event.things if thing.part == "part")
    page = text_of(signed_in("ward").get(f"/thing/machine/{code}"))
    assert "Serial number SN 7." in page
    assert "/things?kind=machine" in page


@pytest.mark.parametrize("address", ["/thing/part/P-0", "/thing/nothing/x", "/thing/person/I-01"])
def test_what_is_not_known_is_said_and_enrolment_offered_to_those_who_may(signed_in, address):
    """The store is offered to enrol it, an auditor is told to lay it aside."""
    store, auditor = signed_in("store").get(address), signed_in("auditor").get(address)
    assert store.status_code == auditor.status_code == 404
    assert "/enrol/part?code=" in text_of(store)
    assert "Your roles enrol nothing." in text_of(auditor)


def test_an_exception_stays_at_the_head_of_the_page(hospital, signed_in):
    """Released without proof by two people: who, when and why are told whatever happens later."""
    lead = hospital.witness("I-01")
    releases.release_by_exception(lead, code_of(LEAD), [PART], "no other circuit in the house")
    ready = text_of(signed_in("ward").get(PAGE))
    assert "Only by the exception: it is not shown to be fit." in ready
    assert "Nothing recorded stands in the way of using it" not in ready
    parts.quarantine(lead, [PART], "found later")
    parts.lift_quarantine(lead, [PART], "looked at")
    page = text_of(signed_in("ward").get(PAGE))
    assert "Released by exception once" in page
    assert "no other circuit in the house" in page.partition("What next")[0]


# ---- the story ----


def test_what_was_struck_stays_in_the_story_with_its_correction(hospital, signed_in):
    """Struck through, and beside it who struck it and why."""
    event = parts.quarantine(of(hospital, "ward"), [PART], "fell down")
    corrections.strike(of(hospital, "ward"), event.id, "it was another one")
    page = text_of(signed_in("ward").get(PAGE))
    assert '<del class="struck">Put in quarantine. Reason: fell down.</del>' in page
    assert "it was another one" in page
    assert "Struck: it never happened" in page


def test_what_was_corrected_stays_with_what_it_says_now(hospital, signed_in):
    """Both are in the story, the old one struck through."""
    event = parts.quarantine(of(hospital, "ward"), [PART], "fell down")
    corrections.correct(of(hospital, "ward"), event.id, "wrong word", data={"reason": "fell in the sink"})
    page = text_of(signed_in("ward").get(PAGE))
    assert '<del class="struck">Put in quarantine. Reason: fell down.</del>' in page
    assert "It now says: Put in quarantine. Reason: fell in the sink." in page
    assert "Written in place of an earlier entry: wrong word" in page


def test_a_story_is_told_page_by_page_and_whole(hospital, signed_in):
    """Of a long story each entry comes once, newest first."""
    lead = hospital.witness("I-01")
    for number in range(60):
        parts.quarantine(lead, [PART], f"reason number {number:02}")
    client = signed_in("ward")
    first = client.get(PAGE)
    older = text_of(first).partition('href="?before=')[2].partition("#")[0]
    second = text_of(client.get(f"{PAGE}?before={older}"))
    told = [text_of(first).count(f"Reason: reason number {n:02}.") for n in range(60)]
    told_after = [second.count(f"Reason: reason number {n:02}.") for n in range(60)]
    assert [a + b for a, b in zip(told, told_after, strict=True)] == [1] * 60
    assert told[59] == 1
    assert told[0] == 0
    assert "Enrolled as" in second
    assert len(first.content) < 100_000


def questions(client, address):
    """Return what a page asks of the databases, beside keeping the session."""
    with ExitStack() as stack:
        asked = [stack.enter_context(CaptureQueriesContext(connections[name])) for name in connections]
        assert client.get(address).status_code == 200
    told = [query["sql"] for one in asked for query in one.captured_queries]
    assert told
    return [sql for sql in told if sql.startswith(("SELECT", "WITH"))]


def test_a_page_asks_the_database_as_often_however_long_the_story(hospital, signed_in):
    """At most twelve questions, with one entry or with two hundred."""
    client = signed_in("ward")
    client.get(PAGE)  # the protocol is read once
    assert len(questions(client, PAGE)) <= 12
    for count in range(200):
        parts.quarantine(hospital.witness("I-01"), [PART], f"reason {count}")
    assert len(questions(client, PAGE)) <= 12


def test_the_page_of_a_part_that_waits_for_its_proof_asks_little_too(hospital, signed_in):
    """Though its cycle, its criteria and its instruments are looked at: at most twelve questions."""
    technical, hands = of(hospital, "technical"), trained(hospital)
    for name in ("Logger 1", "Logger 2"):
        supplies.enrol_equipment(technical, name)
    autoclave = next(iter(supplies.enrol_equipment(technical, "Autoclave 1").things)).code
    parts.take_apart(hands, [PART])
    parts.wash(hands, [PART])
    parts.dry(hands, [PART])
    parts.inspect(hands, [PART])
    loaded = cycles.load(hands, [PART], "steam", equipment=autoclave, setting="134 wrapped")
    code = next(thing.code for thing in loaded.things if thing.part == "cycle")
    cycles.start(hands, code)
    cycles.end(hands, code)
    client = signed_in("ward")
    page = text_of(client.get(PAGE))
    assert f"cycle {code} of {PART} is not judged" in page
    assert f'href="/thing/cycle/{code}"' in page
    assert len(questions(client, PAGE)) <= 12
    assert f'href="{PAGE}"' in text_of(client.get(f"/thing/cycle/{code}"))


# ---- what is recorded from here ----


def test_an_order_is_recorded_once_and_told(hospital, signed_in):
    """Sent twice over a weak network, it stands once."""
    client = signed_in("ward")
    told = {"reason": "fell down", "once": "abc123"}
    for _time in range(2):
        answer = client.post(f"{PAGE}/order/hold", told)
        assert answer.headers["Location"] == PAGE
    assert "is held back." in text_of(client.get(PAGE))
    assert hospital.view().state(PartState, PART).held == ("order:fell down",)
    assert [f.what for f in hospital.view().facts("part", PART)] == ["part.enrolled", "part.quarantined"]


def test_an_order_without_a_reason_or_a_role_is_not_recorded(hospital, signed_in):
    """The form says what is missing; a role that may not is told who may, and refused if it sends all the same."""
    assert signed_in("ward").post(f"{PAGE}/order/hold", {"reason": ""}).status_code == 400
    store = signed_in("store")
    assert "Your roles do not record this." in text_of(store.get(f"{PAGE}/order/hold"))
    assert store.post(f"{PAGE}/order/hold", {"reason": "fell down"}).status_code == 409
    assert hospital.view().state(PartState, PART).held == ()
    assert store.get(f"{PAGE}/order/explode").status_code == 404


def test_an_order_entered_afterwards_says_when_and_why(hospital, signed_in):
    """The story tells that it was entered afterwards."""
    told = {"reason": "fell down", "when": datetime.now(UTC).isoformat(), "why": "power cut"}
    client = signed_in("ward")
    assert client.post(f"{PAGE}/order/hold", told).headers["Location"] == PAGE
    page = text_of(client.get(PAGE))
    assert "Entered afterwards, on" in page
    assert ": power cut" in page


def test_an_entry_of_ones_own_is_struck_from_its_page(hospital, signed_in):
    """The reason is asked; another's entry offers nothing."""
    event = parts.quarantine(of(hospital, "ward"), [PART], "fell down")
    address = f"{PAGE}/entry/{event.id}"
    assert address in text_of(signed_in("ward").get(PAGE))
    assert address not in text_of(signed_in("reprocessing").get(PAGE))
    assert signed_in("ward").post(address, {"how": "strike", "said": ""}).status_code == 400
    refused = signed_in("reprocessing").post(address, {"how": "strike", "said": "not so"})
    assert refused.status_code == 409
    answer = signed_in("ward").post(address, {"how": "strike", "said": "another one", "once": "w1"})
    assert answer.headers["Location"] == PAGE
    assert hospital.view().state(PartState, PART).status == "soiled"


def test_an_entry_of_ones_own_is_corrected_from_its_page(hospital, signed_in):
    """What it should have said is recorded; its time too, if that was wrong."""
    event = parts.quarantine(of(hospital, "ward"), [PART], "fell down")
    address = f"{PAGE}/entry/{event.id}"
    page = text_of(signed_in("ward").get(f"{address}?how=correct"))
    assert 'value="fell down"' in page
    told = {"how": "correct", "said": "wrong word", "reason": "fell in the sink", "happened": ""}
    assert signed_in("ward").post(address, told).headers["Location"] == PAGE
    assert hospital.view().state(PartState, PART).held == ("order:fell in the sink",)


def test_striking_the_enrolment_leads_to_the_lists(hospital, signed_in):
    """A thing that never was has no page to go back to."""
    event = next(iter(hospital.view().facts("part", PART))).event
    answer = signed_in("store").post(f"{PAGE}/entry/{event.id}", {"how": "strike", "said": "typed twice"})
    assert answer.headers["Location"] == "/things"
    assert signed_in("store").get(PAGE).status_code == 404


def test_a_part_is_enrolled_with_the_code_that_was_scanned(hospital, signed_in):
    """A tag stays a tag, a code of ours becomes its own."""
    client = signed_in("store")
    assert 'name="tag" value="PUMP-0012"' in text_of(client.get("/enrol/part?code=PUMP-0012"))
    told = {"name": "Silicone circuit, adult", "tag": "PUMP-0012", "serial": "", "code": "", "cycles": "3"}
    made = client.post("/enrol/part", told).headers["Location"].rpartition("/")[2]
    assert hospital.view().state(PartState, made).cycles == 3
    assert client.get("/scan?code=PUMP-0012").headers["Location"] == f"/thing/part/{made}"
    assert signed_in("ward").post("/enrol/part", told).status_code == 409


def test_equipment_and_batches_are_enrolled_and_ordered(hospital, signed_in):
    """Enrolled, calibrated, taken out of service; used up."""
    technical, store = signed_in("technical"), signed_in("store")
    told = {"name": "Autoclave 1", "serial": "A 1", "code": ""}
    at = technical.post("/enrol/equipment", told).headers["Location"]
    code = at.rpartition("/")[2]
    technical.post(f"{at}/order/calibrate", {"day": "2099-01-01", "reason": ""})
    technical.post(f"{at}/order/hold", {"reason": "the door leaks"})
    state = hospital.view().state(EquipmentState, code)
    assert (state.calibration_due, state.status) == ("2099-01-01", "held")
    assert "the door leaks" in text_of(technical.get(at))
    name = names_of(hospital.view(), "batch")[0]
    at = store.post("/enrol/batch", {"name": name, "lot": "L 9", "code": ""}).headers["Location"]
    store.post(f"{at}/order/use_up", {"once": "x"})
    assert hospital.view().state(BatchState, at.rpartition("/")[2]).status == "used up"


def test_a_batch_page_says_why_it_may_not_be_used(hospital, signed_in):
    """Held back: not to be used, and why."""
    name = names_of(hospital.view(), "batch")[0]
    code = next(iter(supplies.enrol_batch(of(hospital, "store"), name).things)).code
    supplies.hold_batch(of(hospital, "store"), code, "smells weak")
    page = text_of(signed_in("ward").get(f"/thing/batch/{code}"))
    assert "take another batch" in page
    assert "smells weak" in page
    assert f"/look-back?batch={code}" in text_of(signed_in(LEAD).get(f"/thing/batch/{code}"))
    assert "/look-back" not in page


# ---- labels ----


@pytest.mark.parametrize("form", ["qr", "matrix"])
def test_the_label_reads_as_the_code_it_says(signed_in, form):
    """The drawing on the page, painted and read by another reader of codes, is the part's code."""
    page = text_of(signed_in("ward").get(f"{PAGE}/label?form={form}&copies=3"))
    assert page.count('class="symbol"') == 3
    size = [int(word) for word in page.partition('viewBox="')[2].partition('"')[0].split()][2:]
    path = page.partition('<path d="')[2].partition('"')[0]
    painted = Image.new("L", size, 255)
    brush = ImageDraw.Draw(painted)
    for left, top, right, bottom in squares(path):
        brush.rectangle((left, top, right - 1, bottom - 1), fill=0)
    large = painted.resize((size[0] * 8, size[1] * 8), Image.Resampling.NEAREST)
    assert [read.text for read in zxingcpp.read_barcodes(large)] == [PART]


def squares(path):
    """Yield the rectangles of a path such as M4 4h7v1h-7Z."""
    for piece in path.split("Z")[:-1]:
        start, wide, rest = piece[1:].replace("h", "|", 1).partition("|")[0], *piece.split("h")[1].split("v")
        left, top = map(int, start.split())
        yield left, top, left + int(wide), top + int(rest)


def test_a_patient_has_no_label(signed_in):
    """A patient is not a thing to stick a code on."""
    assert signed_in("ward").get("/thing/patient/R-1/label").status_code == 404
