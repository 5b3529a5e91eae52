"""Intervals keep their promise: truths of an independent, finely integrated simulation, drawn anew.

Bounds are binomial: with 95 % kept, of 14 intervals at most 3 miss but for 1 time in 240; a run of hundreds of cases with its
figures printed is tests/benchmarks/bench_hold.py.
"""

from __future__ import annotations

import pytest
from tests.hold.scoring import Score, score

CASES = 14


@pytest.fixture(scope="module")
def found() -> Score:
    """One run for all checks; its seed is not one that anything was chosen by."""
    return score(CASES, seed=20261125)


def test_truths_lie_inside_their_intervals(found: Score) -> None:
    assert found.cases - found.line_inside <= 3
    assert found.cases - found.collected_inside <= 3


def test_the_middle_is_close(found: Score) -> None:
    """Median error 5 % at most is aimed at; of some ten leaks the median strays by a quarter of itself."""
    assert found.leaking >= 7
    assert found.median_error < 0.0625


def test_no_tight_rail_is_called_leaking(found: Score) -> None:
    assert found.cases - found.leaking >= 2
    assert found.false_leaks == 0


def test_no_verdict_is_wrong_and_few_are_undecided(found: Score) -> None:
    """Wrong at most 1 in 100 is aimed at: none among 14 but for 1 time in 7, and then one. Undecided only near the limit."""
    assert found.wrong_verdicts <= 1
    assert found.undecided <= 4


def test_a_named_law_is_the_right_one(found: Score) -> None:
    """Named from 85 % belief on, right nine times in ten: of some six, at most two wrong but for 1 time in 60."""
    assert found.named_laws >= 3
    assert found.wrong_laws <= 2


def test_intervals_are_as_narrow_as_knowledge_allows(found: Score) -> None:
    """Volume to 3 to 7 %, stiffness to 4.5 %, heat: half-widths (95 %) of a tenth of the leak in the middle, not a quarter."""
    assert 0.04 < found.median_width < 0.15
