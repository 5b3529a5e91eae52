"""The pump in a job: a low pressure counts against the pump only with the valve shut, and after the supply was seen."""

from __future__ import annotations

from pathlib import Path

from baybook.jobs.evaluation import work_out
from baybook.jobs.sheet import read_sheet

HEAD = """
[complaint]
kind = "lacks power"
[system]
low_pressure = ["tank pump"]
filter = true
outlet_valve = "rail"
injectors = 4
"""
LOW = 'calculator = "pump"\n[steps.inputs]\nhighest = "600 ± 10 bar"\npressure_limit = ">= 1300 bar"\noutlet_shut = "{}"\n'
SUPPLY = 'calculator = "supply"\n[steps.inputs]\nload = "4.0 ± 0.05 bar"\nload_limit = "3 to 5 bar"\nair = "none"\n'


def odds(folder: Path, *steps: str) -> dict[str, float]:
    path = folder / "job.toml"
    path.write_text(HEAD + "".join(f"[[steps]]\n{step}" for step in steps), encoding="utf-8")
    return dict(work_out(read_sheet(path)).found.chances)


def test_a_good_supply_makes_the_pump_likelier(tmp_path: Path) -> None:
    alone, fed = odds(tmp_path, LOW.format("driven-shut")), odds(tmp_path, SUPPLY, LOW.format("driven-shut"))
    assert fed["pump elements"] > 1.4 * alone["pump elements"] and fed["filter"] < 0.5 * alone["filter"]


def test_with_the_valve_not_shut_it_says_nothing(tmp_path: Path) -> None:
    before = odds(tmp_path)
    assert odds(tmp_path, LOW.format("not-shut"))["pump elements"] < 1.1 * before["pump elements"]
    assert odds(tmp_path, LOW.format("driven-shut"))["pump elements"] > 1.5 * before["pump elements"]
