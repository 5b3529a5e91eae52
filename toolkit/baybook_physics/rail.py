"""A rail that is filled and emptied: what it holds at a pressure, how pressure goes with what flows, and the balance of both.

Contents are volumes at a reference density, such as that in the supply, so that a balance of them is one of mass. Pressures are
MPa absolute, unless a caller uses another unit throughout; arrays of shape (n,), time in s.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations, pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from .fuels import FuelModel

__all__ = ["Balance", "Store", "balance", "build_up_time", "follow", "integral", "isentropic_store", "losses"]

Floats = NDArray[np.float64]
Fits = list[tuple[float, list[int], Floats]]
_ATMOSPHERE = 0.101325
_LOWEST = 0.05  # MPa absolute
_POINTS = 80
_KNOTS = (0.3, 0.5, 0.65, 0.8, 0.9)  # shares of the highest pressure from which a valve may open
_MOST = 3  # losses at a time
_NORMAL = 1.4826 / 6**0.5  # of the median of second differences: a normal's scatter
_FEW = 8  # rows
_SLIP = 1  # after what the pump gives: what its pistons let past while it turns
_OWN = 4 + len(_KNOTS)  # both of them, and the kinds of loss


class Store(NamedTuple):
    """What a rail holds: `content` at each `pressure`, both rising."""

    pressure: Floats
    content: Floats

    @classmethod
    def of(
        cls,
        pressure: Floats,
        density: Floats,
        volume: float,
        reference: float,
        wall_compliance: float = 0.0,
        air: float = 0.0,
        atmospheric: float = _ATMOSPHERE,
    ) -> Store:
        """From the density over pressure (one temperature); volume at no pressure; wall_compliance: 1/K of the steel.

        air: free air, as volume at atmospheric pressure, that shrinks as Boyle says and does not dissolve; it fills at most the
        rail, and with it no pressure may be 0. Sources: balance of mass; series law of moduli, hydraulics handbooks after
        Merritt 1967.
        """
        room = volume * (1.0 + wall_compliance * pressure)
        if air:
            room = room - np.minimum(air * atmospheric / pressure, volume)
        return cls(pressure, density / reference * room)

    def at(self, pressure: Floats) -> Floats:
        """The content at a pressure."""
        return np.interp(pressure, self.pressure, self.content)

    def level(self, content: float) -> float:
        """The pressure of a content."""
        return float(np.interp(content, self.content, self.pressure))


def isentropic_store(
    fuel: FuelModel,
    temperature: float,
    volume: float,
    wall_compliance: float,
    top: float,
    air: float = 0.0,
    stiffer: float = 1.0,
) -> Store:
    """The store of a rail that is filled within seconds, too fast for its heat to leave: the fuel's isentropic modulus.

    temperature in °C; top in MPa absolute; content at the density of atmospheric pressure. stiffer: factor on the modulus.
    """
    pressure = np.geomspace(_LOWEST, max(top, 1.0), _POINTS)
    soft = np.array([1.0 / fuel.isentropic_modulus(temperature, float(p)) for p in pressure]) / stiffer
    rise = integral(pressure, soft)
    return Store.of(pressure, np.exp(rise - np.interp(_ATMOSPHERE, pressure, rise)), volume, 1.0, wall_compliance, air)


def build_up_time(store: Store, start: float, end: float, net: float) -> float:
    """Seconds until `end` is reached from `start` with `net` flowing in per second; infinite where nothing comes to stay."""
    amount = float(store.at(np.array(end)) - store.at(np.array(start)))
    return amount / net if net > 0 else float("inf")


def follow(store: Store, start: float, times: Floats, net: Callable[[float, float], float]) -> Floats:
    """The pressure over `times` from `start` on, where net(time, pressure) flows in per second, by the midpoint rule."""
    content = float(store.at(np.array(start)))
    path = np.empty(len(times))
    path[0] = start
    for place, (now, then) in enumerate(pairwise(times.tolist()), 1):
        step = then - now
        half = store.level(content + 0.5 * step * net(now, path[place - 1]))
        content += step * net(now + 0.5 * step, half)
        path[place] = store.level(content)
    return path


def integral(time: Floats, values: Floats) -> Floats:
    """The running integral by the trapezoidal rule, 0 at the first."""
    return np.concatenate([[0.0], np.cumsum(0.5 * (values[1:] + values[:-1]) * np.diff(time))])


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
        """What is lost at a pressure, per second."""
        found: Floats = losses(np.asarray(pressure, float), self.top) @ self.values[_SLIP + 1 :]
        return found

    def loss_u(self, pressure: float) -> float:
        """The standard uncertainty of that."""
        at = np.concatenate([[0.0, 0.0], losses(np.asarray(pressure, float), self.top)])
        return float(np.sqrt(max(at @ self.covariance @ at, 0.0)))


def losses(gauge: Floats, top: float) -> Floats:
    """How a loss may go with pressure, shape (..., 2 + knots): as a clearance (p), as a hole (sqrt p), and as a valve that
    opens from a share of the highest pressure on."""
    p = np.maximum(gauge, 0.0)
    return np.stack([p, np.sqrt(p), *(np.maximum(p - knot * top, 0.0) for knot in _KNOTS)], axis=-1)


def balance(
    time: Floats, content: Floats, gauge: Floats, displaced: Floats, parts: Sequence[tuple[int, int]]
) -> Balance | None:
    """The balance that fits best: content = share displaced - slip - the integrals of the `losses`, in each of the `parts`.

    displaced: what the pump has swept since the beginning, at its whole displacement; its pulsation stays in what is left. A
    part in which it rests has none of that, so each part counts by its own scatter and by how long that hangs together: else
    the strokes, an error of what was swept, would draw share and loss to nothing. Slip and loss are told apart by such a part
    alone. None where there are too few rows, or nothing was swept.
    """
    columns, heights, resting = [], [], False
    top = max(*(float(gauge[first:end].max()) for first, end in parts), 1e-6)
    for number, (first, end) in enumerate(parts):
        rows = slice(first, end)
        t, lost, swept = time[rows], losses(gauge[rows], top), displaced[rows] - displaced[first]
        turning = np.gradient(swept) > 0 if end - first > 1 else np.zeros(end - first, bool)
        resting |= not turning.any()
        block = [swept, -integral(t, np.where(turning, lost[:, 0], 0.0))]
        block += [-integral(t, lost[:, kind]) for kind in range(lost.shape[1])]
        block += [np.full(len(t), float(number == other)) for other in range(len(parts))]
        columns.append(np.column_stack(block))
        heights.append(content[rows] - content[first])
    a, b = np.vstack(columns), np.concatenate(heights)
    if len(b) < 4 * a.shape[1] or np.ptp(displaced) <= 0:
        return None
    own = [kind for kind in range(_OWN) if kind != _SLIP or resting]
    sizes = [end - first for first, end in parts]
    weights = np.ones(len(b))
    for _ in range(3):
        wide, high = a * weights[:, None], b * weights
        fits, size, _ = _fits(wide, high, own)
        weights = _weights(_left(fits, size, wide, high) / weights, sizes)
    values, covariance = _averaged(a * weights[:, None], b * weights, own, sizes)
    return Balance(values, covariance, top)


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
    """What a balance may hold: what the pump gives, and at most `_MOST` others."""
    return [kept for count in range(1, _MOST + 2) for kept in combinations(own, count) if 0 in kept]


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
