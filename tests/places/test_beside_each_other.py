"""What outcomes make of each other, what has to be done first, and the first lines: by the rules' own words, on four places."""

from __future__ import annotations

import math

import pytest
from tests.places.test_by_hand import look, small

from baybook.places.adapted import made_outside, where_it_does_not_start
from baybook.places.complaint import WORKED_ON, comes_and_goes, complaint, worked_on
from baybook.places.conclusion import conclude
from baybook.places.effects import weighed
from baybook.places.evidence import Evidence
from baybook.places.history import Repair
from baybook.places.known import is_known
from baybook.places.need import Halt, Need
from baybook.places.place import NO_FAULT, OFF_MAP, number_in, resolved
from baybook.places.proof import Proof, proofs
from baybook.places.sense import Question, Sense
from baybook.places.sentences import headline, percent
from baybook.places.system import SystemMap


def seen(step: int, conforms: float, question: Question, test: str = "", **more) -> Evidence:
    return Evidence(step, test or f"t{step}", conforms, Sense({"": question}, 5.0, **more.pop("sense", {})), **more)


def said(*steps: Evidence | Repair) -> list[str]:
    return [str(sentence) for sentence in headline(conclude(steps, small()))]


FILTER = Question({"filter": 0.9}, direct=("filter",))


@pytest.mark.parametrize(("brings", "explains", "conforms"), [
    (10.0, 1.0, 0.1), (5.0, 1.0, 0.1), (2.5, 0.5, 0.3), (-10.0, 0.0, 0.5),
])  # fmt: skip
def test_what_was_found_counts_as_far_as_it_explains_what_was_seen(brings: float, explains: float, conforms: float) -> None:
    """Half of what was seen counts in full, half of that half; a verdict moves towards the open one by as much."""
    symptom = seen(1, 0.01, Question({"pump": 0.5}), shows={"p": 10.0})
    cause = seen(2, 0.1, FILTER, brings={"p": brings})
    found = weighed([symptom, cause])[1]
    assert isinstance(found, Evidence) and (found.explains, found.conforms) == (explains, pytest.approx(conforms))


def test_what_is_not_bad_or_of_another_time_explains_nothing_away() -> None:
    """A good outcome stays, so does one whose symptom came good, was of another quantity, or before a repair."""
    cause = seen(2, 0.1, FILTER, brings={"p": -10.0})
    good = seen(2, 0.6, FILTER, brings={"p": -10.0})
    for steps in (
        [seen(1, 0.9, Question({"pump": 0.5}), shows={"p": 10.0}), cause],
        [seen(1, 0.01, Question({"pump": 0.5}), shows={"q": 10.0}), cause],
        [seen(1, 0.01, Question({"pump": 0.5}), shows={"p": 10.0}), Repair(3, ("pump",)), cause],
        [seen(1, 0.01, Question({"pump": 0.5}), shows={"p": 10.0}), good],
    ):
        last = weighed(steps)[-1]
        assert isinstance(last, Evidence) and (last.explains, last.conforms) == (1.0, pytest.approx(steps[-1].conforms))
    both = [
        seen(1, 0.01, Question({"pump": 0.5}), shows={"p": 10.0}),
        seen(3, 0.4, Question({"pump": 0.5}), shows={"p": -10.0}),
    ]
    [*_, last] = weighed([*both, seen(2, 0.1, FILTER, brings={"p": 10.0})])
    assert isinstance(last, Evidence) and last.explains == 0.0  # the least counts


def test_a_good_end_beside_a_bad_one_says_nothing() -> None:
    """What sticks too low is not cleared of sticking too high, of one step, test and object alone."""
    ends = Sense({"p low": Question({"filter": 0.9}, 0.05), "p high": Question({"pump": 0.8}, 0.05)}, 5.0)
    low, high = Evidence(1, "t", 0.01, ends, "p low"), Evidence(1, "t", 0.99, ends, "p high")
    for steps in ([low, high], [high, low]):
        silent = next(item for item in weighed(steps) if isinstance(item, Evidence) and item.question == "p high")
        question = silent.sense.questions["p high"] if silent.sense else None
        assert question is not None and question.reach == {} and question.off_map == 0.05 and question.direct == ()
    for other in (
        Evidence(2, "t", 0.99, ends, "p high"),
        Evidence(1, "u", 0.99, ends, "p high"),
        Evidence(1, "t", 0.6, ends, "p high"),
    ):
        assert weighed([low, other])[1] == other
    apart = Sense({"warm": Question({"filter": 0.9}), "cold": Question({"pump": 0.8})}, 5.0)
    plain = Evidence(1, "t", 0.99, apart, "cold")
    assert weighed([Evidence(1, "t", 0.01, apart, "warm"), plain])[1] == plain


def test_what_is_good_ahead_of_something_bad_clears_what_it_looks_at() -> None:
    """Its reach is 0.95 there, and what lies between the two is ten times likelier."""
    ahead = seen(1, 0.99, Question({"filter": 0.6, "pump": 0.97}, ahead_of="behind", between=("pump",)), test="ahead")
    behind = seen(2, 0.01, Question({"pump": 0.8}, measures="behind"))
    cleared, between, _ = weighed([ahead, behind])
    assert (
        isinstance(cleared, Evidence) and cleared.sense and cleared.sense.questions[""].reach == {"filter": 0.95, "pump": 0.97}
    )
    assert isinstance(between, Evidence) and between.factors == {"pump": 10.0}
    for steps in (
        [ahead, seen(2, 0.99, Question({"pump": 0.8}, measures="behind"))],
        [ahead],
        [ahead, Repair(3, ("pump",)), behind],
    ):
        assert weighed(steps)[0] == ahead and len(weighed(steps)) == len(steps)
    bad = seen(1, 0.01, Question({"filter": 0.6}, ahead_of="behind", between=("pump",)))
    assert weighed([bad, behind])[0] == bad
    alone = seen(1, 0.99, Question({"filter": 0.6}, ahead_of="behind"))
    assert len(weighed([alone, behind])) == 2


def test_what_a_dead_sensor_read_is_void() -> None:
    """Open, whatever it read, but not what else was read."""
    dead = seen(1, 0.01, Question({"filter": 0.9}, voids=("p",)))
    read, other = seen(2, 0.001, Question({"pump": 0.8}, measures="p")), seen(3, 0.001, Question({"pump": 0.8}, measures="q"))
    _, void, kept = weighed([dead, read, other])
    assert isinstance(void, Evidence) and (void.conforms, void.void) == (0.5, True) and kept == other
    assert weighed([seen(1, 0.99, Question({"filter": 0.9}, voids=("p",))), read])[1] == read
    assert (
        said(dead, read)[-1]
        == "What t2 read (step 2) says nothing: its sensor has no supply; read it again once that is mended."
    )


def test_what_a_control_hides_is_spared() -> None:
    """Where a target was met at both ends; one end bad, nothing is hidden. What was moved is not cleared by rest."""
    hiding = Question({"filter": 0.9, "pump": 0.8}, spares=("filter",))
    ends = Sense({"low": hiding, "high": hiding}, 5.0)
    low, high = Evidence(1, "t", 0.99, ends, "low"), Evidence(1, "t", 0.98, ends, "high")
    assert [item.spared for item in weighed([low, high]) if isinstance(item, Evidence)] == [frozenset({"filter"})] * 2
    bad = Evidence(1, "t", 0.4, ends, "high")
    assert [item.spared for item in weighed([low, bad]) if isinstance(item, Evidence)] == [frozenset(), frozenset()]
    elsewhere = Evidence(2, "t", 0.4, ends, "high")
    assert [item.spared for item in weighed([low, elsewhere]) if isinstance(item, Evidence)] == [
        frozenset({"filter"}),
        frozenset(),
    ]
    moved = seen(1, 0.01, Question({"filter": 0.9}, direct=("filter",), provokes=True))
    still, again = seen(2, 0.99, FILTER), seen(3, 0.99, Question({"filter": 0.9}, provokes=True))
    spared = [item.spared for item in weighed([moved, still, again]) if isinstance(item, Evidence)]
    assert spared == [frozenset(), frozenset({"filter"}), frozenset()]


FIRST = Halt("engine off")
LEAK = Halt("no test at all", engine=False, lifted="sealed")


def test_halts_stand_until_the_question_is_answered_well_or_the_place_is_mended() -> None:
    """The last answer counts; those that withhold every test stand first; a need that holds lifts one."""
    hot, wet = Question({"filter": 0.9}, halt=FIRST), Question({"pump": 0.9}, halt=LEAK)
    needs = {"needs": (Need("sealed", "sealed?", met=0.9),)}
    called = [seen(1, 0.01, hot, "a"), seen(2, 0.01, wet, "b", sense=needs)]
    found = conclude(called, small()).halts
    assert [(h.step, h.halt) for h in found] == [(2, LEAK), (1, FIRST)]
    turning, resting = Sense({"": FILTER}, 5.0, turning=True), Sense({"": FILTER}, 5.0)
    assert [(h.withholds(turning), h.withholds(resting)) for h in found] == [(True, True), (True, False)]
    assert [h.step for h in conclude([*called, seen(3, 0.99, hot, "a")], small()).halts] == [2]
    assert [h.step for h in conclude([*called, seen(3, 0.5, hot, "a")], small()).halts] == [2, 1]
    assert [h.step for h in conclude([*called, Repair(3, ("pump",))], small()).halts] == [1]
    lifted = seen(2, 0.01, wet, "b", sense=needs, answers={"sealed": True})
    assert [h.step for h in conclude([called[0], lifted], small()).halts] == [1]
    assert said(*called)[:2] == ["First of all (step 2): no test at all.", "First of all (step 1): engine off."]
    assert said(called[0], seen(4, 0.01, hot, "c"))[0] == "First of all (step 1): engine off."
    assert "step 4" not in " ".join(said(called[0], seen(4, 0.01, hot, "c"))[:2])


def test_a_step_that_turned_the_engine_against_a_halt_is_named() -> None:
    """Not one at rest, not one before it, not the one that answers its question again."""
    call = seen(2, 0.01, Question({"filter": 0.9}, halt=FIRST), "a")
    run = {"sense": {"turning": True}}
    before, after = seen(1, 0.99, Question({"pump": 0.5}), "b", **run), seen(3, 0.99, Question({"pump": 0.5}), "c", **run)
    quiet = seen(4, 0.99, Question({"pump": 0.5}), "d")
    at_rest = seen(5, 0.99, Question({"pump": 0.5}, at_rest=True), "e", **run)
    again = seen(6, 0.01, Question({"filter": 0.9}, halt=FIRST), "a", **run)
    assert list(conclude([before, call, after, quiet, at_rest, again], small()).against) == [3]


def test_a_repair_is_proved_by_the_same_look() -> None:
    """Good, bad, neither, or not made again; by what looks at the same for all objects too."""
    bad = look(1, 0.001, test="t")
    for conforms, word in ((0.99, "proved"), (0.01, "still bad"), (0.5, "undecided")):
        [proof] = conclude([bad, Repair(2, ("filter",)), look(3, conforms, test="t")], small()).proofs
        assert proof.word == word and (proof.before.step, proof.after.step if proof.after else 0) == (1, 3)
    history = conclude([bad, Repair(2, ("filter",)), look(3, 0.99, test="u")], small()).history
    assert [proof.word for proof in proofs(history)] == ["not repeated"]
    assert not conclude([look(1, 0.99, test="t"), Repair(2, ("filter",))], small()).proofs
    assert not conclude([bad, Repair(2, ("pump",))], small()).proofs
    assert Proof(Repair(2, ("filter",)), bad, None).to_dict()["after"] is None


def test_first_lines_by_how_much_is_known() -> None:
    """Nothing taken; a place seen for certain; one that is likely; none that stands out."""
    assert said() == ["No test has been taken yet."]
    sure = seen(1, 0.0001, Question({"filter": 0.99}, 0.001, direct=("filter",)))
    assert said(sure)[0].startswith("Proven: the fault lies in the filter (over 99 %")
    likely = Evidence(1, "x", factors={"pump": 30.0})
    chance = percent(conclude([likely], small()).chances["pump"])
    assert said(likely)[0] == f"Most likely the fault lies in the pump ({chance}); this is not yet proof."
    good = seen(1, 0.99, Question({"filter": 0.3}))
    assert said(good)[0].startswith("The fault is not found yet")
    clean = Evidence(1, "x", factors={NO_FAULT: 900.0})
    assert (
        said(clean)[0]
        == f"No fault is left to be seen by the tests taken ({percent(conclude([clean], small()).chances[NO_FAULT])})."
    )
    assert said(complaint(small(), step=1), Evidence(2, "x", factors={OFF_MAP: 900.0}))[0].startswith(
        "What was measured of the fuel"
    )
    pair = [seen(n, 0.0001, Question({f"injector {n}": 0.999}, 0.0001)) for n in (1, 2)]
    assert said(*pair)[0].startswith("Most likely the fault lies in all of these (")


def test_a_chance_in_whole_per_cent_is_never_certain() -> None:
    """By hand; the ends themselves are said."""
    assert [percent(chance) for chance in (1.0, 0.991, 0.99, 0.5, 0.01, 0.0099, 0.0)] == [
        "over 99 %", "over 99 %", "99 %", "50 %", "1 %", "under 1 %", "under 1 %"
    ]  # fmt: skip


def test_what_makes_a_place_likelier_before_any_test() -> None:
    """Worked on eight times; a contact that shakes five, fuel that sways three (common practice, no source)."""
    assert WORKED_ON == 8.0 and worked_on(small(), ["filter"]).factors == {"filter": 8.0}
    assert worked_on(small(), ["filter", f"{OFF_MAP}: hose"]).factors == {"filter": 8.0, OFF_MAP: 8.0}
    system = SystemMap.of()
    shaken = comes_and_goes(system)
    assert shaken.factors is not None and set(shaken.factors.values()) == {5.0, 3.0} and shaken.factors["tank fuel"] == 3.0
    assert all(value == 5.0 for name, value in shaken.factors.items() if "wiring" in name or "sensors" in name)
    assert conclude([shaken], system).comes_and_goes and math.inf in shaken.shows.values()


def test_a_test_on_what_is_not_on_the_map_speaks_of_that_alone() -> None:
    sense = Sense({"": Question({"filter": 0.8, "pump": 0.6}, 0.1, direct=("filter",))}, 5.0, objects=("filter",))
    moved = made_outside(sense)
    assert moved.questions[""].reach == {} and moved.questions[""].off_map == 0.8 and moved.objects == ()
    asked = Sense(sense.questions, 5.0, needs=(Need("a", "running?", cranked="cranked?"), Need("b", "warm?")))
    assert [need.question for need in where_it_does_not_start(asked).needs] == ["cranked?", "warm?"]


def test_names_with_numbers() -> None:
    assert [number_in(name) for name in ("injector 12 coil", "filter", "b7 2")] == [12, None, 2]
    assert (
        resolved("{object} coil of {n}", "injector 3") == "injector 3 coil of 3"
        and resolved("injector {n}", "rail") == "injector *"
    )
    assert is_known("{object} coil") and is_known("filter") and not is_known("filtre")
