"""How much the rows of a balance count: what hangs together, each part's own scatter, and which losses there are."""

from __future__ import annotations

import numpy as np
import pytest

from baybook_physics.rail_balance import _OWN, _averaged, _hanging, _weights


def test_rows_that_hang_together_are_counted_by_their_autocorrelation() -> None:
    """numpy.correlate of the same rows, to the first that is not above 0, both ways; never less than one."""
    random = np.random.default_rng(4)
    walk = np.convolve(random.standard_normal(300), np.ones(9), "valid")
    centred = walk - walk.mean()
    auto = np.correlate(centred, centred, "full")[len(walk) - 1 :] / float(centred @ centred)
    end = int(np.argmax(auto <= 0.0))
    assert 5 < end < 100 and _hanging(walk) == pytest.approx(1.0 + 2.0 * auto[1:end].sum())
    assert _hanging(np.array([1.0, -1.0] * 20)) == 1.0 and _hanging(np.ones(9)) == 1.0
    blocks = np.array([1.0] * 4 + [-1.0] * 4)
    assert _hanging(blocks) == pytest.approx(1.0 + 2.0 * (5 + 2) / 8)  # 7 - 2, 6 - 4 by hand; then -1 of 8


def test_a_part_counts_by_its_scatter_and_by_what_hangs_together() -> None:
    """Up and down by 1 in turn, and by 3: second differences of 4 and 12, whose median and scatter are by hand. Shares of the
    larger weight."""
    one, three = np.array([1.0, -1.0] * 20), 3.0 * np.array([1.0, -1.0] * 10)
    found = _weights(np.concatenate([one, three]), [40, 20])
    noise = 1.4826 / 6.0**0.5 * 4.0  # the first part holds most of them
    assert found == pytest.approx([1.0] * 40 + [((1.0 + noise**2) / (9.0 + noise**2)) ** 0.5] * 20)
    slow = np.repeat([1.0, -1.0, 1.0, -1.0], 10)
    both = _weights(np.concatenate([np.array([1.0, -1.0] * 40), slow]), [80, 40])
    assert both[-1] / both[0] == pytest.approx(_hanging(slow) ** -0.5) and _hanging(slow) > 5.0
    assert np.array_equal(_weights(np.concatenate([one[:7], three]), [7, 20]), np.ones(27)), "seven are too few"
    assert _weights(np.concatenate([one[:8], three]), [8, 20])[-1] < 1.0


@pytest.mark.parametrize("sizes", [[60], [24, 36]])
@pytest.mark.parametrize("alike", [1, 3])
def test_sets_of_losses_count_by_their_schwarz_criterion(sizes: list[int], alike: int) -> None:
    """Raftery (1995): odds exp(-BIC/2) with BIC = n ln(squares left) + k ln n, of two columns by hand with numpy.linalg.lstsq;
    values and covariances are averaged by them, with what lies between the sets;
    n is the rows less what hangs together in each part."""
    random = np.random.default_rng(8)
    a = np.zeros((60, _OWN + 1))
    a[:, 0], a[:, 2], a[:, _OWN] = np.linspace(0.0, 5.0, 60), -(np.linspace(0.0, 1.0, 60) ** 2), 1.0
    b = (
        2.0 * a[:, 0]
        + 0.35 * a[:, 2]
        + 0.3 * alike**0.5 * np.where(np.arange(60) // alike % 2, 1.0, -1.0)
        + 0.01 * random.standard_normal(60)
    )
    mean, covariance = _averaged(a, b, [0, 2], sizes)

    def fitted(columns: list[int]) -> tuple[np.ndarray, float, np.ndarray]:
        x, left, *_ = np.linalg.lstsq(a[:, columns], b, rcond=None)
        return x, float(left[0]), np.linalg.inv(a[:, columns].T @ a[:, columns]) * float(left[0])

    fits = {(0,): fitted([0, _OWN]), (0, 2): fitted([0, 2, _OWN])}
    assert all(np.all(x[:-1] > 0.0) for x, _, _ in fits.values())
    over = b - a[:, [0, 2, _OWN]] @ fits[0, 2][0]
    rows = sum(len(part) / _hanging(part) for part in np.split(over, np.cumsum(sizes)[:-1]))
    assert (rows == pytest.approx(60.0, rel=0.05)) == (alike == 1)
    criteria = {kept: rows * np.log(left) + (len(kept) + 1) * np.log(rows) for kept, (_, left, _) in fits.items()}
    total = sum(np.exp(-0.5 * value) for value in criteria.values())
    chance = {kept: np.exp(-0.5 * value) / total for kept, value in criteria.items()}
    assert 0.05 < chance[0,] < 0.95
    values = {(0,): np.array([fits[0,][0][0], 0.0]), (0, 2): fits[0, 2][0][:2]}
    expected = sum(chance[kept] * values[kept] for kept in fits)
    assert mean[[0, 2]] == pytest.approx(expected, rel=1e-6)
    spread = np.zeros((2, 2))
    for kept, (_, _, own) in fits.items():
        apart = values[kept] - expected
        spread[: len(kept), : len(kept)] += chance[kept] * own[: len(kept), : len(kept)] / rows
        spread += chance[kept] * np.outer(apart, apart)
    assert covariance[np.ix_([0, 2], [0, 2])] == pytest.approx(spread, rel=1e-5)
    assert not np.delete(mean, [0, 2]).any()


def test_where_no_set_fits_nothing_is_said() -> None:
    """A content that falls while the pump sweeps: what it gives would be negative."""
    a = np.zeros((60, _OWN + 1))
    a[:, 0], a[:, _OWN] = np.arange(60.0), 1.0
    mean, covariance = _averaged(a, -np.arange(60.0), [0], [60])
    assert not mean.any() and not covariance.any()
