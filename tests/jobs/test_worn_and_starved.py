"""Whole job sheets: injectors worn together, a filter between two readings, how far pressure comes. Common practice."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tests.jobs.test_proof import chance, first, job

INJECTORS = [f"injector {n}" for n in (1, 2, 3, 4)]


def test_four_injectors_that_all_return_far_too_much_are_worn_together_and_no_contradiction() -> None:
    outcome = job("four_worn_injectors")
    assert outcome.found.contradiction is None
    assert outcome.found.of_all(INJECTORS) > 0.5
    assert outcome.conclusion.startswith("Most likely the fault lies in all of these")
    assert all(f"injector {n}" in outcome.conclusion for n in (1, 2, 3, 4))


def test_a_whole_set_is_not_condemned_before_what_it_shares_was_made_sure_of() -> None:
    outcome = job("four_injectors_leak_at_rest")
    assert [standing.word for standing in outcome.found.standings[:4]] == ["proven"] * 4
    assert outcome.next_tests[0].startswith("before a set is condemned make sure of what all injectors share")


def test_two_injectors_beyond_their_limits_are_both_named() -> None:
    outcome = job("two_worn_injectors")
    assert outcome.found.of_all(["injector 2", "injector 4"]) > 0.7
    assert {standing.place.name for standing in outcome.found.standings[:2]} == {"injector 2", "injector 4"}
    assert "injector 2 and injector 4" in outcome.conclusion
    assert chance(outcome, "injector 1") < 0.2 and chance(outcome, "injector 3") < 0.2


def test_pressure_that_stands_before_the_filter_and_not_behind_it_is_lost_in_the_filter() -> None:
    """However the two readings were entered: what pumps into the filter is good as far as there."""
    outcome = job("filter_between_two_readings")
    assert first(outcome) == ("filter", "likely")
    assert chance(outcome, "air leak") < 0.1 and chance(outcome, "tank pump") < 0.1


def test_a_pump_that_makes_some_pressure_is_driven_and_one_that_makes_none_may_not_be() -> None:
    some, none = job("some_pressure_while_cranking"), job("no_pressure_while_cranking")
    assert chance(some, "pump drive") < 0.01
    assert first(none)[0] == "pump drive"
    assert chance(none, "injector 1") < chance(some, "injector 1") / 2
    assert chance(none, "rail sensor wiring") > chance(some, "rail sensor wiring")


def test_where_nothing_comes_out_anywhere_the_way_in_is_looked_at() -> None:
    outcome = job("nothing_comes_out_anywhere")
    names = [standing.place.name for standing in outcome.found.standings[:2]]
    assert names == ["pump drive", "inlet valve"]


def test_a_wiggle_test_in_which_nobody_moved_anything_is_refused(command: Callable[..., Any]) -> None:
    line = ["observation", "wiggle test", "--place", "rail sensor wiring", "--moved", "no"]
    refused = command(*line)
    assert refused.code == 2 and "give seen no where nothing changed" in refused.err
    assert command(*line[:-2], "--seen", "no").code == 0
