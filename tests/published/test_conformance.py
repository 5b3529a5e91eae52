"""The decision rule against JCGM 106 and ISO 14253-1."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from scipy.stats import norm

from baybook.estimate import Estimate
from baybook.result import judge
from baybook.spec import SpecRange

DATA = Path(__file__).parent / "data" / "decision_rule_examples.csv"


def cases() -> list[tuple[str, float, float, float | None, float | None, float]]:
    """Rows of the data file: case, value, standard uncertainty, limits, probability of conformity."""
    with DATA.open(encoding="utf-8") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return [
            (row["case"], float(row["y"]), float(row["u"]), _limit(row["TL"]), _limit(row["TU"]), float(row["pc"]))
            for row in rows
        ]


def _limit(text: str) -> float | None:
    return float(text) if text else None


@pytest.mark.parametrize(("case", "y", "u", "low", "high", "probability"), cases())
def test_probability_of_conformity(
    case: str, y: float, u: float, low: float | None, high: float | None, probability: float
) -> None:
    """Source: JCGM 106:2012 clause 7 examples, figures from memory; recomputed with scipy.stats.norm."""
    found = judge(case, Estimate.of(y, "", u), SpecRange(low, high, "")).probability
    upper = 1.0 if high is None else norm.cdf((high - y) / u)
    lower = 0.0 if low is None else norm.cdf((low - y) / u)
    assert found == pytest.approx(probability, abs=1e-4)
    assert found == pytest.approx(upper - lower, abs=1e-9)


@pytest.mark.parametrize(
    ("steps", "verdict"), [(1.66, "within"), (1.63, "undecided"), (-1.63, "undecided"), (-1.66, "outside")]
)
def test_the_guard_band_is_1_645_standard_uncertainties(steps: float, verdict: str) -> None:
    """Source: ISO 14253-1:2017, default conformance probability 95 %: one-sided factor 1.6449 (scipy.stats.norm.ppf(0.95))."""
    assert abs(norm.ppf(0.95) - 1.6449) < 1e-4
    assert judge("x", Estimate.of(10 - 0.1 * steps, "", 0.1), SpecRange(None, 10, "")).verdict == verdict


def test_a_range_narrower_than_the_uncertainty_can_never_be_met() -> None:
    """Source: JCGM 106:2012, 8.3.2: no acceptance interval is left."""
    assert judge("x", Estimate.of(10, "", 1.0), SpecRange(9.9, 10.1, "")).verdict != "within"
