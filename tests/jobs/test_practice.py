"""Whole job sheets of every stage and side, read as a practitioner would: the first line, the places, the next test.

What should come out is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.jobs.test_whole_jobs import COIL, EVEN, FITTED, HOLD, LOW, UNEVEN

from baybook.jobs.conclusion import open_tests
from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.offered import OfferedTest, offered_tests
from baybook.jobs.sheet import read_sheet
from baybook.places.choice import NextTest
from baybook.places.place import Place
from baybook.places.sense import Sense

BOTH = (
    '[system]\nlow_pressure = ["tank pump"]\nfilter = true\ninlet_valve = true\noutlet_valve = "rail"\ninjector_bleed = false\n'
    'injectors = 4\nopen_at_rest = ["outlet valve"]\n'
)
STANDS = '\n[[steps]]\ncomplaint = "stands"\n'


def step(calculator: str, **inputs: str) -> str:
    lines = "".join(f'{name} = "{value}"\n' for name, value in inputs.items())
    return f'\n[[steps]]\ncalculator = "{calculator}"\n[steps.inputs]\n{lines}'


def reading(what: str, value: str, limit: str, **more: str) -> str:
    return step("reading", what=what, value=value, limit=limit, **more)


def seen(what: str, sure: str = "certain", **more: str) -> str:
    return step("observation", what=what, sure=sure, **more)


HIGH = step(
    "regulator", where="inlet", meter_counts="low", pressure="900 ± 5 bar", target="600 ± 2 bar", inlet_duty="40 ± 0.5 %",
    inlet_usual_duty="18 to 30 %", inlet_current="0.60 ± 0.02 A", inlet_expected_current="0.60 ± 0.01 A",
)  # fmt: skip
FEED_LOW = reading("feed pressure", "0.40 ± 0.05 bar", "3.5 to 5 bar; sheet 3", load="yes")
FEED_GOOD = reading("feed pressure", "4.2 ± 0.1 bar", "3.5 to 5 bar", load="yes")


@pytest.fixture
def job(tmp_path: Path) -> Callable[..., Outcome]:
    def made(*parts: str, kind: str, system: str = FITTED) -> Outcome:
        path = tmp_path / "job.toml"
        path.write_text(f'[complaint]\nkind = "{kind}"\n{system}{"".join(parts)}', encoding="utf-8")
        outcome = work_out(read_sheet(path))
        assert outcome.errors == ()
        return outcome

    return made


def likeliest(outcome: Outcome) -> tuple[str, str]:
    first = outcome.found.standings[0]
    return first.place.name, first.word


def asked(outcome: Outcome, most: int = 3) -> list[tuple[str, str]]:
    found: tuple[NextTest, ...] = open_tests(outcome.sheet, outcome.found, most)
    return [(test.test, test.object) for test in found]


def test_low_rail_pressure_with_the_control_right_asks_for_the_feed_pressure_among_the_first(job):
    outcome = job(LOW.format(850, "0.20"), kind="lacks power")
    assert {test for test, _ in asked(outcome, 3)} > {"feed pressure", "feed pressure before the filter"}
    assert likeliest(outcome)[0] == "filter"
    outcome = job(LOW.format(850, "0.20"), FEED_LOW, kind="lacks power")
    assert outcome.conclusion.startswith("The fault lies in supply, on the hydraulic side")
    assert "pump elements" not in outcome.found.open
    drop = reading("filter pressure drop", "1.9 ± 0.1 bar", "max 0.3 bar", load="yes")
    outcome = job(LOW.format(850, "0.20"), FEED_LOW, drop, kind="lacks power")
    assert likeliest(outcome) == ("filter", "likely")  # wax in cold fuel does the same, and the drop cannot tell
    assert ("filter pressure drop, warm", "") in asked(outcome, 8)
    warm = reading("filter pressure drop, warm", "1.8 ± 0.1 bar", "max 0.3 bar", load="yes")
    outcome = job(LOW.format(850, "0.20"), FEED_LOW, drop, warm, kind="lacks power")
    assert outcome.conclusion.startswith("Proven: the fault lies in the fuel filter (")
    assert outcome.ranked == ()
    assert outcome.next_tests[0].startswith("mend filter, mark it")


def test_a_good_feed_pressure_with_a_tight_rail_points_at_the_pump_and_no_more_at_the_filter(job):
    outcome = job(LOW.format(850, "0.20"), FEED_GOOD, HOLD.format(995, "none"), EVEN, kind="lacks power")
    assert likeliest(outcome) == ("pump elements", "open")
    assert outcome.found.chances["filter"] < 0.25 * outcome.found.chances["pump elements"]
    assert outcome.conclusion.startswith("Most likely the fault lies in one of these, 62 % together: pump elements")


def test_swarf_says_it_is_the_pump(job):
    outcome = job(LOW.format(850, "0.20"), FEED_GOOD, seen("swarf in the filter or the inlet valve"), kind="lacks power")
    assert likeliest(outcome) == ("pump elements", "likely")


def test_bubbles_and_a_low_feed_pressure_are_air_that_is_drawn_in(job):
    outcome = job(seen("bubbles in the clear hose"), reading("feed pressure", "2.0 ± 0.1 bar", "3.5 to 5 bar", load="yes"),
                  kind="starts badly")  # fmt: skip
    assert likeliest(outcome)[0] == "air leak"
    assert outcome.found.of_any(("air leak", "feed line", "tank fuel")) > 0.7
    assert "air that is drawn in on the suction side" in outcome.conclusion


def test_a_supply_pump_without_current_leaves_the_pump_and_its_wiring_and_asks_for_the_drop_along_it(job):
    outcome = job(
        reading("feed pressure", "0.1 ± 0.1 bar", "3.5 to 5 bar", load="yes"),
        reading("supply pump current", "0.0 ± 0.1 A", "5 to 8 A", place="tank pump"),
        reading("supply pump delivery", "10 ± 5 mL/min", "min 1500 mL/min", place="tank pump"), kind="does not start",
    )  # fmt: skip
    assert set(outcome.found.open) == {"tank pump", "tank pump wiring"}
    assert ("drop", "tank pump") in asked(outcome)


def test_milky_fuel_alone_makes_the_fuel_the_foremost_and_no_proof(job):
    outcome = job(seen("milky, dark or smelling fuel"), kind="runs unevenly")
    assert likeliest(outcome) == ("tank fuel", "open")
    assert "foremost so far: the fuel in the tank" in outcome.conclusion and "Proven" not in outcome.conclusion
    maybe = job(seen("milky, dark or smelling fuel", "maybe"), kind="runs unevenly")
    assert maybe.found.chances["tank fuel"] < outcome.found.chances["tank fuel"]


def test_a_good_valve_coil_without_current_is_its_wiring_or_its_driver(job):
    outcome = job(COIL.format('object = "inlet valve"', "0.6"), LOW.format(850, "0.02"), kind="lacks power")
    assert set(outcome.found.open[:2]) == {"inlet valve wiring", "inlet valve driver"}
    assert outcome.found.contradiction is None
    assert {"damaged or loose plug", "valve wiring voltage drop", "valve drive signal"} & {t for t, _ in asked(outcome)}
    assert outcome.found.chances["inlet valve coil"] < 0.1


def test_pressure_too_high_with_less_asked_for_and_its_current_right_suspects_the_sensor(job):
    outcome = job(HIGH, kind="pressure too high")
    assert outcome.found.standings[0].place.name == "rail sensor"
    assert "rail sensor" in outcome.conclusion and "pump" not in outcome.conclusion
    assert ("rail sensor against gauge or zero", "") in asked(outcome)
    outcome = job(HIGH, reading("rail sensor against gauge or zero", "60 ± 5 bar", "-10 to 10 bar"), kind="pressure too high")
    assert likeliest(outcome) == ("rail sensor", "likely")
    assert ("rail sensor supply and ground", "") in asked(outcome)


def test_a_blocked_return_is_named(job):
    outcome = job(reading("return back pressure", "2.5 ± 0.1 bar", "max 0.5 bar"), kind="pressure too high")
    assert likeliest(outcome) == ("return line", "likely")


def test_an_outlet_valve_that_lets_fuel_out_while_it_is_driven_shut_is_named_and_no_injector(job):
    outcome = job(HOLD.format(700, "driven-shut"), EVEN, reading("outlet valve return", "400 ± 10 mL/min", "max 50 mL/min"),
                  kind="starts badly", system=BOTH)  # fmt: skip
    assert likeliest(outcome) == ("outlet valve", "likely")  # its own return gives eight times what it may
    assert outcome.found.sum("storage") > 0.95  # it or its drive, whose current nobody has read yet
    assert {test.test for test in outcome.ranked} & {"regulator", "coil", "fault memory", "drive"}
    assert outcome.found.sum("delivery") < 0.05


def test_wetness_with_a_rail_that_does_not_hold_and_even_returns_is_the_rail_or_the_pumps_outlet(job):
    outcome = job(HOLD.format(600, "none"), EVEN, seen("wetness at the high-pressure side"), kind="starts badly")
    assert outcome.found.open[:2] == ("rail and joints", "pump outlet")


def test_a_phase_signal_that_is_missing_is_proven_and_nothing_else_is_asked_for(job):
    outcome = job(seen("fault memory", code="speed or phase"),
                  reading("speed and phase signals", "0.1 ± 0.05 V", "min 1 V"), kind="does not start")  # fmt: skip
    assert likeliest(outcome) == ("speed and phase sensors", "proven")
    assert outcome.ranked == ()


def test_a_circuit_code_a_good_coil_and_a_loose_plug_are_the_injectors_wiring(job):
    outcome = job(seen("fault memory", code="circuit", place="injector 2"), COIL.format('object = "injector 2"', "0.6"),
                  seen("damaged or loose plug", place="injector 2"), kind="runs unevenly")  # fmt: skip
    assert likeliest(outcome) == ("injector 2 wiring", "proven")
    assert outcome.found.contradiction is None


def test_an_empty_fault_memory_is_read_once_and_looked_at_every_circuit(job):
    before = job(kind="runs unevenly")
    outcome = job(seen("fault memory", code="none"), kind="runs unevenly")
    for name in ("injector 1 wiring", "injector 4 coil", "inlet valve wiring"):
        assert outcome.found.chances[name] < before.found.chances[name]
        assert next(s.word for s in outcome.found.standings if s.place.name == name) != "untested"
    assert "fault memory" not in [test for test, _ in asked(outcome, 40)]


def test_a_repair_of_another_part_leaves_the_fault_where_it_is(job):
    outcome = job(UNEVEN, '\n[[steps]]\nrepair = ["injector 1"]\n', UNEVEN, STANDS, kind="starts badly")
    assert likeliest(outcome) == ("injector 3", "proven")


def test_everything_good_and_the_complaint_stands_says_how_much_was_looked_at_and_never_that_there_is_no_fault(job):
    outcome = job(HOLD.format(995, "none"), EVEN, LOW.format(1200, "0.20"), FEED_GOOD, seen("fault memory", code="none"),
                  STANDS, kind="lacks power")  # fmt: skip
    assert outcome.conclusion.startswith("The fault is not found yet. Looked at: ")
    assert "The complaint stands." in outcome.conclusion
    taken = {"hold", "returns", "feed pressure", "fault memory"}
    assert outcome.ranked and not taken & {test for test, _ in asked(outcome, 40)}
    assert outcome.found.chances["not on the map"] > 0.05


def test_the_same_returns_with_opposite_outcomes_are_to_be_repeated_before_a_part_is_changed(job):
    outcome = job(UNEVEN, EVEN, kind="starts badly")
    assert outcome.conclusion.startswith("The tests contradict each other. Repeat returns (injector 3)")
    assert asked(outcome, 1) == [("returns", "")]


def test_a_sheet_changes_the_reach_of_a_test_and_what_is_wrong_with_that_is_told(job, tmp_path):
    without = job(FEED_LOW, kind="lacks power").found.chances["filter"]
    changed = job('[reach."feed pressure"]\n"filter" = 0.2\n', FEED_LOW, kind="lacks power")
    assert changed.found.chances["filter"] < 0.4 * without
    own = job('[reach."noise of the pump"]\n"pump drive" = 0.9\n',
              reading("noise of the pump", "90 ± 1 Hz", "max 50 Hz", place="pump drive"), kind="lacks power")  # fmt: skip
    assert likeliest(own)[0] == "pump drive"
    path = tmp_path / "wrong.toml"
    text = '[reach."feed presure"]\n"filtre" = 0.2\n"filter" = 2\n'
    path.write_text(text, encoding="utf-8")
    with pytest.raises(Exception, match="filtre") as refused:
        read_sheet(path)
    assert len(str(refused.value).splitlines()) == 3
    assert "did you mean feed pressure?" in str(refused.value)


def test_a_test_may_add_a_place_to_the_map(job, monkeypatch):
    """The places of a plugin's declaration are on every map; a repair and an outcome may name them."""
    water = Place("water sensor", "supply", "control", "the water sensor in the filter")
    sense = Sense.one({"water sensor": 0.9}, 5.0, direct=("water sensor",), places=(water,))
    offered = {**offered_tests(), "water": OfferedTest(offered_tests()["hold"].calculator, sense, {})}
    monkeypatch.setattr("baybook.jobs.offered.offered_tests", lambda: offered)
    repair, known = '\n[[steps]]\nrepair = ["water sensor"]\n', '\n[outcome]\nplace = "water sensor"\n'
    repaired, outcome = job(FEED_GOOD, repair, known, kind="cuts out"), job(FEED_GOOD, kind="cuts out")
    assert outcome.found.chances["water sensor"] > repaired.found.chances["water sensor"] > 0.0
    assert "water" in [test for test, _ in asked(outcome, 40)]
    assert likeliest(job(seen("drops of water", place="water sensor"), kind="cuts out"))[0] == "water sensor"
