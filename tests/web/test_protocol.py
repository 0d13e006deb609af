"""The protocol's pages: cards, the text with vetting beside it, versions, criteria, and a first text."""

import pytest
from served import code_of

from lungwort.demo.protocol import demo_protocol_path
from lungwort.protocol.reading import parse_protocol
from lungwort.records.life import protocols
from lungwort.records.states.kinds import CriterionState, ProtocolState

TEXT = demo_protocol_path().read_text("utf-8")
NEXT = TEXT.replace('version = "2026-2"', 'version = "2026-3"')
LEAD = "infection control lead"


@pytest.fixture
def lead(signed_in):
    """Return a signed-in infection control lead."""
    return signed_in(LEAD)


def state_of(hospital):
    """Return what is recorded of the protocol."""
    return hospital.view().state(ProtocolState, "protocol")


def test_everybody_reads_the_cards(signed_in):
    """Dangers, steps with their minutes, proof, checks and duties of a kind."""
    client = signed_in("ward")
    assert "2026-2" in client.get("/protocol").content.decode()
    page = client.get("/protocol/card/Silicone%20circuit,%20adult").content.decode()
    for text in (
        "First: the dangers",
        "Treat with steam",
        "Leak test passed on the ventilator",
        "Drain condensate",
    ):
        assert text in page
    assert client.get("/protocol/card/Kettle").status_code == 404
    assert client.get("/protocol/edit").status_code == 403


def test_vetting_stands_beside_the_text_and_records_nothing(lead, hospital):
    """A fault is told with its line, the line's words and its remedy; publishing is not offered."""
    wrong = NEXT.replace("pressure = 2.37", "pressure = 1.10")
    page = lead.post("/protocol/edit", {"step": "vet", "text": wrong, "once": "v"}).content.decode()
    assert "Not to be used as it is" in page
    assert "<code>pressure = 1.10" in page
    assert 'value="publish"' not in page
    assert "Changed:" in page
    assert state_of(hospital).version == "2026-2"


def test_a_text_that_cannot_be_read_is_kept_with_its_faults(lead):
    """What was typed stands there still."""
    page = lead.post("/protocol/edit", {"step": "vet", "text": "title = 3", "once": "v"}).content.decode()
    assert "cannot be read as it is" in page
    assert "title = 3</textarea>" in page


def test_a_new_version_is_published_once(lead, hospital):
    """It is in force from then on; the same version again is refused with its reason, and the text is kept."""
    page = lead.post("/protocol/edit", {"step": "vet", "text": NEXT, "once": "v"}).content.decode()
    assert 'value="publish"' in page
    answer = lead.post("/protocol/edit", {"step": "publish", "text": NEXT, "once": "p"}, follow=True)
    assert "version 2026-3 is in force" in answer.content.decode()
    assert state_of(hospital).version == "2026-3"
    again = lead.post("/protocol/edit", {"step": "publish", "text": NEXT, "once": "q"})
    assert again.status_code == 409
    assert "was published already" in again.content.decode()


def test_line_ends_of_a_browser_do_not_change_the_text(lead, hospital):
    """A form sends CR LF; what is kept has line ends as the text had them."""
    lead.post("/protocol/edit", {"step": "publish", "text": NEXT.replace("\n", "\r\n"), "once": "p"})
    state = state_of(hospital)
    assert hospital.view().evidence(state.versions["2026-3"]).decode() == NEXT


def test_a_version_is_withdrawn_with_a_reason_and_a_first_text_is_offered(lead, hospital):
    """Then nothing is in force, and the page says so."""
    told = {"deed": "withdraw", "version": "2026-2", "reason": "wrong gauge", "once": "w"}
    page = lead.post("/protocol", told, follow=True).content.decode()
    assert "No version is in force" in page
    assert "wrong gauge" in page
    assert "Begin from the generic library" in page


def test_a_first_text_reads_back_and_names_what_is_to_be_filled_in(lead, hospital):
    """The generic protocol for the place's altitude; nothing is recorded by it."""
    told = {
        "step": "begin",
        "altitude_m": "1500",
        "gauge": "bar gauge",
        "removal": "gravity",
        "roles": "technician, nurse",
    }
    page = lead.post("/protocol/edit", told).content.decode()
    assert "A first protocol for Hill" in page
    assert "Vetting" in page
    assert parse_protocol(TEXT).protocol.version == state_of(hospital).version
    refused = lead.post("/protocol/edit", told | {"altitude_m": "90000"})
    assert refused.status_code == 400
    wrong = lead.post("/protocol/edit", told | {"bleach": "strong"})
    assert wrong.status_code == 400


def test_a_criterion_is_adopted_after_a_source_and_dropped_with_a_reason(lead, hospital):
    """Without a source it is not."""
    name = "A0-3000"
    assert (
        lead.post("/protocol", {"deed": "adopt", "criterion": name, "source": "", "once": "a"}).status_code
        == 409
    )
    page = lead.post(
        "/protocol",
        {"deed": "adopt", "criterion": name, "source": "Our guideline 2025, 4", "once": "a"},
        follow=True,
    )
    assert "Our guideline 2025, 4" in page.content.decode()
    assert hospital.view().state(CriterionState, name).by == code_of(LEAD)
    lead.post("/protocol", {"deed": "drop", "criterion": name, "reason": "replaced", "once": "d"})
    assert hospital.view().state(CriterionState, name).status == "dropped"


def test_nobody_but_the_lead_decides(signed_in, hospital):
    """A form sent all the same is refused with who may."""
    client = signed_in("ward")
    page = client.get("/protocol").content.decode()
    assert 'name="deed"' not in page
    answer = client.post("/protocol", {"deed": "withdraw", "version": "2026-2", "reason": "no", "once": "w"})
    assert answer.status_code == 409
    assert client.post("/protocol", {"deed": "burn"}).status_code == 400
    assert state_of(hospital).status == "in force"


def test_a_place_without_a_protocol_says_who_publishes_one(empty, hospital, signed_in):
    """Everybody reads what to do next."""
    protocols.withdraw(hospital.witness("I-01"), "2026-2", "wrong gauge")
    page = signed_in("ward").get("/protocol").content.decode()
    assert "The infection control lead publishes one." in page
