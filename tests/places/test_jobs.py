"""Whole jobs at the engine: what a practitioner would conclude from these outcomes. Common practice, no source."""

from __future__ import annotations

import time

import pytest
from tests.places.conftest import BAD, GOOD, coil, hold, reading, regulator, returns

from baybook.jobs.offered import senses
from baybook.places.choice import next_tests
from baybook.places.complaint import complaint
from baybook.places.conclusion import conclude
from baybook.places.evidence import Evidence
from baybook.places.fitted import Fitted
from baybook.places.history import Repair
from baybook.places.sentences import headline
from baybook.places.system import SystemMap


def said(conclusion) -> str:
    return " ".join(map(str, headline(conclusion)))


def standing(conclusion, name):
    return next(s for s in conclusion.standings if s.place.name == name)


def no_code(step, van):
    """A fault memory that was read, and holds none: what nobody has read comes before what is measured."""
    memory = senses()["fault memory"]
    asked = {word: question for word, question in memory.questions.items() if word != "output stage of one injector"}
    return [Evidence(step, "fault memory", 0.95, memory, word, on)
            for word, question in asked.items() for on in (memory.on(van) if question.aimed else [""])
            if question.asked_of(on)]  # fmt: skip


def test_a_blocked_filter_is_sought_in_the_supply_and_the_pump_is_not_named(van):
    """The control asks for more, the valve gets its current, pressure low, feed pressure low."""
    found = conclude([complaint(van, "lacks power"), *regulator(1, "inlet valve", "low"),
                      reading(2, "feed pressure", BAD, "low", load=True), *no_code(3, van)], van)  # fmt: skip
    assert [s.place.stage for s in found.standings[:5]] == ["supply"] * 5
    assert found.standings[0].place.name == "filter"
    assert found.sum("supply") > 0.95
    assert "pump elements" not in found.open
    assert found.contradiction is None
    assert said(found).startswith("The fault lies in supply, on the hydraulic side")
    assert {test.test for test in next_tests(found, senses(), 4)} <= {
        "supply pump current", "supply pump delivery", "filter pressure drop", "feed pressure before the filter",
        "suction depression", "line",
    }  # fmt: skip


def test_then_the_filter_is_proven_by_the_drop_across_it(van):
    found = conclude([complaint(van), *regulator(1, "inlet valve", "low"), reading(2, "feed pressure", BAD, "low", load=True),
                      reading(3, "filter pressure drop", BAD, load=True)], van)  # fmt: skip
    assert standing(found, "filter").word == "likely"  # wax in cold fuel does the same, and the drop cannot tell
    warm = reading(4, "filter pressure drop, warm", BAD, load=True)
    found = conclude([*found.history.steps, warm], van)
    assert standing(found, "filter").word == "proven"
    assert said(found).startswith("Proven: the fault lies in the fuel filter (")


def test_a_hold_that_fails_and_one_high_return_point_to_that_injector_and_prove_no_rail(van):
    found = conclude([complaint(van), hold(1, BAD, shut=True), *returns(2, 3)], van)
    assert found.standings[0].place.name == "injector 3"
    assert found.standings[0].chance > 0.9
    assert standing(found, "rail and joints").chance < 0.05
    assert not [s for s in found.standings if s.place.stage == "storage" and s.word in ("proven", "likely")]
    assert found.contradiction is None
    assert "injector 3" in said(found)


def test_three_good_coils_and_one_bad_name_the_bad_one_and_contradict_nothing(van):
    found = conclude([complaint(van), *(coil(n, f"injector {n}", BAD if n == 2 else GOOD) for n in range(1, 5))], van)
    assert found.standings[0].place.name == "injector 2 coil"
    assert found.standings[0].chance > 0.85
    assert found.contradiction is None
    assert standing(found, "injector 1 coil").word == "not seen here"
    assert standing(found, "injector 1").word == "untested"
    assert "the coil of injector 2" in said(found)


def test_a_good_coil_without_current_points_to_the_wiring_or_the_driver(van):
    found = conclude([complaint(van), *regulator(1, "inlet valve", "low", "current"), coil(2, "inlet valve", GOOD)], van)
    assert {s.place.name for s in found.standings[:2]} == {"inlet valve wiring", "inlet valve driver"}
    assert found.sum(side="control") > 0.8
    assert found.contradiction is None
    assert standing(found, "inlet valve coil").word != "likely"
    first = next_tests(found, senses(), 3)
    assert {test.test for test in first} >= {"wires end to end"}  # along a wire without current there is no voltage drop


def test_the_same_test_before_and_after_proves_the_repair(van):
    steps = [complaint(van, "starts badly"), *returns(1, 3), Repair(2, ("injector 3",)), *returns(3)]
    found = conclude(steps, van)
    assert found.contradiction is None
    [proof] = found.proofs
    assert (proof.word, proof.before.step, proof.after.step, proof.before.object) == ("proved", 1, 3, "injector 3")
    assert said(found).startswith(
        "The repair of injector 3 is proved: returns (injector 3) was outside before it (step 1) "
        "and is within after it (step 3)."
    )
    assert standing(found, "injector 3").chance < 0.02
    gone = conclude([*steps, complaint(van, "starts badly", stands=False, step=4)], van)
    assert gone.chances["no fault"] > found.chances["no fault"] > 0.6
    assert gone.chances["no fault"] > 0.95


def test_a_repair_that_is_not_tested_is_not_proved_and_asks_for_the_same_test(van):
    found = conclude([complaint(van), *returns(1, 3), Repair(2, ("injector 3",))], van)
    assert [proof.word for proof in found.proofs] == ["not repeated"]
    asked = {test.test: test.reason for test in next_tests(found, senses())}
    assert asked["returns"] == "after repair"
    assert asked["hold"] == "not taken"


def test_a_repair_of_the_wrong_part_leaves_the_fault_where_it_is(van):
    found = conclude([complaint(van), *returns(1, 3), Repair(2, ("injector 1",)), *returns(3, 3)], van)
    assert found.standings[0].place.name == "injector 3"
    assert found.standings[0].chance > 0.9
    again = conclude([complaint(van), *returns(1, 3), Repair(2, ("injector 3",)), *returns(3, 3)], van)
    assert [proof.word for proof in again.proofs] == ["still bad"]


def test_a_hold_with_an_outlet_valve_open_at_rest_says_nothing_of_the_rail():
    """Unless it was driven shut, such a rail empties by design."""
    system = SystemMap.from_table({"outlet_valve": "rail", "open_at_rest": ["outlet valve"], "injectors": 4})
    before, after = conclude([complaint(system)], system), conclude([complaint(system), hold(1, BAD)], system)
    assert after.chances == pytest.approx(before.chances)
    assert standing(after, "rail and joints").word == "untested"
    shut = conclude([complaint(system), hold(1, BAD, shut=True)], system)
    assert shut.chances["rail and joints"] > 4 * before.chances["rail and joints"]


def test_a_hold_where_nobody_said_what_is_open_at_rest_says_less_and_asks():
    system = SystemMap.of(Fitted(injectors=4))
    steps = [complaint(system), hold(1, BAD)]
    unknown, shut = conclude(steps, system), conclude([complaint(system), hold(1, BAD, shut=True)], system)
    nothing = conclude([complaint(system)], system)
    rail = "rail and joints"
    assert nothing.chances[rail] < unknown.chances[rail] < shut.chances[rail]
    assert unknown.unsettled[0].need.name == "shut"
    assert not shut.unsettled
    good = conclude([complaint(system), hold(1, GOOD)], system)  # a rail that holds did not stand open
    assert good.chances[rail] < 0.3 * nothing.chances[rail]


def test_all_within_and_the_complaint_stands_names_what_is_untested(van):
    steps = [
        complaint(van, "starts badly"),
        hold(1, GOOD),
        *returns(2),
        *regulator(3),
        *(coil(3 + n, f"injector {n}", GOOD) for n in range(1, 5)),
    ]
    found = conclude(steps, van)
    words = said(found)
    assert words.startswith("The fault is not found yet.")
    assert "Not tested yet" in words and "The complaint stands." not in words  # nobody has tried it since it was told
    assert "The complaint stands." in said(conclude([*steps, complaint(van, "starts badly", again=True, step=9)], van))
    assert found.standings[0].tried < 0.5  # air shows little in a pressure that is on target: as good as untested
    assert found.chances["not on the map"] > conclude(steps[:1], van).chances["not on the map"]
    taken = {(item.test, item.object) for item in steps}
    assert not [t for t in next_tests(found, senses()) if (t.test, t.object) in taken or t.test in ("returns", "hold")]


def test_pressure_too_high_with_its_current_right_and_less_asked_suspects_the_sensor_first(van):
    found = conclude([complaint(van, "pressure too high"), *regulator(1, "inlet valve", "high"), *no_code(2, van)], van)
    assert "rail sensor" in [s.place.name for s in found.standings[:2]]
    asked = [test.test for test in next_tests(found, senses(), 3)]  # the outlet valve's current was not measured either
    assert "rail sensor against gauge or zero" in asked
    assert not [s for s in found.standings if s.word == "proven"]


def test_a_place_is_never_proven_by_a_test_that_does_not_look_directly_at_it(van):
    """Hold fails, and everything else that it looks at has been seen good: the rail is likely, not proven."""
    found = conclude([
        complaint(van), hold(1, BAD, shut=True), *returns(2), reading(3, "outlet valve return", GOOD),
        *(Evidence(n, "stated", factors={"relief valve": 0.01, "pump outlet": 0.01, "injector *": 0.01}) for n in (4, 5)),
    ], van)  # fmt: skip
    rail = standing(found, "rail and joints")
    assert rail.chance > 0.4 and rail.word in ("open", "likely")
    wet = Evidence(6, "wetness at the high-pressure side", BAD, senses()["wetness at the high-pressure side"])
    assert standing(conclude([*found.history.steps, wet], van), "rail and joints").word == "proven"


def test_tests_that_no_place_explains_are_a_contradiction_and_the_two_to_repeat_are_named(van):
    steps = [complaint(van), *returns(1, 3), reading(2, "rail sensor against gauge or zero", BAD), hold(3, GOOD),
             Evidence(4, "injector 3 on the bench", GOOD, senses()["returns"], object="injector 3", answers={"pressure": True}),
             reading(5, "rail sensor supply and ground", GOOD)]  # fmt: skip
    found = conclude(steps, van)
    assert found.contradiction is not None
    assert [(item.step, item.test) for item in found.contradiction.repeat] == [(1, "returns"), (4, "injector 3 on the bench")]
    assert "The tests contradict each other. Repeat" in said(found)
    assert "contradiction" in {test.reason for test in next_tests(found, senses())}


def test_the_same_test_with_opposite_outcomes_contradicts_itself_until_a_third_decides(van):
    two = conclude([complaint(van), coil(1, "injector 2", BAD), coil(2, "injector 2", GOOD)], van)
    assert two.contradiction is not None
    assert [item.step for item in two.contradiction.repeat] == [1, 2]
    assert [t.reason for t in next_tests(two, {"coil": senses()["coil"]}) if t.object == "injector 2"] == ["contradiction"]
    three = conclude([*two.history.steps, coil(3, "injector 2", BAD)], van)
    assert three.contradiction is None
    assert three.standings[0].place.name == "injector 2 coil"


def test_no_test_is_no_finding_of_no_fault(van):
    assert said(conclude([], van)) == "No test has been taken yet."
    assert said(conclude([complaint(van)], van)) == "No test has been taken yet."


def test_what_a_complaint_shakes_has_nothing_to_be_settled(van):
    """Only a test has a question that may lack its answer; the complaint is evidence beside it."""
    found = conclude([complaint(van, "lacks power"), hold(1, BAD)], SystemMap.of())
    assert {unsettled.test for unsettled in found.unsettled} == {"hold"}


def test_every_number_of_a_place_can_be_followed(van):
    """The odds at the beginning times the factor of each test are the odds now."""
    found = conclude([complaint(van), hold(1, BAD, shut=True), *returns(2, 3), coil(3, "injector 3", GOOD)], van)
    account = found.why("injector 3")
    odds = account.start
    for factor in account.factors:
        odds *= factor.factor
    assert odds == pytest.approx(account.odds)
    assert account.speaking_for[0].evidence[0].test == "returns"
    rail = found.why("rail and joints")
    assert rail.speaking_against[0].evidence[0].test == "returns"  # it explains the hold by another place
    assert rail.speaking_for[0].evidence[0].test == "hold"


def test_twenty_steps_conclude_in_a_tenth_of_a_second(van):
    steps = [complaint(van), hold(1, BAD, shut=True), *returns(2, 3), *regulator(3), *(coil(3 + n, f"injector {n}",
        GOOD) for n in range(1, 5)),
             coil(8, "inlet valve", GOOD), coil(9, "outlet valve", GOOD), *regulator(10, "outlet valve"),
             *(reading(11 + n, what, GOOD) for n, what in enumerate(("filter pressure drop", "return back pressure",
                 "pump leak return",
               "speed and phase signals", "control unit supply", "outlet valve return",
               "rail sensor supply and ground")))]  # fmt: skip
    assert len(steps) >= 20
    taken = []
    for _ in range(3):
        begin = time.process_time()
        found = conclude(steps, van)
        assert found.standings and found.open and found.contradiction is None
        taken.append(time.process_time() - begin)
    assert min(taken) <= 0.1
