"""Ratios for vetting a protocol, measured side by side in this run. Run: make bench."""

from __future__ import annotations

from side_by_side import best, run

from lungwort.demo.protocol import DEMO_TODAY, demo_protocol_path
from lungwort.protocol.document import Protocol
from lungwort.protocol.reading import parse_protocol
from lungwort.protocol.vet import vet
from lungwort.protocol.writing import protocol_text

REPEATS = 9
KINDS = 300


def main() -> None:
    """Print every figure with what is asked of it."""
    print("whole processes, best of", REPEATS)
    assert run(*vet_arguments()).returncode == 0
    whole, imports = best(lambda: run(*vet_arguments()), lambda: run("-c", "import pydantic, numpy"))
    ratio = whole / imports
    show(
        "lungwort vet of the demo protocol / import pydantic, numpy",
        f"{ratio:.2f}",
        ratio <= 3.0,
        "at most 3",
    )
    print(f"  [{whole:.3f} s, {imports:.3f} s]")
    text = protocol_text(national())
    (seconds,) = best(lambda: vet(parse_protocol(text), DEMO_TODAY), repeats=3)
    what = f"\none process: a national document of {KINDS} kinds, {len(text) / 1e3:.0f} kB, read and vetted"
    show(what, f"{seconds:.2f} s", seconds < 2.0, "under 2 s")
    small = demo_protocol_path().read_text("utf-8")
    (one,) = best(lambda: vet(parse_protocol(small), DEMO_TODAY))
    kinds = KINDS / len(parse_protocol(small).protocol.kinds)
    what = "a kind of the national document / a kind of the demo's"
    show(what, f"{seconds / kinds / one:.2f}", seconds / kinds / one <= 2.0, "at most 2")


def show(what: str, found: str, met: bool, asked: str) -> None:
    """Print a figure and whether it is as asked."""
    indent = "" if what.startswith("\n") else "  "
    print(f"{indent}{what}: {found} ({asked}: {'met' if met else 'NOT met'})")


def vet_arguments() -> list[str]:
    """Return the command line that vets the demo protocol."""
    return ["-m", "lungwort", "vet", str(demo_protocol_path()), "--today", DEMO_TODAY.isoformat()]


def national() -> Protocol:
    """Return a protocol of 300 kinds: the demo's kinds over and over, with names of their own."""
    protocol = parse_protocol(demo_protocol_path().read_text("utf-8")).protocol
    kinds = protocol.kinds
    many = [
        kinds[i % len(kinds)].model_copy(update={"name": f"{kinds[i % len(kinds)].name} {i}"})
        for i in range(KINDS)
    ]
    return protocol.model_copy(update={"kinds": tuple(many)})


if __name__ == "__main__":
    main()
