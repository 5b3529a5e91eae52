"""Corrections in a job: an injector is likely where its cylinder compresses well, the cylinder where it does not."""

from __future__ import annotations

from pathlib import Path

import pytest

from baybook.jobs.evaluation import work_out
from baybook.jobs.sheet import read_sheet

HEAD = """
[complaint]
kind = "runs unevenly"
[system]
low_pressure = ["tank pump"]
outlet_valve = "rail"
injectors = 4
"""
STEP = '[[steps]]\ncalculator = "delivery"\n[steps.inputs]\n'
CORRECTIONS = """corrections = ["0.3 mm3/stroke", "-0.2 mm3/stroke", "3.1 mm3/stroke", "-0.6 mm3/stroke"]
correction_limit = "-2 to 2 mm3/stroke; sheet"
"""
LOW = 'peaks = ["300 ± 2 A", "302 ± 2 A", "238 ± 2 A", "298 ± 2 A"]\ncompression_limit = ">= 85 %; sheet"\n'
EVEN = LOW.replace("238", "299")
READ = """[[steps]]
calculator = "reading"
[steps.inputs]
what = "injector quantity correction"
value = "3.1 mm3/stroke"
limit = "-2 to 2 mm3/stroke; sheet"
place = "injector 3"
"""


def odds(folder: Path, *steps: str) -> dict[str, float]:
    path = folder / "job.toml"
    path.write_text(HEAD + "".join(steps), encoding="utf-8")
    return dict(work_out(read_sheet(path)).found.chances)


def test_a_low_cylinder_is_the_likeliest_place(tmp_path: Path) -> None:
    found = odds(tmp_path, STEP + CORRECTIONS + LOW)
    assert max(found, key=found.__getitem__) == "compression" and found["compression"] > 0.5


def test_with_even_compression_it_is_that_injector_or_its_drive(tmp_path: Path) -> None:
    found = odds(tmp_path, STEP + CORRECTIONS + EVEN)
    group = sum(found[name] for name in ("injector 3", "injector 3 coil", "injector 3 wiring"))
    assert group > 0.6 and found["compression"] < 0.05
    assert all(found["injector 3"] > 2 * found[f"injector {n}"] for n in (1, 2, 4))


def test_a_bench_record_leaves_the_injector_with_its_coil(tmp_path: Path) -> None:
    bench = 'volumes = ["22 mL", "22 mL", "31 mL", "23 mL"]\nstrokes = 1000\nquantity_limit = "20 to 26 mm3/stroke; bench"\n'
    found = odds(tmp_path, STEP + CORRECTIONS + EVEN + bench)
    assert max(found, key=found.__getitem__) == "injector 3"
    assert found["injector 3"] + found["injector 3 coil"] > 0.85 and found["injector 3 wiring"] < 0.1


def test_the_same_correction_read_twice_counts_once(tmp_path: Path) -> None:
    once, twice = odds(tmp_path, STEP + CORRECTIONS), odds(tmp_path, STEP + CORRECTIONS, READ)
    assert twice["injector 3"] == pytest.approx(once["injector 3"], abs=0.02)
