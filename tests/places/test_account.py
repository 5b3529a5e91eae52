"""The account of one place, and what shares a cause: by Bayes' rule written out."""

from __future__ import annotations

import math
from itertools import product

import pytest
from tests.places.test_by_hand import look, small

from baybook.errors import InputError
from baybook.places.account import Account, Factor
from baybook.places.conclusion import conclude
from baybook.places.evidence import Evidence
from baybook.places.history import Repair
from baybook.places.hypotheses import Hypotheses
from baybook.places.joint import likelihoods, parts, shown_in
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


def test_four_gauges_of_which_three_may_be_wrong_at_once() -> None:
    """By enumeration over which are wrong (0.02 each; common practice, no source), four at once left out; the tests of one
    that is wrong come out all bad or all good, and a test belongs to the first that is."""
    every = Hypotheses.on(small())
    items = [look(1, 0.2, shares=G | H), look(2, 0.3, 0.6, "pump", shares=H | J), look(3, 0.9, 0.7, "injector 1", shares=J | K),
             look(4, 0.4, 0.5, "injector 2", shares=K)]  # fmt: skip
    [row] = likelihoods(items, small(), every)
    single = [item.likelihood(small(), every) for item in items]
    for at in range(len(every.sets)):
        total = 0.0
        for wrong in product((False, True), repeat=4):
            if sum(wrong) > 3:
                continue
            chance, left = math.prod(0.02 if w else 0.98 for w in wrong), list(range(4))
            for name, is_wrong in zip("ghjk", wrong, strict=True):
                mine = [n for n in left if name in items[n].shares] if is_wrong else []
                left = [n for n in left if n not in mine]
                if mine:
                    p = [items[n].conforms for n in mine]
                    chance *= 0.5 * (math.prod(p) + math.prod(1.0 - each for each in p))
            total += chance * math.prod(single[n][at] for n in left)
        assert row[at] == pytest.approx(total, rel=1e-9)


def test_what_is_stated_is_not_made_alike_by_a_gauge() -> None:
    """Factors hold while their gauge is right; wrong, they say nothing of it and nothing else."""
    every = Hypotheses.on(small())
    item = Evidence(1, "x", factors={"filter": 4.0}, shares=G)
    [row] = likelihoods([item], small(), every)
    assert row[every.at[0,]] == pytest.approx(0.98 * 1.0 + 0.02) and row[every.at[()]] == pytest.approx(0.98 * 0.25 + 0.02)


def test_what_hangs_together() -> None:
    """By a gauge, a condition, or through others; a gauge called like a condition is none."""
    cold = {"left": 0.5, "elsewhere": "cold"}
    items = [look(1, 0.2, shares=G), look(2, 0.2, **cold), look(3, 0.2, shares=frozenset({"cold"})),
             look(4, 0.2, shares=G, **cold), look(5, 0.2)]  # fmt: skip
    assert sorted(sorted(item.step for item in part) for part in parts(items)) == [[1, 2, 4], [3], [5]]
    assert parts([]) == []


@pytest.mark.parametrize("left", [0.4, 0.5])
def test_how_likely_a_fault_shows_in_another_condition(left: float) -> None:
    """Bayes over two states, weighed by what is believed: one bad look there, reach 0.8, alarm 0.1, so much left beforehand."""
    item = look(1, 0.0, left=left, elsewhere="cold")
    every = Hypotheses.on(small())
    belief = conclude([item], small()).belief
    by_hand = 0.0
    for members, weight in zip(every.sets, belief.weights, strict=True):
        bad = 0.15 if members == (-1,) else 0.8 if 0 in members else 0.1
        by_hand += weight * left * bad / (left * bad + (1.0 - left) * 0.1)
    found = shown_in([item], belief.weights, small(), every)
    assert list(found) == [("cold", left)] and found["cold", left] == pytest.approx(by_hand)
    assert shown_in([look(1, 0.0)], belief.weights, small(), every) == {}
