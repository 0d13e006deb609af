"""The certificate: one page, every fact on it, nothing in it that a log could inject."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader

from lungwort import __version__
from lungwort.errors import LungwortError
from lungwort.evidence.log import Channel
from lungwort.evidence.verdict import CriterionVerdict, HeatVerdict, Outcome
from lungwort.language import number
from lungwort.library.catalogue import all_criteria
from lungwort.paper.certificate import certificate_pdf, write_certificate

Judged = Callable[..., HeatVerdict]
MADE_AT = datetime(2026, 5, 18, 14, 5)
A4_PT = (595.28, 841.89)  # ISO 216: 210 mm x 297 mm
HOSTILE = (
    "#pagebreak()",
    "$x$ @y *b* _c_ `r`",
    '<a href="x">\'&',
    "] #set page(height: 9pt) [",
    "\\u{41} // /* x",
)
AMHARIC = "የውሃ ማጠቢያ"


def page(verdict: HeatVerdict) -> str:
    """Return the text of the certificate, having checked that it is one A4 page."""
    reader = PdfReader(BytesIO(certificate_pdf(verdict, MADE_AT)))
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(A4_PT, abs=0.01)
    return squeezed(reader.pages[0].extract_text())


def squeezed(text: str) -> str:
    """Return a text without blanks, so that line breaks on the page do not matter."""
    return re.sub(r"\s+", "", text)


def named(make: Judged, names: tuple[str, ...], **more: object) -> HeatVerdict:
    """Return a bath of 84 °C with the given channel names."""
    times = np.arange(0.0, 1200.0, 10.0)
    channels = [Channel(n, "temperature", np.full(120, 84.0 + 0.1 * i), "°C") for i, n in enumerate(names)]
    return make(times, channels, ["A0-600"], **more)


def crowded(make: Judged) -> HeatVerdict:
    """Return a verdict with twelve channels, forty assumptions, ten criteria and sixty long findings."""
    times = np.arange(0.0, 1500.0, 5.0)
    base = np.interp(times, [0, 700, 1100, 1500], [40, 122, 122, 60])
    channels = [
        Channel(f"load point {i} of the upper tray", "temperature", base - 0.2 * i, "°C") for i in range(12)
    ]
    assumed = tuple(f"Line {i} had a stray mark and was left out of the readings." for i in range(40))
    verdict = make(times, channels, ["steam-121C-15min"], assumptions=assumed, file_name="long name " * 30)
    outcomes = (Outcome.PASSED, Outcome.PASSED, Outcome.NOT_SHOWN)
    findings = [
        replace(verdict.findings[0], rule=f"rule {i}", outcome=outcomes[i % 3], says=f"No. {i} says. " * 14)
        for i in range(60)
    ]
    findings[59] = replace(findings[59], outcome=Outcome.FAILED, says="The gravest of all comes last.")
    criteria = all_criteria()[:10]
    groups = [CriterionVerdict(c, tuple(findings[i * 6 : i * 6 + 6])) for i, c in enumerate(criteria)]
    return replace(verdict, criteria=tuple(groups))


@pytest.mark.parametrize("cycle", ["steam", "bath", "cool_bath"])
def test_every_fact_stands_on_the_page(cycle: str, request: pytest.FixtureRequest) -> None:
    """HeatVerdict, criterion, findings with source and basis, file, digest, version and moment are all printed."""
    verdict: HeatVerdict = request.getfixturevalue(cycle)
    text = page(verdict)
    criterion = verdict.criteria[0].criterion
    facts = ["Proof of a cycle", str(verdict.outcome).capitalize(), criterion.title, criterion.tradition]
    facts += [
        verdict.log.file_name,
        verdict.log.sha256,
        f"Lungwort {__version__}",
        "18 May 2026 14:05",
        "95 %",
    ]
    facts += [part for f in verdict.findings for part in (f.says, f.source, str(f.basis))]
    facts += [*verdict.assumptions, *(c.name for c in verdict.channels), "Name", "Role", "Date", "Signature"]
    facts += ["opens no gate", "17 March 2026 08:41"]
    absent = [fact for fact in facts if squeezed(fact) not in text]
    assert absent == []


def test_other_rules_that_would_fail_say_by_which_rule(cool_bath: HeatVerdict) -> None:
    """Ten minutes at 70 °C are an A0 of 60, far from 3000; a true minus is printed too."""
    below = replace(cool_bath, assumptions=(f"Down to {number(-2.5)} K.",))
    text = squeezed(page(below))
    assert squeezed("A0-3000") in text
    assert re.search(squeezed("A0-3000") + r"[^;]*\(A0\)", text)
    assert squeezed("Down to −2.5 K.") in text


def test_no_verdict_speaks_of_safety(steam: HeatVerdict, cool_bath: HeatVerdict) -> None:
    """The word is on no page."""
    assert all("safe" not in page(v).lower() for v in (steam, cool_bath))


def test_the_page_is_archival(bath: HeatVerdict) -> None:
    """The metadata claim PDF/A-2b (ISO 19005-2): part 2, conformance B."""
    made = certificate_pdf(bath, MADE_AT)
    assert re.search(rb"pdfaid:part(>|=\")2", made)
    assert re.search(rb"pdfaid:conformance(>|=\")B", made)


def test_every_font_is_embedded(bath: HeatVerdict) -> None:
    """A page printed elsewhere looks the same: each font brings its file, and only the library's own are used."""
    reader = PdfReader(BytesIO(certificate_pdf(bath, MADE_AT)))
    names = set()
    for font in reader.pages[0]["/Resources"]["/Font"].values():
        descendant = font.get_object()["/DescendantFonts"][0].get_object()
        names.add(descendant["/BaseFont"].split("+")[1].split("-")[0])
        described = descendant["/FontDescriptor"].get_object()
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(described)
    assert names <= {"LibertinusSerif", "DejaVuSansMono"}


def test_the_same_verdict_and_moment_give_the_same_bytes(bath: HeatVerdict) -> None:
    """Nothing on the page comes from the clock or the machine."""
    assert certificate_pdf(bath, MADE_AT) == certificate_pdf(bath, MADE_AT)


def test_a_crowded_verdict_is_cut_to_one_page_with_the_gravest_kept(make: Judged) -> None:
    """Long lists end with a count, and the one failed finding survives every cut."""
    text = page(crowded(make))
    assert squeezed("The gravest of all comes last.") in text
    assert re.search(r"and\d+more,seetheJSON", text)
    assert squeezed("load point 11 of the upper tray") in text  # the coldest of twelve


def test_the_count_of_what_was_cut_is_right(make: Judged) -> None:
    """Assumptions shown and assumptions counted as left out make the whole."""
    verdict = crowded(make)
    text = page(verdict)
    section = text[text.index("Assumed") : text.index("Evidence")]
    shown = sum(squeezed(a) in section for a in verdict.assumptions)
    left_out = re.search(r"and(\d+)more", section)
    assert left_out is not None
    assert shown + int(left_out[1]) == len(verdict.assumptions)


def test_twelve_channels_are_all_listed_where_there_is_room(make: Judged) -> None:
    """A page with few findings has room for every channel."""
    names = tuple(f"point {i:02d}" for i in range(12))
    text = page(named(make, names))
    assert all(squeezed(name) in text for name in names)


def test_markup_in_names_is_printed_and_not_obeyed(make: Judged) -> None:
    """Names and file names are data: what looks like markup stands on the page as it is written."""
    text = page(named(make, HOSTILE, file_name="#panic() <x> $.csv"))
    assert all(squeezed(name) in text for name in (*HOSTILE, "#panic() <x> $.csv"))


def test_a_name_in_another_script_is_rewritten_and_said(make: Judged) -> None:
    """Amharic is spelt by its syllables, with the code points it stands for; other scripts become boxes."""
    text = page(named(make, (AMHARIC, "水", "火", "nul\x00\udcff\u202e\u0301")))
    assert "yawehaamaathabiyaa" in text
    assert "U+12E8U+12CDU+1203" in text
    assert "U+6C34" in text


def test_a_very_long_name_does_not_break_the_page(make: Judged) -> None:
    """A name of 400 letters without a blank is cut in the middle."""
    assert "…" in page(named(make, ("T" * 400, "W" * 400), file_name="M" * 400))


def test_a_verdict_on_nothing_is_still_one_page(steam: HeatVerdict) -> None:
    """No criterion, channel or finding: not shown, and said so."""
    nothing = replace(
        steam, criteria=(), others=(), channels=(), assumptions=(), log=replace(steam.log, channels=())
    )
    text = page(nothing)
    assert "Notshown" in text
    assert squeezed("No criterion was asked for.") in text


def test_a_log_without_clock_times_says_so(bath: HeatVerdict) -> None:
    """The period is then given from the log's start."""
    text = page(replace(bath, log=replace(bath.log, started=None)))
    assert squeezed("the log has no clock time") in text


def test_the_real_logs_fit_on_a_page(real_logs: Path, make: Judged) -> None:
    """Four days of a solar water heater, four channels with missing sensors, make one page."""
    rows = [line.split(",") for line in (real_logs / "06_06-10.csv").read_text().splitlines()[1:]]
    values = np.array([[np.nan if "OL" in cell else float(cell) for cell in row[2:6]] for row in rows])
    channels = [Channel(f"T{i + 1}", "temperature", values[:, i], "°C") for i in range(4)]
    text = page(make(np.arange(len(rows)) * 600.0, channels, ["A0-600"]))
    assert "Failed" in text
    assert squeezed(f"up to {len(rows)} readings") in text


def test_a_certificate_in_no_folder_is_refused_by_name(bath: HeatVerdict, tmp_path: Path) -> None:
    """The message names the place and the remedy."""
    with pytest.raises(LungwortError, match=r"proof\.pdf cannot be written.*folder that exists"):
        write_certificate(bath, tmp_path / "nowhere" / "proof.pdf", MADE_AT)


def test_a_certificate_is_written_where_asked(bath: HeatVerdict, tmp_path: Path) -> None:
    """The file is the PDF."""
    write_certificate(bath, tmp_path / "proof.pdf", MADE_AT)
    assert (tmp_path / "proof.pdf").read_bytes().startswith(b"%PDF-1.7")
