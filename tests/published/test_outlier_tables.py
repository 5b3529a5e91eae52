"""Critical values of the outlier tests, against published tables and the formula behind them."""

from __future__ import annotations

import csv
from math import sqrt
from pathlib import Path

import pytest

from baybook_physics.outliers import DIXON_5, GRUBBS_5, dixon, dixon_statistic, grubbs, grubbs_statistic

DATA = Path(__file__).parent / "data"


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open() as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@pytest.mark.parametrize("count", GRUBBS_5)
def test_grubbs_follows_its_formula(count: int) -> None:
    """G = (n-1)/sqrt(n) sqrt(t^2/(n-2+t^2)), t the Student quantile at 0.05/(2n) (Grubbs 1969), worked out with scipy."""
    from scipy.stats import t

    quantile = t.ppf(1 - 0.05 / (2 * count), count - 2)
    formula = (count - 1) / sqrt(count) * sqrt(quantile**2 / (count - 2 + quantile**2))
    assert GRUBBS_5[count] == pytest.approx(formula, abs=6e-5)


@pytest.mark.parametrize("row", rows("grubbs_critical.csv"), ids=lambda row: f"n{row['n']}")
def test_grubbs_agrees_with_the_printed_table(row: dict[str, str]) -> None:
    """Two-sided 5 % as printed in chem.libretexts.org, Analytical Chemistry, Appendix 07; its misprint for n = 7 is known."""
    if not row["printed_0.05"]:
        assert GRUBBS_5[int(row["n"])] == pytest.approx(float(row["two_sided_0.05"]), abs=1e-12)
    elif row["n"] == "7":
        assert float(row["printed_0.05"]) == 2.202 and GRUBBS_5[7] == 2.0200
    else:
        assert GRUBBS_5[int(row["n"])] == pytest.approx(float(row["printed_0.05"]), abs=1.1e-3)


@pytest.mark.parametrize("row", rows("dixon_q10_critical.csv"), ids=lambda row: f"n{row['n']}")
def test_dixon_is_the_printed_table(row: dict[str, str]) -> None:
    """r10 two-sided 5 % as printed in chem.libretexts.org Appendix 06 (after Rorabacher, Anal. Chem. 63 (1991) 139)."""
    assert DIXON_5[int(row["n"])] == float(row["a0.05"])


def test_dixon_worked_example() -> None:
    """Ten values with Q = 0.455, no outlier at 5 % (limit 0.466): en.wikipedia.org, Dixon's Q test."""
    values = [0.189, 0.167, 0.187, 0.183, 0.186, 0.182, 0.181, 0.184, 0.181, 0.177]
    test = dixon(values)
    assert test is not None
    assert (test.suspect, round(test.statistic, 3), test.outlier) == (1, 0.455, False)


@pytest.mark.parametrize("count", [3, 4, 5, 6])
def test_grubbs_cannot_pass_its_ceiling(count: int) -> None:
    """However far one of n values lies, G never exceeds (n-1)/sqrt(n) (algebra): 1.155 for three, 1.5 for four."""
    test = grubbs([1.0] * (count - 1) + [1e9])
    assert test is not None
    assert test.statistic == pytest.approx((count - 1) / sqrt(count), rel=1e-9)


@pytest.mark.parametrize("values", [[1.0, 2.0], [1.0] * 20 + [9.0], [3.0] * 5])
def test_outside_its_table_and_where_all_are_equal_grubbs_says_nothing(values: list[float]) -> None:
    assert grubbs(values) is None


def test_false_alarms_are_one_in_twenty() -> None:
    """Of many sets of six equal, normally scattered injectors each test calls about 5 % an outlier (what 5 % means)."""
    from random import Random

    gauss = Random(5).gauss
    sets = [[gauss(30, 2) for _ in range(6)] for _ in range(6000)]
    for test in (grubbs, dixon):
        alarms = sum(bool((found := test(values)) and found.outlier) for values in sets)
        assert alarms / len(sets) == pytest.approx(0.05, abs=4 * sqrt(0.05 * 0.95 / len(sets)))


def test_equal_values_and_too_few_or_many_are_no_outliers() -> None:
    """Nothing scatters: the statistics are 0; the tables end at 20 and at 10, and begin at 3."""
    assert (grubbs_statistic([5.0] * 4), dixon_statistic([5.0] * 4)) == (0.0, 0.0)
    for values in ([5.0] * 4, [1.0, 2.0], [float(n) for n in range(21)]):
        assert grubbs(values) is None
    for values in ([5.0] * 4, [1.0, 2.0], [float(n) for n in range(11)]):
        assert dixon(values) is None


def test_both_statistics_by_hand() -> None:
    """1, 2, 3, 10: mean 4, deviation sqrt(50/3), G = 6/4.082; Q = 7/9. At the critical value itself it is none."""
    high, low = [1.0, 2.0, 3.0, 10.0], [-1.0, -2.0, -3.0, -10.0]
    for values in (high, low):
        for test, statistic in ((grubbs(values), 6 / sqrt(50 / 3)), (dixon(values), 7 / 9)):
            assert test is not None and test.suspect == 3 and test.statistic == pytest.approx(statistic)
            assert test.of(values) == test.statistic and not test.outlier and test._replace(critical=0.7).outlier
            assert not test._replace(critical=test.statistic).outlier
    even = dixon([1.0, 2.0, 3.0])
    assert even is not None and even.suspect == 2
