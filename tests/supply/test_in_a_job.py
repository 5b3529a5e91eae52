"""The supply in a job: its readings move the odds of the places that they look at."""

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
inlet_valve = true
outlet_valve = "none"
injectors = 4
"""
LOW = 'load = "2.1 ± 0.1 bar"\nload_limit = ">= 3 bar"\n'
FILTER = 'before_filter = "{} ± 0.05 bar"\nfilter_limit = "<= 0.5 bar"\n'
FEEDS = 'pump_current = "{} ± 0.02 A"\ncurrent_limit = "4 to 7 A"\n'
DROP = 'battery_voltage = "13.8 ± 0.02 V"\npump_voltage = "13.8 ± 0.02 V"\nvoltage_limit = "<= 0.7 V"\n'


def odds(folder: Path, *steps: str) -> dict[str, float]:
    path = folder / "job.toml"
    path.write_text(HEAD + "".join(f'[[steps]]\ncalculator = "supply"\n[steps.inputs]\n{text}\n' for text in steps))
    outcome = work_out(read_sheet(path))
    assert all(worked.result for worked in outcome.steps)
    return dict(outcome.found.chances)


def test_a_filter_drop_makes_the_filter_likeliest(tmp_path: Path) -> None:
    found = odds(tmp_path, LOW + FILTER.format("4.8"))
    assert max(found, key=found.__getitem__) == "filter" and found["filter"] > 0.8


def test_a_good_filter_leaves_the_pump_and_its_wiring(tmp_path: Path) -> None:
    """With a low pressure alone, then with a small drop across the filter beside it."""
    before, after = odds(tmp_path, LOW), odds(tmp_path, LOW + FILTER.format("2.3"))
    assert after["filter"] < 0.2 * before["filter"] and after["tank pump"] > before["tank pump"]


def test_no_current_points_at_the_wiring(tmp_path: Path) -> None:
    found = odds(tmp_path, LOW + FEEDS.format("0.02"))
    assert found["tank pump wiring"] > found["filter"] and found["tank pump wiring"] > found["feed line"]


def test_a_drop_along_a_dead_wire_takes_nothing_off(tmp_path: Path) -> None:
    """13.8 V at both ends and no current known: the odds are those without the reading."""
    assert odds(tmp_path, LOW + DROP)["tank pump wiring"] == odds(tmp_path, LOW)["tank pump wiring"]
    flowing = odds(tmp_path, LOW + DROP + FEEDS.format("6.00"))
    assert flowing["tank pump wiring"] < 0.3 * odds(tmp_path, LOW)["tank pump wiring"]


def test_a_good_pressure_under_load_takes_the_supply_off(tmp_path: Path) -> None:
    found = odds(tmp_path, 'load = "4.0 ± 0.1 bar"\nload_limit = "3 to 5 bar"\nair = "none"\n')
    assert found["filter"] < 0.1 and found["tank pump"] < 0.1


def test_a_great_depression_is_no_worn_suction_pump(tmp_path: Path) -> None:
    before = odds(tmp_path)
    found = odds(tmp_path, 'load = "-0.45 ± 0.02 bar"\nload_limit = "-0.3 to 0 bar"\n')
    assert found["filter"] > 2 * before["filter"] and found["overflow valve"] < before["overflow valve"]
