"""Published examples of diagnosis theory, worked out by the engine's own belief, information, orders and scores.

Numbers called "computed" were found by full enumeration outside this project (all subsets, all orders), not by the rule
under test.
"""

from __future__ import annotations

import math
from itertools import permutations, product

import pytest

from baybook.places.archive import Tally, base_rates, bins, brier, brier_of_places, calibration_error, log_score, murphy
from baybook.places.hypotheses import Belief, Hypotheses
from baybook.places.system import SystemMap
from baybook.places.worth import Check, best_action, best_order, by_cost_and_chance, expected_minutes, value_of_test

PARTS = ("M1", "M2", "M3", "A1", "A2")
VALUES = 20  # a faulty part gives any of as many values


def _consistent(faulty: frozenset[str], x: float | None, y: float | None, z: float | None) -> bool:
    """Whether these outputs of the multipliers agree with F = 10, G = 12 and the parts that work (each product should be 6)."""
    return (
        ("M1" in faulty or x == 6) and ("M2" in faulty or y == 6) and ("M3" in faulty or z == 6)
        and ("A1" in faulty or x + y == 10) and ("A2" in faulty or y + z == 12)
    )  # fmt: skip


def _worlds(faulty: frozenset[str]) -> list[tuple[int, int, int]]:
    """Every way in which the outputs can be, values from -4 to 15: twenty, 6 and all that the sums ask for among them."""
    span = range(-4, 16)
    return [world for world in product(span, repeat=3) if _consistent(faulty, *world)]


@pytest.fixture(scope="module")
def worlds() -> dict[frozenset[str], list[tuple[int, int, int]]]:
    every = Hypotheses.independent(dict.fromkeys(PARTS, 0.01))
    return {every.members(at): _worlds(every.members(at)) for at in range(len(every.sets))}


def _circuit(chance: float, worlds: dict[frozenset[str], list[tuple[int, int, int]]]) -> Belief:
    every = Hypotheses.independent(dict.fromkeys(PARTS, chance))
    return every.belief().updated([float(bool(worlds[every.members(at)])) for at in range(len(every.sets))])


def _probe(belief: Belief, worlds: dict[frozenset[str], list[tuple[int, int, int]]], at: int) -> list[list[float]]:
    """The chance of each value at an output under each hypothesis: certain where the parts that work fix it, else any of
    twenty."""
    sets = [worlds[belief.hypotheses.members(n)] for n in range(len(belief.hypotheses.sets))]
    seen = [{world[at] for world in possible} for possible in sets]
    return [[float(value in s) if len(s) == 1 else 1.0 / VALUES for s in seen] for value in range(-4, 16)]


def test_the_minimal_diagnoses_of_the_five_part_circuit(worlds):
    """de Kleer & Williams, Artificial Intelligence 32 (1987) 97-130; the sets seen in a lecture text and recomputed."""
    consistent = [faulty for faulty, possible in worlds.items() if possible]
    assert len(consistent) == 27  # computed: 27 of 32
    minimal = {faulty for faulty in consistent if not any(other < faulty for other in consistent)}
    assert minimal == {frozenset(s) for s in ({"M1"}, {"A1"}, {"M2", "M3"}, {"M2", "A2"})}


def test_the_posterior_of_the_five_part_circuit(worlds):
    """Computed for p = 0.01 a part; every consistent subset with likelihood 1."""
    belief = _circuit(0.01, worlds)
    assert belief.of("M1") == pytest.approx(0.49764, abs=1e-5)
    assert belief.of("A1") == pytest.approx(0.49764, abs=1e-5)
    assert belief.of("M2") == pytest.approx(0.01961, abs=1e-5)
    assert belief.of("M3") == pytest.approx(0.01478, abs=1e-5)
    assert belief.of("A2") == pytest.approx(0.01478, abs=1e-5)
    assert dict(belief)[frozenset({"M1"})] == pytest.approx(0.47803, abs=1e-5)
    assert belief.entropy() == pytest.approx(1.35945, abs=1e-5)


@pytest.mark.parametrize(("at", "entropy"), [(0, 0.32489), (1, 1.27819), (2, 1.31239)])
def test_the_entropies_of_the_three_probes(worlds, at, entropy):
    """Computed; X first is also what the paper says."""
    belief = _circuit(0.01, worlds)
    assert belief.entropy() - belief.information(_probe(belief, worlds, at)) == pytest.approx(entropy, abs=1e-4)


def test_the_gains_of_the_three_probes_at_a_tenth(worlds):
    belief = _circuit(0.1, worlds)
    gains = [belief.information(_probe(belief, worlds, at)) for at in range(3)]
    assert gains == pytest.approx([1.20292, 0.49269, 0.35092], abs=1e-4)


@pytest.mark.parametrize(
    ("suspects", "first", "bits"),
    [(4, 1, 0.81128), (4, 2, 1.0), (8, 1, 0.54356), (8, 2, 0.81128), (8, 3, 0.95443), (8, 4, 1.0)],
)
def test_the_half_split(suspects, first, bits):
    """A chain of equal suspects: a perfect test that parts them tells the entropy of the split (computed)."""
    chain = Hypotheses(tuple(map(str, range(suspects))), tuple((i,) for i in range(suspects)), (1.0,) * suspects)
    bad = [float(i < first) for i in range(suspects)]
    assert chain.belief().information([bad, [1.0 - b for b in bad]]) == pytest.approx(bits, abs=1e-5)


THREE = (Check("1", 0.5, 10), Check("2", 0.3, 2), Check("3", 0.2, 1))
FIVE = tuple(Check(str(n), p, c) for n, p, c in zip(range(1, 6), (0.35, 0.25, 0.2, 0.15, 0.05), (30, 5, 20, 3, 1), strict=True))


def _names(order):
    return " ".join(check.name for check in order)


def test_checks_go_in_rising_cost_over_chance():
    """Kalagnanam & Henrion 1988, arXiv 1304.2362; costs computed by all orders."""
    assert _names(by_cost_and_chance(THREE)) == "3 2 1"
    assert expected_minutes(by_cost_and_chance(THREE)) == pytest.approx(7.6, abs=1e-9)
    assert expected_minutes(THREE) == pytest.approx(11.2, abs=1e-9)
    assert expected_minutes(best_order(FIVE)) == pytest.approx(28.35, abs=1e-9)
    assert expected_minutes(FIVE) == pytest.approx(41.90, abs=1e-9)
    assert max(map(expected_minutes, permutations(FIVE))) == pytest.approx(46.90, abs=1e-9)


def test_the_trap_cost_over_chance_is_not_best_where_the_last_check_is_left_out():
    """Computed by all orders: 18.85 at best (2 4 5 3 1), 24.35 by cost over chance."""
    best = best_order(FIVE, last_left_out=True)
    assert expected_minutes(best, last_left_out=True) == pytest.approx(18.85, abs=1e-9)
    assert set(_names(best).split()[:3]) == {"2", "4", "5"}  # the three have one ratio: their order does not matter
    assert _names(best).split()[3:] == ["3", "1"]
    assert expected_minutes(by_cost_and_chance(FIVE), last_left_out=True) == pytest.approx(24.35, abs=1e-9)


def test_the_best_order_is_the_best_of_all_orders():
    checks = FIVE[:4]
    for left_out in (False, True):
        least = min(expected_minutes(order, last_left_out=left_out) for order in permutations(checks))
        assert expected_minutes(best_order(checks, last_left_out=left_out), last_left_out=left_out) == pytest.approx(least)


def test_a_test_that_never_changes_the_choice_is_worth_nothing():
    """The used-car problem of the textbooks: prior 0.7, test 0.8 and 0.35; data seen, gains computed."""
    car = Hypotheses(("bad",), ((), (0,)), (0.7, 0.3)).belief()
    passes = [0.8, 0.35]
    gains = {"buy": [500.0, -200.0], "leave": [0.0, 0.0]}
    assert best_action(car, gains) == ("buy", pytest.approx(290.0))
    assert car.updated(passes).weights[0] == pytest.approx(0.842105, abs=1e-6)
    failed = car.updated([1 - p for p in passes])
    assert failed.weights[0] == pytest.approx(0.417910, abs=1e-6)
    assert best_action(car.updated(passes), gains)[1] == pytest.approx(389.4737, abs=1e-4)
    assert best_action(failed, gains)[1] == pytest.approx(92.5373, abs=1e-4)
    assert value_of_test(car, [passes, [1 - p for p in passes]], gains) == pytest.approx(0.0, abs=1e-9)
    dearer = {"buy": [500.0, -900.0], "leave": [0.0, 0.0]}  # where a failed test says "leave", knowing it is worth something
    assert value_of_test(car, [passes, [1 - p for p in passes]], dearer) == pytest.approx(-(0.14 * 500 - 0.195 * 900), abs=1e-9)


def test_a_test_with_an_outcome_that_cannot_be_is_worth_what_the_others_are():
    """The used car again, its perfect test with a third outcome that no state gives: 0.7 of 500 against buying blind."""
    car = Hypotheses(("bad",), ((), (0,)), (0.7, 0.3)).belief()
    gains = {"buy": [500.0, -200.0], "leave": [0.0, 0.0]}
    assert value_of_test(car, [[1.0, 0.0], [0.0, 1.0], [0.0, 0.0]], gains) == pytest.approx(0.7 * 500 - 290)


@pytest.mark.parametrize(
    ("made", "why"),
    [
        (lambda: Hypotheses(("bad",), ((), (0,)), (0.0, 0.0)), "one of them a positive one"),
        (lambda: Hypotheses(("bad",), ((), (0,)), (1.0,)), "every hypothesis needs a prior"),
        (lambda: Hypotheses(("bad",), ((), (0,)), (0.7, 0.3)).belief().updated([0.0, 0.0]), "impossible under every"),
        (lambda: Check("hose", 0.0, 5.0), "a check of 'hose' needs a chance above 0"),
        (lambda: best_order([Check(str(n), 0.05, 1.0) for n in range(13)], last_left_out=True), "more than 12 checks"),
        (lambda: base_rates({"filter": -1}, SystemMap.of()), "counts are 0 or more"),
        (lambda: base_rates({}, SystemMap.of(), strength=0.0), "the strength is positive"),
        (lambda: Tally().add(1.2, True), "1.2 is not a chance"),
    ],
)  # fmt: skip
def test_what_no_number_can_follow_from_is_refused(made, why):
    with pytest.raises(ValueError, match=why):
        made()


def test_scores():
    """Brier and log loss as printed in a library's documentation; the others computed."""
    assert brier(zip((0.1, 0.9, 0.8, 0.3), (False, True, True, False), strict=True)) == pytest.approx(0.0375, abs=1e-9)
    assert log_score((0.9, 0.9, 0.8, 0.65)) == pytest.approx(0.21616187, abs=1e-7)
    assert log_score([0.25]) == pytest.approx(math.log(4))
    stages = dict(zip("abcd", (0.7, 0.2, 0.05, 0.05), strict=True))
    assert brier_of_places(stages, "a") == pytest.approx(0.135)
    assert brier_of_places(dict.fromkeys("abcd", 0.25), "a") == pytest.approx(0.75)


def test_calibration_tables():
    """Expected calibration error as in two libraries, 0.2900 and 0.175; Murphy's parts of 0.165 computed."""
    first = bins(zip((0.25, 0.25, 0.55, 0.75, 0.75), (False, False, True, True, True), strict=True), (0.0, 0.5, 1.0))
    assert calibration_error(first) == pytest.approx(0.29, abs=1e-4)
    second = bins(zip((0.1, 0.9, 0.8, 0.3), (False, True, True, False), strict=True), (0.0, 0.5, 1.0))
    assert calibration_error(second) == pytest.approx(0.175, abs=1e-6)
    said = [(0.2, n < 1) for n in range(5)] + [(0.7, n < 4) for n in range(5)]
    parts = murphy(bins(said))
    assert (parts.reliability, parts.resolution, parts.uncertainty) == pytest.approx((0.005, 0.090, 0.250))
    assert parts.reliability - parts.resolution + parts.uncertainty == pytest.approx(brier(said)) == pytest.approx(0.165)


def test_likelihood_ratios_multiply():
    """8 x 3 x 0.5 on a prior of 0.1 gives 0.571429 (computed)."""
    belief = Hypotheses(("it",), ((), (0,)), (0.9, 0.1)).belief()
    for ratio in (8.0, 3.0, 0.5):
        belief = belief.updated([1.0, ratio])
    assert belief.of("it") == pytest.approx(0.571429, abs=1e-6)
