"""Uncertainty and scatter, against the GUM's own example and printed coverage factors."""

from __future__ import annotations

import csv
from math import cos, sin, sqrt
from pathlib import Path

import pytest

from baybook.estimate import Estimate
from baybook.propagation import propagate
from baybook.reading import COVERAGE, Reading
from baybook_physics.comparison import deviation
from baybook_plugins.returns.collection import Collection
from baybook_plugins.returns.cups import Cup

DATA = Path(__file__).parent / "data"
# Annex H.2 of JCGM 100:2008 (data and results from memory; the raw data worked out again agree).
U_VOLT, U_AMPERE, U_RADIAN = 0.0032, 0.0095e-3, 0.00075
CORRELATION = {("v", "i"): -0.36, ("v", "phi"): 0.86, ("i", "phi"): -0.65}
ORDER = ("v", "i", "phi")
MEANS = {"v": 4.9990, "i": 19.6610e-3, "phi": 1.04446}
SIGMAS = {"v": U_VOLT, "i": U_AMPERE, "phi": U_RADIAN}


def sets() -> list[tuple[float, float, float]]:
    with (DATA / "gum_h2.csv").open() as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return [(float(r["V_volt"]), float(r["I_mA"]) / 1000, float(r["phi_rad"])) for r in rows]


def impedance(v: float, i: float, phi: float) -> dict[str, float]:
    return {"R": v / i * cos(phi), "X": v / i * sin(phi), "Z": v / i}


def test_scatter_of_the_five_sets() -> None:
    """Mean and s/sqrt(5) of the H.2 columns: 4.9990 (0.0032) V, 19.6610 (0.0095) mA, 1.04446 (0.00075) rad."""
    for column, name, rounding in zip(zip(*sets(), strict=True), ORDER, (5e-5, 5e-8, 5e-6), strict=True):
        assert sum(column) / 5 == pytest.approx(MEANS[name], abs=rounding * 1.01)
        assert deviation(column) / sqrt(5) == pytest.approx(SIGMAS[name], rel=0.02)


@pytest.mark.parametrize(("name", "value", "u"), [("R", 127.732, 0.071), ("X", 219.847, 0.295), ("Z", 254.260, 0.236)])
def test_each_set_worked_out_alone(name: str, value: float, u: float) -> None:
    """H.2 approach 2: work out each set, then mean and s/sqrt(5)."""
    results = [impedance(*row)[name] for row in sets()]
    assert sum(results) / 5 == pytest.approx(value, abs=1e-3)
    assert deviation(results) / sqrt(5) == pytest.approx(u, rel=0.01)


def test_independent_errors_would_give_another_answer() -> None:
    """The same inputs taken as independent give u(R) = 0.194 ohm instead of 0.071 (root sum of the three squares)."""
    inputs = {name: Estimate.of(MEANS[name], "", SIGMAS[name]) for name in ORDER}
    assert propagate(impedance, {"R": "ohm"}, **inputs)["R"].u == pytest.approx(0.194, rel=0.01)


@pytest.mark.parametrize(("name", "value", "u"), [("R", 127.732, 0.071), ("X", 219.847, 0.295), ("Z", 254.260, 0.236)])
def test_shared_errors_as_inputs_of_their_own(name: str, value: float, u: float) -> None:
    """H.2 approach 1: correlated means, made of independent errors that they share, give the same u within 3 %."""
    import numpy as np

    matrix = np.eye(3)
    for (left, right), r in CORRELATION.items():
        i, j = ORDER.index(left), ORDER.index(right)
        matrix[i, j] = matrix[j, i] = r
    lower = np.linalg.cholesky(matrix)

    def shared(e1: float, e2: float, e3: float) -> dict[str, float]:
        moved = lower @ np.array([e1, e2, e3])
        return impedance(*(MEANS[k] + SIGMAS[k] * float(m) for k, m in zip(ORDER, moved, strict=True)))

    one, two, three = (Estimate.of(0.0, "", 1.0) for _ in range(3))  # one object handed over thrice would move as one
    found = propagate(shared, {name: "ohm"}, e1=one, e2=two, e3=three)[name]
    assert found.value == pytest.approx(value, abs=3e-3)  # from the rounded means
    assert found.u == pytest.approx(u, rel=0.03)


def test_coverage_of_a_half_width() -> None:
    """The half-width factor is Student's t for 95 % in the limit of many degrees of freedom: scipy, NIST TN 1297 Table B.1."""
    from scipy.stats import norm, t

    with (DATA / "student_t_coverage.csv").open() as file:
        table = {int(r["nu"]): float(r["p95"]) for r in csv.DictReader(line for line in file if not line.startswith("#"))}
    assert pytest.approx(norm.ppf(0.975), abs=1e-12) == COVERAGE
    assert table[100] == pytest.approx(t.ppf(0.975, 100), abs=5e-4)
    assert COVERAGE < table[100] < table[50]


@pytest.mark.parametrize(
    "volumes", [[150, 150, 150, 150], [100, 200, 300, 400], [132.5, 147.5, 275, 150, 135, 152.5], [90, 91, 92, 93, 94]]
)
def test_uncertainty_of_a_ratio_to_the_median(volumes: list[float]) -> None:
    """Equal, distinct, mixed and close readings: the interval agrees with a far larger Monte Carlo in numpy, 7 % of width."""
    import numpy as np

    own = [1.3] * len(volumes)
    rng = np.random.default_rng(1)
    repeats = rng.normal(volumes, own, size=(200_000, len(volumes)))
    cups = tuple(Cup(i, volume, u) for i, (volume, u) in enumerate(zip(volumes, own, strict=True), 1))
    taken = Collection(cups, len(cups), Reading.of(1.0, "min"), Estimate.of(1.0, "1"), None)
    for i in range(len(volumes)):
        found = taken.of("percent_of_median", i + 1)
        assert found is not None
        others = np.median(np.delete(repeats, i, axis=1), axis=1)
        low, high = np.quantile(100 * repeats[:, i] / others, [0.025, 0.975])
        assert found.high - found.low == pytest.approx(float(high - low), rel=0.07)
        assert (found.high + found.low) / 2 == pytest.approx(float(high + low) / 2, abs=0.07 * float(high - low))
