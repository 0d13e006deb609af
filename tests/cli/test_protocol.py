"""`lungwort protocol` as a user runs it, and a proof after a protocol."""

import io
import json
import sys

import pytest
from running import lungwort

from lungwort.demo.cycles import write_demo_logs
from lungwort.demo.protocol import DEMO_TODAY, demo_protocol_path
from lungwort.protocol.reading import read_protocol

DEMO = demo_protocol_path()
TEXT = DEMO.read_text("utf-8")


def words(text):
    """Return a text without its line ends."""
    return " ".join(text.split())


# ---- show ----


def test_a_card_is_printed_numbered_with_dangers_first():
    """One kind, any case; the recipe as on a day."""
    done = lungwort("protocol", "show", DEMO, "--part", "flow SENSOR", "--today", DEMO_TODAY)
    assert done.code == 0
    at = [
        done.out.index(text)
        for text in ("Flow sensor", "First: the dangers", " 1. Take apart", " 5. Soak", "Before use")
    ]
    assert at == sorted(at)
    assert "mL of Bleach, and water up to the mark" in words(done.out)
    assert "Mask" not in done.out


def test_without_a_part_every_kind_has_its_card():
    """Fourteen."""
    done = lungwort("protocol", "show", DEMO, "--today", DEMO_TODAY)
    assert all(kind.name in done.out for kind in read_protocol(DEMO).protocol.kinds)


def test_markdown_and_json_say_the_same():
    """For a wiki and for programs."""
    options = ("protocol", "show", DEMO, "--today", DEMO_TODAY, "--part", "Silicone circuit, adult")
    page, data = lungwort(*options, "--markdown").out, json.loads(lungwort(*options, "--json").out)
    (card,) = data["cards"]
    assert card["kind"] == "Silicone circuit, adult"
    assert len(card["steps"]) == 10
    assert "## Silicone circuit, adult" in page
    for step in card["steps"]:
        assert f"{step['number']}. **{step['what']}**" in page
    assert "2.37 bar here" in page
    assert card["minutes"] == 177


def test_nothing_a_person_wrote_becomes_markdown(tmp_path):
    """Stars and brackets stay what they are."""
    path = tmp_path / "p.toml"
    path.write_text(TEXT.replace('"Water trap"', '"Water *trap* [x](y)"'), "utf-8")
    out = lungwort("protocol", "show", path, "--markdown", "--part", "Water *trap* [x](y)").out
    assert "## Water \\*trap\\* \\[x\\](y)" in out


def test_an_unknown_part_is_refused_with_those_there_are():
    """Exit 2."""
    done = lungwort("protocol", "show", DEMO, "--part", "hose")
    assert done.code == 2
    assert "no kind of part called 'hose'; it has: Ventilator with turbine;" in done.err


# ---- new ----

HILL = ("--place", "Hill Hospital", "--altitude", "2300", "--autoclave", "bar", "--removal", "pre-vacuum")


def test_new_writes_a_document_without_a_terminal(tmp_path):
    """All questions as options; what is not said there is not."""
    path = tmp_path / "new.toml"
    done = lungwort("protocol", "new", path, *HILL, "--bath", "88", "--bleach", "5 %", "--role", "washer")
    assert done.code == 0
    assert "lungwort vet new.toml" in done.out
    protocol = read_protocol(path).protocol
    assert protocol.place.altitude_m == 2300
    assert (
        protocol.autoclaves[0].settings[0].pressure == 2.37
    )  # 135 °C: 313.2 − 76.6 kPa (IAPWS-IF97, ISO 2533)
    assert (protocol.baths[0].highest_c, protocol.stocks[0].strength) == (88.0, "5 %")
    assert [role.name for role in protocol.roles] == ["washer"]


def test_new_needs_only_the_place(tmp_path):
    """No autoclave, no bath, no bleach: said so by leaving them out."""
    path = tmp_path / "new.toml"
    assert lungwort("protocol", "new", path, "--place", "H", "--barometer", "76,6 kPa").code == 0
    protocol = read_protocol(path).protocol
    assert (protocol.autoclaves, protocol.baths, protocol.stocks) == ((), (), ())
    assert protocol.place.barometer_kpa == 76.6


def test_new_asks_at_a_terminal(tmp_path, monkeypatch):
    """One question after the other, with the usual answers offered."""
    terminal = io.StringIO("Hill Hospital\n2300\npsi absolute\n\n88\nnone\n\n")
    terminal.isatty = lambda: True
    monkeypatch.setattr(sys, "stdin", terminal)
    path = tmp_path / "new.toml"
    done = lungwort("protocol", "new", path)
    assert done.code == 0, done.err
    protocol = read_protocol(path).protocol
    (autoclave,) = protocol.autoclaves
    assert (protocol.place.name, autoclave.gauge_unit, autoclave.gauge_kind) == (
        "Hill Hospital",
        "psi",
        "absolute",
    )
    assert autoclave.removal == "gravity"
    assert [role.name for role in protocol.roles] == ["technician", "nurse"]


def test_new_overwrites_nothing(tmp_path):
    """The file that is there stays as it is."""
    path = tmp_path / "new.toml"
    path.write_text("mine", "utf-8")
    done = lungwort("protocol", "new", path, "--place", "H", "--altitude", "0")
    assert (done.code, path.read_text("utf-8")) == (2, "mine")
    assert "is there already and is not overwritten; give another name" in done.err


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ((), "--place is missing, and there is no terminal to ask at"),
        (("--place", "H"), "--altitude is missing"),
        (("--place", "H", "--altitude", "high"), "high"),
        (
            (*HILL, "--autoclave", "furlong"),
            "--autoclave 'furlong' is no gauge; give one of kPa, bar, mbar, psi, MPa",
        ),
        ((*HILL, "--removal", "hand"), "--removal 'hand' is not known; give gravity or pre-vacuum"),
        ((*HILL, "--bath", "188"), "--bath '188' is no temperature of a water bath"),
        ((*HILL, "--bleach", "strong"), "strong"),
    ],
)
def test_new_refuses_what_it_does_not_understand(tmp_path, options, says):
    """Exit 2, and no file is left behind."""
    path = tmp_path / "new.toml"
    done = lungwort("protocol", "new", path, *options)
    assert (done.code, path.exists()) == (2, False)
    assert says in done.err


def test_new_says_where_it_cannot_write(tmp_path):
    """A folder that is not there."""
    done = lungwort("protocol", "new", tmp_path / "none" / "new.toml", "--place", "H", "--altitude", "0")
    assert done.code == 2
    assert "new.toml cannot be written" in done.err


# ---- prove after a protocol ----


@pytest.fixture(scope="module")
def logs(tmp_path_factory):
    """Return the demo's logs by the number of their cycle."""
    return [cycle.path for cycle in write_demo_logs(tmp_path_factory.mktemp("logs"))]


def prove(log, part, *options, protocol=DEMO):
    """Prove a log after a protocol."""
    return lungwort("prove", log, "--protocol", protocol, "--part", part, *options)


@pytest.fixture
def adopted_long_ago(tmp_path):
    """Return the demo protocol with adoptions of the year 2020, so that no clock has a say."""
    path = tmp_path / "protocol.toml"
    path.write_text(TEXT.replace("on = 2026-08-20", "on = 2020-08-20"), "utf-8")
    return path


def test_a_proof_takes_criterion_air_and_sensor_from_the_protocol(logs, adopted_long_ago):
    """The same verdict as with all of it typed; the assumptions say where it came from."""
    done = prove(
        logs[0], "silicone circuit, adult", "--pressure-error", "1.5", "--json", protocol=adopted_long_ago
    )
    data = json.loads(done.out)
    typed = (
        "--criterion",
        "steam-134C-3min",
        "--altitude",
        "2300",
        "--sensor",
        "Pt100 A",
        "--pressure-error",
        "1.5",
    )
    same = json.loads(lungwort("prove", logs[0], *typed, "--json").out)
    assert (done.code, data["verdict"]) == (0, "passed")
    for key in ("findings", "channels", "log"):
        assert data[key] == same[key]
    assert data["circumstances"] == same["circumstances"]
    said = " ".join(data["assumptions"])
    assert (
        "From the protocol Turnaround of ventilator parts, version 2026-2: Silicone circuit, adult, step 6"
        in said
    )
    assert "Air of Ridgeway Hospital by the protocol: 76.6 kPa, give or take 3 kPa" in said
    assert "Thermometer by the protocol: Logger 1 on Autoclave 1, Pt100 A." in said


def test_an_adopted_criterion_is_shown_as_adopted(logs, adopted_long_ago):
    """In JSON, in the text and in its cautions; the other rule sets are not."""
    data = json.loads(prove(logs[0], "silicone circuit, adult", "--json", protocol=adopted_long_ago).out)
    (judged,) = data["criteria"]
    assert judged["adopted"] is True
    assert judged["adoption"].startswith("Adopted on 2020-08-20 by Infection control lead")
    assert not any(other["adopted"] for other in data["others"])
    said = words(prove(logs[0], "silicone circuit, adult", protocol=adopted_long_ago).out)
    assert "Adopted on 2020-08-20" in said
    assert "No criterion here is adopted" not in said
    assert "still a person's decision" in said


@pytest.mark.parametrize(
    ("was", "becomes"),
    [('criterion = "steam-134C-3min"', 'criterion = "F0-15"'), ("on = 2020-08-20", "on = 2999-08-20")],
)
def test_what_is_not_adopted_or_not_yet_is_not_shown_as_adopted(logs, adopted_long_ago, was, becomes):
    """Another criterion's adoption, or a day to come, opens no gate."""
    text = adopted_long_ago.read_text("utf-8")
    adopted_long_ago.write_text(text.replace(was, becomes), "utf-8")
    done = prove(logs[0], "silicone circuit, adult", "--json", protocol=adopted_long_ago)
    assert json.loads(done.out)["criteria"][0]["adopted"] is False
    said = words(prove(logs[0], "silicone circuit, adult", protocol=adopted_long_ago).out)
    assert "No criterion here is adopted" in said


def test_what_is_typed_overrules_the_protocol(logs):
    """Criterion, barometer and sensor; and it is not said to come from the protocol."""
    options = ("--criterion", "F0-8", "--barometer", "76.9", "--sensor", "±1 K", "--json")
    data = json.loads(prove(logs[0], "silicone circuit, adult", *options).out)
    assert [c["name"] for c in data["criteria"]] == ["F0-8"]
    assert data["criteria"][0]["adopted"] is False
    assert data["circumstances"]["air_pressure_kpa"] == 76.9
    assert data["circumstances"]["sensor"] == "±1 K"
    assert not any("by the protocol" in text for text in data["assumptions"])


def test_a_barometer_in_the_protocol_is_not_that_of_the_day(logs, tmp_path):
    """The weather moves the air by 3 kPa, whatever was read when the protocol was written."""
    path = tmp_path / "p.toml"
    path.write_text(TEXT.replace("altitude_m = 2300", "barometer_kpa = 76.6"), "utf-8")
    data = json.loads(prove(logs[0], "silicone circuit, adult", "--json", protocol=path).out)
    assert data["circumstances"]["air_pressure_error_kpa"] == 3.0


def test_a_lapsed_calibration_is_said(logs, tmp_path):
    """The cycle of March 2026 was recorded after it."""
    path = tmp_path / "p.toml"
    path.write_text(TEXT.replace("calibration_due = 2027-06-30", "calibration_due = 2025-06-30"), "utf-8")
    out = words(prove(logs[0], "silicone circuit, adult", protocol=path).out)
    assert "The calibration of Logger 1 lapsed on 2025-06-30, before this cycle" in out


def test_a_bath_and_a_soak_are_proved_after_the_protocol_too(logs, adopted_long_ago):
    """Hot water by its log, a soak from lines by hand."""
    bath = prove(logs[3], "mask, adult", "--json", protocol=adopted_long_ago)
    assert json.loads(bath.out)["criteria"][0]["name"] == "A0-3000"
    options = ("--hand", "14:00 in; strip 1500 mg/L ±20 %; 14:25 out; made 13:30; rinse sterile", "--json")
    soak = lungwort("prove", *options, "--protocol", adopted_long_ago, "--part", "flow sensor")
    data = json.loads(soak.out)
    assert data["criteria"][0]["name"] == "hypochlorite-parts-1000mgL"
    assert data["criteria"][0]["adopted"] is True


TWICE = TEXT.replace(
    'name = "Silicone circuit, adult"\n',
    'name = "Silicone circuit, adult"\n',
).replace(
    '  { do = "dry", by = "technician", minutes = 30, note = "In the pack',
    '  { do = "treat", by = "technician", minutes = 45, process = "hot water", equipment = "Bath 1", '
    "temperature_c = 85, hold_min = 25, proved_by = [] },\n"
    '  { do = "dry", by = "technician", minutes = 30, note = "In the pack',
    1,
)


@pytest.mark.parametrize(
    ("text", "options", "says"),
    [
        (TEXT, ("--protocol", "P"), "say of which kind of part with --part; the protocol has: Ventilator"),
        (TEXT, ("--protocol", "P", "--part", "hose"), "no kind of part called 'hose'"),
        (
            TEXT,
            ("--protocol", "P", "--part", "Trolley"),
            "no step treats Trolley with steam, hot water or a soak",
        ),
        (
            TEXT,
            ("--protocol", "P", "--part", "Water trap", "--step", "2"),
            "step 2 of Water trap treats nothing; give one of these with --step: 6: steam",
        ),
        (
            TWICE,
            ("--protocol", "P", "--part", "Silicone circuit, adult"),
            "several steps treat Silicone circuit, adult; say which with --step: 6: steam, Autoclave 1, "
            "134 wrapped; 7: hot water, Bath 1",
        ),
        (
            TWICE,
            ("--protocol", "P", "--part", "Silicone circuit, adult", "--step", "7"),
            "step 7, names no criterion that proves it; write proved_by there, or give --criterion",
        ),
        (TEXT, ("--part", "Water trap"), "--part and --step belong to a protocol"),
        (
            TEXT.replace('used_on = ["Bath 1"]', 'used_on = ["Bath 1", "Autoclave 1"]'),
            ("--protocol", "P", "--part", "Water trap"),
            "several thermometers are used on Autoclave 1 (Logger 1: Pt100 A; Logger 2: ±0.3 K); say which of "
            "them was read, with --sensor",
        ),
    ],
)
def test_what_the_protocol_leaves_open_is_asked(logs, tmp_path, text, options, says):
    """Exit 2, and the message names the choices."""
    path = tmp_path / "p.toml"
    path.write_text(text, "utf-8")
    done = lungwort("prove", logs[0], *(path if option == "P" else option for option in options))
    assert done.code == 2
    assert says in done.err


def test_with_the_step_named_one_of_several_is_proved(logs, tmp_path):
    """The steam of the two."""
    path = tmp_path / "p.toml"
    path.write_text(TWICE, "utf-8")
    data = json.loads(prove(logs[0], "Silicone circuit, adult", "--step", "6", "--json", protocol=path).out)
    assert data["criteria"][0]["name"] == "steam-134C-3min"


def test_the_certificate_says_whether_it_is_adopted(logs, adopted_long_ago, tmp_path):
    """On paper as on the terminal."""
    from pypdf import PdfReader

    pdf = tmp_path / "c.pdf"
    prove(logs[0], "silicone circuit, adult", "--certificate", pdf, protocol=adopted_long_ago)
    said = words(PdfReader(pdf).pages[0].extract_text())
    assert "It opens no gate" not in said
    assert "The hospital has adopted what it asks for" in said
