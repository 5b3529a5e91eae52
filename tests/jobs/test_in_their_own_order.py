"""Jobs as practitioners type them, in the order that they choose; the numbers follow from the fault. Common practice."""

from __future__ import annotations

import pytest
from tests.jobs.test_proof import chance, first, job, offered, shown


def test_a_filter_that_takes_the_feed_pressure_under_load_is_named() -> None:
    """4.9 bar before it, 2.1 behind it, 1310 of 1600 bar in the rail."""
    outcome = job("filter_blocked_under_load")
    assert first(outcome) == ("filter", "likely") and chance(outcome, "filter") > 0.85
    assert "filter pressure drop" in offered(outcome)


def test_air_brings_pressure_late_and_is_sought_on_the_low_side_alone() -> None:
    """260 bar after 4.6 s, bubbles in the hose: nobody looks at the valves, nor for a suction that is not there."""
    outcome = job("late_pressure_and_bubbles")
    assert first(outcome) == ("air leak", "likely")
    assert not {"regulator", "delivery", "hold", "suction depression"} & set(offered(outcome))


def test_a_dead_head_test_is_made_at_raised_idle_whoever_says_so() -> None:
    """So it shows the fault there, and the returns that were collected there count."""
    outcome = job("worn_pump_shown_hot")
    assert first(outcome)[0] == "pump elements"
    assert chance(outcome, "injector 1") < 0.06
    assert "steps 1 and 3 were taken otherwise; what was found there shows that the fault is present" in shown(outcome)
    assert "outlet valve return" in offered(outcome)  # (even orders would not clear a pump that is worn all round)


def test_one_injector_that_leaks_while_cranked_hot_is_exchanged_by_its_hose_first() -> None:
    outcome = job("one_injector_leaks_hot")
    assert first(outcome) == ("injector 3", "likely") and chance(outcome, "injector 3") > 0.8
    assert str(outcome.next_tests[0]).startswith("rail seen to fall to zero again, key off, waited: exchange hoses")


def test_a_pressure_far_from_what_is_waited_for_is_a_way_that_stands_open_rather_than_a_worn_gap() -> None:
    """62 of 200 bar while cranking, both valves at their current: the outlet valve, whose return is collected soon."""
    outcome = job("outlet_valve_stands_open")
    assert first(outcome)[0] == "outlet valve"
    assert chance(outcome, "outlet valve") > chance(outcome, "injector 1")
    assert {"outlet valve return", "return-parts"} & set(offered(outcome)[:3])  # either collects it


def test_an_inlet_valve_that_sticks_is_named_before_a_sensor_that_was_checked() -> None:
    outcome = job("inlet_valve_sticks_open")
    assert first(outcome)[0] == "inlet valve"
    assert chance(outcome, "rail sensor") < 0.2 * chance(outcome, "inlet valve")
    assert "rail sensor against gauge or zero" not in offered(outcome)  # it was just done


def test_a_reading_at_idle_is_not_asked_whether_it_was_under_load() -> None:
    outcome = job("sensor_off_at_zero")
    assert first(outcome) == ("rail sensor", "likely")
    assert "was it read under load" not in shown(outcome)


def test_a_contact_that_was_moved_is_proven_though_its_voltage_is_good() -> None:
    outcome = job("contact_of_the_rail_sensor")
    assert first(outcome) == ("rail sensor wiring", "proven")


@pytest.mark.parametrize("name", ["outlet_valve_stands_open", "one_injector_leaks_hot"])
def test_an_engine_that_does_not_start_is_asked_for_nothing_that_it_has_to_run_for(name: str) -> None:
    assert not {"target", "delivery", "suction depression"} & set(offered(job(name)))
