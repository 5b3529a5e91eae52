"""Whole processes timed in turn, so that what disturbs the machine disturbs all alike; read ratios, not milliseconds."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

BAYBOOK = str(Path(sys.executable).with_name("baybook"))
PASS = [sys.executable, "-c", "pass"]
READINGS: dict[str, list[str]] = {
    "hold": ["hold", "--start", "350 ± 2 bar", "--end", "300 ± 2 bar", "--time", "60 ± 1 s", "--volume", "25 ± 2 mL"],
    "returns": ["returns", "--volumes", "20 mL; 22 mL; 19 mL; 31 mL", "--time", "60 s"],
    "coil": ["coil", "--reading", "3.1 ± 0.1 ohm", "--temperature", "40 ± 2 °C"],
    "regulator": ["regulator", "--where", "both", "--inlet-duty", "25 %", "--outlet-duty", "40 %", "--switched", "ground"],
}


def environment(**settings: str) -> dict[str, str]:
    """Ours, with a cache and a configuration of its own, and with bytecode kept as it is after set-up."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("BAYBOOK", "PYTHONDONTWRITE"))}
    folder = tempfile.mkdtemp(prefix="bench-")
    return {**kept, "BAYBOOK_CACHE": folder, "BAYBOOK_CONFIG": folder, **settings}


def quickest(runs: Mapping[str, tuple[Sequence[str], Mapping[str, str]]], rounds: int) -> dict[str, float]:
    """Least seconds of each command (command, environment), all of them once in every round; a first round is not counted.

    The least, because whatever disturbs a process only adds to its time.
    """
    times: dict[str, list[float]] = {name: [] for name in runs}
    for number in range(rounds + 1):
        for name, (command, env) in runs.items():
            start = time.perf_counter()
            done = subprocess.run(command, env=dict(env), capture_output=True, check=False)
            if done.returncode:
                raise SystemExit(f"{name}: exit code {done.returncode}: {done.stderr.decode()}")
            if number:
                times[name].append(time.perf_counter() - start)
    return {name: min(taken) for name, taken in times.items()}


def told(rows: Sequence[tuple[str, float, float | None]]) -> int:
    """Print (what, ratio, bar) as a table; 1 where a bar is passed, else 0."""
    for what, ratio, bar in rows:
        judged = "" if bar is None else f"   bar {bar:g}" + ("" if ratio <= bar else "   OVER")
        print(f"  {what:<44}{ratio:6.2f}{judged}")
    return int(any(bar is not None and ratio > bar for _, ratio, bar in rows))
