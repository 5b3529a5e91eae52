"""Whole job sheets: injectors worn together, a filter between two readings, how far pressure comes: common practice, no source."""

from __future__ import annotations

from tests.jobs.test_proof import chance, job

INJECTORS = [f"injector {n}" for n in (1, 2, 3, 4)]


def test_four_injectors_that_all_return_far_too_much_are_worn_together_and_no_contradiction() -> None:
    outcome = job("four_worn_injectors")
    assert outcome.found.contradiction is None
    assert outcome.found.of_all(INJECTORS) > 0.5
    assert outcome.conclusion.startswith("Most likely the fault lies in all of these")
    assert all(f"injector {n}" in outcome.conclusion for n in (1, 2, 3, 4))


def test_two_injectors_beyond_their_limits_are_both_named() -> None:
    outcome = job("two_worn_injectors")
    assert outcome.found.of_all(["injector 2", "injector 4"]) > 0.8
    assert {standing.place.name for standing in outcome.found.standings[:2]} == {"injector 2", "injector 4"}
    assert "injector 2 and injector 4" in outcome.conclusion
    assert chance(outcome, "injector 1") < 0.2 and chance(outcome, "injector 3") < 0.2
