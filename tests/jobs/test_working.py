"""What a job's findings come to."""

import pytest

from baybook.jobs.working import Cell, conclusion, next_tests
from baybook.result import Finding


def cell(word: str, stage: str = "storage", next_test: str = "") -> Cell:
    """A cell of one finding."""
    strength = "proven" if word == "contradictory" else word
    findings = () if word == "untested" else ((1, Finding(stage, "hydraulic", "…", strength, next_test)),)  # type: ignore[arg-type]
    return Cell(stage, "hydraulic", word, findings)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["untested"], "No test taken so far says anything of a stage."),
        (["cleared", "untested"], "No fault has been found by the tests taken so far."),
        (["proven", "cleared"], "Proven: a fault in storage (hydraulic side)."),
        (["indicated"], "The readings point to storage (hydraulic side), which is not yet proof."),
        (
            ["contradictory"],
            "The tests contradict each other on storage (hydraulic side): repeat them before a part is changed.",
        ),
        (
            ["proven", "indicated"],
            "Proven: a fault in storage (hydraulic side). "
            "The readings point to storage (hydraulic side), which is not yet proof.",
        ),
    ],
)
def test_the_conclusion_says_no_more_than_was_found(words: list[str], expected: str) -> None:
    assert conclusion(tuple(map(cell, words)), taken=True) == expected


def test_a_job_without_a_result_has_no_test_yet() -> None:
    assert conclusion((cell("untested"),), taken=False) == "No test has been taken yet."


def test_what_a_proven_fault_asks_for_comes_before_what_an_undecided_one_does() -> None:
    cells = (cell("undecided", "supply", "measure again"), cell("proven", "storage", "find the leak"))
    assert next_tests(cells, []) == ("find the leak", "measure again")
