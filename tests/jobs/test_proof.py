"""Whole job sheets of an invented workshop, read as a master of the trade would. All facts: common practice, no source."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.offered import offered_tests, senses
from baybook.jobs.sheet import read_sheet
from baybook.jobs.text_report import next_lines, outcome_lines
from baybook.language import ENGLISH
from baybook.places.choice import next_tests

SHEETS = Path(__file__).with_name("sheets")


def job(name: str) -> Outcome:
    outcome = work_out(read_sheet(SHEETS / f"{name}.toml"))
    assert outcome.errors == ()
    return outcome


def offered(outcome: Outcome) -> list[str]:
    return [test.test for test in outcome.ranked]


def first(outcome: Outcome) -> tuple[str, str]:
    standing = outcome.found.standings[0]
    return standing.place.name, standing.word


def chance(outcome: Outcome, name: str) -> float:
    return outcome.found.chances[name]


def shown(outcome: Outcome) -> str:
    return " ".join(" ".join(outcome_lines(outcome)).split())


def test_petrol_in_the_fuel_withholds_every_test_that_turns_the_engine_until_it_is_drained() -> None:
    outcome = job("petrol_in_diesel")
    assert outcome.conclusion.startswith("First of all (step 1): key off and out, no flame, do not switch on, start or crank")
    assert not [test for test in outcome.ranked if offered_tests()[test.test].sense.turning]
    assert "regulator" in [test.test for test in outcome.withheld]
    assert "not before that: regulator" in shown(outcome)
    assert "fuel" not in offered(outcome) and "milky, dark or smelling fuel" not in offered(outcome)
    assert first(outcome) == ("tank fuel", "proven")  # the smell and the density of petrol leave nothing else
    drained = job("petrol_drained")
    assert drained.found.halts == () and "regulator" in offered(drained)
    assert drained.ranked[0].reason == "after repair"
    assert "Try the complaint again" in drained.conclusion


@pytest.mark.parametrize("name", sorted(set(offered_tests()) - {"coil"}))  # of a coil its resistance counts, read key off
def test_a_test_whose_procedure_runs_or_cranks_the_engine_says_so(name: str) -> None:
    test = offered_tests()[name]
    runs = any(getattr(step, "state", "") == "running" for step in test.calculator.how.steps)
    assert test.sense.turning or not runs


def test_a_sensor_that_shows_pressure_after_standing_is_no_proof_of_itself() -> None:
    """The rail may hold it: a second means proves it empty before a hand goes near, and before the sensor is exchanged."""
    outcome = job("sensor_shows_pressure_at_rest")
    assert outcome.conclusion.startswith("First of all (step 2): take the rail as loaded and keep away: first prove it empty")
    assert outcome.ranked == () and outcome.withheld
    assert first(outcome)[1] not in ("proven", "likely")
    assert outcome.next_tests[0].startswith("take the rail as loaded")
    proven_empty = job("sensor_wrong_rail_proven_empty")
    assert [halted.test for halted in proven_empty.found.halts] == ["target"]  # 180 bar above it: off until that is mended
    assert proven_empty.ranked and not [t for t in proven_empty.ranked if offered_tests()[t.test].sense.turning]
    assert first(proven_empty) == ("rail sensor", "likely")


def test_a_ground_error_of_the_wrong_sign_is_no_cause() -> None:
    outcome = job("ground_error_of_the_wrong_sign")
    assert chance(outcome, "rail sensor wiring") < chance(outcome, "rail sensor") < 0.6
    assert not [s for s in outcome.found.standings if s.word == "proven"]
    assert "would show the other way round: it is not the cause of what was seen" in outcome.conclusion
    right = job("ground_error_of_the_right_sign")
    assert first(right) == ("rail sensor wiring", "proven")


def test_an_injector_that_returns_far_too_little_stands_out() -> None:
    outcome = job("injector_returns_far_too_little")
    assert outcome.steps[0].result is not None
    assert str(outcome.steps[0].result.outputs["stands_out"]) == "injector 2 far below the others"
    assert outcome.conclusion.startswith("Most likely the fault lies at injector 2")
    for name in ("injector 2", "injector 2 coil", "injector 2 wiring"):
        assert chance(outcome, name) > 4 * chance(outcome, name.replace("2", "1"))
    quantity = next(test for test in outcome.ranked if test.test == "injector quantity correction")
    assert quantity.object == "injector 2"
    assert any("its quantity correction, its coil, its current" in text for text in outcome.next_tests)


def test_a_coil_that_is_undecided_hardly_counts_against() -> None:
    outcome = job("injector_returns_far_too_little")
    factors = outcome.found.why("injector 2 coil").factors
    coil = next(factor for factor in factors if factor.evidence[0].test == "coil")
    assert 0.4 < coil.factor < 1.0


def test_a_pump_read_with_the_outlet_valve_open_is_read_again_with_it_shut_first() -> None:
    outcome = job("pump_with_the_outlet_valve_not_shut")
    assert (outcome.ranked[0].test, outcome.ranked[0].reason) == ("pump", "unmet")
    assert "pump elements" not in [s.place.name for s in outcome.found.standings if s.word in ("likely", "proven", "open")]
    assert any("drive the outlet valve shut the maker's way" in text for text in outcome.next_tests)
    assert "it is the pump" not in shown(outcome)


def test_no_part_is_named_that_the_system_says_is_not_fitted() -> None:
    outcome = job("pump_blamed_for_its_supply")
    assert "intermediate" not in shown(outcome)
    assert first(outcome) == ("tank pump wiring", "likely")
    assert outcome.next_tests[0].startswith("check what the readings point at")


def test_a_drop_that_explains_a_tenth_of_the_current_proves_no_wiring() -> None:
    outcome = job("drop_too_small_for_the_current")
    assert not [s for s in outcome.found.standings if s.word == "proven"]
    assert "explains too little of what was seen" in outcome.conclusion
    assert ("coil", "injector 2") in [(test.test, test.object) for test in outcome.ranked]
    assert chance(outcome, "injector 2 coil") > 0.1


def test_readings_taken_cold_count_less_against_a_complaint_that_shows_hot() -> None:
    hot, any_time = job("cuts_out_hot_tested_cold"), job("cuts_out_tested_cold")
    for name, times in (("pump elements", 1.2), ("injector 1", 2.0), ("feed line", 1.5)):
        assert hot.found.why(name).odds > times * any_time.found.why(name).odds
    assert "The complaint shows only hot, and steps 1, 2 and 4 were taken otherwise" in shown(hot)
    assert {"supply", "target"} & {test.test for test in next_tests(hot.found, senses()) if test.reason == "other condition"}
    assert all(test.reason == "not taken" for test in hot.ranked if test.test == "regulator")  # it was never made
    assert "shows only" not in shown(any_time)


@pytest.mark.parametrize("name", ["cuts_out_hot_tested_cold", "cuts_out_tested_cold"])
def test_a_fault_memory_that_was_read_is_not_to_be_read_again(name: str) -> None:
    assert "fault memory" not in offered(job(name))


def test_air_after_a_filter_change_is_named_with_bleeding_and_the_seal_first() -> None:
    outcome = job("air_after_a_filter_change")
    assert first(outcome) == ("air leak", "likely")
    assert outcome.conclusion.startswith("Most likely the fault lies in air that is drawn in on the suction side: the filter's")
    assert outcome.next_tests[0].startswith("bleed it the maker's way; look at the filter's seal")
    alone = job("air_from_somewhere")
    assert first(alone)[0] == "air leak" and "air that is drawn in" in alone.conclusion
    assert chance(alone, "air leak") < chance(outcome, "air leak")


def test_the_complaint_gone_after_a_repair_is_said_and_the_test_asked_for_once() -> None:
    outcome = job("air_mended")
    assert outcome.conclusion.count("is not proved yet") == 1
    assert "The complaint is gone after the repair" in outcome.conclusion
    assert "not found" not in outcome.conclusion


def test_an_injector_that_returns_nine_times_the_others_is_first_by_far() -> None:
    outcome = job("one_injector_returns_nearly_all")
    assert first(outcome) == ("injector 3", "likely")
    assert chance(outcome, "injector 3") > 10 * outcome.found.standings[1].chance
    hold = next(factor for factor in outcome.found.why("injector 3").factors if factor.evidence[0].test == "hold")
    assert hold.factor > 0.5  # what pressure opens does not leak at 58 bar


def test_a_filter_is_proven_only_where_wax_is_out_of_the_question() -> None:
    outcome = job("filter_or_wax")
    assert first(outcome) == ("filter", "likely") and "tank fuel" in outcome.found.open
    assert "filter pressure drop, warm" in offered(outcome)
    assert first(job("filter_with_warm_fuel")) == ("filter", "proven")


def test_a_reading_that_was_taken_in_another_test_is_not_offered_again() -> None:
    supply = offered(job("filter_or_wax"))
    assert "feed pressure before the filter" not in supply and "feed pressure" not in supply
    assert "rail sensor supply and ground" not in offered(job("sensor_wrong_rail_proven_empty"))
    assert "cranking" not in offered(job("air_from_somewhere"))


def test_after_proof_only_the_repair_is_asked_for() -> None:
    outcome = job("filter_with_warm_fuel")
    assert outcome.ranked == ()
    (mend,) = outcome.next_tests
    assert mend.startswith("mend filter, mark it")


def test_no_test_stands_twice_for_or_against_a_place() -> None:
    for name in ("filter_or_wax", "sensor_wrong_rail_proven_empty", "petrol_in_diesel"):
        lines = outcome_lines(job(name))
        said: list[str] = []
        for line in lines[lines.index("For and against") :]:
            said = [] if not line.startswith("   ") else [*said, line.partition(" (")[0]]  # a new place
            assert len(said) == len(set(said))


def test_the_worst_caution_stands_once_at_the_end_of_what_to_test_next() -> None:
    lines = next_lines(job("drop_too_small_for_the_current"), ENGLISH)
    cautions = [line for line in lines if line.startswith(("DANGER: ", "WARNING: ", "NOTICE: "))]
    assert cautions == lines[-2:-1] and lines[-3] == ""
    assert lines[-1].split()[0] == "baybook" and lines[-1].endswith(" --how")


def test_a_step_that_is_added_says_its_verdict_in_one_line(tmp_path: Path, command: Callable[..., Any]) -> None:
    sheet = tmp_path / "job.toml"
    assert command("job", "new", sheet).code == 0
    ran = command("job", "add", sheet, "returns", "--volumes", "20 mL; 90 mL; 19 mL; 21 mL", "--time", "60 s",
                  "--flow-limit", "<= 40 mL/min")  # fmt: skip
    told = ran.out or ran.err
    assert told.strip() == "step 1 (returns) added: flow 2 outside; flow 1, 3, 4 within"
    assert (command("job", "add", sheet, "hold").out or "step 2 (hold) planned").strip() == "step 2 (hold) planned"


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ('[complaint]\nshows = "tepid"\n', '[complaint], shows: "tepid" is no condition that is known; use hot, cold, idle'),
        ('[complaint]\nafter = ["fliter"]\n', '[complaint], after: "fliter" is not on this vehicle\'s map; did you mean'),
        ('[complaint]\nafter = 3\n', '[complaint], after: "3" names no part'),
        ('[[steps]]\ncalculator = "hold"\ncondition = "wet"\n', 'step 1, condition: "wet" is no condition that is known'),
    ],
)  # fmt: skip
def test_a_condition_or_part_that_is_not_known_is_one_line(tmp_path: Path, text: str, line: str) -> None:
    from baybook.errors import InputError

    path = tmp_path / "job.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as refused:
        read_sheet(path)
    assert len(str(refused.value).splitlines()) == 1
    assert line in str(refused.value)


def test_a_hot_no_start_with_one_high_return_is_that_injector() -> None:
    outcome = job("hot_no_start_worn_injector_leak")
    assert first(outcome) == ("injector 4", "likely")
    assert outcome.next_tests[0].startswith("rail seen to fall to zero again, key off, waited: exchange hoses and cylinders")
    assert "shows only" not in shown(outcome)  # all was taken hot
    assert not any("regulator" in test for test in offered(outcome))  # what does not look at it is a detour


def test_a_supply_that_collapses_under_load_is_sought_between_tank_and_pump() -> None:
    outcome = job("cuts_out_under_load")
    assert outcome.conclusion.startswith("The fault lies in supply, on the hydraulic side")
    assert {"feed pressure before the filter", "filter pressure drop"} <= set(offered(outcome)[:3])
    assert chance(outcome, "tank pump wiring") < 0.05 and chance(outcome, "pump elements") < 0.05


def test_a_loose_plug_at_a_good_coil_is_the_wiring() -> None:
    outcome = job("rough_idle_coil_open")
    assert first(outcome)[0] == "injector 3 wiring" and chance(outcome, "injector 3 wiring") > 0.8
    assert chance(outcome, "injector 3 coil") < 0.05


def test_a_pump_that_makes_no_pressure_with_all_else_good_is_likely_and_graded() -> None:
    outcome = job("long_cranking_tight_rail_weak_pump")
    assert first(outcome)[0] == "pump elements"
    assert not [s for s in outcome.found.standings if s.word == "proven"]
    assert chance(outcome, "injector 1") < 0.05 and chance(outcome, "rail and joints") < 0.05
    assert outcome.conclusion.startswith("Most likely the fault lies in")  # (fed well while it was cranked)
    assert "elements" in outcome.conclusion


def test_swarf_stops_the_engine_and_names_the_pump() -> None:
    outcome = job("low_power_worn_pump_swarf")
    assert outcome.conclusion.startswith("First of all (step 3): do not start or crank the engine: the swarf")
    assert first(outcome) == ("pump elements", "likely")
    assert not [test for test in outcome.ranked if offered_tests()[test.test].sense.turning]


def test_pressure_too_high_with_a_good_sensor_and_a_free_return_is_a_valve() -> None:
    outcome = job("pressure_too_high_sticking_inlet")
    assert first(outcome)[0] == "inlet valve"
    assert chance(outcome, "rail sensor") < chance(outcome, "inlet valve")
    assert chance(outcome, "return line") < chance(outcome, "inlet valve")


def test_water_in_the_fuel_stops_the_engine() -> None:
    outcome = job("water_in_fuel")
    assert first(outcome)[0] == "tank fuel" and chance(outcome, "tank fuel") > 0.4
    assert outcome.found.halts[0].halt.engine


@pytest.mark.parametrize(
    ("name", "place"),
    [("worn_suction_pump", "suction pump"), ("suction_pump_with_air", "air leak"), ("restricted_suction_side", "filter")],
)
def test_a_depression_says_by_its_sense_whether_fuel_is_held_back_or_hardly_drawn(name: str, place: str) -> None:
    """Typed as a size or as a gauge pressure below zero."""
    outcome = job(name)
    assert first(outcome)[0] == place
    assert chance(outcome, place) > 0.3


def test_a_good_coil_without_current_is_its_wire_or_its_driver() -> None:
    outcome = job("broken_valve_wire")
    assert outcome.found.contradiction is None
    assert first(outcome)[0] == "outlet valve wiring"
    assert outcome.found.of_any(("outlet valve wiring", "outlet valve driver")) > 0.9
    assert chance(outcome, "outlet valve coil") < 0.1 and chance(outcome, "pump elements") < 0.02


def test_a_sensor_without_supply_is_its_wiring_or_the_control_unit() -> None:
    outcome = job("dead_sensor_supply")
    assert first(outcome)[0] == "rail sensor wiring"
    assert chance(outcome, "rail sensor") < 0.05
    assert outcome.next_tests[0].startswith("measure the supply at the control unit's plug, sensor connected [first: this rail")


def test_an_injector_that_injects_too_much_is_itself_and_not_its_wire() -> None:
    """Fuel is taken from it: no wire and no coil makes an injector inject too much."""
    outcome = job("injector_stuck_open")
    assert first(outcome)[0] == "injector 1"
    assert chance(outcome, "injector 1") > 8 * chance(outcome, "injector 1 wiring")
    hold = next(factor for factor in outcome.found.why("injector 1").factors if factor.evidence[0].test == "hold")
    assert hold.factor > 0.5  # a rail held at 170 bar clears nothing that pressure opens
