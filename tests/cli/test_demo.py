"""`lungwort demo`."""

import re
from unittest.mock import patch

import pytest
from running import lungwort


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """Return what the demonstration printed with five weeks of records, and its folder."""
    folder = tmp_path_factory.mktemp("demo") / "d"
    done = lungwort("demo", "--folder", folder, "--years", "0.1")
    assert done.code == 0, done.out
    return done.out, folder


def test_the_demo_proves_five_cycles_and_writes_their_papers(told):
    """Five logs, certificates and charts; the verdicts are those the cycles were made to show."""
    out, folder = told
    assert len(list(folder.glob("[1-5]-*.pdf"))) == len(list(folder.glob("[1-5]-*.html"))) == 5
    firsts = [line.split()[1] for line in out.splitlines() if line[:1] in set("■✕○")]
    words = [word for word in firsts if word in {"PASSED", "FAILED", "NOT"}]
    assert words == ["PASSED", "FAILED", "FAILED", "FAILED", "PASSED"]
    assert str(folder) in out


def test_the_demo_records_a_hospital_and_finds_whom_its_failure_exposed(told):
    """The database, its seal and the report are there; the look-back found exactly those who met the load."""
    out, folder = told
    assert {"hospital.db", "hospital.seal.txt", "look-back.pdf"} <= {path.name for path in folder.iterdir()}
    words = " ".join(out.split())
    assert "These are exactly the patients whom the simulation knows" in words
    for which in ("Machines", "Parts", "Single-patient packets"):
        assert re.search(rf"{which} now: \d+ in use, \d+ ready, \d+ in turnaround, \d+ quarantined\.", words)


def test_what_the_demo_says_to_try_works(told):
    """The records verify against their seal; the look-back from the planted cycle finds the patients it named."""
    out, folder = told
    database, sealed = folder / "hospital.db", (folder / "hospital.seal.txt").read_text().strip()
    (cycle,) = set(re.findall(r"--cycle (\S+)", out))
    assert lungwort("records", "verify", database, "--sealed", sealed).code == 0
    found = lungwort("look-back", database, "--cycle", cycle)
    assert found.code == 1
    named = re.search(r"touched parts?\. ((?:R-\d+, )*R-\d+)\.", " ".join(out.split()))[1].split(", ")
    assert all(patient in found.out for patient in named)


def test_the_demo_without_records_only_proves(tmp_path):
    """With --years 0 no hospital is recorded."""
    with patch("lungwort.cli.demo._show_cycles", lambda folder: 5):
        done = lungwort("demo", "--folder", tmp_path, "--years", "0")
    assert done.code == 0
    assert "hospital with its history" not in done.out
    assert not (tmp_path / "hospital.db").exists()
