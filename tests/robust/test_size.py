"""A capture as large as is taken fits the memory that is promised for it, in every calculator that reads one."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from baybook.captures.bounds import MOST_VALUES

PROMISED = 500  # MB
ROOM = """
import sys
from baybook.start import main
sys.argv = ["baybook", *sys.argv[1:]]
code = main()
for line in open("/proc/self/status"):
    if line.startswith("VmHWM"):
        print("peak", int(line.split()[1]) / 1024, file=sys.stderr)
sys.exit(code)
"""
Signals = dict[str, np.ndarray]


def hold(t: np.ndarray) -> Signals:
    return {"Rail pressure [bar]": 350 * np.exp(-t / 2000) + np.random.default_rng(1).normal(0, 0.3, len(t))}


def drive(t: np.ndarray) -> Signals:
    return {"Coil current [A]": 1.2 + 0.2 * ((t * 10) % 1 < 0.4) + np.random.default_rng(1).normal(0, 0.01, len(t))}


def ripple(t: np.ndarray) -> Signals:
    return {"Rail pressure [bar]": 800 + 10 * np.sin(25 * t) + np.random.default_rng(1).normal(0, 1, len(t))}


def crank(t: np.ndarray) -> Signals:
    turns = (t > 1) & (t < 50)
    return {
        "Rail pressure [bar]": np.where(turns, 300.0, 5.0) + np.random.default_rng(1).normal(0, 1, len(t)),
        "Engine speed [rpm]": np.where(turns, 220.0, 0.0),
    }


def steps(t: np.ndarray) -> Signals:
    target = 500 + np.floor(t / 20) * 10
    return {"Rail pressure [bar]": target + 1, "Rail pressure setpoint [bar]": target}


TRIED: dict[str, tuple[Callable[[np.ndarray], Signals], list[str]]] = {
    "hold": (hold, ["--volume", "25 mL", "--temperature", "40 °C"]),
    "drive": (drive, ["--form", "pwm", "--part", "inlet-valve"]),
    "ripple": (ripple, ["--speed", "800 rpm", "--elements", "3"]),
    "cranking": (crank, []),
    "target": (steps, []),
}


def peak(folder: Path, name: str, values: int) -> float:
    """MB that the command takes at most for a capture of so many values."""
    signals, arguments = TRIED[name]
    rows = values // (1 + len(signals(np.zeros(1))))
    time = np.arange(rows) * (60.0 / rows)
    columns = {"Time [s]": time, **signals(time)}
    np.savetxt(folder / "c.csv", np.column_stack(list(columns.values())), "%.5f", ",", header=",".join(columns), comments="")
    ran = subprocess.run(
        [sys.executable, "-c", ROOM, name, "--capture", "c.csv", *arguments],
        cwd=folder, capture_output=True, text=True, encoding="utf-8", timeout=300, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    return float(ran.stderr.split()[-1])


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="only Linux tells the peak of a process")
@pytest.mark.parametrize("name", TRIED)
def test_the_largest_capture_fits_the_memory(tmp_path: Path, name: str) -> None:
    """Straight on from two smaller ones, so that the test is no longer than it has to be."""
    small, large = 200_000, 1_600_000
    little, much = peak(tmp_path, name, small), peak(tmp_path, name, large)
    assert little + (much - little) / (large - small) * (MOST_VALUES - small) <= PROMISED
