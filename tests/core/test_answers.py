"""What a result says to the questions of its declared sense."""

from __future__ import annotations

import math
from typing import Annotated, Any

import pytest

from baybook.api import (
    MAKERS_DATA,
    Answer,
    Choice,
    Count,
    Estimate,
    Example,
    Need,
    Output,
    Question,
    Result,
    Sense,
    Senses,
    SpecRange,
    calculator,
    spec_range,
)
from baybook.errors import PluginError

FLOW = Output("flow", "each", unit="mL/min", each="injector", always=False)
REACH = Question({"filter": 0.5})
ON_INJECTOR = {"injector *": {"part": "injector", "number": "{n}"}, "inlet valve": {"part": "inlet-valve"}}


def made(sense: Any, result: Result) -> Any:
    """A calculator of that sense which gives that result."""

    @calculator(title="Gauge", stage="supply", side="hydraulic", proves="It.", cautions=[MAKERS_DATA], sources=["none"],
                outputs={"feed": Output("gauge pressure", "feed", always=False), "flow": FLOW},
                examples=[Example({}, {}, "none")], sense=sense)  # fmt: skip
    def gauge(
        part: Annotated[str | None, Choice("whose", words={"injector": "i", "inlet-valve": "v"})],
        number: Annotated[int | None, Count("which")],
        load: Annotated[str | None, Choice("loaded", words={"yes": "y", "no": "n"})],
        feed_limit: Annotated[SpecRange | None, spec_range("gauge pressure", "limit", judges="feed")],
        flow_limit: Annotated[SpecRange | None, spec_range("flow", "limit", judges="flow")],
    ) -> Result:
        """Read a gauge."""
        return result

    return gauge


def feed(value: float) -> Result:
    return Result({"feed": Estimate.of(value, "bar", 0.1)})


def told(found: Result) -> list[tuple[str, float, str]]:
    return [(answer.question, round(answer.conforms, 3), answer.object) for answer in found.answers]


def test_a_verdict_answers_the_question_of_its_output_of_its_ends_or_the_only_one():
    """Below 3 bar by ten standard deviations, and at an end: 0.5 to one side, by the normal distribution."""
    only = made(Sense({"": REACH}, 5.0), feed(2.0))
    assert told(only(feed_limit="3 to 5 bar")) == [("", 0.0, "")]
    ends = made(Sense({"low": REACH, "high": REACH}, 5.0), feed(2.0))
    assert told(ends(feed_limit="3 to 5 bar")) == [("low", 0.0, ""), ("high", 1.0, "")]
    assert told(ends(feed_limit="<= 5 bar")) == [("high", 1.0, "")]
    own = made(Sense({"feed low": REACH, "feed high": REACH, "": REACH}, 5.0), feed(5.0))
    assert told(own(feed_limit="3 to 5 bar")) == [("feed low", 1.0, ""), ("feed high", 0.5, "")]
    assert told(made(Sense({"flow": REACH}, 5.0), feed(2.0))(feed_limit="3 to 5 bar")) == []
    assert made(None, feed(2.0))(feed_limit="3 to 5 bar").answers == ()


@pytest.mark.parametrize("value", [3.2, 4.0, 4.9, 5.2])
def test_a_value_that_may_lie_beyond_either_end_answers_both_by_their_shares(value: float):
    """From 3 to 5 bar with a standard deviation of 1: what lies outside is shared out as the normal's two tails are
    (statistics.NormalDist); neither can be surer than the engine's own caution lets it be, so open answers are compared."""
    from statistics import NormalDist

    from baybook.answers import _beyond
    from baybook.result import judge

    normal, verdict = NormalDist(value, 1.0), judge("feed", Estimate.of(value, "bar", 1.0), SpecRange(3.0, 5.0, "bar"))
    found = _beyond(verdict, {})
    assert found == pytest.approx({"low": normal.cdf(3.0), "high": 1 - normal.cdf(5.0)}, abs=1e-6)
    one = judge("feed", Estimate.of(value, "bar", 1.0), SpecRange(None, 5.0, "bar"))
    assert _beyond(one, {}) == pytest.approx({"high": 1 - normal.cdf(5.0)}, abs=1e-6)


def test_on_what_it_was_made_is_said_by_the_number_of_a_vector_or_by_inputs():
    sense = Sense({"": REACH}, 5.0, objects=ON_INJECTOR)
    flows = Result({"flow": (Estimate.of(1.0, "mL/min", 0.1), None, Estimate.of(9.0, "mL/min", 0.1))})
    assert told(made(sense, flows)(flow_limit="<= 5 mL/min")) == [("", 1.0, "injector 1"), ("", 0.0, "injector 3")]
    assert told(made(sense, feed(2.0))(feed_limit="3 to 5 bar", part="injector", number=3)) == [("", 0.0, "injector 3")]
    assert told(made(sense, feed(2.0))(feed_limit="3 to 5 bar", part="inlet-valve")) == [("", 0.0, "inlet valve")]
    assert told(made(sense, feed(2.0))(feed_limit="3 to 5 bar", part="injector")) == [("", 0.0, "")]
    assert sense.inputs_for("injector 3") == {"part": "injector", "number": "3"}
    assert sense.inputs_for("inlet valve") == {"part": "inlet-valve"}
    assert sense.inputs_for("outlet valve") == {}


def test_needs_are_met_by_an_input_or_by_what_the_calculator_says():
    sense = Sense({"": REACH}, 5.0, needs=(Need("load", "loaded?"), Need("hot", "hot?")))
    assert made(sense, feed(4.0))(load="yes").met == {"load": True}
    assert made(sense, feed(4.0))().met == {}
    assert made(sense, Result({}, met={"hot": False}))(load="no").met == {"load": False, "hot": False}
    with pytest.raises(PluginError, match="calculator gauge says True of the need 'cold'"):
        made(sense, Result({}, met={"cold": True}))()


@pytest.mark.parametrize("nonsense", [-1.0, math.nan, math.inf, True, "2"])
def test_nonsense_factors_are_refused_by_the_calculators_name(nonsense):
    stated = Result({}, answers=(Answer(factors={"filter": nonsense}),))
    with pytest.raises(PluginError, match=r"calculator gauge states the factor .* on 'filter'"):
        made(Sense({"": REACH}, 5.0), stated)()


@pytest.mark.parametrize("answer", [Answer("", 1.5), Answer("", math.nan), Answer("other", 0.5), Answer("", True)])
def test_an_answer_to_no_question_or_that_is_no_chance_is_refused(answer):
    with pytest.raises(PluginError, match="calculator gauge"):
        made(Sense({"": REACH}, 5.0), Result({}, answers=(answer,)))()
    with pytest.raises(PluginError, match="calculator gauge gives answers and declares no sense"):
        made(None, Result({}, answers=(Answer(),)))()


def test_a_calculator_that_is_many_tests_is_one_by_the_word_of_its_input():
    senses = Senses("part", {"injector": Sense({"": REACH}, 5.0)}, other=None)
    assert told(made(senses, feed(2.0))(feed_limit="3 to 5 bar", part="injector")) == [("", 0.0, "")]
    assert told(made(senses, feed(2.0))(feed_limit="3 to 5 bar", part="inlet-valve")) == []


def test_a_sense_about_what_is_no_input_is_refused_when_it_is_declared():
    with pytest.raises(PluginError, match="its sense is about 'which', no input"):
        made(Sense({"": REACH}, 5.0, objects={"injector *": {"which": "{n}"}}), feed(2.0))


def test_the_answers_stand_in_the_json_of_a_result():
    found = made(Sense({"": REACH}, 5.0), feed(2.0))(feed_limit="3 to 5 bar").to_dict()
    [answer] = found["answers"]
    assert (answer["question"], answer["conforms"] < 0.001, answer["factors"]) == ("", True, None)
    assert found["met"] == {}
