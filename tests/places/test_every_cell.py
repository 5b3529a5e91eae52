"""Every cell of stage and side has its tests: told alike by the declarations, the README and the card, and each of them works.

How well a test sees a place is what the declarations say (common practice, no source); here they are held against each other.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from baybook import calculate
from baybook.jobs.evaluation import work_out
from baybook.jobs.offered import added_places, offered_tests
from baybook.jobs.sheet import read_sheet
from baybook.places.place import SIDES, STAGES, resolved
from baybook.places.system import SystemMap
from baybook_cards.general.stages import TESTS

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
SPEAKS = 0.7
ANYTHING = {"reading", "observation"}
CELLS = [(stage, side) for stage in STAGES for side in SIDES]
WIRE = {"current": "2 ± 0.1 A", "limit": "<= 0.3 V; sheet"}
BAD_WIRE, GOOD_WIRE = WIRE | {"drops": ["0.60 ± 0.01 V"]}, WIRE | {"drops": ["0.10 ± 0.01 V"]}
INJECTOR = {"part": "injector", "number": 3}
RAIL = {"start": "1000 ± 5 bar", "time": "60 ± 0.5 s", "volume": "25 ± 1 mL", "temperature": "40 ± 2 °C",
        "outlet_valve": "driven-shut"}  # fmt: skip
PUMP = {"pressure_limit": ">= 1300 bar; sheet", "outlet_shut": "driven-shut"}
RETURNS = {"time": "60 ± 0.5 s", "rail_pressure": "300 ± 5 bar", "flow_limit": "<= 45 mL/min; sheet"}
FEED = {"load_limit": "3.5 to 5 bar; sheet", "air": "none"}
BY_HAND: dict[tuple[str, str], tuple[str, dict[str, Any], dict[str, Any]]] = {
    ("supply", "hydraulic"): ("supply", FEED | {"load": "1.20 ± 0.05 bar"}, FEED | {"load": "4.30 ± 0.05 bar"}),
    ("supply", "control"): ("drop", {"part": "tank-pump"} | BAD_WIRE, {"part": "tank-pump"} | GOOD_WIRE),
    ("generation", "hydraulic"): ("pump", PUMP | {"highest": "600 ± 10 bar"}, PUMP | {"highest": "1500 ± 10 bar"}),
    ("generation", "control"): ("drop", {"part": "inlet-valve"} | BAD_WIRE, {"part": "inlet-valve"} | GOOD_WIRE),
    ("storage", "hydraulic"): ("hold", RAIL | {"end": "150 ± 5 bar", "limit": "<= 0.5 mL/min; sheet"},
                               RAIL | {"end": "985 ± 5 bar", "limit": "<= 6 mL/min; sheet"}),
    ("storage", "control"): ("drop", {"part": "rail-sensor"} | BAD_WIRE, {"part": "rail-sensor"} | GOOD_WIRE),
    ("delivery", "hydraulic"): ("returns", RETURNS | {"volumes": ["20 mL", "21 mL", "92 mL", "20 mL"]},
                                RETURNS | {"volumes": ["20 mL", "21 mL", "22 mL", "20 mL"]}),
    ("delivery", "control"): ("drop", INJECTOR | BAD_WIRE, INJECTOR | GOOD_WIRE),
}  # fmt: skip
"""For each cell a test by hand, readings of a fault there, and readings of none."""
HEAD = """[complaint]
kind = "does not start"
[system]
low_pressure = ["tank pump"]
filter = true
inlet_valve = true
outlet_valve = "rail"
injectors = 4
"""


@cache
def best() -> dict[tuple[str, str], dict[str, float]]:
    """By cell each calculator's best reach on any place there."""
    system = SystemMap.of(None, added_places())
    found: dict[tuple[str, str], dict[str, float]] = {cell: {} for cell in CELLS}
    for test in offered_tests().values():
        for target in test.sense.on(system) or ("",):
            for question in (each for each in test.sense.questions.values() if each.asked_of(target)):
                for pattern, chance in question.reach.items():
                    for place in system.places:
                        if place.matches(resolved(pattern, target)):
                            cell, name = found[place.stage, place.side], test.calculator.name
                            cell[name] = max(cell.get(name, 0.0), chance)
    return found


def speaking(cell: tuple[str, str]) -> list[str]:
    """The calculators that speak for a cell, by name."""
    return sorted(name for name, reach in best()[cell].items() if reach >= SPEAKS and name not in ANYTHING)


def rows() -> Iterator[str]:
    """The README's table as the declarations draw it."""
    for stage in STAGES:
        yield " | ".join([f"| {stage}", *(", ".join(f"`{name}`" for name in speaking((stage, side))) for side in SIDES)]) + " |"


def test_the_readme_has_the_table_that_the_declarations_draw() -> None:
    assert "|---|---|---|\n" + "\n".join(rows()) + "\n" in README


def test_the_card_names_only_tests_that_speak_for_the_cell() -> None:
    """And names one in every cell; what stands in brackets is a calculator."""
    for stage, *cells in TESTS.rows:
        for side, text in zip(SIDES, cells, strict=True):
            named = {name for group in re.findall(r"\(([^)]*)\)", str(text)) for name in group.split(", ")}
            assert named and named <= set(speaking((str(stage), side))), (stage, side, named)


@pytest.mark.parametrize("cell", CELLS, ids=" ".join)
def test_each_cell_can_be_tested_and_found_at_fault_and_not(cell: tuple[str, str]) -> None:
    """What is found is found at that cell: an outside reading accuses it, one within clears it as far as it reaches."""
    name, bad, good = BY_HAND[cell]
    assert name in speaking(cell)
    faults: dict[tuple[str, str], str] = {
        (finding.stage, finding.side): finding.strength for finding in calculate(name, **bad).findings
    }
    clears: dict[tuple[str, str], str] = {
        (finding.stage, finding.side): finding.strength for finding in calculate(name, **good).findings
    }
    assert faults[cell] in ("indicated", "proven") and clears[cell] == "cleared"


@pytest.mark.parametrize("cell", CELLS, ids=" ".join)
def test_the_odds_of_each_cell_go_up_with_a_fault_and_down_without(cell: tuple[str, str], tmp_path: Path) -> None:
    name, bad, good = BY_HAND[cell]
    before, faulty, sound = (weight(cell, tmp_path, name, inputs) for inputs in (None, bad, good))
    assert sound < before < faulty


def weight(cell: tuple[str, str], folder: Path, name: str, inputs: dict[str, Any] | None) -> float:
    """The odds of all places of a cell together, after a job with that step."""
    step = ""
    if inputs is not None:
        lines = [f"{key} = {list(value) if isinstance(value, list) else value!r}" for key, value in inputs.items()]
        step = f'[[steps]]\ncalculator = "{name}"\n[steps.inputs]\n' + "\n".join(lines).replace("'", '"') + "\n"
    path = folder / "job.toml"
    path.write_text(HEAD + step, encoding="utf-8")
    found = work_out(read_sheet(path)).found
    return sum(found.chances[place.name] for place in found.system.places if (place.stage, place.side) == cell)
