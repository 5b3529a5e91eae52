"""How far a cause explains what was seen: the ends of the rule that the longer jobs do not reach."""

from __future__ import annotations

import math
from typing import Any

import pytest
from tests.places.test_by_hand import look

from baybook.places.effects import share, weighed
from baybook.places.evidence import Evidence
from baybook.places.history import Repair
from baybook.places.sense import Question, Sense


def one(step: int, conforms: float, question: Question, test: str = "", **more: Any) -> Evidence:
    sense = Sense({"": question}, 5.0, **more.pop("sense", {}))
    return Evidence(step, test or f"t{step}", conforms, sense, **more)


def only(steps: list[Evidence | Repair], step: int) -> Evidence:
    [found] = [item for item in weighed(steps) if isinstance(item, Evidence) and item.step == step]
    return found


@pytest.mark.parametrize(
    ("brought", "shown", "much"),
    [(5.0, 10.0, 1.0), (0.1, 0.5, 0.4), (4.9, 10.0, 0.98), (2.0, 10.0, 0.4), (50.0, 10.0, 1.0), (0.0, 10.0, 0.0),
     (3.0, 0.0, 0.0), (-2.0, -10.0, 0.4), (2.0, -10.0, 0.0), (1e-9, math.inf, 1.0), (-1e-9, math.inf, 0.0),
     (0.0, math.inf, 0.0)],
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
