"""Whole job sheets that take the further ways of returns. What follows from which readings: common practice, no source."""

from __future__ import annotations

from pathlib import Path

import pytest

from baybook.jobs.conclusion import open_tests
from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.offered import senses
from baybook.jobs.sheet import read_sheet
from baybook.places.fitted import Fitted
from baybook.places.known import unknown_patterns
from baybook.places.sense import Question, Sense
from baybook.places.system import SystemMap

SHEETS = Path(__file__).parents[1] / "jobs" / "sheets"


def job(name: str) -> Outcome:
    outcome = work_out(read_sheet(SHEETS / f"{name}.toml"))
    assert outcome.errors == ()
    return outcome


def first(outcome: Outcome) -> tuple[str, str]:
    standing = outcome.found.standings[0]
    return standing.place.name, standing.word


def test_one_injector_whose_working_takes_the_pressure_of_a_common_return() -> None:
    outcome = job("one_of_a_common_return_works_too_much")
    assert first(outcome) == ("injector 3", "likely")
    assert outcome.conclusion.startswith("Most likely the fault lies in injector 3")
    assert "calculator drive" in str(outcome.next_tests[0])


def test_an_outlet_valve_that_does_not_shut_is_told_from_its_drive_next() -> None:
    outcome = job("outlet_valve_does_not_shut")
    assert first(outcome) == ("outlet valve", "open")
    assert outcome.found.of_any(tuple(f"outlet valve{part}" for part in ("", " coil", " wiring", " driver"))) > 0.9
    assert {"coil", "regulator"} <= {test.test for test in outcome.ranked}


def test_an_injector_that_leaks_at_rest_where_the_shut_rail_does_not_hold() -> None:
    outcome = job("leaks_at_rest_hot")
    assert first(outcome) == ("injector 4", "likely")
    assert outcome.found.chances["injector 4"] > 0.85


def test_a_pump_that_returns_far_too_much_with_little_feed_pressure_is_its_overflow() -> None:
    assert first(job("overflow_stands_open")) == ("overflow valve", "likely")


def test_a_common_return_within_its_limit_points_away_from_the_injectors() -> None:
    outcome = job("common_return_within")
    assert first(outcome)[0] == "pump elements"
    assert max(outcome.found.chances[f"injector {n}"] for n in range(1, 5)) < 0.05


COMPLAINT = '[complaint]\nkind = "lacks power"\n[system]\ninjectors = 4\nlow_pressure = ["tank pump"]\n'


@pytest.mark.parametrize(("line", "sent"), [
    ('returns = "common"\n', {"common-return"}),
    ('returns = "separate"\n', {"returns", "static-return"}),
    ("", {"returns", "static-return"}),
])  # fmt: skip
def test_who_is_sent_to_which_way_is_what_the_vehicle_is_fitted_with(tmp_path: Path, line: str, sent: set[str]) -> None:
    path = tmp_path / "job.toml"
    path.write_text(COMPLAINT + line, encoding="utf-8")
    outcome = work_out(read_sheet(path))
    asked = {test.test for test in open_tests(outcome.sheet, outcome.found, 99)}
    assert asked & {"common-return", "returns", "static-return"} <= sent
    assert sent & asked


def test_a_sense_says_where_it_is_made() -> None:
    common = senses()["common-return"]
    assert common.suits(SystemMap.of(Fitted(returns="common"))) and not common.suits(SystemMap.of())
    assert senses()["hold"].suits(SystemMap.of(Fitted(returns="common")))
    strange = Sense({"": Question({"filter": 0.5})}, 5.0, fitted={"colour": ("red",)})
    assert list(unknown_patterns(strange)) == ["colour"]


HOT = (
    '\n[[steps]]\ncalculator = "returns"\ncondition = "hot"\n[steps.inputs]\nvolumes = "{volumes} mL"\ntime = "60 s"\n'
    'condition = "raised"\nrail_pressure = "800 ± 20 bar"\nflow_limit = "max 80 mL/min; sheet"\n{more}'
)
WORN = HOT.format(volumes="40 150 38 42", more="")
LEAKS = (
    'format = 2\n[complaint]\nkind = "starts badly"\nshows = ["hot"]\n[system]\nlow_pressure = ["tank pump"]\n'
    'outlet_valve = "none"\ninjectors = 4\nreturns = "separate"\n'
)


@pytest.mark.parametrize(("exchanged", "volumes"), [("stayed", "41 148 39 42"), ("moved", "152 40 39 42")])
def test_an_excess_that_stays_with_its_injector_proves_it_and_one_that_goes_with_the_jar_accuses_none(
    tmp_path: Path, exchanged: str, volumes: str
) -> None:
    """Hoses and cylinders of 1 and 2 exchanged. Nobody is asked to do again what was done, nor told that 1 is at fault."""
    path = tmp_path / "job.toml"
    path.write_text(LEAKS + WORN, encoding="utf-8")
    before = work_out(read_sheet(path))
    assert "(exchanged)" in " ".join(before.next_tests) and first(before) == ("injector 2", "likely")
    path.write_text(LEAKS + WORN + HOT.format(volumes=volumes, more=f'exchanged = "{exchanged}"\n'), encoding="utf-8")
    outcome = work_out(read_sheet(path))
    assert outcome.errors == () and "(exchanged)" not in " ".join(outcome.next_tests)
    result = outcome.steps[-1].result
    assert result is not None
    [finding] = result.findings
    if exchanged == "stayed":
        assert first(outcome) == ("injector 2", "proven") and "the excess is the injector's own" in finding.statement
    else:
        assert max(outcome.found.chances[f"injector {n}"] for n in (1, 2)) < 0.1
        assert finding.strength == "undecided" and "they are the cause, and no injector" in finding.statement
