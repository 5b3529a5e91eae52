"""What a job's findings come to."""

from dataclasses import replace
from typing import Literal

import pytest

from baybook.jobs.evaluation import Cell, Worked, conclusions
from baybook.jobs.evidence import evidence
from baybook.jobs.findings import next_tests, planned_steps
from baybook.jobs.sheet import SheetStep
from baybook.registry import registry
from baybook.result import SIDES, Answer, Finding, Result

FOUR: tuple[Literal["cleared", "indicated"], ...] = ("cleared", "cleared", "indicated", "cleared")
TAKEN = Worked(SheetStep(1, "coil", "Injector 1", "", {"reading": "0.3 ohm"}), None, Result({}))


def cell(word: str, stage: str = "storage", next_test: str = "") -> Cell:
    """A cell of one finding."""
    strength = "proven" if word == "contradictory" else word
    findings = () if word == "untested" else ((1, Finding(stage, "hydraulic", "…", strength, next_test)),)  # type: ignore[arg-type]
    return Cell(stage, "hydraulic", word, findings)


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ([cell("untested")], "No test taken so far says anything of a stage."),
        ([cell("cleared")], "No fault was found in storage (hydraulic side), as far as these tests reach."),
        (
            [cell("cleared"), cell("undecided", "delivery"), cell("untested", "supply")],
            "No fault was found in storage (hydraulic side), as far as these tests reach. "
            "Undecided: delivery (hydraulic side). Not looked at yet: supply (hydraulic side).",
        ),
        ([cell("undecided")], "Undecided: storage (hydraulic side)."),
        ([cell("proven"), cell("cleared", "delivery")], "Proven: a fault in storage (hydraulic side)."),
        ([cell("indicated")], "The readings point to storage (hydraulic side), which is not yet proof."),
        (
            [cell("proven"), cell("indicated", "supply")],
            "Proven: a fault in storage (hydraulic side). "
            "The readings point to supply (hydraulic side), which is not yet proof.",
        ),
    ],
)
def test_the_conclusion_says_no_more_than_was_found(cells: list[Cell], expected: str) -> None:
    """And what was looked at and what was not: nothing is "no fault" where a stage is undecided or untested."""
    assert " ".join(conclusions(tuple(cells), (TAKEN,))) == expected


def test_a_stage_is_named_alone_where_both_its_sides_have_the_word() -> None:
    cells = tuple(replace(cell("untested", stage), side=side) for stage in ("supply", "storage") for side in SIDES)
    assert conclusions((*cells[:3], cell("indicated", "delivery")), (TAKEN,))[-1] == (
        "Not looked at yet: supply and storage (hydraulic side)."
    )


def test_a_job_without_a_result_has_no_test_yet() -> None:
    assert conclusions((cell("untested"),), ()) == ("No test has been taken yet.",)


def test_steps_that_differ_are_named_and_not_called_contradictory() -> None:
    """Three good coils beside a bad one, or a repair proven by the same test: nothing of it contradicts itself."""
    found = tuple((number, Finding("delivery", "control", "…", word)) for number, word in enumerate(FOUR, 1))
    assert conclusions((Cell("delivery", "control", "contradictory", found),), (TAKEN,)) == (
        "In delivery (control side) step 3 points to a fault and step 1, 2 and 4 to none: unless they are of different parts, "
        "or from before and after a repair, repeat them before a part is changed.",
    )


def test_a_test_that_has_been_taken_is_not_asked_for_as_if_it_had_not() -> None:
    cells = (
        cell("indicated", next_test="measure the coil (calculator coil)"),
        cell("undecided", "supply", "hold (calculator hold)"),
        cell("undecided", "delivery", "measure again with four wires (calculator coil)"),
    )
    planned = Worked(SheetStep(2, "coil", "Injector 1", "", {}), None)
    other = Worked(SheetStep(3, "coil", "Injector 2", "", {}), None)
    assert (*next_tests(cells, (TAKEN, planned, other)), *planned_steps((TAKEN, planned, other))) == (
        "measure the coil (calculator coil); already taken: step 1, Injector 1",
        "hold (calculator hold)",
        "measure again with four wires (calculator coil)",
        "Step 3, Injector 2: planned, not taken yet.",
    )


def test_what_a_proven_fault_asks_for_comes_before_what_an_undecided_one_does() -> None:
    cells = (cell("undecided", "supply", "measure again"), cell("proven", "storage", "find the leak"))
    assert next_tests(cells, ()) == ("find the leak", "measure again")


def test_what_a_calculator_states_of_places_itself_is_evidence_as_it_stands() -> None:
    """An answer of factors has no question that a sense would be asked about."""
    step = SheetStep(4, "hold", "", "", {"start": "900 bar"})
    stated = Answer(factors={"filter": 3.0}, said="swarf in the filter")
    (found,) = evidence(step, registry().calculator("hold"), Result({}, answers=(stated,)), {})
    assert (found.step, found.test, found.factors, found.said) == (4, "hold", {"filter": 3.0}, "swarf in the filter")
    assert not found.bad and not found.good
