"""Which tests are asked for, why, and in which order: by the rules' own words, on four places."""

from __future__ import annotations

import math
from typing import Any

import pytest
from scipy.stats import entropy
from tests.places.test_by_hand import look, small

from baybook.dataclass import replace
from baybook.places.choice import FAR_MORE, LEAST, NextTest, next_tests, outcomes
from baybook.places.complaint import comes_and_goes, complaint
from baybook.places.conclusion import Conclusion, conclude
from baybook.places.evidence import Evidence
from baybook.places.history import Repair
from baybook.places.need import Need
from baybook.places.sense import Question, Sense
from baybook.places.system import SystemMap


def of(place: str, minutes: float = 5.0, reach: float = 0.8, **more: Any) -> Sense:
    return Sense.one({place: reach}, minutes, **more)


def names(senses: dict[str, Sense], *steps: Evidence | Repair) -> list[str]:
    return [test.test for test in next_tests(conclude(steps, small()), senses)]


def reasons(senses: dict[str, Sense], *steps: Evidence | Repair) -> list[tuple[str, str, str]]:
    return [(test.test, test.object, test.reason) for test in next_tests(conclude(steps, small()), senses)]


def taken(step: int, test: str, conforms: float, sense: Sense, word: str = "", **more: Any) -> Evidence:
    return Evidence(step, test, conforms, sense, word, **more)


BEGUN = look(1, 0.001, 0.3, "injector 1")


def test_what_is_taken_apart_comes_last_whatever_it_is_worth() -> None:
    senses = {"apart": of("filter", 1.0, apart=True), "slow": of("pump", 200.0)}
    assert names(senses) == ["slow", "apart"] == names(senses, BEGUN)


def test_what_opens_a_job_comes_first_until_something_is_found() -> None:
    """Then what looks at the start of the engine, then by worth; a complaint is no finding, and a good outcome is none."""
    senses = {
        "quick": of("filter", 1.0),
        "start": of("pump", 60.0, starting=True),
        "open": of("injector 2", 90.0, opening=True),
    }
    early = ["open", "start", "quick"]
    assert names(senses) == early == names(senses, complaint(small())) == names(senses, look(1, 0.99, 0.3, "injector 1"))
    assert names(senses, BEGUN)[0] == "quick" and sorted(names(senses, BEGUN)) == sorted(early)
    repaired = names(senses, BEGUN, Repair(2, ("injector 1",)))
    assert repaired[0] == "quick", "what was found before a repair was found"


def test_at_most_so_many() -> None:
    senses = {name: of(place) for name, place in (("a", "filter"), ("b", "pump"), ("c", "injector 1"))}
    found = conclude([], small())
    assert [len(next_tests(found, senses, most)) for most in (0, 1, 2, None)] == [0, 1, 2, 3]
    assert next_tests(found, senses, 1)[0].test == next_tests(found, senses)[0].test


def told(found: Conclusion, bad: list[float]) -> float:
    """Bits that a test with these chances to come out bad tells: by scipy's entropies (Lindley 1956)."""
    weights = found.belief.weights
    after = 0.0
    for row in (bad, [1.0 - b for b in bad]):
        joint = [w * c for w, c in zip(weights, row, strict=True)]
        after += sum(joint) * float(entropy(joint, base=2))
    return float(entropy(weights, base=2)) - after


def test_what_tells_next_to_nothing_is_not_asked() -> None:
    """Two thousandths of a bit, found by halving the reach on the filter with scipy's entropies."""
    assert LEAST == 0.002
    found = conclude([], small())
    every = found.history.hypotheses

    def bits(reach: float) -> float:
        return told(found, [0.03 if s == (-1,) else reach if 0 in s else 0.02 for s in every.sets])

    low, high = 0.02, 0.9
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if bits(middle) < 0.002 else (low, middle)
    assert next_tests(found, {"x": of("filter", reach=high * 1.02)}) and not next_tests(
        found, {"x": of("filter", reach=high * 0.98)}
    )
    [asked] = next_tests(found, {"x": of("filter", reach=0.5)})
    assert asked.gain == pytest.approx(bits(0.5), rel=1e-9)


def test_a_danger_to_hands_is_worth_a_quarter() -> None:
    assert FAR_MORE == 4.0
    worth = {hands: NextTest("x", "", "not taken", 0.6, 5.0, hands, (), ()).worth
             for hands in ("nothing opened", "low side opened", "high side opened", "live wiring")}  # fmt: skip
    assert list(worth.values()) == pytest.approx([0.12, 0.12, 0.03, 0.03])


def test_what_looks_at_nothing_new_is_not_asked_beside_a_better_one() -> None:
    """By what is measured, whoever measures it; one that looks at something else as well is."""
    same = {"slow": of("filter", 20.0, measures="m"), "quick": of("filter", measures="m")}
    assert names(same) == ["quick"]
    more = Sense({"a": Question({"filter": 0.8}, measures="m"), "b": Question({"pump": 0.8}, measures="n")}, 50.0)
    assert names({**same, "more": more}) == ["quick", "more"]
    closer = {"warm": of("filter", measures="m, warm"), "any": of("filter", 20.0, measures="m")}
    assert names(closer) == ["warm", "any"]


def test_what_is_to_be_repeated_stands_for_what_looks_at_the_same() -> None:
    """After a repair the very test that was made, though another would be quicker."""
    senses = {"slow": of("filter", 20.0, measures="m"), "quick": of("filter", 1.0, measures="m")}
    bad = taken(1, "slow", 0.001, senses["slow"])
    assert reasons(senses, bad, Repair(2, ("filter",))) == [("slow", "", "after repair")]
    assert reasons(senses, bad, Repair(2, ("pump",))) == [("slow", "", "another repaired")]
    assert reasons({"quick": senses["quick"]}, bad, Repair(2, ("filter",))) == [("quick", "", "after repair")], (
        "where the test that was made is not declared any more, another repeats it"
    )
    good = taken(1, "slow", 0.999, senses["slow"])
    assert reasons(senses, good, Repair(2, ("pump",))) == [], "good before, and something else repaired"
    assert reasons(senses, good, Repair(2, ("filter",))) == [("slow", "", "after repair")]
    assert reasons(senses, bad, Repair(2, ("filter",)), taken(3, "slow", 0.999, senses["slow"])) == []


def test_an_undecided_outcome_asks_for_any_test_of_it() -> None:
    """The one that was made again, another for the first time; whichever is better."""
    senses = {"slow": of("filter", 20.0, measures="m"), "quick": of("filter", 1.0, measures="m")}
    open_ = taken(1, "slow", 0.4, senses["slow"])
    assert reasons(senses, open_) == [("quick", "", "not taken")]
    assert reasons({"slow": senses["slow"]}, open_) == [("slow", "", "undecided")]


def test_a_contradiction_asks_for_both_and_no_more_than_three_times() -> None:
    senses = {"a": of("filter", measures="m")}
    both = [taken(1, "a", 0.02, senses["a"]), taken(2, "a", 0.98, senses["a"])]
    assert reasons(senses, *both) == [("a", "", "contradiction")]
    assert reasons(senses, *both, taken(3, "a", 0.02, senses["a"])) == []
    twice = [*both, taken(3, "a", 0.5, senses["a"])]
    assert reasons(senses, *twice) == []


def test_a_memory_is_read_whole_and_once() -> None:
    """What lasts and is read in one go is not asked for the codes that were not named."""
    questions = {"a": Question({"filter": 0.8}), "b": Question({"pump": 0.8})}
    for lasting, together, asked in ((True, True, []), (True, False, ["t"]), (False, True, ["t"])):
        memory = Sense(questions, 5.0, lasting=lasting, together=together)
        assert names({"t": memory}, taken(1, "t", 0.99, memory, "a")) == asked
        assert names({"t": memory}) == ["t"] == names({"t": memory}, taken(1, "u", 0.99, memory, "a"))[:1]
        assert names({"t": memory}, taken(1, "t", 0.5, memory, "a")) == ["t"], "what was not decided is read again"


def test_nobody_is_sent_to_what_is_not_sought() -> None:
    sense = Sense({"a": Question({"filter": 0.8}, sought=False)}, 5.0)
    assert names({"x": sense}) == [] and names({"x": of("filter")}) == ["x"]


def test_a_movement_is_made_where_something_comes_and_goes() -> None:
    sense = Sense({"": Question({"filter": 0.8}, provokes=True)}, 5.0)
    assert names({"x": sense}) == [] and names({"x": sense}, comes_and_goes(small())) == ["x"]


def test_a_question_is_asked_of_its_objects_alone() -> None:
    """Of injector 2 alone, of each of them, or once for all where it does not matter which."""
    objects = ("injector *",)
    one = Sense({"": Question({"{object}": 0.8}, on=("injector 2",))}, 5.0, objects=objects)
    assert reasons({"x": one}) == [("x", "injector 2", "not taken")]
    each = Sense({"": Question({"{object}": 0.8})}, 5.0, objects=objects)
    [asked] = next_tests(conclude([], small()), {"x": each})
    assert (asked.object, asked.also) == ("injector 1", ("injector 2",))
    whole = Sense({"": Question({"filter": 0.8})}, 5.0, objects=objects)
    [asked] = next_tests(conclude([], small()), {"x": whole})
    assert (asked.object, asked.also) == ("", ())
    together = Sense({"": Question({"{object}": 0.8})}, 5.0, objects=objects, together=True)
    [asked] = next_tests(conclude([], small()), {"x": together})
    assert (asked.object, asked.also, asked.separates) == ("", (), ("injector 1", "injector 2"))
    for_one = Sense({"": Question({"filter": 0.8}, on=("injector 2",))}, 5.0, objects=objects, together=True)
    assert reasons({"x": for_one}) == [("x", "", "not taken")], "made on both, and asked of the second"
    unlike = conclude([look(1, 0.2, 0.6, "injector 2")], small())
    assert [(t.object, t.also) for t in next_tests(unlike, {"x": each})] == [("injector 2", ()), ("injector 1", ())]


def test_what_was_looked_at_on_all_is_looked_at_on_each() -> None:
    """And what is named more closely is a look at what is named before the comma, not the other way round."""
    each = Sense({"": Question({"{object}": 0.8}, measures="m")}, 5.0, objects=("injector *",))
    whole = Sense({"": Question({"injector *": 0.8}, measures="m")}, 5.0)
    assert reasons({"x": each}, taken(1, "x", 0.999, whole)) == []
    assert reasons({"x": each}, replace(taken(1, "x", 0.999, each), object="injector 1")) == [("x", "injector 2", "not taken")]
    warm, any_ = of("filter", measures="drop, warm"), of("filter", measures="drop")
    assert names({"any": any_}, taken(1, "warm", 0.999, warm)) == []
    assert names({"warm": warm}, taken(1, "any", 0.999, any_)) == ["warm"]
    assert names({"warm": warm}, taken(1, "warm", 0.999, warm)) == []


@pytest.mark.parametrize(
    ("more", "asked"),
    [
        ({"conforms": 0.001}, []), ({"conforms": 0.3}, ["undecided"]), ({"conforms": 0.3, "explains": 0.9}, []),
        ({"conforms": 0.5, "void": True}, []), ({"conforms": 0.999, "left": 0.4}, ["other condition"]),
        ({"conforms": 0.4, "left": 0.4}, ["undecided"]), ({"conforms": 0.999, "answers": {"warm": False}}, ["unmet"]),
        ({"conforms": 0.999, "answers": {"warm": True}}, []), ({"conforms": 0.001, "answers": {"warm": False}}, ["unmet"]),
    ],
)  # fmt: skip
def test_why_an_answer_is_to_be_had_again(more: dict[str, Any], asked: list[str]) -> None:
    sense = of("filter", needs=(Need("warm", "warm?", met=0.9),))
    item = Evidence(1, "x", sense=sense, **more)
    assert [reason for *_, reason in reasons({"x": sense}, item)] == asked


def test_what_a_calculator_states_itself_is_answered() -> None:
    assert names({"x": of("filter")}, Evidence(1, "x", factors={"pump": 2.0})) == []


def test_an_answer_in_the_complaints_condition_is_enough() -> None:
    """Beside one in another, or of three times any."""
    sense = of("filter")
    elsewhere = [taken(n, "x", 0.999, sense, left=0.4 - n / 100) for n in range(3)]
    assert reasons({"x": sense}, *elsewhere[:2]) == [("x", "", "other condition")] and names({"x": sense}, *elsewhere) == []
    assert names({"x": sense}, elsewhere[0], taken(9, "x", 0.999, sense)) == []


def test_what_a_test_would_look_at_and_has_to_settle() -> None:
    """The open places that it sees better than chance, in their order; what nobody has said."""
    needs = (Need("warm", "warm?", met=0.9), Need("sure", "", met=0.9), Need("dry", "dry?", met=0.5))
    sense = Sense({"": Question({"pump": 0.8, "filter": 0.3, "injector 1": 0.05}, 0.05)}, 5.0, needs=needs)
    [asked] = next_tests(conclude([], small()), {"x": sense})
    assert asked.separates == ("filter", "pump") and [need.name for need in asked.needs] == ["warm", "dry"]
    assert asked.things == {("x", "")} and asked.to_dict()["settle_first"] == ["warm?", "dry?"]
    sure = conclude([Evidence(1, "y", factors={"pump": 1e6})], small())
    [asked] = next_tests(sure, {"x": replace(sense, questions={"": Question({"filter": 0.3}, 0.05)})})
    assert asked.separates == (), "the filter is not open any more"


@pytest.mark.parametrize(("table", "held"), [({}, 0.3), ({"open_at_rest": []}, 1.0), ({"open_at_rest": ["outlet valve"]}, 0.0)])
def test_a_valve_that_has_to_be_driven_shut_is_not_taken_as_seen_to(table: dict[str, Any], held: float) -> None:
    """Other needs are: 0.8 by its own; else bad in 0.4 of cases (needs mixed in by hand)."""
    system = SystemMap.from_table(table)
    needs = (Need("shut", "shut?", met=0.3, bad=0.4, at_rest=True), Need("warm", "warm?", met=0.5, bad=0.9))
    sense = Sense({"": Question({"filter": 0.8}, 0.1)}, 5.0, needs=needs)
    good, bad = outcomes(conclude([], system), sense, [("", "")])
    at = conclude([], system).history.hypotheses.at
    n = next(n for n, place in enumerate(system.places) if place.name == "filter")
    assert bad[at[n,]] == pytest.approx(held * 0.8 + (1 - held) * 0.4) and bad[at[()]] == pytest.approx(
        held * 0.1 + (1 - held) * 0.4
    )
    assert [g + b for g, b in zip(good, bad, strict=True)] == pytest.approx([1.0] * len(good))


def test_two_answers_of_one_test() -> None:
    """All good, the one bad alone, the other alone, both: by the chances of each under the hypothesis."""
    sense = Sense({"a": Question({"filter": 0.8}, 0.1), "b": Question({"pump": 0.7, "filter": 0.2}, 0.05)}, 5.0)
    found = conclude([], small())
    rows = outcomes(found, sense, [("", "a"), ("", "b")])
    every = found.history.hypotheses
    for members, chance in (((), (0.1, 0.05)), ((0,), (0.8, 0.2)), ((1,), (0.1, 0.7)), ((-1,), (0.15, 0.075))):
        a, b = chance
        by_hand = [(1 - a) * (1 - b), a * (1 - b), b * (1 - a), a * b]
        assert [row[every.at[members]] for row in rows] == pytest.approx(by_hand), members
    assert all(value >= 0.0 for row in rows for value in row) and not math.isnan(sum(map(sum, rows)))


def test_what_comes_next_as_json() -> None:
    sense = of("filter", 7.0, hands="low side opened")
    [asked] = next_tests(conclude([], small()), {"x": sense})
    assert asked.to_dict() == {
        "test": "x", "object": "", "reason": "not taken", "gain": asked.gain, "minutes": 7.0, "hands": "low side opened",
        "settle_first": [], "separates": ["filter"], "also": [],
    }  # fmt: skip


def test_a_vehicle_without_the_part_is_not_tested_there() -> None:
    sense = of("filter", fitted={"returns": ("common", None)})
    assert [bool(next_tests(conclude([], SystemMap.from_table(table)), {"x": sense}))
            for table in ({}, {"returns": "common"}, {"returns": "separate"})] == [True, True, False]  # fmt: skip
    on = of("{object}", objects=("suction pump",))
    assert not next_tests(conclude([], SystemMap.from_table({"low_pressure": ["tank pump"]})), {"x": on})
    together = of("{object}", objects=("suction pump",), together=True)
    assert not next_tests(conclude([], SystemMap.from_table({"low_pressure": ["tank pump"]})), {"x": together})
