"""Whole job sheets: injectors worn together, a filter between two readings, how far pressure comes. Common practice."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.jobs.test_proof import chance, first, job, offered, shown

from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.sheet import read_sheet

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


def test_a_fault_that_shows_in_another_condition_lets_all_that_was_measured_there_count() -> None:
    """Too little pressure with the valve driven shut at raised idle: it need not be measured on the road."""
    outcome = job("worn_pump_shown_at_raised_idle")
    assert first(outcome) == ("pump elements", "likely")
    assert chance(outcome, "injector 1") < 0.05 and chance(outcome, "rail and joints") < 0.1
    assert "the fault is present there as well, so they count for 8" in shown(outcome)
    assert "are to be taken again so" not in shown(outcome)
    names = offered(outcome)
    assert "returns" not in names and "pump" not in names
    assert "pressure with the outlet valve driven shut" not in names  # the test just made, by another name


def test_where_nothing_comes_out_anywhere_the_way_in_is_looked_at() -> None:
    outcome = job("nothing_comes_out_anywhere")
    names = [standing.place.name for standing in outcome.found.standings[:2]]
    assert names == ["pump drive", "inlet valve"]


def test_a_wiggle_test_in_which_nobody_moved_anything_is_refused(command: Callable[..., Any]) -> None:
    line = ["observation", "wiggle test", "--place", "rail sensor wiring", "--moved", "no"]
    refused = command(*line)
    assert refused.code == 2 and "give seen no where nothing changed" in refused.err
    assert command(*line[:-2], "--seen", "no").code == 0


def test_a_rail_sensor_that_was_looked_at_and_is_right_is_suspected_less(tmp_path: Path) -> None:
    text = HIGH_AND_LESS_ASKED
    at_once, checked = (outcome_of(tmp_path, each) for each in (text, text + "sensor_checked = true\n"))
    for place in ("rail sensor", "rail sensor wiring"):
        assert chance(checked, place) < 0.4 * chance(at_once, place)


def test_a_complaint_that_is_gone_with_no_repair_noted_asks_what_was_done(tmp_path: Path) -> None:
    text = HIGH_AND_LESS_ASKED + '\n[[steps]]\ncomplaint = "gone"\n'
    assert "The complaint is gone, and no repair is noted" in outcome_of(tmp_path, text).conclusion
    repaired = text.replace("[[steps]]\ncomplaint", '[[steps]]\nrepair = ["inlet valve"]\n\n[[steps]]\ncomplaint')
    assert "no repair is noted" not in outcome_of(tmp_path, repaired).conclusion


HIGH_AND_LESS_ASKED = """
[complaint]
kind = "pressure too high"
[system]
inlet_valve = true
outlet_valve = "none"
[[steps]]
calculator = "regulator"
[steps.inputs]
where = "inlet"
meter_counts = "low"
pressure = "650 ± 5 bar"
target = "600 ± 2 bar"
inlet_duty = "40 ± 0.5 %"
inlet_usual_duty = "18 to 30 %"
inlet_current = "0.60 ± 0.02 A"
inlet_expected_current = "0.60 ± 0.01 A"
"""


def outcome_of(folder: Path, text: str) -> Outcome:
    path = folder / "job.toml"
    path.write_text(text, "utf-8")
    outcome = work_out(read_sheet(path))
    assert outcome.errors == ()
    return outcome


def test_a_small_leak_does_not_hold_down_a_pump_that_moves_twenty_times_as_much() -> None:
    """2 mL/min through the shut side, 47 mL/min pumped and lost while cranked: the leak is none of that."""
    outcome = job("small_leak_beside_a_pump_that_moves_more")
    assert chance(outcome, "rail and joints") < 0.25
    assert "What hold found (step 3) explains too little of what was seen to be the whole cause" in outcome.conclusion
    assert {"regulator", "feed pressure"} <= set(offered(outcome))
