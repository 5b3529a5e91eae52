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


def test_a_target_that_is_met_says_nothing_for_or_against_what_tells_the_pressure() -> None:
    """The control brings the wrong reading onto its target as it would the right one."""
    alone, met = job("wrong_zero"), job("wrong_zero_and_a_target_that_is_met")
    for outcome in (alone, met):
        assert outcome.found.of_any(("rail sensor", "rail sensor wiring")) > 0.9
        assert outcome.found.contradiction is None
    for place in ("rail sensor", "rail sensor wiring"):
        (factor,) = [f.factor for f in met.found.why(place).factors if f.evidence[0].test == "target"][:1]
        assert factor == 1.0
    assert chance(met, "not on the map") < 0.03
    assert chance(met, "filter") < chance(alone, "filter") + 1e-9  # of the others it still says something


def test_a_ground_that_makes_all_of_what_is_told_at_zero_is_the_cause() -> None:
    """By hand: 1800 bar x 0.135 V / (5.01 V x 0.8) = 60.6 bar of the 62 bar that are told."""
    outcome = job("ground_explains_the_zero")
    assert outcome.found.contradiction is None  # a supply within its range does not speak against a bad ground
    assert first(outcome) == ("rail sensor wiring", "proven")
    assert "that is the whole of it, so the ground wire is off" in str(
        outcome.steps[0].result and outcome.steps[0].result.findings
    )


def test_a_sensor_without_supply_voids_what_it_told() -> None:
    outcome = job("no_sensor_supply_no_pressure_shown")
    assert outcome.found.of_any(("rail sensor wiring", "control unit")) > 0.9
    assert first(outcome)[0] == "rail sensor wiring"
    assert "What cranking read (step 1) says nothing: its sensor has no supply" in outcome.conclusion
    for name in ("pump drive", "rail sensor wiring"):
        assert {f.factor for f in outcome.found.why(name).factors if f.evidence[0].test == "cranking" and
                f.evidence[0].void} == {1.0}  # fmt: skip
