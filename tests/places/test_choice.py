"""What is proposed next, and in which order."""

from __future__ import annotations

import pytest
from tests.places.conftest import GOOD

from baybook.places.choice import next_tests
from baybook.places.complaint import complaint
from baybook.places.conclusion import conclude
from baybook.places.evidence import Evidence
from baybook.places.sense import Need, Sense


def _filter(hands="nothing opened", minutes=10.0, **more):
    return Sense.one({"filter": 0.9}, minutes, hands=hands, **more)


@pytest.mark.parametrize("hands", ["high side opened", "live wiring"])
def test_a_test_that_puts_hands_at_risk_comes_after_one_that_does_not(van, hands):
    """Though it tells as much in a third of the time; not where it tells far more than four times as much per minute."""
    found = conclude([complaint(van)], van)
    assert [t.test for t in next_tests(found, {"risky": _filter(hands, 3.4), "safe": _filter()})] == ["safe", "risky"]
    assert [t.test for t in next_tests(found, {"risky": _filter(hands, 2.0), "safe": _filter()})] == ["risky", "safe"]


def test_the_quicker_of_two_that_tell_the_same_comes_first(van):
    found = conclude([complaint(van)], van)
    assert [t.test for t in next_tests(found, {"slow": _filter(), "quick": _filter(minutes=5.0)})] == ["quick", "slow"]


def test_what_was_taken_is_not_asked_again_and_what_was_undecided_is(van):
    sense = _filter()
    for conforms, asked in ((GOOD, []), (1 - GOOD, []), (0.4, ["undecided"])):
        found = conclude([complaint(van), Evidence(1, "look", conforms, sense)], van)
        assert [t.reason for t in next_tests(found, {"look": sense})] == asked


def test_a_test_of_several_objects_is_asked_for_the_others(van):
    sense = Sense.one({"{object} coil": 0.9}, 5.0, objects=("injector *",))
    found = conclude([complaint(van), Evidence(1, "coil", GOOD, sense, object="injector 2")], van)
    [one] = next_tests(found, {"coil": sense})
    assert {one.object, *one.also} == {"injector 1", "injector 3", "injector 4"}


def test_a_test_of_what_is_not_fitted_is_not_asked(van):
    sense = Sense.one({"{object}": 0.9}, 5.0, objects=("suction pump",))
    assert not next_tests(conclude([complaint(van)], van), {"look": sense})


def test_what_has_to_be_settled_is_named_and_makes_a_test_worth_less(van):
    found = conclude([complaint(van)], van)
    need = Need("warm", "is the engine warm?", met=0.5, bad=0.5)
    tests = next_tests(found, {"sure": _filter(), "unsure": _filter(needs=(need,))})
    assert [t.test for t in tests] == ["sure", "unsure"]
    assert tests[1].needs == (need,)


def test_what_it_separates_are_places_that_are_open(van):
    found = conclude([complaint(van)], van)
    assert next_tests(found, {"look": _filter()})[0].separates == ("filter",)
