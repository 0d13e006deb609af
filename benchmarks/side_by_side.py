"""Measuring works side by side in one run."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable


def best(*works: Callable[[], object], repeats: int = 9) -> list[float]:
    """Return the best time of each work, taken in turns so that the machine's moods touch all alike."""
    times: list[list[float]] = [[] for _work in works]
    for _ in range(repeats):
        for work, found in zip(works, times, strict=True):
            begun = time.perf_counter()
            work()
            found.append(time.perf_counter() - begun)
    return [min(found) for found in times]


def run(*arguments: str) -> subprocess.CompletedProcess[bytes]:
    """Run Python with these arguments, and with bytecode kept as an installed program has it."""
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return subprocess.run([sys.executable, *arguments], capture_output=True, check=False, env=kept)
