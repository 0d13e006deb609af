"""`lungwort demo`."""

from running import lungwort


def test_the_demo_proves_five_cycles_and_writes_their_papers(tmp_path):
    """Five logs, certificates and charts; the verdicts are those the cycles were made to show."""
    done = lungwort("demo", "--folder", tmp_path / "d")
    assert done.code == 0
    for suffix in (".pdf", ".html"):
        assert len(list((tmp_path / "d").glob(f"*{suffix}"))) == 5
    firsts = [line.split()[1] for line in done.out.splitlines() if line[:1] in set("■✕○")]
    words = [word for word in firsts if word in {"PASSED", "FAILED", "NOT"}]
    assert words == ["PASSED", "FAILED", "FAILED", "FAILED", "PASSED"]
    assert str(tmp_path / "d") in done.out
