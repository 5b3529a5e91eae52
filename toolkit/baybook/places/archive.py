"""What the workshop's own finished jobs say: how often which place, and how good the stated chances were."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from ..dataclass import dataclass
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

    def to_dict(self) -> dict[str, float]:
        """For JSON."""
        return dict(vars(self))


class Tally:
    """Stated chances and what came true, in bins, added up one by one or from other tallies; takes no more room for more jobs.

    A bin has its upper edge in the next one but for the last.
    """

    def __init__(self, edges: Sequence[float] = EDGES) -> None:
        self.edges = tuple(edges)
        self.rows = [[0, 0.0, 0] for _ in self.edges[1:]]
        self.squares = 0.0

    def add(self, chance: float, came_true: bool) -> None:
        """Count one. Raises ValueError for a stated chance that is none."""
        if not self.edges[0] <= chance <= self.edges[-1]:
            raise ValueError(f"{chance!r} is not a chance")
        row = self.rows[min(sum(chance >= edge for edge in self.edges[1:]), len(self.rows) - 1)]
        row[0] += 1
        row[1] += chance
        row[2] += came_true
        self.squares += (chance - came_true) ** 2

    @property
    def count(self) -> int:
        """How many were added."""
        return sum(int(row[0]) for row in self.rows)

    @property
    def brier(self) -> float:
        """The Brier score of all; nan of none."""
        return self.squares / self.count if self.count else math.nan

    def table(self) -> tuple[Bin, ...]:
        """The bins that have something in them."""
        ends = zip(self.edges, self.edges[1:], self.rows, strict=False)
        return tuple(Bin(low, high, int(n), total / n, hits / n) for low, high, (n, total, hits) in ends if n)


def bins(stated: Iterable[tuple[float, bool]], edges: Sequence[float] = EDGES) -> tuple[Bin, ...]:
    """The calibration table of (stated chance, whether it came true). Raises ValueError for a stated chance that is none."""
    tally = Tally(edges)
    for chance, came_true in stated:
        tally.add(chance, came_true)
    return tally.table()


def calibration_error(table: Sequence[Bin]) -> float:
    """The mean distance between stated and true over the bins, weighted by their counts (expected calibration error)."""
    total = sum(row.count for row in table)
    return math.fsum(row.count * abs(row.stated - row.true) for row in table) / total
