"""Ratios for proving a cycle, each pair measured side by side in this run. Run: make bench."""

from __future__ import annotations

import os
import resource
import sys
import tempfile
import time
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
from side_by_side import best, run

REPEATS = 9
CHANNELS = 12  # twelve temperatures and one pressure


def main() -> None:
    """Print every ratio with what is asked of it."""
    with tempfile.TemporaryDirectory() as folder:
        small = write_log(Path(folder) / "small.csv", 7_200)
        print("whole processes, best of", REPEATS)
        show("prove, 7,200 rows x 13 channels / import numpy", *small_process(small), at_most=3.0)
        large = write_log(Path(folder) / "large.csv", 1_000_000)
        print(f"\na log of 1,000,000 rows x 13 channels, {large.stat().st_size / 1e6:.0f} MB")
        show("read and judge / pandas.read_csv, one process each", *large_times(large), at_most=1.6)
        peak = peak_memory(large)
        show("peak memory / size of the file", peak, large.stat().st_size, at_most=6.0, unit="B")
    print("\none process, best of", REPEATS)
    show("CoolProp IF97 / own saturation temperature, a point", *saturation(), at_least=10.0)
    monte_carlo_ratio()


def show(
    what: str, one: float, other: float, at_most: float = 0, at_least: float = 0, unit: str = "s"
) -> None:
    """Print a ratio, its two sides and whether it is as asked."""
    ratio = one / other
    met = ratio <= at_most if at_most else ratio >= at_least
    asked = f"at most {at_most:g}" if at_most else f"at least {at_least:g}"
    print(
        f"  {what}: {ratio:.2f} ({asked}: {'met' if met else 'NOT met'})   [{one:.4g} {unit}, {other:.4g} {unit}]"
    )


def write_log(path: Path, rows: int) -> Path:
    """Write a log of a steam cycle stretched over `rows` seconds."""
    rng = np.random.default_rng(1)
    steam_c = 134.9 - 60 * np.exp(-np.arange(rows) / (rows / 20))
    columns = np.round(steam_c[:, None] + rng.normal(0, 0.05, (rows, CHANNELS)), 2)
    pressure = np.round(312 - 250 * np.exp(-np.arange(rows) / (rows / 20)), 1)
    start = datetime(2026, 5, 18, 9, 0)
    names = ",".join(f"T{i} (°C)" for i in range(1, CHANNELS + 1))
    with path.open("w", encoding="utf-8") as file:
        file.write(f"Date and time,{names},P (kPa abs)\n")
        for i in range(rows):
            values = ",".join(f"{v:.2f}" for v in columns[i])
            file.write(f"{start + timedelta(seconds=i)},{values},{pressure[i]:.1f}\n")
    return path


def prove_arguments(log: Path) -> list[str]:
    """Return the command line that proves a log."""
    options = ["--criterion", "steam-134C-3min", "--altitude", "0", "--sensor", "Pt100 A"]
    return ["-m", "lungwort", "prove", str(log), *options]


def small_process(log: Path) -> list[float]:
    """Time a whole proof and a bare import of numpy."""
    script = str(Path(sys.executable).with_name("lungwort"))  # as people start it
    proof = run(script, *prove_arguments(log)[2:])
    assert proof.returncode in (0, 1), proof.stderr.decode()
    return best(lambda: run(script, *prove_arguments(log)[2:]), lambda: run("-c", "import numpy"))


def large_times(log: Path) -> list[float]:
    """Time reading and judging against pandas' own reading, each with its imports done."""
    code = "import time, sys; {imports}; t = time.perf_counter(); {work}; print(time.perf_counter() - t)"
    own = code.format(
        imports="import pandas, lungwort.evidence.judge, lungwort.evidence.reading; "
        "from lungwort.cli.app import application",
        work=f"application()({[*prove_arguments(log)[2:], '--json']!r}, standalone_mode=False)",
    )
    other = code.format(imports="import pandas", work=f"pandas.read_csv({str(log)!r})")

    def seconds(source: str) -> float:
        return float(run("-c", source).stdout.split()[-1])

    return [min(found) for found in zip(*[(seconds(own), seconds(other)) for _ in range(3)], strict=True)]


def peak_memory(log: Path) -> float:
    """Return the peak resident memory of a whole proof, in bytes."""
    child = os.fork()
    if child == 0:
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, 1)
        os.execv(sys.executable, [sys.executable, *prove_arguments(log), "--json"])
    _pid, _status, usage = os.wait4(child, 0)
    assert isinstance(usage, resource.struct_rusage)
    return usage.ru_maxrss * 1024.0


def saturation() -> list[float]:
    """Time CoolProp's IF97 and our own saturation temperature over a million pressures."""
    from CoolProp.CoolProp import PropsSI

    from lungwort.science.steam import saturation_temperature_c

    pressure_kpa = np.linspace(50, 400, 1_000_000)
    pressure_pa, quality = pressure_kpa * 1000, np.zeros(1_000_000)
    ours = saturation_temperature_c(pressure_kpa)
    theirs = PropsSI("T", "P", pressure_pa, "Q", quality, "IF97::Water") - 273.15
    assert np.abs(ours - theirs).max() < 1e-6
    return best(
        lambda: PropsSI("T", "P", pressure_pa, "Q", quality, "IF97::Water"),
        lambda: saturation_temperature_c(pressure_kpa),
        repeats=3,
    )


def monte_carlo_ratio() -> None:
    """Compare the closed form of the coldest channel's lower bound with chunked Monte Carlo at 1e5 draws."""
    from lungwort.science.lethality import Z_K, accumulated, lethal_rate
    from lungwort.science.uncertainty import Bias, coldest_low, noise_inflation, noise_relative_sd

    elapsed_s = np.arange(7_200.0)
    truth = np.stack([121.0 + 0.05 * k + 0.3 * np.sin(elapsed_s / 300 + k) for k in range(12)])
    noise_k, bias = 0.3, Bias(half_width_k=0.39, u_k=0.05)
    readings = truth + np.random.default_rng(2).normal(0, noise_k, truth.shape)

    def closed() -> float:
        rates = np.asarray(lethal_rate(readings, 121.1))
        sums = np.array([accumulated(elapsed_s, r)[-1] for r in rates]) / float(noise_inflation(noise_k))
        spreads = [noise_relative_sd(elapsed_s, r, noise_k) for r in rates]
        return float(coldest_low(sums, [bias] * 12, Z_K, 0.95, False, spreads))

    def drawn(draws: int = 100_000, chunk: int = 50) -> float:
        return float(np.quantile(monte_carlo(readings, noise_k, bias, draws, chunk), 0.05))

    (ours,) = best(closed)
    begun = time.perf_counter()
    part = 1_000  # the draws are alike, so a hundredth of them is timed and the rest counted
    drawn(part)
    full_s = (time.perf_counter() - begun) * 100_000 / part
    show("Monte Carlo of 1e5 draws (a hundredth run, times 100) / closed form", full_s, ours, at_least=1000.0)
    exact, sampled = closed(), drawn(20_000)
    print(
        f"  they agree: lower bound {exact:.1f} s closed, {sampled:.1f} s drawn ({exact / sampled - 1:+.2%})"
    )


def monte_carlo(readings: np.ndarray, noise_k: float, bias: object, draws: int, chunk: int) -> np.ndarray:
    """Return draws of the coldest channel's lethality: readings less a drawn noise and a drawn bias each."""
    rng = np.random.default_rng(3)
    scale, found = np.log(10) / 10, []
    half, u = bias.half_width_k, bias.u_k  # type: ignore[attr-defined]
    inflation = np.exp((scale * noise_k) ** 2 / 2)
    for _ in range(draws // chunk):
        error = rng.uniform(-half, half, (chunk, len(readings))) + rng.normal(0, u, (chunk, len(readings)))
        total = np.empty((chunk, len(readings)))
        for k, channel in enumerate(readings):
            noise = rng.standard_normal((chunk, channel.size), dtype=np.float32) * noise_k
            rate = np.exp(scale * (channel - 121.1 - noise)) / inflation**2
            total[:, k] = 0.5 * (rate[:, 1:] + rate[:, :-1]).sum(axis=1)
        found.append((total * np.exp(-scale * error)).min(axis=1))
    return np.concatenate(found)


if __name__ == "__main__":
    main()
