"""What has to be done first, and what ends it: by the rules' own words."""

from __future__ import annotations

import pytest
from tests.places.test_by_hand import small
from tests.places.test_effects import one

from baybook.places.conclusion import conclude
from baybook.places.evidence import Evidence
from baybook.places.halt import Halted
from baybook.places.history import Repair
from baybook.places.need import Halt, Need
from baybook.places.sense import Question, Sense

CALL = Halt("engine off")


def test_a_halt_as_it_is_told() -> None:
    halted = Halted(3, "t", CALL)
    assert halted.to_dict() == {
        "step": 3,
        "test": "t",
        "first": "engine off",
        "engine": True,
        "off": False,
        "reason": "",
        "suspected": False,
    }
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
