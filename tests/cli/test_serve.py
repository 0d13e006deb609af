"""`lungwort serve`, as far as it goes without serving."""

from running import lungwort


def test_an_unknown_zone_is_refused_before_anything_is_made(tmp_path):
    """A sentence with a remedy, and no database."""
    run = lungwort("serve", str(tmp_path / "hill.db"), "--zone", "Africa/Nowhere")
    assert run.code == 2
    assert "time zone 'Africa/Nowhere' is not known" in " ".join(run.err.split())
    assert not (tmp_path / "hill.db").exists()
