"""The balance of a rail that a pump fills and losses empty: what each of them is, from content and turns over time.

Contents are volumes at a reference density, so that a balance of them is one of mass. Pressures are gauge, MPa or another unit
throughout; arrays of shape (n,), time in s.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .rail import integral

__all__ = ["Balance", "balance", "losses"]

Floats = NDArray[np.float64]
Fits = list[tuple[float, list[int], Floats]]
Parts = Sequence[tuple[int, int]]
_KNOTS = (0.3, 0.5, 0.65, 0.8, 0.9)  # shares of the highest pressure from which a valve may open
_MOST = 3  # losses at a time
_NORMAL = 1.4826 / 6**0.5  # of the median of second differences: a normal's scatter
_FEW = 8  # rows
_SLIP = 1  # after what the pump gives: what its pistons let past while it turns
_OWN = 4 + len(_KNOTS)  # both of them, and the kinds of loss


class Balance(NamedTuple):
    """What flows: of what the pump displaces its `values[0]`, less `values[1]` for each MPa while it turns, which its own
    pistons let past, and a loss of the others times the `losses`, none negative.

    covariance: of the values. top: the highest pressure that it is from.
    """

    values: Floats
    covariance: NDArray[np.float64]
    top: float

    @property
    def share(self) -> float:
        """What the pump gives of what it displaces where there is no pressure."""
        return float(self.values[0])

    def given(self, displaced: float, pressure: float) -> tuple[float, float]:
        """What the pump gives per second while it displaces so much at this mean pressure; its standard uncertainty."""
        at = np.zeros(_OWN)
        at[0], at[_SLIP] = displaced, -pressure
        return max(float(at @ self.values), 0.0), max(float(at @ self.covariance @ at), 0.0) ** 0.5

    def loss(self, pressure: Floats | float) -> Floats:
        """What is lost at a pressure, per second; beyond `top` it goes on as between a hole (the root of pressure) and a
        clearance (pressure itself)."""
        found: Floats = self._kinds(pressure) @ self.values[_SLIP + 1 :]
        hole, gap = self._beyond(pressure)
        return found * (hole + gap) / 2

    def loss_u(self, pressure: float) -> float:
        """The standard uncertainty of that, which of the two it is beyond `top` with it."""
        at = np.concatenate([[0.0, 0.0], self._kinds(pressure)])
        hole, gap = self._beyond(pressure)
        own = float(max(at @ self.covariance @ at, 0.0) ** 0.5 * gap)
        return float(np.hypot(own, (at @ self.values) * (gap - hole) / 12.0**0.5))

    def _kinds(self, pressure: Floats | float) -> Floats:
        return losses(np.minimum(np.asarray(pressure, float), self.top), self.top)

    def _beyond(self, pressure: Floats | float) -> tuple[Floats, Floats]:
        """How much more a hole and a clearance let through than at `top`; 1 up to there."""
        over = np.maximum(np.asarray(pressure, float) / self.top, 1.0)
        return np.sqrt(over), over


def losses(gauge: Floats, top: float) -> Floats:
    """How a loss may go with pressure, shape (..., 2 + knots): as a clearance (p), as a hole (sqrt p), and as a valve that
    opens from a share of the highest pressure on."""
    p = np.maximum(gauge, 0.0)
    return np.stack([p, np.sqrt(p), *(np.maximum(p - knot * top, 0.0) for knot in _KNOTS)], axis=-1)


def balance(
    time: Floats, content: Floats, gauge: Floats, displaced: Floats, parts: Sequence[tuple[int, int]]
) -> Balance | None:
    """The balance that fits best: content = share displaced - slip - the integrals of the `losses`, in each of the `parts`.

    displaced: what the pump has swept since the beginning, at its whole displacement; its pulsation stays in what is left, so
    each part counts by its own scatter and by how long that hangs together. Where the pump rests in a part, such parts alone
    tell the loss, for in no other is it known that nothing was throttled or let off on purpose; what the pump gives is then
    what the others want beyond that, its slip with it. None where there are too few rows, or nothing was swept.
    """
    parts = [part for part in parts if part[1] - part[0] > 1]
    turning = [part for part in parts if np.ptp(displaced[slice(*part)]) > 0]
    resting = [part for part in parts if part not in turning and part[1] - part[0] >= _FEW]
    rows = sum(end - first for first, end in parts)
    if rows < 4 * (_OWN + len(parts)) or not turning:
        return None
    told = resting or turning
    top = max(*(float(gauge[first:end].max()) for first, end in told), 1e-6)
    seen = time, content, gauge, displaced
    if not resting:
        return Balance(*_fitted(*_system(*seen, turning, top), [0, *range(_SLIP + 1, _OWN)]), top)
    lost = Balance(*_fitted(*_system(*seen, resting, top), [*range(_SLIP + 1, _OWN)]), top)
    return _with_pump(lost, *seen, turning)


def _with_pump(lost: Balance, time: Floats, content: Floats, gauge: Floats, displaced: Floats, turning: Parts) -> Balance:
    """With what the pump gives beside a loss that is known, whose errors are in it: a step along each axis of them."""

    def pump(loss: Balance) -> tuple[Floats, Floats]:
        fed = content + integral(time, loss.loss(gauge))
        return _fitted(*_system(time, fed, gauge, displaced, turning, lost.top), [0, _SLIP])

    values, covariance = pump(lost)
    covariance = covariance + lost.covariance
    for much, axis in zip(*(found.T for found in np.linalg.eigh(lost.covariance)), strict=True):
        if much > 0:
            step = axis * much**0.5
            moved = pump(lost._replace(values=lost.values + step))[0] - values
            covariance += np.outer(moved, moved) + np.outer(moved, step) + np.outer(step, moved)
    return Balance(values + lost.values, covariance, lost.top)


def _system(
    time: Floats, content: Floats, gauge: Floats, displaced: Floats, parts: Parts, top: float
) -> tuple[Floats, Floats, list[int]]:
    """Columns, among them a beginning of each part, and what they are to make; the parts' rows."""
    columns, heights = [], []
    for number, (first, end) in enumerate(parts):
        rows = slice(first, end)
        t, lost, swept = time[rows], losses(gauge[rows], top), displaced[rows] - displaced[first]
        slip = np.where(np.gradient(swept) > 0, lost[:, 0], 0.0)
        block = [swept, -integral(t, slip), *(-integral(t, lost[:, kind]) for kind in range(lost.shape[1]))]
        block += [np.full(len(t), float(number == other)) for other in range(len(parts))]
        columns.append(np.column_stack(block))
        heights.append(content[rows] - content[first])
    return np.vstack(columns), np.concatenate(heights), [end - first for first, end in parts]


def _fitted(a: Floats, b: Floats, sizes: Sequence[int], own: Sequence[int]) -> tuple[Floats, Floats]:
    """Values and covariance of the columns `own`, each part weighted by what it leaves."""
    weights = np.ones(len(b))
    for _ in range(3):
        wide, high = a * weights[:, None], b * weights
        fits, size, _ = _fits(wide, high, own)
        weights = _weights(_left(fits, size, wide, high) / weights, sizes)
    return _averaged(a * weights[:, None], b * weights, own, sizes)


def _weights(left: Floats, sizes: Sequence[int]) -> Floats:
    """One over the scatter of each part, which is no less than a row's own noise; all alike where a part is too short."""
    edges = np.concatenate([[0], np.cumsum(sizes)])
    if min(sizes) < _FEW:
        return np.ones(len(left))
    noise = float(np.median(np.abs(np.diff(left, 2)))) * _NORMAL
    found = []
    for first, end in pairwise(edges):
        part = left[first:end]
        found.append(np.full(end - first, ((float(part.std()) ** 2 + noise**2) * _hanging(part) + 1e-300) ** -0.5))
    weights: Floats = np.concatenate(found)
    weights /= weights.max()
    return weights


def _sets(own: Sequence[int]) -> list[tuple[int, ...]]:
    """What a balance may hold: what the pump gives, where it turns, and at most `_MOST` others."""
    pump, others = [at for at in own if at == 0], [at for at in own if at > 0]
    return [(*pump, *kept) for count in range(_MOST + 1) for kept in combinations(others, count)]


def _fits(a: Floats, b: Floats, own: Sequence[int]) -> tuple[Fits, Floats, Floats]:
    """Each set whose least-squares fit is not negative: the squares left, its columns, its values; columns' sizes, products."""
    size = np.sqrt((a * a).sum(axis=0))
    size = np.where(size > 0, size, 1.0)
    scaled = a / size
    gram, side, whole = scaled.T @ scaled, scaled.T @ b, float(b @ b)
    rest = list(range(_OWN, a.shape[1]))
    fits: Fits = []
    for kept in _sets(own):
        used = [*kept, *rest]
        found: Floats = np.asarray(np.linalg.lstsq(gram[np.ix_(used, used)], side[used], rcond=1e-12)[0], float)
        if (found[: len(kept)] >= 0).all():
            fits.append((max(whole - float(side[used] @ found), 1e-300), used, found))
    return fits, size, gram


def _left(fits: Fits, size: Floats, a: Floats, b: Floats) -> Floats:
    """What the set that fits best leaves of each row."""
    if not fits:
        return b
    _, used, found = min(fits, key=lambda fit: fit[0])
    rest: Floats = b - a[:, used] @ (found / size[used])
    return rest


def _averaged(a: Floats, b: Floats, own: Sequence[int], sizes: Sequence[int]) -> tuple[Floats, NDArray[np.float64]]:
    """The balance's own columns and their covariance, averaged over which losses there are.

    Each set of at most `_MOST` losses whose least-squares fit is not negative counts by its Schwarz criterion (Raftery,
    Sociological Methodology 25 (1995) 111), rows that hang together counted once: what one set says for certain and another
    denies stays open.
    """
    fits, size, gram = _fits(a, b, own)
    if not fits:
        return np.zeros(_OWN), np.zeros((_OWN, _OWN))
    left_over, edges = _left(fits, size, a, b), np.concatenate([[0], np.cumsum(sizes)])
    rows = sum((end - first) / _hanging(left_over[first:end]) for first, end in pairwise(edges))
    scores = np.array([rows * np.log(left) + len(used) * np.log(rows) for left, used, _ in fits])
    chances = np.exp(-0.5 * (scores - scores.min()))
    chances /= chances.sum()
    values, covariances = np.zeros((len(fits), _OWN)), np.zeros((len(fits), _OWN, _OWN))
    for place, (left, used, found) in enumerate(fits):
        kept = [at for at in used if at < _OWN]
        values[place, kept] = (found / size[used])[: len(kept)]
        spread = np.linalg.pinv(gram[np.ix_(used, used)]) / np.outer(size[used], size[used]) * left / rows
        covariances[place][np.ix_(kept, kept)] = spread[: len(kept), : len(kept)]
    mean = chances @ values
    apart = values - mean
    return mean, np.einsum("k,kij->ij", chances, covariances + apart[:, :, None] * apart[:, None, :])


def _hanging(left: Floats) -> float:
    """How many rows stand for one that is independent: the sum of the autocorrelation to its first zero, both ways."""
    size = 2 * len(left)
    power = np.abs(np.fft.rfft(left - left.mean(), size)) ** 2
    auto = np.fft.irfft(power, size)[: len(left)]
    auto = auto / max(float(auto[0]), 1e-300)
    end = int(np.argmax(auto <= 0)) or len(auto)
    return max(1.0 + 2.0 * float(auto[1:end].sum()), 1.0)
