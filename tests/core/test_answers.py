"""What a result says to the questions of its declared sense."""

from __future__ import annotations

import math
from typing import Annotated, Any

import pytest

from baybook.answers import next_in_job, place_problems
from baybook.answers import test_of as case_of
from baybook.api import (
    MAKERS_DATA,
    Answer,
    AtLeast,
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
    Verdict,
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


@pytest.mark.parametrize(("value", "low", "high", "far"), [
    (7.0, None, 5.0, 40.0), (2.0, 3.0, None, -100 / 3), (2.0, 3.0, 5.0, -100 / 3), (6.0, 3.0, 5.0, 20.0), (4.0, 3.0, 5.0, None),
    (4.0, None, 5.0, None), (4.0, 3.0, None, None), (1.0, None, 0.0, None), (-6.0, -5.0, None, -20.0),
])  # fmt: skip
def test_how_far_it_lies_beyond_its_range_is_shown(value: float, low: float | None, high: float | None, far: float | None):
    """In per cent of the end that it passes, the size of it; nothing within, and nothing of an end at zero."""
    sense = Sense({"": Question({"filter": 0.5}, shows={"pressure": ""})}, 5.0)
    text = f"{low} to {high} bar" if None not in (low, high) else f"max {high} bar" if low is None else f"min {low} bar"
    [answer] = made(sense, feed(value))(feed_limit=text.replace("None", "")).answers
    assert answer.shows == ({} if far is None else {"pressure": pytest.approx(far)})
    assert answer.object == "" and (answer.conforms < 0.5) == (far is not None or value > (high if high is not None else 99.0))


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


def test_factors_that_a_calculator_states_itself_stand_as_they_are():
    stated = Result({"feed": Estimate.of(4.0, "bar", 0.1)}, answers=(Answer(factors={"filter": 2.5, "tank": 0}, said="so"),))
    [answer] = made(Sense({"low": Question({"filter": 0.5}, shows={"feed": "feed"})}, 5.0), stated)().answers
    assert (answer.factors, answer.shows, answer.brings) == ({"filter": 2.5, "tank": 0}, {}, {})


def test_what_is_known_as_a_bound_answers_neither_end_that_it_leaves_open_and_lies_beyond_none():
    """At least 2 bar may be anywhere in 3 to 5 bar, or beyond either end; with one end alone it is that end's question."""
    least = Result({"feed": AtLeast(Estimate.of(2.0, "bar", 0.1))})
    ends = Sense({"low": REACH, "high": Question({"filter": 0.5}, shows={"feed": ""})}, 5.0)
    assert told(made(ends, least)(feed_limit="3 to 5 bar")) == []
    [answer] = made(ends, least)(feed_limit="<= 1 bar").answers
    assert (answer.question, answer.conforms < 0.05, answer.shows) == ("high", True, {})
    [measured] = made(ends, feed(2.0))(feed_limit="<= 1 bar").answers
    assert measured.shows == {"feed": pytest.approx(100.0)}, "a reading of twice the limit lies 100 % beyond it"


@pytest.mark.parametrize("value", [4.86, 4.95, 5.0, 5.05, 5.14])
def test_an_open_verdict_moves_no_odds_by_more_than_two_to_one_either_way(value: float):
    """At most 5 bar, a standard deviation of 0.1: the chance to conform is the normal's share below 5 (statistics.NormalDist),
    but no further from even than odds of OPEN to one."""
    from statistics import NormalDist

    from baybook.answers import OPEN

    [answer] = made(Sense({"": REACH}, 5.0), feed(value))(feed_limit="<= 5 bar").answers
    share = NormalDist(value, 0.1).cdf(5.0)
    odds = share / (1.0 - share)
    assert answer.conforms / (1.0 - answer.conforms) == pytest.approx(min(max(odds, 1.0 / OPEN), OPEN), rel=1e-6)
    assert 0.05 < share < 0.95, "else it is not open"


def test_of_a_range_that_is_open_at_one_end_alone_the_other_end_is_kept():
    """Half a standard deviation beyond one end of a range of twenty: a third and certain, to ten thousandths; of one that is no
    wider than the uncertainty both are open, and lean as far as they may."""

    def said(value: float, u: float) -> dict[str, float]:
        found = Result({"feed": Estimate.of(value, "bar", u)})
        answers = made(Sense({"low": REACH, "high": REACH}, 5.0), found)(feed_limit="3 to 5 bar").answers
        return {answer.question: answer.conforms for answer in answers}

    assert said(5.05, 0.1) == pytest.approx({"low": 1.0, "high": 1 / 3}, abs=1e-4)
    assert said(4.9, 0.1) == pytest.approx({"low": 1.0, "high": 2 / 3}, abs=1e-4)  # (84 % within: open above, not below)
    assert said(2.95, 0.1) == pytest.approx({"low": 1 / 3, "high": 1.0}, abs=1e-4)
    assert said(4.0, 2.0) == pytest.approx({"low": 2 / 3, "high": 2 / 3}, abs=1e-4)


def test_the_chance_beyond_each_end_is_in_the_unit_of_what_was_measured():
    """300 to 500 kPa is 3 to 5 bar; a range from nothing on has its low end at nothing."""
    from statistics import NormalDist

    from baybook.answers import _beyond
    from baybook.result import judge

    found = _beyond(judge("feed", Estimate.of(4.0, "bar", 1.0), SpecRange(300.0, 500.0, "kPa")), {})
    assert found == pytest.approx({"low": NormalDist().cdf(-1.0), "high": NormalDist().cdf(-1.0)}, abs=1e-6)
    found = _beyond(judge("feed", Estimate.of(1.0, "bar", 1.0), SpecRange(0.0, 5.0, "bar")), {})
    assert found == pytest.approx({"low": NormalDist().cdf(-1.0), "high": NormalDist().cdf(-4.0)}, abs=1e-6)
    sure = _beyond(judge("feed", Estimate.of(4.0, "bar"), SpecRange(3.0, 5.0, "bar")), {})
    assert sure == {"low": 0.0, "high": 0.0}
    own = Verdict("feed", "undecided", 0.4, SpecRange(3.0, 5.0, "bar"), Estimate.of(4.0, "bar"))
    assert _beyond(own, {}) == pytest.approx({"low": 0.3, "high": 0.3}), "which end is open: to either alike"


def test_an_answer_of_the_calculators_own_takes_the_place_of_its_verdicts():
    """Of the same question and object alone; what was judged without a chance answers nothing."""
    sense = Sense({"": REACH}, 5.0, objects=ON_INJECTOR)
    flows = {"flow": (Estimate.of(1.0, "mL/min", 0.1), Estimate.of(9.0, "mL/min", 0.1))}
    own = Result(flows, answers=(Answer("", 0.4, "injector 2"),))
    assert told(made(sense, own)(flow_limit="<= 5 mL/min")) == [("", 1.0, "injector 1"), ("", 0.4, "injector 2")]
    unknown = Result({}, verdicts=(Verdict("feed", "undecided", None, SpecRange(3.0, 5.0, "bar")),))
    assert told(made(Sense({"": REACH}, 5.0), unknown)()) == []


def test_effects_take_their_size_from_the_outputs_and_what_is_said_goes_before():
    """An output that is not there, or is a word, says no size."""
    question = Question({"filter": 0.5}, brings={"speed": "feed", "none": "flow"}, shows={"pressure": "feed"})
    one = Result({"feed": Estimate.of(2.5, "bar", 0.1)}, answers=(Answer("", 0.2),))
    [answer] = made(Sense({"": question}, 5.0), one)().answers
    assert (answer.brings, answer.shows) == ({"speed": 2.5}, {"pressure": 2.5})
    said = Result(one.outputs, answers=(Answer("", 0.2, brings={"speed": 7.0}, shows={"pressure": 8.0}),))
    [answer] = made(Sense({"": question}, 5.0), said)().answers
    assert (answer.brings, answer.shows) == ({"speed": 7.0}, {"pressure": 8.0})


@pytest.mark.parametrize(("what", "place", "said"), [
    ("valve", None, ""), ("valve", "pump", ""), ("returned", "injector 2", ""), ("returned", None, "is missing"),
    ("returned", "pump", "is not where this is read"), ("hose", "pump", ""),
    ("valvee", None, "did you mean valve? Else say where"), ("zzzzzz", None, "--help lists them; else say where"),
])  # fmt: skip
def test_a_reading_that_is_none_of_the_usual_or_made_on_parts_says_its_place(what: str, place: str | None, said: str):
    on_parts = Sense({"": Question({"{object}": 0.5})}, 5.0, objects={"injector *": {"place": "{n}"}})
    known = {"valve": Sense({"": REACH}, 5.0), "returned": on_parts}
    found = list(place_problems(what, place, known, usual="usual readings", where="where", done="read"))
    assert len(found) == (1 if said else 0) and all(said in f"{problem.why} {problem.hint}" for problem in found)


def test_the_test_is_the_one_that_the_inputs_make_it():
    sense, other = Sense({"": REACH}, 5.0), Sense({"low": REACH}, 5.0)
    senses = made(Senses("part", {"injector": sense}, other=other), feed(2.0))
    assert case_of(senses, {"part": "injector"}) == ("injector", sense)
    assert case_of(senses, {"part": {"value": "injector", "unit": ""}}) == ("injector", sense)
    assert case_of(senses, {"part": "inlet-valve"}) == ("inlet-valve", other) and case_of(senses, {}) == ("", other)
    assert case_of(made(sense, feed(2.0)), {}) == ("gauge", sense) and case_of(made(None, feed(2.0)), {}) is None


def test_a_result_without_findings_names_what_it_speaks_of_where_it_was_made():
    """The surest first, at most five; of the parts of a kind only the one that it was made on."""
    reach = {"filter": 0.3, "tank": 0.9, "{object}": 0.8, "a": 0.1, "b": 0.11, "c": 0.12, "d": 0.13}
    sense = Sense({"": Question(reach)}, 5.0, objects=ON_INJECTOR)

    def named(made_on: str | None) -> list[str]:
        return [str(place) for place in next_in_job(sense, made_on).arguments["places"]]

    assert named("injector 2") == ["tank", "injector 2", "filter", "d", "c"]
    assert named(None) == named("") == ["tank", "filter", "d", "c", "b"]


def test_a_wire_has_no_wire_of_its_own_and_what_speaks_of_no_place_names_none():
    sense = Sense({"": Question({"{object}": 0.6, "{object} wiring": 0.5})}, 5.0)
    for made_on, places in (
        ("inlet valve", ["inlet valve", "inlet valve wiring"]),
        ("rail sensor wiring", ["rail sensor wiring"]),
    ):
        assert [str(place) for place in next_in_job(sense, made_on).arguments["places"]] == places
    outside = str(next_in_job(Sense({"": Question({}, off_map=0.6)}, 5.0)))
    assert outside.startswith("It speaks of no place of the fuel system. Next: take it into the job sheet")
