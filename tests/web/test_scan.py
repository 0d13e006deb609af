"""Scanning: by keyboard and by photo, to the thing, or to what can be done about a code that is not known."""

from html import unescape
from io import BytesIO

import numpy as np
import pytest
import zxingcpp
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image
from served import PART, code_of

from lungwort.errors import UnreadableCode
from lungwort.records.life import parts
from lungwort.web.scan import photo

GS1 = "(8004)6141411234"


def picture_of(*codes, form="QRCode", **told):
    """Return a picture in which codes stand side by side, as a camera would send it."""
    drawn = [
        zxingcpp.create_barcode(code, getattr(zxingcpp.BarcodeFormat, form), **told).to_image(scale=6)
        for code in codes
    ]
    made = [Image.fromarray(np.array(each)) for each in drawn]
    sheet = Image.new("L", (sum(each.width for each in made) + 200, 400), 255)
    at = 50
    for each in made:
        sheet.paste(each, (at, 50))
        at += each.width + 30
    kept = BytesIO()
    sheet.convert("RGB").save(kept, "JPEG")
    return SimpleUploadedFile("photo.jpg", kept.getvalue(), "image/jpeg")


@pytest.mark.parametrize("typed", [PART, "p8md8atm", " P-BMDBAT-M\r\n", "]Q1P-8MD8AT-M"])
def test_a_code_leads_to_its_thing_however_it_is_typed(signed_in, typed):
    """A scanner's prefix, small letters and look-alikes are read."""
    answer = signed_in("ward").get("/scan", {"code": typed})
    assert answer.headers["Location"] == f"/thing/part/{PART}"


def test_a_wrong_character_is_told_beside_the_field(signed_in):
    """Nothing is guessed; what was typed stays to be mended."""
    answer = signed_in("ward").get("/scan", {"code": "P-8MD8AT-N"})
    page = unescape(answer.content.decode())
    assert answer.status_code == 400
    assert "read the label again" in page
    assert 'value="P-8MD8AT-N"' in page


@pytest.mark.parametrize("typed", ["", "  ", "x" * 501, "a\x00b"])
def test_what_is_no_code_is_no_error_of_the_server(signed_in, typed):
    """Nothing, too much and what cannot be printed are answered with a sentence."""
    assert signed_in("ward").get("/scan", {"code": typed}).status_code == 400


def test_a_code_that_nobody_knows_offers_enrolment_to_the_store(signed_in):
    """With the code carried over."""
    answer = signed_in("store").get("/scan", {"code": "PUMP-0012"})
    assert answer.status_code == 404
    assert "/enrol/part?code=PUMP-0012" in answer.content.decode()


def test_a_makers_code_leads_to_the_part_that_bears_it(hospital, signed_in):
    """As GS1 in brackets, and in a photo of a GS1 Data Matrix."""
    event = parts.enrol(hospital.witness(code_of("store")), "Silicone circuit, adult", tag="8004 6141411234")
    code = next(thing.code for thing in event.things if thing.part == "part")
    client = signed_in("ward")
    assert client.get("/scan", {"code": GS1}).headers["Location"] == f"/thing/part/{code}"
    taken = picture_of(GS1, form="DataMatrix", gs1=True, force_square=True)
    assert client.post("/scan", {"photo": taken}).headers["Location"] == f"/thing/part/{code}"


def test_a_tag_that_went_from_a_withdrawn_part_to_another_leads_to_that(hospital, signed_in):
    """The one that is still here is meant."""
    store = hospital.witness(code_of("store"))
    old = parts.enrol(store, "Silicone circuit, adult", tag="TAG-1").things
    parts.withdraw(store, [next(t.code for t in old if t.part == "part")], "torn")
    new = parts.enrol(store, "Silicone circuit, adult", tag="TAG-1").things
    answer = signed_in("ward").get("/scan", {"code": "TAG-1"})
    assert answer.headers["Location"].endswith(next(t.code for t in new if t.part == "part"))


def test_a_photo_leads_to_the_thing_on_it(signed_in):
    """A QR Code in a JPEG."""
    answer = signed_in("ward").post("/scan", {"photo": picture_of(PART)})
    assert answer.headers["Location"] == f"/thing/part/{PART}"


def test_a_photo_of_two_things_asks_which(hospital, signed_in):
    """Each is a link."""
    event = parts.enrol(hospital.witness(code_of("store")), "Silicone circuit, adult")
    other = next(thing.code for thing in event.things if thing.part == "part")
    page = signed_in("ward").post("/scan", {"photo": picture_of(PART, other)}).content.decode()
    assert f"/thing/part/{PART}" in page
    assert f"/thing/part/{other}" in page


def test_a_photo_without_a_code_gets_advice(signed_in):
    """How to hold the camera, and that typing helps."""
    answer = signed_in("ward").post("/scan", {"photo": picture_of()})
    assert answer.status_code == 400
    assert "hold the camera" in unescape(answer.content.decode())


@pytest.mark.parametrize("content", [b"", b"%PDF-1.7", b"\xff\xd8\xff\xe0broken", b"GIF89a\xff\xff\xff\xff"])
def test_a_file_that_is_no_picture_is_no_error_of_the_server(signed_in, content):
    """It is answered with what to send."""
    taken = SimpleUploadedFile("photo.jpg", content, "image/jpeg")
    assert signed_in("ward").post("/scan", {"photo": taken}).status_code == 400


def test_a_picture_that_is_too_large_is_not_opened(monkeypatch):
    """By its bytes, and by its pixels before they are read."""
    with pytest.raises(UnreadableCode, match="16 MB, more than 15 MB"):
        photo.codes_in(BytesIO(b""), 16_000_000)
    monkeypatch.setattr(photo, "MOST_PIXELS", 100)
    taken = picture_of(PART)
    with pytest.raises(UnreadableCode, match="too many pixels"):
        photo.codes_in(taken, taken.size)


def test_the_field_waits_for_the_scanner(signed_in):
    """A hand scanner types into what has the focus."""
    page = signed_in("ward").get("/scan").content.decode()
    assert " autofocus" in page
    assert 'capture="environment"' in page


def test_a_persons_code_leads_to_their_page_where_that_is_open(signed_in):
    """An administrator gets there."""
    answer = signed_in("administrator").get("/scan", {"code": "I-01"})
    assert answer.headers["Location"] == "/people/I-01"
