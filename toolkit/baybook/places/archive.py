"""What the workshop's own finished jobs say: how often which place, and how good the stated chances were."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from .place import kind_of
from .system import SystemMap

STRENGTH = 50.0  # finished jobs that the map's own even-handedness counts for: few jobs change little
EDGES = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0)


def base_rates(outcomes: Mapping[str, int], system: SystemMap, strength: float = STRENGTH) -> dict[str, float]:
    """Relative frequency by kind of place: the mean of a Dirichlet with the map's weights, together `strength` jobs, and
    the counts.

    outcomes: how many finished jobs ended at each place or kind. What is not on this map is passed over.
    Raises ValueError for a negative count or a strength that is not positive.
    """
    if not 0.0 < strength < math.inf or any(count < 0 for count in outcomes.values()):
        raise ValueError("counts are 0 or more, and the strength is positive")
    weights: dict[str, float] = {}
    for place in system.places:
        weights[place.kind] = weights.get(place.kind, 0.0) + place.weight
    whole = math.fsum(weights.values())
    counts = dict.fromkeys(weights, 0)
    for name, count in outcomes.items():
        if kind_of(name) in counts:
            counts[kind_of(name)] += count
    jobs = sum(counts.values())
    return {kind: (strength * weight / whole + counts[kind]) / (strength + jobs) for kind, weight in weights.items()}


@dataclass(frozen=True)
class Bin:
    """Stated chances from `low` to `high`: how many, their mean, and the share of them that came true."""

    low: float
    high: float
    count: int
    stated: float
    true: float


def bins(stated: Iterable[tuple[float, bool]], edges: Sequence[float] = EDGES) -> tuple[Bin, ...]:
    """The calibration table, a bin with its upper edge in the next one but for the last; bins with nothing in them are
    left out.

    Raises ValueError for a stated chance that is none.
    """
    counts, sums, hits = ([0.0] * (len(edges) - 1) for _ in range(3))
    for chance, came_true in stated:
        if not edges[0] <= chance <= edges[-1]:
            raise ValueError(f"{chance!r} is not a chance")
        at = min(sum(chance >= edge for edge in edges[1:]), len(edges) - 2)
        counts[at] += 1
        sums[at] += chance
        hits[at] += came_true
    return tuple(Bin(edges[at], edges[at + 1], int(n), sums[at] / n, hits[at] / n) for at, n in enumerate(counts) if n)


def calibration_error(table: Sequence[Bin]) -> float:
    """The mean distance between stated and true over the bins, weighted by their counts (expected calibration error)."""
    total = sum(row.count for row in table)
    return math.fsum(row.count * abs(row.stated - row.true) for row in table) / total


@dataclass(frozen=True)
class Murphy:
    """The Brier score taken apart: reliability - resolution + uncertainty (Murphy 1973, J. Appl. Meteorol. 12, 595-600)."""

    reliability: float
    resolution: float
    uncertainty: float


def murphy(table: Sequence[Bin]) -> Murphy:
    """The parts of the Brier score of forecasts that are alike within each bin."""
    total = sum(row.count for row in table)
    rate = math.fsum(row.count * row.true for row in table) / total
    return Murphy(
        math.fsum(row.count * (row.stated - row.true) ** 2 for row in table) / total,
        math.fsum(row.count * (row.true - rate) ** 2 for row in table) / total,
        rate * (1.0 - rate),
    )


def brier(stated: Iterable[tuple[float, bool]]) -> float:
    """The mean square of chance less outcome (Brier 1950): 0 is perfect, 0.25 what one half always scores."""
    squares = [(chance - came_true) ** 2 for chance, came_true in stated]
    return math.fsum(squares) / len(squares)


def brier_of_places(chances: Mapping[str, float], true: str) -> float:
    """The Brier score of one conclusion over all of its places: the sum of squares."""
    return math.fsum((chance - (name == true)) ** 2 for name, chance in chances.items())


def log_score(chances_of_what_was_true: Iterable[float]) -> float:
    """The mean of minus the natural logarithm of the chance that was given to what came true."""
    scores = [-math.log(chance) if chance > 0.0 else math.inf for chance in chances_of_what_was_true]
    return math.fsum(scores) / len(scores)
