"""What an archive of real job sheets takes: time over their number, memory of its processes, the share of all processors, and
what a run that was stopped takes to go on.

    python tests/benchmarks/bench_archive.py [SHEETS]

The sheets are whole jobs of an invented workshop, each with readings and an outcome of its own; one in a hundred cannot be
read.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from processes import BAYBOOK, environment

JOB = """\
format = 1
[complaint]
kind = "{kind}"
[system]
low_pressure = ["tank pump"]
filter = true
inlet_valve = true
outlet_valve = "none"
injectors = 4
[[steps]]
calculator = "returns"
[steps.inputs]
volumes = [{volumes}]
time = "60 s"
rail_pressure = "300 bar"
flow_limit = "<= 45 mL/min"
[[steps]]
calculator = "regulator"
[steps.inputs]
where = "inlet"
meter_counts = "low"
pressure = "{pressure} ± 10 bar"
target = "1200 ± 2 bar"
inlet_duty = "5 ± 0.5 %"
inlet_usual_duty = "18 to 30 %"
inlet_current = "0.20 ± 0.02 A"
inlet_expected_current = "0.20 ± 0.01 A"
[[steps]]
calculator = "reading"
[steps.inputs]
what = "feed pressure"
value = "{feed} bar"
limit = "3.5 to 5 bar"
load = "yes"
[[steps]]
calculator = "coil"
[steps.inputs]
part = "injector"
number = {number}
reading = "{coil} ± 0.02 ohm"
leads = "0 ± 0 ohm"
temperature = "20 ± 1 °C"
limit = "0.4 to 0.8 ohm"
[outcome]
place = "{place}"
confirmed = "the same test after the repair"
"""
PLACES = ("injector 3", "filter", "pump elements", "injector 1 coil", "tank pump", "no fault")
LINEAR, FLAT = 1.25, 1.25
"""Bars: time for a sheet, and peak of memory, of all sheets over those of a tenth of them."""


def made(folder: Path, count: int) -> None:
    """As many sheets as that."""
    chance = random.Random(1)
    for number in range(count):
        place = chance.choice(PLACES)
        volumes = [chance.uniform(25, 35) * (4 if place == f"injector {n}" else 1) for n in (1, 2, 3, 4)]
        text = JOB.format(
            kind=chance.choice(("lacks power", "starts badly", "runs unevenly")),
            volumes=", ".join(f'"{volume:.1f} mL"' for volume in volumes),
            pressure=chance.randrange(800, 1100) if place in ("filter", "pump elements", "tank pump") else 1200,
            feed=f"{chance.uniform(1, 3) if place in ('filter', 'tank pump') else chance.uniform(3.8, 4.6):.2f}",
            coil=0.1 if place == "injector 1 coil" else 0.6, number=1, place=place,
        )  # fmt: skip
        (folder / f"{number:05d}.toml").write_text("steps = [\n" if number % 100 == 99 else text, encoding="utf-8")


def run(folder: Path, lines: Path) -> tuple[float, float, float]:
    """Seconds of clock and of all processors, and the largest of its processes in MB (each stands for itself)."""
    begin = time.perf_counter()
    process = subprocess.Popen(
        [BAYBOOK, "archive", str(folder), "--lines", str(lines), "--json"], env=environment(),
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    _, status, used = os.wait4(process.pid, 0)
    assert os.waitstatus_to_exitcode(status) == 0
    return time.perf_counter() - begin, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def main(count: int = 10_000) -> int:
    """Print the figures; the exit code is 1 where a bar is passed."""
    with tempfile.TemporaryDirectory() as folder:
        few, many = Path(folder, "few"), Path(folder, "many")
        for path, number in ((few, count // 10), (many, count)):
            path.mkdir()
            made(path, number)
        small, large = run(few, Path(folder, "few.jsonl")), run(many, Path(folder, "many.jsonl"))
        lines = Path(folder, "many.jsonl").read_text(encoding="utf-8").splitlines()
        told = [json.loads(line) for line in lines]
        assert len(told) == count and sum("error" in line for line in told) == count // 100
        Path(folder, "cut.jsonl").write_text("\n".join(lines[: 9 * count // 10]) + "\n" + lines[-1][:30], encoding="utf-8")
        rest = run(many, Path(folder, "cut.jsonl"))
    slower = (large[1] / count) / (small[1] / (count // 10))
    for name, number, (clock, cpu, memory) in (
        ("a tenth", count // 10, small), ("all", count, large), ("going on after nine tenths", count // 10, rest)
    ):  # fmt: skip
        each = f"{1000 * cpu / number:5.1f} ms of processor each"
        print(f"{name:28} {number:6} sheets  {clock:7.1f} s  {each}  {cpu / clock:4.2f} busy  {memory:5.0f} MB", flush=True)
    print(f"time for a sheet, all over a tenth  {slower:.2f} (bar {LINEAR})")
    print(f"memory, all over a tenth            {large[2] / small[2]:.2f} (bar {FLAT})")
    return int(slower > LINEAR or large[2] / small[2] > FLAT)


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
