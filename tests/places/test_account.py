"""The account of one place: by Bayes' rule written out."""

from __future__ import annotations

import math

import pytest
from tests.places.test_by_hand import look, small

from baybook.errors import InputError
from baybook.places.account import Account, Factor
from baybook.places.conclusion import conclude
from baybook.places.evidence import Evidence
from baybook.places.history import Repair
from baybook.places.place import NO_FAULT

G, H, J, K = (frozenset({name}) for name in "ghjk")


def test_the_chance_without_a_test_is_the_chance_of_the_others() -> None:
    """Bayes: leave one out and conclude from the rest."""
    items = [look(1, 0.1), look(2, 0.8, place="pump"), look(3, 0.3, 0.6, "filter", 0.05)]
    found = conclude(items, small()).why("filter")
    for left_out, factor in zip(items, found.factors, strict=True):
        rest = conclude([item for item in items if item is not left_out], small())
        assert factor.without == pytest.approx(rest.chances["filter"]) and factor.evidence == (left_out,)
    assert found.chance == pytest.approx(conclude(items, small()).chances["filter"])
    assert found.start * math.prod(f.factor for f in found.factors) == pytest.approx(found.odds)


def test_tests_by_one_gauge_are_one_line_of_the_account() -> None:
    items = [look(1, 0.1, shares=G), look(2, 0.2, place="pump"), look(3, 0.1, shares=G)]
    factors = conclude(items, small()).why("filter").factors
    assert sorted([item.step for item in factor.evidence] for factor in factors) == [[1, 3], [2]]


def test_where_no_fault_is_ruled_out() -> None:
    """Odds against what cannot be are without end; a factor of nothing is as strong as can be."""
    out = conclude([Evidence(1, "x", factors={NO_FAULT: 0.0, "filter": 2.0})], small()).why("filter")
    assert out.odds == math.inf and out.factors[0].factor == math.inf and out.factors[0].strength == "extremely strong"
    gone = conclude([Evidence(1, "x", factors={"filter": 0.0})], small()).why("filter")
    assert (gone.odds, gone.factors[0].factor, gone.chance, gone.factors[0].strength) == (0.0, 0.0, 0.0, "extremely strong")
    before = conclude([look(1, 0.4, place="pump")], small()).chances["filter"]
    ruled_out = conclude([look(1, 0.4, place="pump"), Evidence(2, "x", factors={"filter": 0.0})], small()).why("filter")
    assert ruled_out.factors[1].without == pytest.approx(before) and ruled_out.chance == 0.0
    assert [f.evidence[0].step for f in ruled_out.speaking_against] == [2], "what rules a place out speaks against it"


def test_an_account_begins_behind_the_last_repair() -> None:
    found = conclude([look(1, 0.1), Repair(2, ("filter",)), look(3, 0.2)], small())
    belief = found.history.epochs[1].start
    at = belief.hypotheses.at
    told = found.why("filter")
    assert told.start == pytest.approx(belief.weights[at[0,]] / belief.weights[at[()]]) and len(told.factors) == 1
    with pytest.raises(InputError, match="did you mean filter"):
        found.why("filtre")


def test_what_hardly_moves_a_place_speaks_neither_way() -> None:
    """Within one in a thousand million; the most first."""
    shifts = (0.0, 5e-10, -5e-10, 2e-9, -2e-9, 0.1, -0.1)
    factors = tuple(Factor((look(n, 0.5),), 1.0, 0.5 + shift) for n, shift in enumerate(shifts))
    told = Account("filter", 1.0, factors, 1.0, 0.5)
    assert [f.evidence[0].step for f in told.speaking_for] == [6, 4] and [
        f.evidence[0].step for f in told.speaking_against
    ] == [5, 3]


def test_an_account_as_json() -> None:
    told = conclude([look(1, 0.1, said="low")], small()).why("filter").to_dict()
    [factor] = told["factors"]  # type: ignore[misc]
    assert (told["place"], told["against"]) == ("filter", NO_FAULT) and factor["strength"] == "weak"
    assert factor["tests"] == [{"step": 1, "test": "look 1", "object": "", "question": "", "said": "low"}]
