"""Whole job sheets of wires, coils, sensors and their signals, read as a master of the trade would.

All facts: common practice, no source; what follows from a circuit's own laws says so.
"""

from __future__ import annotations

from tests.jobs.test_proof import chance, first, job, offered

from baybook import calculate
from baybook.jobs.conclusion import open_tests


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


def test_an_injector_without_any_current_is_not_driven_without_the_signals_of_speed_and_phase() -> None:
    outcome = job("no_speed_signal_no_injector_current")
    assert first(outcome)[0] == "speed and phase sensors" and chance(outcome, "speed and phase sensors") > 0.8
    assert offered(outcome)[0] == "speed and phase signals"
    weak = job("weak_current_of_one_injector")  # what has some current is driven
    assert chance(weak, "speed and phase sensors") < 0.2


def test_a_code_that_names_an_injector_speaks_for_its_own_circuit() -> None:
    outcome = job("code_of_one_injectors_output_stage")
    own = outcome.found.of_any(("injector 2 coil", "injector 2 wiring"))
    assert own > chance(outcome, "injector driver")
    assert own > 4 * outcome.found.of_any(("injector 1 coil", "injector 1 wiring"))
    assert {("coil", "injector 2"), ("damaged or loose plug", "injector 2")} <= {(t.test, t.object) for t in outcome.ranked}


def test_the_same_fault_memory_read_twice_is_one() -> None:
    once, twice = job("code_of_an_output_stage"), job("code_of_an_output_stage_read_twice")
    assert abs(chance(once, "injector driver") - chance(twice, "injector driver")) < 0.01


def test_a_contact_that_was_made_to_come_and_go_is_not_cleared_by_what_stands_still() -> None:
    outcome = job("contact_that_comes_and_goes")
    assert outcome.found.contradiction is None
    assert first(outcome) == ("rail sensor wiring", "proven")
    still = [f for f in outcome.found.why("rail sensor wiring").factors if f.evidence[0].test in ("sensor", "fault memory")]
    assert still and all(factor.factor == 1.0 for factor in still if factor.evidence[0].good)
    assert "then repeat signal jumps to 0 when the loom is wiggled" in outcome.next_tests[0]


def test_a_contact_that_came_and_went_is_proved_by_moving_it_and_not_by_a_look() -> None:
    outcome = job("contact_that_comes_and_goes_mended")
    assert "repeat signal jumps to 0 when the loom is wiggled" in outcome.conclusion
    assert "repeat damaged or loose plug" not in outcome.conclusion
    assert (outcome.ranked[0].test, outcome.ranked[0].reason) == ("jump when plug or loom is moved", "after repair")


def test_a_complaint_that_shows_on_bumps_is_sought_at_the_contacts_by_moving_them() -> None:
    outcome = job("cuts_out_on_bumps")
    assert offered(outcome)[0] == "jump when plug or loom is moved"
    assert "wiring" in first(outcome)[0]
    assert "jump when plug or loom is moved" not in offered(job("cuts_out_tested_cold"))


def test_a_pump_that_works_against_a_blockage_draws_more() -> None:
    outcome = job("clogged_filter_and_a_pump_that_draws_more")
    assert first(outcome)[0] == "filter"
    assert chance(outcome, "tank pump wiring") < 0.03
    less = job("starved_and_a_pump_that_draws_less")
    assert less.found.of_any(("tank pump", "tank pump wiring")) > 0.8
    assert chance(less, "filter") < 0.05


def test_what_moves_with_the_loom_is_the_contact_and_what_was_tapped_may_be_stuck_itself() -> None:
    tapped = job("pump_that_runs_when_tapped")
    assert first(tapped)[0] == "tank pump" and chance(tapped, "tank pump") > 1.5 * chance(tapped, "tank pump wiring")
    found = calculate("observation", what="signal drops out when the plug is moved", place="rail sensor", sure="certain")
    (answer,) = found.answers
    assert (answer.question, answer.object) == ("jump when plug or loom is moved", "rail sensor wiring")
    still = calculate("observation", what="signal drops out when the plug is moved", place="rail sensor", moved="no")
    assert [a.question for a in still.answers] == [""]


def test_a_fault_memory_with_one_circuit_in_it_has_been_read() -> None:
    outcome = job("code_of_one_circuit")
    assert "fault memory" not in [test.test for test in open_tests(outcome.sheet, outcome.found, 40)]
    assert outcome.ranked[0].object == "injector 2"


def test_own_words_are_said_to_count_as_a_fault_that_was_seen() -> None:
    """By its words alone "looks fine" would accuse the part: the result says how it counts, and what to give instead."""
    seen = calculate("observation", what="looks fine, new seal", place="injector 3")
    assert any("counts as a fault that was seen there" in str(note) for note in seen.notes)
    usual = calculate("observation", what="bubbles in the clear hose")
    not_seen = calculate("observation", what="cracked hose", place="feed line", seen="no")
    assert not any("counts as a fault" in str(note) for found in (usual, not_seen) for note in found.notes)
