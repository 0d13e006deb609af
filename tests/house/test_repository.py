"""What the repository may not carry."""

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FORBIDDEN = re.compile(
    r"(^|[^a-z])/(work|farm|root|home)/|pypi\.org|pythonhosted|npmjs|debian\.org", re.IGNORECASE
)


def tracked() -> list[Path]:
    """Return the files git tracks; none outside a checkout."""
    done = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    return [ROOT / name for name in done.stdout.splitlines()]


def test_no_file_carries_a_machine_path_or_a_registry():
    """Only this test may spell them."""
    files = [
        p
        for p in tracked()
        if p.suffix in {".py", ".md", ".toml", ".lock", ".typ", ".yml", ""} and p.is_file()
    ]
    if not files:
        pytest.skip("not a git checkout")
    found = [
        f"{p.name}: {line}"
        for p in files
        if p != Path(__file__)
        for line in _lines(p)
        if FORBIDDEN.search(line)
    ]
    assert found == []


def test_the_lock_file_pins_hashes_and_no_addresses():
    """Every requirement has a hash."""
    text = (ROOT / "requirements.lock").read_text("utf-8")
    assert "://" not in text
    assert text.count("==") <= text.count("--hash=sha256:")


def test_no_source_file_has_more_than_400_lines():
    """A crowded room is redesigned."""
    long = [p.name for p in (ROOT / "src").rglob("*.py") if len(_lines(p)) > 400]
    assert long == []


def _lines(path: Path) -> list[str]:
    return path.read_text("utf-8", errors="replace").splitlines()
