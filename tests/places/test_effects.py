"""What outcomes make of each other, and halts: the ends of the rules that the longer jobs do not reach."""

from __future__ import annotations

import math
from typing import Any

import pytest
from tests.places.test_by_hand import look, small

from baybook.places.conclusion import conclude
from baybook.places.effects import share, weighed
from baybook.places.evidence import Evidence
from baybook.places.halt import Halted
from baybook.places.history import Repair
from baybook.places.need import Halt, Need
from baybook.places.proof import Proof
from baybook.places.sense import Question, Sense
from baybook.places.together import together


def one(step: int, conforms: float, question: Question, test: str = "", **more: Any) -> Evidence:
    sense = Sense({"": question}, 5.0, **more.pop("sense", {}))
    return Evidence(step, test or f"t{step}", conforms, sense, **more)


def only(steps: list[Evidence | Repair], step: int) -> Evidence:
    [found] = [item for item in weighed(steps) if isinstance(item, Evidence) and item.step == step]
    return found


@pytest.mark.parametrize(
    ("brought", "shown", "much"),
    [(5.0, 10.0, 1.0), (4.9, 10.0, 0.98), (2.0, 10.0, 0.4), (50.0, 10.0, 1.0), (0.0, 10.0, 0.0), (3.0, 0.0, 0.0),
     (-2.0, -10.0, 0.4), (2.0, -10.0, 0.0), (1e-9, math.inf, 1.0), (-1e-9, math.inf, 0.0), (0.0, math.inf, 0.0)],
)  # fmt: skip
def test_how_much_of_what_was_seen_a_cause_makes(brought: float, shown: float, much: float) -> None:
    assert share(brought, shown) == pytest.approx(much)


def test_an_open_symptom_and_an_open_cause_are_left_alone() -> None:
    """At one half neither is bad; of several quantities the least counts; nothing explains itself."""
    symptom = one(1, 0.2, Question({"pump": 0.5}), shows={"p": 10.0})
    cause = one(2, 0.3, Question({"filter": 0.9}), brings={"p": 2.5, "q": 1.0})
    assert only([symptom, cause], 2).explains == 0.5 and only([symptom, cause], 2).conforms == pytest.approx(0.4)
    for even in (
        one(1, 0.5, Question({"pump": 0.5}), shows={"p": 10.0}),
        one(1, 0.2, Question({"pump": 0.5}), shows={"r": 10.0}),
    ):
        assert only([even, cause], 2).explains == 1.0 and only([even, cause], 2).conforms == pytest.approx(0.3)
    open_ = one(2, 0.5, Question({"filter": 0.9}), brings={"p": -1.0})
    assert only([symptom, open_], 2) == open_
    both = one(3, 0.2, Question({"pump": 0.5}), shows={"q": 8.0})
    assert only([symptom, both, cause], 2).explains == pytest.approx(0.25)
    itself = one(4, 0.2, Question({"filter": 0.9}), brings={"p": 1.0}, shows={"p": 10.0})
    assert only([itself], 4).explains == 1.0


def test_a_repair_parts_what_is_seen_together() -> None:
    steps: list[Evidence | Repair] = [look(1, 0.2), Repair(2, ("filter",)), look(3, 0.2), Repair(4, ("pump",))]
    assert weighed(steps) == tuple(steps) and weighed([]) == () and weighed([steps[1]]) == (steps[1],)


@pytest.mark.parametrize(("word", "other"), [("low", "high"), ("high", "low"), ("below", "above"), ("above", "below"),
                                             ("p low", "p high"), ("low p", "high p")])  # fmt: skip
def test_the_other_end_of_a_range(word: str, other: str) -> None:
    """Good there by being bad here, it says nothing; decided both, of the same step, test and object."""
    ends = Sense({word: Question({"filter": 0.9}, 0.05), other: Question({"pump": 0.8}, 0.04)}, 5.0)
    good = Evidence(1, "t", 0.99, ends, other)
    for bad, silent in (
        (Evidence(1, "t", 0.01, ends, word), True), (Evidence(1, "t", 0.06, ends, word), False),
        (Evidence(1, "t", 0.01, ends, word, "injector 1"), False), (Evidence(2, "t", 0.01, ends, word), False),
    ):  # fmt: skip
        found = together([bad, good])[1]
        assert isinstance(found, Evidence) and found.sense is not None
        assert (found.sense.questions[other].reach == {}) == silent and found.sense.questions[word].reach == {"filter": 0.9}
        assert found.looked(1, small()) == (0.0 if silent else pytest.approx(0.8))


def test_a_dead_sensor_voids_what_it_read_and_no_complaint() -> None:
    """Everything of that name between the same two repairs; of a good outcome nothing."""
    dead = one(1, 0.05, Question({"filter": 0.9}, voids=("p", "q")))
    read = [one(n, 0.2, Question({"pump": 0.8}, measures=name)) for n, name in ((2, "p"), (3, "q"), (4, "r"))]
    assert [(item.conforms, item.void) for item in together([dead, *read])[1:] if isinstance(item, Evidence)] == [
        (0.5, True), (0.5, True), (0.2, False),
    ]  # fmt: skip
    alive = one(1, 0.06, Question({"filter": 0.9}, voids=("p",)))
    assert together([alive, read[0]]) == [alive, read[0]]
    assert weighed([dead, Repair(9, ("filter",)), read[0]])[-1] == read[0]
    [found] = [item for item in conclude([dead, *read], small()).void if item.step == 2]
    assert found.void


def test_a_control_hides_what_it_brings_to_its_target() -> None:
    """Unless another such question of the same step was not good; an even reading hides nothing."""
    hiding = Question({"filter": 0.9}, spares=("filter",))
    sense = Sense({"a": hiding, "b": hiding, "c": Question({"pump": 0.5})}, 5.0)

    def spared(*outcomes: tuple[str, float]) -> list[frozenset[str]]:
        found = together([Evidence(1, "t", p, sense, word) for word, p in outcomes])
        return [item.spared for item in found if isinstance(item, Evidence)]

    filter_, none = frozenset({"filter"}), frozenset[str]()
    assert spared(("a", 0.51)) == [filter_] and spared(("a", 0.5)) == [none] and spared(("c", 0.9)) == [none]
    assert spared(("a", 0.9), ("b", 0.5)) == [filter_, none] and spared(("a", 0.9), ("b", 0.49)) == [none, none]
    assert spared(("a", 0.9), ("c", 0.1)) == [filter_, none], "another question that hides nothing tells nothing of it"


CALL = Halt("engine off")


def test_a_halt_as_it_is_told() -> None:
    halted = Halted(3, "t", CALL)
    assert halted.to_dict() == {"step": 3, "test": "t", "first": "engine off", "engine": True}
    assert halted.withholds(Sense.one({}, 5.0, running=True)) and not halted.withholds(Sense.one({}, 5.0))
    assert Halted(3, "t", Halt("none", engine=False)).withholds(Sense.one({}, 5.0))


@pytest.mark.parametrize(
    ("conforms", "stands"), [(0.05, True), (0.06, False), (0.5, False), (0.95, False)],
)  # fmt: skip
def test_what_is_decidedly_bad_calls_a_halt(conforms: float, stands: bool) -> None:
    hot = Question({"filter": 0.9}, halt=CALL)
    assert bool(conclude([one(1, conforms, hot, "a")], small()).halts) == stands
    first = one(1, 0.01, hot, "a")
    again = [h.step for h in conclude([first, one(2, conforms, hot, "a")], small()).halts]
    assert again == ([2] if stands else [] if conforms == 0.95 else [1]), "the last that was decided counts"


def test_what_ends_a_halt() -> None:
    """Its need, a repair of what it looks at; the steps go by their numbers."""
    hot = Question({"filter": 0.9}, halt=Halt("engine off", lifted="cool"))
    needs = {"needs": (Need("cool", "cool?", met=0.9), Need("dry", "dry?", met=0.9))}
    for answers, stands in (({}, True), ({"cool": False}, True), ({"dry": True}, True), ({"cool": True}, False)):
        found = conclude([one(1, 0.01, hot, "a", sense=needs, answers=answers)], small()).halts
        assert bool(found) == stands, answers
    called = one(1, 0.01, Question({"filter": 0.9}, halt=CALL), "a")
    assert (
        not conclude([called, Repair(2, ("filter",))], small()).halts
        and conclude([called, Repair(2, ("pump",))], small()).halts
    )
    late = [one(3, 0.99, Question({"filter": 0.9}, halt=CALL), "a"), called]
    assert not conclude(late, small()).halts, "by the numbers of the steps, not as they were written down"


def test_which_steps_ran_the_engine_against_a_halt() -> None:
    """The first halt that stood counts; not the step that called it, nor one behind a repair of it."""
    hot, warm = Question({"filter": 0.9}, halt=CALL), Question({"pump": 0.9}, halt=Halt("second"))
    run = {"turning": True}
    calls = [one(1, 0.01, hot, "a", sense=run), one(2, 0.01, warm, "b", sense=run)]
    runs = one(3, 0.99, Question({"injector 1": 0.5}), "c", sense=run)
    against = conclude([*calls, runs], small()).against
    assert {step: halted.step for step, halted in against.items()} == {2: 1, 3: 1}
    assert not conclude([calls[0], Repair(2, ("filter",)), runs], small()).against
    same_step = one(1, 0.99, Question({"injector 1": 0.5}), "c", sense=run)
    assert not conclude([calls[0], same_step], small()).against
    stated = Evidence(3, "x", factors={"pump": 2.0})
    assert not conclude([calls[0], stated], small()).against


def test_a_proof_by_its_pair() -> None:
    """Decided good or bad, or neither; as JSON with the steps."""
    bad, repair = look(1, 0.001, test="t"), Repair(2, ("filter",))
    after = {"proved": 0.95, "undecided": 0.94, "still bad": 0.05}
    for word, conforms in after.items():
        proof = Proof(repair, bad, look(3, conforms, test="t"))
        assert proof.word == word and proof.to_dict() == {
            "repair": {"step": 2, "parts": ["filter"]}, "test": "t", "object": "", "before": 1, "after": 3, "word": word,
        }  # fmt: skip
    assert Proof(repair, bad, None).word == "not repeated"


def test_what_comes_and_goes_is_proved_by_moving_it_again() -> None:
    """Other tests of the same place do not count then; nor does a complaint, nor what was not bad."""
    moved = one(1, 0.01, Question({"filter": 0.9}, provokes=True), "move")
    plain, repair = one(2, 0.01, Question({"filter": 0.9}), "plain"), Repair(3, ("filter",))
    assert [proof.before.test for proof in conclude([moved, plain, repair], small()).proofs] == ["move"]
    assert [proof.before.test for proof in conclude([plain, repair], small()).proofs] == ["plain"]
    assert conclude([one(1, 0.06, Question({"filter": 0.9}), "plain"), repair], small()).proofs == ()
    twice = conclude([plain, repair, one(4, 0.01, Question({"filter": 0.9}), "plain"), Repair(5, ("filter",))], small()).proofs
    assert [(proof.repair.step, proof.word) for proof in twice] == [(3, "still bad"), (5, "not repeated")]
    each = Sense({"": Question({"{object}": 0.9}, measures="m")}, 5.0)
    whole = Evidence(4, "w", 0.99, Sense({"": Question({"injector *": 0.9}, measures="m")}, 5.0))
    [proof] = conclude([Evidence(1, "e", 0.01, each, object="injector 2"), Repair(3, ("injector 2",)), whole], small()).proofs
    assert proof.word == "proved" and proof.after is not None and proof.after.test == "w"
