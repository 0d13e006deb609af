"""`lungwort look-back`, as a user runs it."""

import json
import sys
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader
from running import lungwort, words

from lungwort.records.connect import connect, disconnect

sys.path.insert(0, str(Path(__file__).parents[1] / "records" / "look_back"))

from ward_book import HILL, WardBook


@pytest.fixture(autouse=True)
def in_utc(monkeypatch):
    """The machine's zone is that of Greenwich."""
    import time

    monkeypatch.setenv("TZ", "UTC")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.fixture
def records(tmp_path):
    """Return a file: Y-1 failed, C-1 went to P-1 and is on P-2 now; C-2 passed and went to P-3."""
    path = tmp_path / "hospital.db"
    book = WardBook(connect(path, new=True))
    book.enrol("C-1 C-2")
    book.cycle("Y-1", "C-1", "failed")
    book.cycle("Y-2", "C-2")
    book.use("S-1", "C-1 M-1", "P-1")
    book.connect("S-2", "C-1 M-2", "P-2", ward="Intensive care")
    book.use("S-3", "C-2 M-3", "P-3")
    disconnect(path)
    return path


def test_what_is_still_out_is_told_first_and_gives_exit_code_1(records):
    """Then what to do, then who, then what is not shown."""
    done = lungwort("look-back", records, "--cycle", "Y-1")
    said = words(done)
    assert done.code == 1
    assert said.startswith("✕ 1 PART IS STILL OUT Look-back from cycle Y-1")
    assert "Confidential" in said
    assert "Tell ward Intensive care now: patient P-2 is on set-up S-2 with C-1." in said
    order = ["take out first", "What to do now", "Who was exposed", "Parts touched", "Not shown"]
    assert [said.index(text) for text in order] == sorted(said.index(text) for text in order)
    assert "P-3" not in said


def test_nothing_found_gives_exit_code_0_and_still_says_what_is_not_shown(records):
    """Nobody is promised anything."""
    done = lungwort("look-back", records, "--part", "C-2", "--since", "2026-03-03")
    assert done.code == 0
    assert done.out.startswith("· NO TOUCHED PART IS RECORDED AS STILL OUT")
    assert "It is not shown that nobody else was exposed" in words(done)


def test_json_carries_the_answer_and_the_seal(records):
    """Plain data for other programs."""
    data = json.loads(lungwort("look-back", records, "--cycle", "Y-1", "--json").out)
    assert [e["patient"] for e in data["exposures"]] == ["P-1", "P-2"]
    assert data["seal"].startswith("lungwort-seal-1 ")
    assert data["seal"].endswith(HILL)


def test_every_beginning_can_be_typed(records):
    """Each option asks its own question."""
    for option, code, kind in (
        ("--cycle", "Y-1", "failed cycle"),
        ("--positive-indicator", "Y-1", "positive indicator"),
        ("--equipment", "A-1", "faulty equipment"),
        ("--part", "C-1", "defective part"),
        ("--patient", "P-1", "infected patient"),
    ):
        data = json.loads(lungwort("look-back", records, option, code, "--json").out)
        assert (data["question"]["start_kind"], data["question"]["code"]) == (kind, code)


def test_a_day_means_its_beginning_for_since_and_its_end_for_until(records):
    """P-1 used C-1 on 2 March 2026."""
    ends = ("--since", "2026-03-02", "--until", "2026-03-02")
    data = json.loads(lungwort("look-back", records, "--patient", "P-1", *ends, "--json").out)
    assert data["question"]["since"] == "2026-03-02T00:00:00.000000Z"
    assert data["question"]["until"] == "2026-03-02T23:59:59.999999Z"
    assert [e["patient"] for e in data["exposures"]] == ["P-2"]


def test_empty_records_are_told(tmp_path):
    """Rather than asking for a place that is not there."""
    connect(tmp_path / "new.db", new=True)
    disconnect(tmp_path / "new.db")
    done = lungwort("look-back", tmp_path / "new.db", "--cycle", "C-NDJP42-Y")
    assert (done.code, "nothing is recorded in these records yet" in done.err) == (2, True)


@pytest.mark.parametrize(
    ("typed", "until"),
    [
        ("20260302", "2026-03-02T23:59:59.999999Z"),
        ("2026-03-02 14:00", "2026-03-02T14:00:59.999999Z"),
        ("2026-03-02T14:00:30", "2026-03-02T14:00:30.999999Z"),
    ],
)
def test_what_is_typed_for_until_counts_to_its_end(records, typed, until):
    """However a day is written; and a minute, since pages tell no seconds."""
    data = json.loads(lungwort("look-back", records, "--patient", "P-1", "--until", typed, "--json").out)
    assert data["question"]["until"] == until


def test_the_report_is_never_written_over_the_records(records):
    """One slip of the hand would have been the end of them."""
    before = records.read_bytes()
    done = lungwort("look-back", records, "--cycle", "Y-1", "--pdf", records)
    assert (done.code, records.read_bytes() == before) == (2, True)
    assert "is a database, such as records, and stays as it is" in done.err


def test_the_report_is_a_pdf_that_says_the_same(records, tmp_path):
    """Confidential, what is still out, who, and the seal."""
    path = tmp_path / "report.pdf"
    lungwort("look-back", records, "--cycle", "Y-1", "--pdf", path)
    text = " ".join(PdfReader(BytesIO(path.read_bytes())).pages[0].extract_text().split())
    for part in ("Confidential", "1 part is still out", "P-1", "P-2", "Intensive care", "lungwort-seal-1"):
        assert part in text


def test_on_a_phone_no_line_is_wider_than_the_screen(records, monkeypatch):
    """40 columns."""
    monkeypatch.setenv("COLUMNS", "40")
    lines = lungwort("look-back", records, "--cycle", "Y-1").out.splitlines()
    assert max(map(len, lines)) <= 40


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ((), "name one beginning, not 0"),
        (("--cycle", "Y-1", "--part", "C-1"), "name one beginning, not 2"),
        (("--cycle", "Y-1", "--since", "2026-03-02"), "--since and --until belong to"),
        (("--cycle", "Y-1", "--same-ward"), "--same-ward belongs to --patient"),
        (("--part", "C-1", "--since", "yesterday"), "--since 'yesterday' is no moment"),
        (("--part", "C-1", "--since", "0001-01-01"), "--since '0001-01-01' is no moment"),
        (("--part", "C-1", "--since", "2026-03-03", "--until", "2026-03-02"), "exchange the two"),
        (("--patient", " "), "no code is given"),
        (("--cycle", "Y-7"), "nothing is recorded at Hill Hospital about cycle 'Y-7'"),
        (("--cycle", "Y-1", "--place", "Vale"), "name the place by --place: Hill Hospital"),
    ],
)
def test_what_cannot_be_asked_is_refused_with_the_remedy(records, options, says):
    """Exit code 2 and one sentence."""
    done = lungwort("look-back", records, *options)
    assert done.code == 2
    assert says in done.err


@pytest.mark.parametrize(
    ("kind", "typed", "asked"),
    [
        ("failed cycle", "c ndjp42y", "C-NDJP42-Y"),
        ("failed cycle", "Y-7", "Y-7"),
        ("infected patient", "c-ndjp42-y", "c-ndjp42-y"),
    ],
)
def test_a_code_of_ours_may_be_typed_in_small_letters(kind, typed, asked):
    """What is no code of ours, and a patient's reference, stays as typed."""
    from lungwort.cli.look_back import question_typed

    assert question_typed({kind: typed}, None, None, False).code == asked
