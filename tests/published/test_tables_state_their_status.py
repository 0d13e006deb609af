"""Every table says where it comes from and how far that can be trusted."""

import tomllib
from pathlib import Path

import pytest

WORDS = ("seen in print", "from memory", "computed")
TABLES = sorted(Path(__file__).parent.glob("*.toml"))


@pytest.mark.parametrize("path", TABLES, ids=lambda path: path.stem)
def test_a_table_names_its_source_and_status(path):
    """Each table has a source, and a status in at least one of three words."""
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    assert table["source"].strip()
    assert any(word in " ".join(table["status"].split()) for word in WORDS)
