"""Hypotheses and what is believed of them: against scipy's entropies, published worked numbers, and enumeration by hand."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from scipy.stats import entropy

from baybook.places.fitted import Fitted
from baybook.places.hypotheses import OFF, Belief, Hypotheses
from baybook.places.place import NO_FAULT, OFF_MAP, Place
from baybook.places.system import SystemMap


def believed(*weights: float) -> Belief:
    """Of single suspects a, b, c and so on."""
    names = tuple("abcdefgh"[: len(weights)])
    return Hypotheses(names, tuple((n,) for n in range(len(weights))), weights).belief()


def wearing(count: int, *others: str) -> SystemMap:
    places = [Place(f"injector {n}", "delivery", "hydraulic", f"injector {n}", n) for n in range(1, count + 1)]
    return SystemMap(Fitted(injectors=count), (*places, *(Place(name, "supply", "hydraulic", name) for name in others)))


@pytest.mark.parametrize("prior", [(-0.1, 1.1), (0.0, 0.0), (math.inf, 1.0), (math.nan, 1.0), (1.0,), (1.0, 0.5, 0.5)])
def test_a_prior_is_a_share_of_each(prior: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="needs a prior that is not negative, and one of them a positive one"):
        Hypotheses(("a",), ((), (0,)), prior)


def test_a_prior_is_made_to_sum_to_one_and_may_hold_nothings() -> None:
    """3 to 1 to 0."""
    assert Hypotheses(("a", "b"), ((), (0,), (1,)), (3.0, 1.0, 0.0)).prior == (0.75, 0.25, 0.0)


def test_a_map_of_one_place() -> None:
    """No fault 0.30, off the map 0.04, 0.63 the place alone; there is no pair (common practice, no source)."""
    for name in ("filter", "injector 1"):
        every = Hypotheses.on(SystemMap(Fitted(), (Place(name, "supply", "hydraulic", name),)))
        assert every.sets == ((), (0,), (OFF,)) and every.names == (name,)
        assert every.prior == pytest.approx([0.30 / 0.97, 0.63 / 0.97, 0.04 / 0.97])


def test_two_injectors_wear_together_and_of_three_some_or_all() -> None:
    """0.15 of what injectors have: two are all of them; of three half is all, the other half parted among three pairs. What a
    chance pair has (0.03 shared out) comes beside it (common practice, no source)."""
    two = Hypotheses.on(wearing(2))
    assert dict(zip(two.sets, two.prior, strict=True)) == pytest.approx(
        {(): 0.30, (0,): 0.63 * 0.85 / 2, (1,): 0.63 * 0.85 / 2, (0, 1): 0.03 + 0.15 * 0.63, (OFF,): 0.04}
    )
    three = Hypotheses.on(wearing(3))
    expected = {(): 0.30, (OFF,): 0.04, (0, 1, 2): 0.15 * 0.63 / 2}
    expected |= {(n,): 0.63 * 0.85 / 3 for n in range(3)}
    expected |= dict.fromkeys(combinations(range(3), 2), 0.03 / 3 + 0.15 * 0.63 / 2 / 3)
    assert dict(zip(three.sets, three.prior, strict=True)) == pytest.approx(expected)


def test_what_three_faults_bring_out() -> None:
    """Each by itself: base times the share of each of them; another number for what is not on the map."""
    every = Hypotheses.on(wearing(3, "filter"))
    shares = [0.5, 0.25, 0.8, 0.1]
    found = every.product(0.9, shares, 0.7)
    for members, value in zip(every.sets, found, strict=True):
        by_hand = 0.7 if members == (OFF,) else 0.9
        for at in members:
            by_hand *= 1.0 if at == OFF else shares[at]
        assert value == pytest.approx(by_hand), members


def test_independent_faults() -> None:
    """0.1 and 0.3 apart: 0.63, 0.07, 0.27, 0.03; at most one of them, what is left of it by its sum."""
    both = Hypotheses.independent({"a": 0.1, "b": 0.3})
    assert both.sets == ((), (0,), (1,), (0, 1)) and both.prior == pytest.approx([0.63, 0.07, 0.27, 0.03])
    one = Hypotheses.independent({"a": 0.1, "b": 0.3}, 1)
    assert one.sets == ((), (0,), (1,)) and one.prior == pytest.approx([0.63 / 0.97, 0.07 / 0.97, 0.27 / 0.97])


@pytest.mark.parametrize("weights", [(1.0,), (0.5, 0.5), (0.7, 0.2, 0.1), (0.25, 0.25, 0.5, 0.0), (1e-9, 1.0)])
def test_what_is_left_to_find_out_is_shannons(weights: tuple[float, ...]) -> None:
    assert believed(*weights).entropy() == pytest.approx(entropy(weights, base=2), abs=1e-12)


@pytest.mark.parametrize("prior", [(0.7, 0.2, 0.1), (0.5, 0.5, 0.0), (0.2, 0.2, 0.6)])
@pytest.mark.parametrize("bad", [(0.9, 0.1, 0.1), (0.9, 0.9, 0.3), (1.0, 0.0, 0.5), (0.3, 0.3, 0.3)])
def test_what_a_test_tells_is_the_mutual_information(prior: tuple[float, ...], bad: tuple[float, ...]) -> None:
    """The entropy before less the mean of those behind, by scipy (Lindley 1956)."""
    rows = np.array([bad, [1.0 - b for b in bad]])
    told = entropy(prior, base=2)
    for row in rows:
        joint = row * prior
        if joint.sum() > 0.0:
            told -= joint.sum() * entropy(joint / joint.sum(), base=2)
    assert believed(*prior).information(rows.tolist()) == pytest.approx(told, abs=1e-12)
    assert believed(*prior).information(rows.tolist()) >= 0.0


def test_a_likelihood_ratio_of_normals_moves_the_odds() -> None:
    """100 (sd 10) against 140 (sd 10), read with u 5: at 125 the ratio is 4.953032 (computed; variance 125)."""
    ratio = math.exp(((125 - 100) ** 2 - (125 - 140) ** 2) / (2 * 125))
    assert ratio == pytest.approx(4.953032, abs=1e-5)
    after = believed(0.5, 0.5).updated([1.0, ratio])
    assert after.weights[1] / after.weights[0] == pytest.approx(4.953032, abs=1e-5)
    assert math.fsum(after.weights) == pytest.approx(1.0)


def test_a_row_has_a_chance_for_each_hypothesis() -> None:
    belief = believed(0.5, 0.5)
    for row in ([0.5], [0.5, 0.5, 0.5]):
        with pytest.raises(ValueError, match="zip"):
            belief.updated(row)
        with pytest.raises(ValueError, match="zip"):
            belief.information([row])


def test_evidence_that_nothing_explains_is_refused() -> None:
    for row in ([0.0, 0.0], [math.nan, 0.5]):
        with pytest.raises(ValueError, match="impossible under every hypothesis"):
            believed(0.5, 0.5).updated(row)
    assert believed(0.5, 0.5).updated([1e-300, 0.0]).weights == (1.0, 0.0)


def test_the_fewest_names_that_reach_a_level() -> None:
    """By eighths: what is reached exactly is enough; of equals the later name; 95 % unless said."""
    belief = believed(0.5, 0.25, 0.125, 0.125)
    assert belief.open_set(0.5) == ("a",) and belief.open_set(0.75) == ("a", "b")
    assert belief.open_set(0.76) == ("a", "b", "d") and belief.open_set(1.0) == ("a", "b", "d", "c")
    assert belief.open_set(1.5) == ("a", "b", "d", "c"), "more than there is: all of it"
    assert believed(0.94, 0.04, 0.02).open_set() == ("a", "b") and believed(0.96, 0.04).open_set() == ("a",)
    assert believed(0.94, 0.015, 0.045).open_set() == ("a", "c")


def test_what_a_name_holds_is_taken_once() -> None:
    """A pair is reached by either of its names; what is left then counts without it."""
    every = Hypotheses(("a", "b", "c"), ((), (0,), (0, 1), (2,), (OFF,)), (0.05, 0.2, 0.35, 0.3, 0.1))
    assert every.belief().open_set(0.5) == ("a",)  # 0.2 + 0.35
    assert every.belief().open_set(0.8) == ("a", "c") and every.belief().open_set(0.9) == ("a", "c", OFF_MAP)
    assert every.belief().open_set(1.0) == ("a", "c", OFF_MAP, NO_FAULT)


def test_shares_of_each_name() -> None:
    """A pair counts for both of its places in full."""
    every = Hypotheses(("a", "b"), ((), (0,), (1,), (0, 1), (OFF,)), (0.1, 0.2, 0.3, 0.15, 0.25))
    assert every.belief().shares() == pytest.approx({NO_FAULT: 0.1, OFF_MAP: 0.25, "a": 0.35, "b": 0.45})
    assert every.belief().of("b") == pytest.approx(0.45) and every.belief().of("z") == 0.0
    assert believed(0.25, 0.75).shares() == {NO_FAULT: 0.0, OFF_MAP: 0.0, "a": 0.25, "b": 0.75}
    named = [(set(names), weight) for names, weight in every.belief()]
    assert named == [(set(), 0.1), ({"a"}, 0.2), ({"b"}, 0.3), ({"a", "b"}, 0.15), ({OFF_MAP}, 0.25)]


def test_what_moves_moves_at_the_same_time() -> None:
    """A half of a to b, a quarter of b to c: of what they had beforehand."""
    moved = believed(0.4, 0.4, 0.2).moved([(0, 1, 0.5), (1, 2, 0.25)])
    assert moved.weights == pytest.approx([0.2, 0.5, 0.3])
