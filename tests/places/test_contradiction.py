"""Contradictions: how well the best explanation fits, worked out by hand."""

from __future__ import annotations

import pytest
from tests.places.test_by_hand import look, small

from baybook.places.complaint import complaint
from baybook.places.conclusion import conclude
from baybook.places.contradiction import THRESHOLD, contradiction
from baybook.places.evidence import Evidence
from baybook.places.place import NO_FAULT, OFF_MAP


@pytest.mark.parametrize(("reach", "found"), [(0.9, False), (0.905, True), (0.99, True)])
def test_from_which_fit_on_two_tests_contradict_each_other(reach: float, found: bool) -> None:
    """A tenth: one look at the filter bad for certain, another good, each over what suits it best. With the fault the second
    has (1 - r) of 0.98, without it the first has 0.02 of r: the larger counts."""
    items = [look(1, 0.0, reach, alarm=0.02, test="a"), look(2, 1.0, reach, alarm=0.02, test="b")]
    fit = max((1 - reach) / 0.98, 0.02 / reach)
    assert (fit < THRESHOLD) == found and THRESHOLD == 0.1
    epoch = conclude(items, small()).history.epochs[0]
    told = contradiction(epoch, small())
    assert (told is not None) == found
    if told is not None:
        assert told.fit == pytest.approx(fit, abs=1e-6) and {item.step for item in told.repeat} == {1, 2}
        assert told.to_dict() == {"fit": told.fit, "threshold": 0.1, "repeat": [
            {"step": item.step, "test": item.test, "object": ""} for item in told.repeat]}  # fmt: skip
    assert contradiction(epoch, small(), away=True) is None, "what is good while it is away contradicts nothing"


def test_the_two_without_which_the_rest_fits_best_are_repeated() -> None:
    """The better one first; of equals the earlier. One that is alone against several is named alone."""
    three = [
        look(n, 0.0, reach, place, 0.001)
        for n, reach, place in ((1, 0.99, "filter"), (2, 0.99, "pump"), (3, 0.6, "injector 1"))
    ]
    told = contradiction(conclude(three, small()).history.epochs[0], small())
    assert told is not None and [item.step for item in told.repeat] == [1, 2]
    against = [
        look(1, 0.0, 0.99, alarm=0.001, test="a"),
        look(2, 0.0, 0.99, alarm=0.001, test="b"),
        look(3, 1.0, 0.99, alarm=0.001, test="c"),
    ]
    told = contradiction(conclude(against, small()).history.epochs[0], small())
    assert told is not None and [item.step for item in told.repeat] == [3] and told.fit == pytest.approx(0.01 / 0.999)
    nearly = [look(n, p, 0.99, alarm=0.0121, test=f"t{n}") for n, p in ((1, 0.0), (2, 0.0), (3, 1.0))]
    told = contradiction(conclude(nearly, small()).history.epochs[0], small())
    assert told is not None and [item.step for item in told.repeat] == [3, 1], "without the first it fits a little better"
    assert contradiction(conclude([complaint(small(), step=1), against[0]], small()).history.epochs[0], small()) is None


def test_what_is_away_at_times_contradicts_only_where_it_is_bad() -> None:
    """Three faults at once are explained by no pair, whether it comes and goes or not; open readings are no contradiction."""
    three = [look(n, 0.0, 0.99, place, 0.001) for n, place in ((1, "filter"), (2, "pump"), (3, "injector 1"))]
    epoch = conclude(three, small()).history.epochs[0]
    assert contradiction(epoch, small(), away=True) == contradiction(epoch, small()) is not None
    good = [look(1, 0.0, 0.99, alarm=0.001, test="a"), look(2, 1.0, 0.99, alarm=0.001, test="b")]
    found = conclude([complaint(small(), "cuts out", step=1), *good], small())
    assert found.contradiction is None and conclude([complaint(small(), step=1), *good], small()).contradiction is not None


def test_what_is_impossible_is_the_worst_fit() -> None:
    """A place that is ruled out by what a calculator states, and a look that sees it alone: no place explains both."""
    items = [Evidence(1, "x", factors={"filter": 0.0, NO_FAULT: 0.001, "pump": 0.001, "injector *": 0.001, OFF_MAP: 1.0}),
             look(2, 0.0, 0.99, alarm=0.001)]  # fmt: skip
    told = contradiction(conclude(items, small()).history.epochs[0], small())
    assert told is not None and told.fit == pytest.approx(0.001 / 0.99, abs=1e-6)
    assert [item.step for item in told.repeat] == [1, 2]


def test_outcomes_of_other_things_are_no_contradiction_of_one() -> None:
    """A test made twice that stays open, and in the same steps others that are decided: a bad pump, a good injector."""
    steps = [look(1, 0.4, test="t"), look(2, 0.6, test="t"), look(1, 0.01, place="pump", test="u"),
             look(2, 0.99, place="injector 1", test="v")]  # fmt: skip
    assert conclude(steps, small()).contradiction is None


def test_misses_of_a_single_place_add_up_to_no_contradiction_and_those_of_two_do() -> None:
    """Four looks that miss two faults in five beside one that is bad: 0.4 each, 0.4^4 = 0.026 together. A miss of one in ten
    is a surprise; so is what two faults at once leave unexplained."""
    bad = look(1, 0.0, 0.9, alarm=0.001, test="bad")
    misses = [look(n, 1.0, 0.6, alarm=0.001, test=f"t{n}") for n in range(2, 6)]
    assert contradiction(conclude([bad, *misses], small()).history.epochs[0], small()) is None
    surprises = [look(n, 1.0, 0.81, alarm=0.001, test=f"t{n}") for n in range(2, 4)]
    told = contradiction(conclude([bad, *surprises], small()).history.epochs[0], small())
    assert told is not None and told.fit == pytest.approx((0.19 / 0.999) ** 2, abs=1e-6)
    other = look(6, 0.0, 0.9, place="pump", alarm=0.001, test="other")
    assert contradiction(conclude([bad, *misses, other], small()).history.epochs[0], small()) is not None
