"""Whole job sheets of wires, coils, sensors and their signals, read as a master of the trade would.

All facts: common practice, no source; what follows from a circuit's own laws says so.
"""

from __future__ import annotations

from tests.jobs.test_proof import chance, first, job, offered


def test_voltage_across_its_own_pins_and_no_current_is_the_part_itself() -> None:
    """Kirchhoff: while no current flows nothing drops along wires that are whole, and all of it over what is open."""
    pump = job("silent_pump_with_its_voltage")
    assert first(pump) == ("tank pump", "proven")
    assert chance(pump, "tank pump") > 0.95 and chance(pump, "tank pump wiring") < 0.02
    valve = job("open_valve_coil_with_its_voltage")
    assert first(valve)[0] == "outlet valve coil" and chance(valve, "outlet valve coil") > 0.9
    assert chance(valve, "injector driver") < 0.01


def test_no_voltage_across_its_pins_is_what_its_voltage_comes_through() -> None:
    outcome = job("silent_pump_without_its_voltage")
    assert first(outcome)[0] == "tank pump wiring" and chance(outcome, "tank pump wiring") > 0.9


def test_no_current_and_no_voltage_read_leaves_both_open_and_asks_for_the_voltage() -> None:
    outcome = job("silent_pump_voltage_not_read")
    assert {"tank pump", "tank pump wiring"} == set(outcome.found.open[:2])
    assert 0.25 < chance(outcome, "tank pump") < 0.75
    assert any("the voltage across them while it should run (at_part, battery)" in text for text in outcome.next_tests[:3])
    assert "drop" in offered(outcome)


def test_the_circuit_of_a_valve_says_nothing_of_the_injectors_output_stage() -> None:
    before, after = job("dead_injector"), job("dead_injector_and_a_dead_valve")
    assert chance(after, "injector driver") <= chance(before, "injector driver")
    assert first(after)[0] == "outlet valve coil"
    driver = after.found.why("injector driver").factors
    assert all(factor.factor == 1.0 for factor in driver if factor.evidence[0].test == "drop")
