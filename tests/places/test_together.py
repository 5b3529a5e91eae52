"""What outcomes of one time make of each other: by the rules' own words."""

from __future__ import annotations

import pytest
from tests.places.test_by_hand import small
from tests.places.test_effects import one

from baybook.places.conclusion import conclude
from baybook.places.effects import weighed
from baybook.places.evidence import Evidence
from baybook.places.history import Repair
from baybook.places.sense import Question, Sense
from baybook.places.together import together


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
