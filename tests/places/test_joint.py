"""Tests weighed together: those that share a cause, and those of another condition, by enumeration."""

from __future__ import annotations

import math
from itertools import product

import pytest
from tests.places.test_account import G, H, J, K
from tests.places.test_by_hand import look, small

from baybook.places.conclusion import conclude
from baybook.places.evidence import Evidence
from baybook.places.hypotheses import Hypotheses
from baybook.places.joint import likelihoods, parts, shown_in


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
