"""What must hold of every job whatever was tested, by search for a counter-example."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.places.conftest import coil

from baybook.errors import InputError, PluginError
from baybook.jobs.offered import senses
from baybook.places.complaint import complaint
from baybook.places.conclusion import conclude
from baybook.places.evidence import Evidence
from baybook.places.fitted import Fitted
from baybook.places.history import Repair
from baybook.places.hypotheses import WORN
from baybook.places.joint import parts
from baybook.places.place import NO_FAULT, OFF_MAP, Place
from baybook.places.sense import Need, Question, Sense
from baybook.places.system import SystemMap

VAN = SystemMap.of(Fitted(("tank pump",), True, True, "none", False, 3, 2, "separate", ()))
SMALL = SystemMap(Fitted(), tuple(Place(name, "supply", "hydraulic", name) for name in "abcd"))
chances = st.floats(0.0, 1.0)
STEP = st.integers(1, 20)


@st.composite
def taken(draw, step=STEP):
    """Any outcome of any of the usual tests on this map, perhaps with an instrument that others share."""
    name = draw(st.sampled_from([name for name, sense in senses().items() if sense.on(VAN)]))
    sense = senses()[name]
    answers = {need.name: draw(st.booleans()) for need in sense.needs if draw(st.booleans())}
    shares = frozenset(draw(st.lists(st.sampled_from(["gauge", "clamp", "capture"]), max_size=2)))
    return Evidence(
        draw(step), name, draw(chances), sense, draw(st.sampled_from(sorted(sense.questions))),
        draw(st.sampled_from(sense.on(VAN))), answers, shares,
    )  # fmt: skip


jobs = st.lists(taken(), max_size=8)


@given(jobs, st.randoms())
@settings(deadline=None, max_examples=40)
def test_the_order_of_steps_never_matters(steps, chance):
    mixed = list(steps)
    chance.shuffle(mixed)
    assert conclude(mixed, VAN).chances == pytest.approx(conclude(steps, VAN).chances, abs=1e-9)


@given(jobs, taken(step=st.just(99)))
@settings(deadline=None, max_examples=40)
def test_a_verdict_at_one_half_changes_nothing(steps, last):
    half = Evidence(99, last.test, 0.5, last.sense, last.question, last.object, last.answers, last.shares)
    assert conclude([*steps, half], VAN).chances == pytest.approx(conclude(steps, VAN).chances, abs=1e-9)


@given(jobs)
@settings(deadline=None, max_examples=40)
def test_what_is_believed_sums_to_one_and_something_off_the_map_never_vanishes(steps):
    found = conclude(steps, VAN)
    assert math.fsum(found.belief.weights) == pytest.approx(1.0)
    assert min(found.belief.weights) >= 0.0
    assert found.chances[OFF_MAP] > 0.0
    assert found.sum() + found.chances[NO_FAULT] + found.chances[OFF_MAP] == pytest.approx(1.0)


@given(jobs, taken(step=st.just(99)), st.floats(0.5, 1.0))
@settings(deadline=None, max_examples=40)
def test_a_good_outcome_raises_the_odds_of_no_place_against_no_fault(steps, last, conforms):
    """Of tests that share no instrument: a good outcome may clear an instrument, and so strengthen what it has said."""
    steps = [replace(item, shares=frozenset()) for item in steps]
    good = Evidence(99, last.test, conforms, last.sense, last.question, last.object, last.answers)
    before, after = conclude(steps, VAN).belief, conclude([*steps, good], VAN).belief
    at = before.hypotheses.at
    for place in range(len(VAN.places)):
        was = before.weights[at[(place,)]] / before.weights[at[()]]
        assert after.weights[at[(place,)]] / after.weights[at[()]] <= was * (1 + 1e-9)


@given(jobs, st.sampled_from([place.name for place in VAN.places]), st.floats(0.0, 1.0), st.sampled_from([0.3, 0.6, 0.9]))
@settings(deadline=None, max_examples=40)
def test_evidence_against_one_place_never_raises_its_chance(steps, name, strength, reach):
    """A factor below one, or a good outcome of a test that looks there alone."""
    before = conclude(steps, VAN).chances[name]
    stated = Evidence(98, "stated", factors={name: strength})
    good = Evidence(99, "look", 0.5 + strength / 2, Sense.one({name: reach}, 5.0))
    for last in (stated, good):
        assert conclude([*steps, last], VAN).chances[name] <= before + 1e-9


@given(jobs)
@settings(deadline=None, max_examples=40)
def test_places_that_no_test_looked_at_keep_their_shares_of_each_other(steps):
    """But for injectors, which may be worn together: what is seen of one says something of the others."""
    found = conclude(steps, VAN)
    untouched = [s for s in found.standings if s.word in ("untested", "likely") and not s.steps]
    begin = conclude([], VAN).chances
    reached = {at for item in steps for at in range(len(VAN.places)) if item.looked(at, VAN) > 0.0 or not item.is_test}
    alone = [s.place for s in untouched if s.place.weight == 1.0 and s.place.kind != WORN]
    pairs = [place.name for place in alone if VAN.places.index(place) not in reached]
    for name in pairs[1:]:
        assert found.chances[name] / found.chances[pairs[0]] == pytest.approx(begin[name] / begin[pairs[0]])


@given(st.floats(0.05, 5.0), st.floats(0.05, 5.0), chances)
@settings(deadline=None)
def test_untouched_places_of_unlike_base_rates_keep_their_share_alone(one, two, conforms):
    weights = {"a": one, "b": two, "c": 1.0, "d": 1.0}
    look = Evidence(1, "look", conforms, Sense.one({"c": 0.9}, 5.0))
    belief = conclude([look], SMALL, weights).belief
    at = belief.hypotheses.at
    assert belief.weights[at[(0,)]] / belief.weights[at[(1,)]] == pytest.approx(one / two)


@pytest.mark.parametrize("factor", [-0.1, math.nan, math.inf, -math.inf, "3", None, True])
def test_a_plugins_nonsense_factor_is_refused_with_its_name(factor):
    with pytest.raises(PluginError, match=r"acme-flow states the factor"):
        Evidence(1, "acme-flow", factors={"filter": factor})


@pytest.mark.parametrize("chance", [-0.1, 1.1, math.nan, math.inf])
def test_a_plugins_nonsense_chance_is_refused_with_its_name(chance):
    with pytest.raises(PluginError, match=r"acme-flow gives .* as the chance to conform"):
        Evidence(1, "acme-flow", chance, senses()["hold"])


def test_huge_and_tiny_factors_leave_numbers_to_count_with():
    steps = [Evidence(n, "stated", factors={"filter": 1e300, "feed line": 0.0}) for n in range(30)]
    found = conclude(steps, VAN)
    assert found.chances["filter"] == pytest.approx(1.0)
    assert found.chances["feed line"] == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("declare", [
    lambda: Question({"filter": 1.0}), lambda: Question({"filter": math.nan}), lambda: Question({}, 0.0),
        lambda: Question({}, direct=("a",)),
    lambda: Sense({}, 5.0), lambda: Sense.one({"filter": 0.5}, 0.0), lambda: Sense.one({"filter": 0.5}, math.nan),
    lambda: Sense.one({"filter": 0.5}, 5.0, hands="gloves"), lambda: Sense.one({"filter": 0.5}, 5.0, source=" "),
        lambda: Need("x", "?", 1.5),
    lambda: Place("x", "storage", "left", "x"), lambda: Place("no fault", "storage", "control", "x"), lambda: Place("x",
        "rail", "control", "x"),
    lambda: Evidence(1, "t", 0.1), lambda: Evidence(1, "t", 0.1, senses()["hold"], "sideways"),
])  # fmt: skip
def test_a_declaration_that_is_none_is_refused(declare):
    with pytest.raises(PluginError):
        declare()


def test_verdicts_that_share_readings_count_once():
    """Three limits on one flow say no more than the strictest of them."""
    one, three = (
        [Evidence(1, "returns", p, senses()["returns"], object="injector 1") for p in ps] for ps in ([0.01], [0.01, 0.01, 0.3])
    )
    assert conclude(three, VAN).chances == pytest.approx(conclude(one, VAN).chances)


def test_a_test_made_again_makes_its_outcome_surer_and_its_reach_no_wider():
    again = [[coil(n, "inlet valve", 0.999) for n in range(times)] for times in (1, 2, 9)]
    one, two, nine = (conclude(steps, VAN).chances["inlet valve coil"] for steps in again)
    assert one >= two >= nine > 0.9 * one


def test_a_shared_instrument_bounds_what_its_tests_say_together():
    """Ten looks through one gauge that may be wrong are worth no more than the gauge; through ten gauges they are."""
    look = [Sense.one({"a": 0.9, "b": 0.05}, 5.0) for _ in range(10)]
    apart = conclude([Evidence(n, f"look {n}", 0.01, sense) for n, sense in enumerate(look)], SMALL)
    shared = conclude([Evidence(n, f"look {n}", 0.01, s, shares=frozenset({"gauge"})) for n, s in enumerate(look)], SMALL)
    assert apart.chances["a"] > 0.999
    odds = shared.why("a").odds / shared.why("a").start
    assert odds < 2 * 0.9**10 / 0.01 + 100  # the gauge wrong in 2 of 100, the other way in half of them
    assert shared.chances["a"] < apart.chances["a"]


def test_causes_join_tests_through_others():
    link = [frozenset({"x"}), frozenset({"x", "y"}), frozenset({"y"}), frozenset({"z"}), frozenset()]
    steps = [Evidence(n, f"t{n}", 0.1, senses()["hold"], shares=shares) for n, shares in enumerate(link)]
    assert sorted([item.step for item in part] for part in parts(steps)) == [[0, 1, 2], [3], [4]]


def test_a_repair_frees_the_place_from_what_was_seen_before_and_leaves_the_others():
    steps = [complaint(VAN), Evidence(1, "look", 0.01, Sense.one({"filter": 0.9}, 5.0, direct=("filter",)))]
    before = conclude(steps, VAN)
    after = conclude([*steps, Repair(2, ("filter",))], VAN)
    filter_after = next(s for s in after.standings if s.place.name == "filter")
    assert before.chances["filter"] > 0.3
    assert after.chances["filter"] < 0.05
    assert filter_after.word == "untested"
    assert after.chances["feed line"] == pytest.approx(before.chances["feed line"], rel=0.05)
    assert math.fsum(after.belief.weights) == pytest.approx(1.0)


def test_a_step_on_what_is_not_fitted_is_one_clear_line():
    with pytest.raises(
        InputError, match=r'^step 3 \(coil\): "injector 7" is not on this vehicle\'s map; did you mean injector'
    ):
        conclude([coil(3, "injector 7", 0.1)], VAN)
    with pytest.raises(InputError, match="is not on this vehicle's map"):
        conclude([Repair(1, ("turbine",))], VAN)
