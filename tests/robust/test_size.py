"""A capture as large as is taken fits the memory that is promised for it, in every calculator that reads one."""

from __future__ import annotations

import gzip
import math
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

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
ROWS = MOST_VALUES // 2  # of one column, and of two a third: the times that a rate makes count too
RATE = 100_000  # Hz: so that no column of times has to be written
LINUX = pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="only Linux tells the peak of a process")


def falling() -> str:
    """A shut rail, in steps of its sensor."""
    return "".join(f"{350 - 0.01 * step:.2f}\n" * (ROWS // 1000) for step in range(1000))


def pulsed() -> str:
    """A coil's current, 100 samples a period."""
    return "".join(f"{1.2 + 0.001 * (n if n < 40 else 66 - 0.66 * n):.3f}\n" for n in range(100)) * (ROWS // 100)


def wavy() -> str:
    """A rail that a pump feeds, 5 000 samples a wave."""
    return "".join(f"{800 + 10 * math.sin(n * math.tau / 5000):.2f}\n" for n in range(5000)) * (ROWS // 5000)


def cranked() -> str:
    """Five seconds at rest, twenty of cranking, at rest again."""
    return "5.0;0\n" * 500_000 + "300.0;220\n301.0;221\n" * 1_000_000 + "5.0;0\n" * 500_000


def stepped() -> str:
    """A target that stands and is met, twice."""
    return "501.0;500\n502.0;500\n" * (MOST_VALUES // 12) + "701.0;700\n702.0;700\n" * (MOST_VALUES // 12)


TRIED: dict[str, tuple[str, Callable[[], str], list[str]]] = {
    "hold": ("Rail pressure [bar]", falling, ["--volume", "25 mL", "--temperature", "40 °C"]),
    "drive": ("Coil current [A]", pulsed, ["--form", "pwm", "--part", "inlet-valve"]),
    "ripple": ("Rail pressure [bar]", wavy, ["--speed", "800 rpm", "--elements", "3"]),
    "cranking": ("Rail pressure [bar];Engine speed [rpm]", cranked, []),
    "target": ("Rail pressure [bar];Rail pressure setpoint [bar]", stepped, []),
}


def told(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """The command, that says at the end what it took."""
    return subprocess.run(
        [sys.executable, "-c", ROOM, *arguments],
        cwd=folder, capture_output=True, text=True, encoding="utf-8", timeout=300, check=False,
    )  # fmt: skip


@LINUX
@pytest.mark.parametrize("name", TRIED)
def test_the_largest_capture_fits_the_memory(tmp_path: Path, name: str) -> None:
    header, rows, arguments = TRIED[name]
    (tmp_path / "c.csv").write_text(f"{header}\n{rows()}")
    ran = told(tmp_path, name, "--capture", "c.csv", "--rate", f"{RATE} Hz", *arguments)
    assert ran.returncode == 0, ran.stderr
    assert float(ran.stderr.split()[-1]) <= PROMISED


@LINUX
@pytest.mark.parametrize(
    ("line", "why"),
    [(b"1;2\n", "holds more than 5 000 000 rows"), (b"  \n", "gives nothing in"), (b"\0\0\0", "has a line of more than 16 MB")],
)
def test_a_small_packed_file_takes_no_more(tmp_path: Path, line: bytes, why: str) -> None:
    """60 MB of the same in 60 kB: the bound is said."""
    head = b"Time [s];Rail pressure [bar]\n" + b"".join(b"%d;350.%d\n" % (n, n % 10) for n in range(50))
    (tmp_path / "c.csv.gz").write_bytes(gzip.compress(head + line * (60_000_000 // len(line)), 1))
    ran = told(tmp_path, "capture", "c.csv.gz")
    assert (ran.returncode, why in ran.stderr, "fault" in ran.stderr) == (2, True, False), ran.stderr
    assert float(ran.stderr.split()[-1]) < PROMISED
