"""Published examples of diagnosis theory, worked out by the engine's own belief, information, orders and scores.

Numbers called "computed" were found by full enumeration outside this project (all subsets, all orders), not by the rule
under test.
"""

from __future__ import annotations

from itertools import product

import pytest

from baybook.places.archive import Tally, base_rates, bins, calibration_error
from baybook.places.hypotheses import Belief, Hypotheses
from baybook.places.system import SystemMap

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


def test_what_a_used_car_is_believed_to_be_after_its_test():
    """The used-car problem of the textbooks: prior 0.7, test 0.8 and 0.35; data seen, the rest computed."""
    car = Hypotheses(("bad",), ((), (0,)), (0.7, 0.3)).belief()
    passes = [0.8, 0.35]
    assert car.updated(passes).weights[0] == pytest.approx(0.842105, abs=1e-6)
    assert car.updated([1 - p for p in passes]).weights[0] == pytest.approx(0.417910, abs=1e-6)


@pytest.mark.parametrize(
    ("made", "why"),
    [
        (lambda: Hypotheses(("bad",), ((), (0,)), (0.0, 0.0)), "one of them a positive one"),
        (lambda: Hypotheses(("bad",), ((), (0,)), (1.0,)), "every hypothesis needs a prior"),
        (lambda: Hypotheses(("bad",), ((), (0,)), (0.7, 0.3)).belief().updated([0.0, 0.0]), "impossible under every"),
        (lambda: base_rates({"filter": -1}, SystemMap.of()), "counts are 0 or more"),
        (lambda: base_rates({}, SystemMap.of(), strength=0.0), "the strength is positive"),
        (lambda: Tally().add(1.2, True), "1.2 is not a chance"),
    ],
)  # fmt: skip
def test_what_no_number_can_follow_from_is_refused(made, why):
    with pytest.raises(ValueError, match=why):
        made()


def test_score():
    """Brier's as printed in a library's documentation."""
    tally = Tally()
    for chance, came_true in zip((0.1, 0.9, 0.8, 0.3), (False, True, True, False), strict=True):
        tally.add(chance, came_true)
    assert tally.brier == pytest.approx(0.0375, abs=1e-9)


def test_calibration_tables():
    """Expected calibration error as in two libraries, 0.2900 and 0.175."""
    first = bins(zip((0.25, 0.25, 0.55, 0.75, 0.75), (False, False, True, True, True), strict=True), (0.0, 0.5, 1.0))
    assert calibration_error(first) == pytest.approx(0.29, abs=1e-4)
    second = bins(zip((0.1, 0.9, 0.8, 0.3), (False, True, True, False), strict=True), (0.0, 0.5, 1.0))
    assert calibration_error(second) == pytest.approx(0.175, abs=1e-6)


def test_likelihood_ratios_multiply():
    """8 x 3 x 0.5 on a prior of 0.1 gives 0.571429 (computed)."""
    belief = Hypotheses(("it",), ((), (0,)), (0.9, 0.1)).belief()
    for ratio in (8.0, 3.0, 0.5):
        belief = belief.updated([1.0, ratio])
    assert belief.of("it") == pytest.approx(0.571429, abs=1e-6)
