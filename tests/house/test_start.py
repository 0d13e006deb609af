"""What a start of the command may import."""

import subprocess
import sys

HEAVY = (
    "pandas",
    "scipy",
    "openpyxl",
    "typst",
    "vl_convert",
    "rich.console",
    "matplotlib",
    "asyncio",
    "django",
    "psycopg",
)


def test_a_proof_imports_nothing_heavier_than_numpy(tmp_path):
    """One ordinary file on an old PC: the standard library, numpy and typer are enough."""
    path = tmp_path / "bath.csv"
    path.write_text("time,T1 (°C)\n" + "".join(f"14:{m:02d}:00,82.0\n" for m in range(30)), "utf-8")
    code = f"""
import sys
sys.argv = ["lungwort", "prove", sys.argv[1], "--criterion", "A0-600"]
from lungwort.cli.app import main
try:
    main()
except SystemExit:
    pass
print("IMPORTED", [m for m in {HEAVY!r} if m in sys.modules])
"""
    done = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True)
    assert "PASSED" in done.stdout or "NOT SHOWN" in done.stdout
    assert done.stdout.strip().endswith("IMPORTED []")
