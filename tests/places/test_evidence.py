"""What one taken test says: how far it proves, decides and clears, by hand."""

from __future__ import annotations

from typing import Any

import pytest
from tests.places.test_by_hand import PLACES, look, small

from baybook.errors import PluginError
from baybook.places.complaint import complaint
from baybook.places.evidence import Evidence
from baybook.places.hypotheses import OFF, Hypotheses
from baybook.places.need import Need
from baybook.places.place import NO_FAULT, OFF_MAP
from baybook.places.sense import Question, Sense

FILTER, PUMP, *_ = PLACES


def test_no_verdict_is_certain() -> None:
    """One in a thousand million is left either way; one half where nothing is said."""
    assert look(1, 0.0).conforms == 1e-9 and look(1, 1.0).conforms == 1.0 - 1e-9 and look(1, 0.3).conforms == 0.3
    assert Evidence(1, "x", factors={"filter": 2.0}).conforms == 0.5
    sense = look(1, 0.5).sense
    assert Evidence(1, "x", sense=sense).conforms == 0.5 and not Evidence(1, "x", sense=sense).bad


@pytest.mark.parametrize(
    ("conforms", "alarm", "decides"),
    [(0.0005, 0.001, True), (0.0005, 0.00101, False), (0.0006, 0.001, False), (0.001, 0.0004, True), (0.06, 0.0001, False)],
)
def test_a_bad_outcome_decides_where_it_hardly_comes_of_anything_else(conforms: float, alarm: float, decides: bool) -> None:
    """15 of 10 000, by its own doubt and its false alarms together (common practice, no source)."""
    assert look(1, conforms, alarm=alarm).decides == decides
    assert not Evidence(1, "x", factors={"filter": 1e9}).decides and not look(1, 1.0 - conforms, alarm=alarm).decides


@pytest.mark.parametrize(("met", "proves"), [(0.9, True), (0.851, True), (0.84, False), (0.5, False)])
def test_a_bad_outcome_proves_where_its_needs_were_likely_met(met: float, proves: bool) -> None:
    """Nine in ten (common practice, no source): 0.8 of those with the need met are bad, and half of those without."""
    by_hand = met * 0.8 / (met * 0.8 + (1 - met) * 0.5)
    assert (by_hand >= 0.9) == proves
    sense = Sense({"": Question({"filter": 0.8}, 0.1, ("filter",))}, 5.0, needs=(Need("warm", "warm?", met=met, bad=0.5),))
    assert Evidence(1, "x", 0.001, sense).proves(FILTER, small()) == proves
    assert Evidence(1, "x", 0.001, sense, answers={"warm": True}).proves(FILTER, small())
    assert not Evidence(1, "x", 0.001, sense, answers={"warm": False}).proves(FILTER, small())


def test_what_never_proves() -> None:
    """A good outcome, another place, a look that is not direct, what a calculator states itself."""
    assert look(1, 0.001).proves(FILTER, small()) and not look(1, 0.999).proves(FILTER, small())
    assert not look(1, 0.001).proves(PUMP, small()) and not look(1, 0.3).proves(FILTER, small())
    indirect = Evidence(1, "x", 0.001, Sense.one({"filter": 0.9}, 5.0))
    assert not indirect.proves(FILTER, small()) and not indirect.looks_directly(FILTER) and not indirect.looks_at_places
    stated = Evidence(1, "x", factors={"filter": 1e9})
    assert not stated.proves(FILTER, small()) and not stated.looks_directly(FILTER) and not stated.looks_at_places
    assert look(1, 0.9).looks_at_places and look(1, 0.9).looks_directly(FILTER) and not look(1, 0.9).looks_directly(PUMP)
    assert not complaint(small()).looks_at_places and not complaint(small()).looks_outside


def test_what_is_spared_is_spared_by_what_is_good() -> None:
    """Of an even reading nothing is."""
    spared = frozenset({"filter"})
    assert [look(1, p, spared=spared).looked(0, small()) for p in (0.1, 0.5, 0.52, 0.9)] == [0.8, 0.8, 0.0, 0.0]
    other = look(1, 0.9, spared=frozenset({"pump"}))
    assert other.looked(0, small()) == 0.8


@pytest.mark.parametrize(
    ("factors", "expected"),
    [
        ({"filter": 0.5}, {(): 1.0, (OFF,): 1.0, (0,): 0.5, (1,): 1.0, (0, 1): 0.5, (1, 2): 1.0}),
        ({"filter": 0.5, "pump": 0.4}, {(): 1.0, (0,): 0.5, (1,): 0.4, (0, 1): 0.2, (0, 2): 0.5}),
        ({"filter": 4.0, "pump": 0.5, NO_FAULT: 0.2}, {(): 0.05, (OFF,): 0.25, (0,): 1.0, (1,): 0.125, (0, 1): 0.5}),
        ({"injector *": 2.0, OFF_MAP: 0.0}, {(): 0.5, (OFF,): 0.0, (2,): 1.0, (3,): 1.0, (2, 3): 1.0, (0, 2): 1.0, (0,): 0.5}),
        ({"filter": 0.0}, {(): 1.0, (0,): 0.0, (0, 1): 0.0, (1,): 1.0}),
    ],
)  # fmt: skip
def test_what_a_calculator_states_itself(factors: dict[str, float], expected: dict[tuple[int, ...], float]) -> None:
    """Over the largest of them and of 1: a place's own; of a pair the larger, times what speaks against either."""
    every = Hypotheses.on(small())
    row = Evidence(1, "x", factors=factors).likelihood(small(), every)
    assert {members: row[every.at[members]] for members in expected} == pytest.approx(expected)


def test_what_says_nothing() -> None:
    """A need that is known not to be met; not one that is open, nor what was stated."""
    needs = (Need("warm", "warm?", met=0.5), Need("near", "near?", left=0.3))
    sense = Sense({"": Question({"filter": 0.8})}, 5.0, needs=needs)
    answers: list[tuple[dict[str, bool], bool]] = [
        ({}, False),
        ({"warm": False}, True),
        ({"near": False}, False),
        ({"warm": True}, False),
    ]
    for given, nothing in answers:
        assert Evidence(1, "x", 0.1, sense, answers=given).says_nothing(small()) == nothing
    assert not Evidence(1, "x", factors={"filter": 2.0}).says_nothing(small())


def test_what_was_moved() -> None:
    """The places that a bad outcome was brought about at; none by a good one, nor where nothing was moved."""
    moved = Sense({"": Question({"{object} wiring": 0.9}, direct=("{object} wiring",), provokes=True)}, 5.0)
    bad, good = (Evidence(1, "x", p, moved, object="injector 2") for p in (0.01, 0.99))
    assert (
        bad.provokes and good.provokes and not look(1, 0.01).provokes and not Evidence(1, "x", factors={"pump": 2.0}).provokes
    )
    assert (bad.provoked, good.provoked, look(1, 0.01).provoked) == (("injector 2 wiring",), (), ())


def test_what_it_was_looked_for() -> None:
    aimed = Sense({"low": Question({"{object}": 0.5}), "": Question({"filter": 0.5}, measures="m")}, 5.0)
    assert Evidence(1, "t", 0.1, aimed, "low", "injector 1").looked_for == ("t low", "injector 1")
    assert Evidence(1, "t", 0.1, aimed, "", "injector 1").looked_for == ("m", "")
    assert Evidence(1, "t", factors={"pump": 2.0}, object="injector 1").looked_for == ("t", "injector 1")
    assert Evidence(3, "t", factors={"pump": 2.0}, again=(5, 6)).steps == (3, 5, 6)
    outside = Sense({"": Question({}, 0.01, off_map=0.9)}, 5.0)
    assert Evidence(1, "t", 0.1, outside).looks_outside and not look(1, 0.1).looks_outside
    assert not Evidence(1, "t", factors={OFF_MAP: 2.0}).looks_outside


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"factors": {"filter": float("inf")}}, "states the factor inf on 'filter'"),
        ({"factors": {"filter": float("nan")}}, "states the factor nan"),
        ({"factors": {"filter": "2"}}, "states the factor '2'"),
        ({"conforms": -1e-9, "sense": Sense.one({}, 5.0)}, "gives -1e-09 as the chance to conform"),
        ({"conforms": 1.000001, "sense": Sense.one({}, 5.0)}, "gives 1.000001 as the chance"),
        ({"sense": Sense.one({}, 5.0), "factors": {}}, "with neither a sense nor factors, or with both"),
        ({"sense": Sense.one({}, 5.0), "question": "low"}, "has no question 'low'"),
        ({"factors": {"filter": 0.0, NO_FAULT: 0.0, OFF_MAP: 0.0}}, "nothing at all can be the case"),
    ],
)  # fmt: skip
def test_what_is_none_is_refused(more: dict[str, Any], why: str) -> None:
    with pytest.raises(PluginError) as refused:
        Evidence(1, "t", **more)
    assert str(refused.value).startswith("t ") and why in str(refused.value)


def test_what_is_some_is_taken() -> None:
    assert Evidence(1, "t", factors={}).factors == {} and Evidence(1, "t", factors={"filter": 0}).factors == {"filter": 0}
    assert (
        Evidence(1, "t", factors={NO_FAULT: 0.0, "filter": 0.0}).factors
        and Evidence(1, "t", factors={OFF_MAP: 0.0, "filter": 0.0}).factors
    )
    assert Evidence(1, "t", factors={NO_FAULT: 0.0, OFF_MAP: 0.0, "filter": 1.0}).factors
