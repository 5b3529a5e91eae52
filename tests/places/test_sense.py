"""The declaration of a test: its own words held one by one, and what cannot be is refused."""

from __future__ import annotations

import math
from typing import Any

import pytest
from tests.places.test_by_hand import PLACES, small

from baybook.errors import PluginError
from baybook.places.hypotheses import OFF, Hypotheses
from baybook.places.need import RUNAWAY, Halt, Need
from baybook.places.place import Place, at_parts, at_places
from baybook.places.sense import Answer, Question, Sense, Senses, sense_inputs
from baybook.places.system import SystemMap

SMALL = small()


def test_what_is_taken_where_nothing_is_said() -> None:
    """2 of 100 false alarms, three of what is not on the map (common practice, no source); asked for, on the whole, at rest."""
    question = Question({"filter": 0.5})
    assert (question.false_alarm, question.off_map) == (0.02, pytest.approx(0.03))
    assert (question.sought, question.provokes, question.at_rest, question.halt, question.direct) == (
        True,
        False,
        False,
        None,
        (),
    )
    assert (
        Question({}, 0.4).off_map == 0.5
        and Question({}, 0.3).off_map == pytest.approx(0.45)
        and Question({}, off_map=0.2).off_map == 0.2
    )
    sense = Sense({"": question}, 5.0)
    assert (sense.hands, sense.objects, sense.needs, sense.near, sense.made_in) == ("nothing opened", (), (), "", "")
    flags = (
        sense.together,
        sense.running,
        sense.turning,
        sense.lasting,
        sense.starting,
        sense.opening,
        sense.stopped,
        sense.apart,
    )
    assert not any(flags) and sense.source == "common practice, no source" and sense.fitted == {}
    assert Sense({"": question}, 5.0, running=True).turning and not Sense({"": question}, 5.0, turning=True).running
    need = Need("warm")
    assert (need.met, need.bad, need.left, need.at_rest, need.question, need.of) == (0.5, 0.5, 0.0, False, "", ())
    assert Halt("engine off").engine and not Halt("engine off").spoils and RUNAWAY.engine and not RUNAWAY.spoils
    answer = Answer()
    assert (answer.question, answer.conforms, answer.object, answer.factors) == ("", 0.5, "", None)


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"minutes": 0.0}, "takes 0.0 minutes; give a positive number"), ({"minutes": -1.0}, "takes -1.0 minutes"),
        ({"minutes": math.inf}, "takes inf minutes"), ({"minutes": math.nan}, "takes nan minutes"),
        ({"hands": "gloves"}, "hands are 'gloves'; use one of nothing opened, low side opened, high side opened, live wiring"),
        ({"near": "moon"}, "hand is near 'moon'; use "), ({"source": ""}, "does not say where its reach comes from"),
        ({"needs": (Need("warm", of=("b", "a")),)}, "is for 'a', 'b', no question of it"),
    ],
)  # fmt: skip
def test_a_sense_that_is_none_is_refused(more: dict[str, Any], why: str) -> None:
    with pytest.raises(PluginError) as refused:
        Sense(**{"questions": {"": Question({"filter": 0.5})}, "minutes": 5.0, **more})
    assert why in str(refused.value)
    assert Sense({"": Question({"filter": 0.5})}, 0.1, near="high pressure").minutes == 0.1


def test_what_is_looked_at_directly_has_a_reach() -> None:
    with pytest.raises(PluginError, match="looks directly at 'pump' and has no reach there"):
        Question({"filter": 0.5}, direct=("filter", "pump"))
    with pytest.raises(PluginError, match=r"^x has no question 'c'; it has 'a', 'b'$"):
        Sense({"a": Question({}), "b": Question({})}, 5.0).question("c", "x")


def test_the_chance_of_a_bad_outcome_at_each_place() -> None:
    """The greatest that is named for it, never below the false alarm; what is spared has the false alarm alone."""
    question = Question({"injector *": 0.5, "injector {n}": 0.8, "filter": 0.05, "turbine": 0.9}, 0.1)
    assert question.reaches("injector 2", PLACES) == [0.1, 0.1, 0.5, 0.8]
    assert question.reaches("filter", PLACES) == [0.1, 0.1, 0.8, 0.8]
    assert question.reaches("injector 2", PLACES, ["injector 2"]) == [0.1, 0.1, 0.5, 0.1]
    assert question.reaches("injector 2", PLACES, ["injector *"]) == [0.1, 0.1, 0.1, 0.1]


def test_two_faults_bring_it_out_independently() -> None:
    """Noisy or, Pearl 1988: 1 less the product of what each leaves good."""
    every = Hypotheses.on(SMALL)
    bad = dict(zip(every.sets, Question({"filter": 0.8, "pump": 0.6}, 0.1).bad("", SMALL, every), strict=True))
    assert bad[()] == pytest.approx(0.1) and bad[0,] == pytest.approx(0.8) and bad[OFF,] == pytest.approx(0.15)
    assert bad[0, 1] == pytest.approx(1 - 0.9 * (0.2 / 0.9) * (0.4 / 0.9)) and bad[2, 3] == pytest.approx(0.1)
    spared = dict(zip(every.sets, Question({"filter": 0.8}, 0.1).bad("", SMALL, every, ["filter"]), strict=True))
    assert {round(value, 12) for value in spared.values()} == {0.1, 0.15}


def test_on_what_a_question_is_asked() -> None:
    assert Question({}).asked_of("filter") and Question({}, on=("filter",)).asked_of("filter")
    assert Question({}, on=("injector *",)).asked_of("injector 3") and not Question({}, on=("injector *",)).asked_of(
        "injector 3 coil"
    )
    aimed = Question({"{object} coil": 0.5, "filter": 0.2}, direct=("{object} coil",))
    assert aimed.aimed and not Question({"filter": 0.5}).aimed
    assert aimed.thing("coil", "low", "injector 2") == ("coil low", "injector 2")
    assert Question({"filter": 0.5}).thing("coil", "", "injector 2") == ("coil", "")
    assert Question({"filter": 0.5}, measures="m").thing("coil", "low", "x") == ("m", "")
    coil = Place("injector 2 coil", "delivery", "control", "its coil", 2)
    assert (
        aimed.looks_at(coil, "injector 2")
        and not aimed.looks_at(coil, "injector 1")
        and not aimed.looks_at(PLACES[0], "filter")
    )


NAMED = Sense.one({"{object}": 0.8}, 5.0, objects=at_parts("injector *", "inlet valve"))
CALLED = Sense.one({"{object}": 0.8}, 5.0, objects=at_places("injector *", "rail sensor"))


@pytest.mark.parametrize(
    ("sense", "given", "name"),
    [
        (NAMED, {"part": "injector", "number": 3}, "injector 3"), (NAMED, {"part": "inlet-valve"}, "inlet valve"),
        (NAMED, {"part": "inlet-valve", "number": 3}, "inlet valve"), (NAMED, {"part": "injector"}, ""), (NAMED, {}, ""),
        (NAMED, {"part": "pump", "number": 1}, ""), (CALLED, {"place": "rail sensor"}, "rail sensor"),
        (CALLED, {"place": "injector 12"}, "injector 12"), (CALLED, {}, ""), (Sense.one({}, 5.0), {"part": "injector"}, ""),
        (Sense.one({}, 5.0, objects={"filter": {}}), {"part": "filter"}, ""),
    ],
)  # fmt: skip
def test_what_the_inputs_say_it_was_made_on(sense: Sense, given: dict[str, Any], name: str) -> None:
    assert sense.object_of(given) == name


def test_the_inputs_that_say_it() -> None:
    assert NAMED.inputs_for("injector 3") == {"part": "injector", "number": "3"} and NAMED.inputs_for("filter") == {}
    assert NAMED.inputs_for("inlet valve") == {"part": "inlet-valve"} and CALLED.inputs_for("rail sensor") == {
        "place": "rail sensor"
    }
    assert NAMED.takes("injector 3") and NAMED.takes("inlet valve") and not NAMED.takes("injector 3 coil")
    asks = Sense.one({"{object}": 0.8}, 5.0, objects=at_places("filter"), needs=(Need("warm", input="engine"), Need("dry")))
    assert asks.input_names == {"place", "engine"}
    both = Senses("kind", {"a": asks, "b": NAMED}, CALLED)
    assert sense_inputs(both) == {"kind", "place", "engine", "part", "number"}
    assert (
        sense_inputs(Senses("kind", {})) == {"kind"}
        and sense_inputs(asks) == {"place", "engine"}
        and sense_inputs(None) == set()
    )


def test_on_which_objects_of_a_map_it_is_made() -> None:
    assert Sense.one({"filter": 0.5}, 5.0).on(SMALL) == ("",)
    assert NAMED.on(SMALL) == ("injector 1", "injector 2") and Sense.one({}, 5.0, objects=("turbine",)).on(SMALL) == ()
    assert NAMED.aimed and not Sense.one({"filter": 0.5}, 5.0, objects=("filter",)).aimed


@pytest.mark.parametrize(
    ("fitted", "table", "suits"),
    [
        ({}, {}, True), ({"returns": ("common",)}, {}, False), ({"returns": ("common", None)}, {}, True),
        ({"returns": ("common",)}, {"returns": "common"}, True), ({"returns": ("common",)}, {"returns": "separate"}, False),
        ({"low_pressure": ("tank pump",)}, {"low_pressure": ["tank pump", "suction pump"]}, True),
        ({"low_pressure": ("tank pump",)}, {"low_pressure": ["suction pump"]}, False),
        ({"returns": ("common",), "filter": (True,)}, {"returns": "common", "filter": False}, False),
    ],
)  # fmt: skip
def test_on_which_vehicles_it_is_made(fitted: dict[str, Any], table: dict[str, Any], suits: bool) -> None:
    """All that is named has to be fitted so; of several parts one is enough."""
    assert Sense.one({}, 5.0, fitted=fitted).suits(SystemMap.from_table(table)) == suits


def test_what_needs_leave_of_a_reach() -> None:
    """Each multiplies; the false alarm where a part of the reach is left, its own rate where nothing is; for its questions."""
    question = Question({"filter": 0.8}, 0.1)
    needs = (
        Need("warm", "warm?", met=0.7, bad=0.4),
        Need("near", "near?", met=0.6, left=0.5),
        Need("b", "b?", met=0.1, of=("b",)),
    )
    sense = Sense({"a": question, "b": question}, 5.0, needs=needs)
    assert sense.valid({}, SMALL, "a") == pytest.approx((0.7 * 0.8, (0.3 * 0.4 + 0.2 * 0.1) / 0.5))
    assert sense.valid({}, SMALL, "b")[0] == pytest.approx(0.7 * 0.8 * 0.1)
    assert sense.valid({"warm": True, "near": True}, SMALL, "a") == (1.0, 0.5)
    assert sense.valid({"warm": False, "near": True}, SMALL, "a") == pytest.approx((0.0, 0.4))
    assert [need.name for need in sense.unanswered({}, SMALL)] == ["warm", "near", "b"]
    assert [need.name for need in sense.unanswered({"warm": False}, SMALL, "a")] == ["near"]
    sure = Need("shut", "shut?", at_rest=True)
    assert not list(Sense({"": question}, 5.0, needs=(sure,)).unanswered({}, SystemMap.from_table({"open_at_rest": []})))
    assert not list(
        Sense({"": question}, 5.0, needs=(sure,)).unanswered({}, SystemMap.from_table({"open_at_rest": ["outlet valve"]}))
    )


def test_an_answer_as_json() -> None:
    told = Answer("low", 0.2, "injector 1", "so", brings={"p": 1.0}, shows={"q": 2.0}).to_dict()
    assert told == {"question": "low", "conforms": 0.2, "object": "injector 1", "said": "so", "factors": None,
                    "brings": {"p": 1.0}, "shows": {"q": 2.0}}  # fmt: skip
    stated = Answer(factors={"filter": 2.0}).to_dict()
    assert (stated["conforms"], stated["factors"]) == (None, {"filter": 2.0})
