"""In which condition a test was made, what the vehicle's facts say to it, and one test by two names. Common practice."""

from __future__ import annotations

from math import pi, sin
from pathlib import Path

from tests.jobs.test_proof import chance, first, job, offered, shown

from baybook.jobs.conclusion import open_tests
from baybook.jobs.evaluation import work_out
from baybook.jobs.sheet import read_sheet


def test_the_condition_of_a_step_answers_whether_it_was_read_under_load() -> None:
    outcome = job("feed_pressure_read_under_load")
    assert not outcome.found.unsettled
    assert "was it read under load" not in shown(outcome)


def test_a_valve_that_the_vehicle_is_said_to_have_open_at_rest_is_known_to_the_hold() -> None:
    """It is to be driven shut and held again from higher; the rail's volume is none of it."""
    outcome = job("hold_with_a_valve_open_at_rest")
    said = shown(outcome)
    assert "opens without current and was not held shut" in said
    assert "was not said (outlet_valve)" not in said and "volume better" not in said


def test_a_hold_is_never_under_load_and_is_not_asked_in_which_condition_it_was() -> None:
    outcome = job("relief_valve_return_under_load")
    assert "The complaint shows only load" not in shown(outcome)
    assert all(item.left == 1.0 for item in outcome.found.history.epochs[-1].evidence if item.test == "hold")


def test_the_relief_valves_own_return_is_a_usual_reading_and_names_it() -> None:
    outcome = job("relief_valve_return_under_load")
    assert first(outcome) == ("relief valve", "likely") and chance(outcome, "relief valve") > 0.85


def test_an_outlet_valve_that_returns_too_much_at_its_full_current_is_at_fault_itself() -> None:
    """1.38 of 1.40 A: coil, wiring and driver do their part; however its return is entered."""
    outcome = job("outlet_valve_leaks_while_cranked_hot")
    assert first(outcome) == ("outlet valve", "likely") and chance(outcome, "outlet valve") > 0.8
    assert sum(chance(outcome, f"outlet valve {part}") for part in ("coil", "wiring", "driver")) < 0.1
    assert "outlet valve return" not in offered(outcome)
    assert "return-parts" not in [test.test for test in open_tests(outcome.sheet, outcome.found, 20)]


def test_a_pressure_that_hunts_at_idle_asks_for_air_and_what_moves_first_and_for_no_ripple(tmp_path: Path) -> None:
    """300 bar on target, and 22 to either side every 2.5 s: neither a sensor that is off, nor a pump's stroke."""
    rows = ["Time [s];Rail pressure [bar];Target pressure [bar];Engine speed [rpm]"]
    for n in range(2000):
        t = 0.02 * n
        rows.append(f"{t:.2f};{300 + 22 * sin(2 * pi * t / 2.5) + 3 * sin(77.0 * t):.2f};300.0;800")
    (tmp_path / "idle.csv").write_text("\n".join(rows), "utf-8")
    (tmp_path / "job.toml").write_text(HUNTS, "utf-8")
    outcome = work_out(read_sheet(tmp_path / "job.toml"))
    assert outcome.errors == ()
    said = shown(outcome)
    assert "it hunts, far slower than any stroke of the pump" in said and "look for bubbles in a clear hose" in said
    assert "ripple" not in offered(outcome) and "calculator ripple" not in said
    odds = outcome.found.why
    for place in ("air leak", "inlet valve"):
        assert odds(place).odds > 5.0 * odds("rail sensor").odds


def test_a_pressure_that_was_seen_to_swing_slowly_is_a_usual_observation() -> None:
    outcome = job("pressure_seen_to_swing")
    names = [standing.place.name for standing in outcome.found.standings[:3]]
    assert "air leak" in names and "inlet valve" in names
    assert {"bubbles in the clear hose", "regulator", "fault memory"} & set(offered(outcome))


HUNTS = """
format = 2
[job]
vehicle = "Spruce van"
[complaint]
text = "hunts at idle"
[system]
low_pressure = ["tank pump"]
filter = true
inlet_valve = true
outlet_valve = "none"
injectors = 4
[[steps]]
calculator = "target"
condition = "idle"
[steps.inputs]
capture = {file = "idle.csv", columns = {set = "Target pressure"}}
band = "-15 to 15 bar"
"""
