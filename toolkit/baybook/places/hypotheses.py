"""What may be the case, and how much is believed of each: no fault, a place alone, two at once, injectors worn together,
nothing on the map.

A belief is over hypotheses, and its numbers sum to one. How much is believed of a place is the sum over the hypotheses that
it belongs to, as in de Kleer & Williams, Artificial Intelligence 32 (1987) 97-130.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import combinations

from ..dataclass import dataclass
from .place import NO_FAULT, OFF_MAP
from .system import SystemMap

# Shares beforehand. Common practice, no source: a vehicle that is brought in, before its complaint is looked at.
PRIOR_NO_FAULT = 0.30
PRIOR_PAIRS = 0.03
PRIOR_OFF_MAP = 0.04
WORN = "injector *"
"""Parts that wear together, since they have the same age and the same fuel."""
SEVERAL_WORN = 0.15
"""Of the chance that some of them are at fault: that two or more are. common practice, no source"""
ALL_WORN = 0.5
"""Of that: that all of them are, and not any other two or more. common practice, no source"""
MOST_SUBSETS = 8  # of more parts than these only pairs and all together are hypotheses
OFF = -1


@dataclass(frozen=True)
class Hypotheses:
    """Every hypothesis as the positions of its places, () for no fault and (OFF,) for what is not on the map, with its
    prior."""

    names: tuple[str, ...]
    sets: tuple[tuple[int, ...], ...]
    prior: tuple[float, ...]

    def __post_init__(self) -> None:
        total = math.fsum(self.prior)
        if len(self.sets) != len(self.prior) or not math.isfinite(total) or total <= 0.0 or min(self.prior) < 0.0:
            raise ValueError("every hypothesis needs a prior that is not negative, and one of them a positive one")
        object.__setattr__(self, "prior", tuple(weight / total for weight in self.prior))

    @classmethod
    def on(cls, system: SystemMap, base_rates: Mapping[str, float] | None = None) -> Hypotheses:
        """No fault, each place, each pair (much rarer), several injectors worn together, and "not on the map".

        base_rates: relative frequency by kind of place, shared among the places of that kind; alike where None.
        """
        weights = [place.weight for place in system.places]
        if base_rates is not None:
            kinds = [place.kind for place in system.places]
            total = {kind: math.fsum(w for w, k in zip(weights, kinds, strict=True) if k == kind) for kind in set(kinds)}
            weights = [base_rates[k] * w / total[k] for w, k in zip(weights, kinds, strict=True)]
        one = math.fsum(weights)
        left = 1.0 - PRIOR_NO_FAULT - PRIOR_PAIRS - PRIOR_OFF_MAP
        alone = [left * weight / one for weight in weights]
        parts = [at for at, place in enumerate(system.places) if place.kind == WORN]
        together = _worn(parts)
        worn = SEVERAL_WORN * math.fsum(alone[at] for at in parts)
        both = list(combinations(range(len(weights)), 2))
        products = [weights[i] * weights[j] for i, j in both]
        two = math.fsum(products)
        found: dict[tuple[int, ...], float] = {(): PRIOR_NO_FAULT, **{(i,): chance for i, chance in enumerate(alone)}}
        found |= {pair: PRIOR_PAIRS * product / two for pair, product in zip(both, products, strict=True)}
        if together:
            found |= {(at,): (1.0 - SEVERAL_WORN) * alone[at] for at in parts}
            found |= {members: found.get(members, 0.0) + worn * share for members, share in together.items()}
        found[(OFF,)] = PRIOR_OFF_MAP
        return cls(tuple(place.name for place in system.places), tuple(found), tuple(found.values()))

    @classmethod
    def independent(cls, chances: Mapping[str, float], most: int | None = None) -> Hypotheses:
        """Every set of up to `most` places, each at fault by its own chance independently of the others."""
        names = tuple(chances)
        sizes = range((len(names) if most is None else most) + 1)
        sets = tuple(subset for size in sizes for subset in combinations(range(len(names)), size))
        weights = tuple(
            math.prod(chances[name] if at in subset else 1.0 - chances[name] for at, name in enumerate(names))
            for subset in sets
        )
        return cls(names, sets, weights)

    @cached_property
    def at(self) -> Mapping[tuple[int, ...], int]:
        """Where each hypothesis stands."""
        return {members: at for at, members in enumerate(self.sets)}

    def members(self, at: int) -> frozenset[str]:
        """The names of the places of a hypothesis; OFF_MAP's own name for what is not on the map."""
        return frozenset(OFF_MAP if i == OFF else self.names[i] for i in self.sets[at])

    def belief(self) -> Belief:
        """What is believed before any test."""
        return Belief(self, self.prior)

    def product(self, base: float, shares: Sequence[float], off: float) -> list[float]:
        """For each hypothesis `base`, not 0, times the shares of its places; `off` for what is not on the map."""
        padded = [*shares, off / base]  # OFF is -1, the last
        return [
            base * padded[s[0]] * padded[s[1]] if len(s) == 2
            else base * padded[s[0]] if len(s) == 1
            else base * math.prod(padded[i] for i in s)
            for s in self.sets
        ]  # fmt: skip


def _worn(parts: Sequence[int]) -> dict[tuple[int, ...], float]:
    """The sets of two or more of the parts, with the share of each: all of them, or some; none of a single part."""
    if len(parts) < 2:
        return {}
    sizes = range(2, len(parts)) if len(parts) <= MOST_SUBSETS else (2,)
    some = [members for size in sizes for members in combinations(parts, size)]
    if not some:
        return {tuple(parts): 1.0}
    return {**dict.fromkeys(some, (1.0 - ALL_WORN) / len(some)), tuple(parts): ALL_WORN}


@dataclass(frozen=True)
class Belief:
    """How much is believed of each hypothesis; sums to one."""

    hypotheses: Hypotheses
    weights: tuple[float, ...]

    def updated(self, likelihood: Sequence[float]) -> Belief:
        """After evidence that is this likely under each hypothesis (Bayes). Raises ValueError where it is possible under
        none."""
        joint = [w * chance for w, chance in zip(self.weights, likelihood, strict=True)]
        total = math.fsum(joint)
        if not total > 0.0:
            raise ValueError("the evidence is impossible under every hypothesis")
        return Belief(self.hypotheses, tuple(weight / total for weight in joint))

    def entropy(self) -> float:
        """The uncertainty that is left, in bits (Shannon)."""
        return -math.fsum(w * math.log2(w) for w in self.weights if w > 0.0)

    def information(self, outcomes: Iterable[Sequence[float]]) -> float:
        """The expected fall of entropy, in bits, by a test (Lindley 1956, Ann. Math. Statist. 27, 986-1005).

        outcomes: for each outcome the chance of it under each hypothesis; under a hypothesis the chances of all sum to one.
        """
        found = 0.0
        for row in outcomes:
            parts: dict[float, float] = {}  # many hypotheses give an outcome the same chance: one logarithm for all of them
            for weight, chance in zip(self.weights, row, strict=True):
                parts[chance] = parts.get(chance, 0.0) + weight
            whole = math.fsum(weight * chance for chance, weight in parts.items())
            found += math.fsum(w * c * math.log2(c / whole) for c, w in parts.items() if c * w > 0.0)
        return max(0.0, found)

    def of(self, name: str) -> float:
        """How much is believed of a place (alone or with another), of NO_FAULT, or of OFF_MAP."""
        return self.shares().get(name, 0.0)

    def shares(self) -> dict[str, float]:
        """How much is believed of each place, no fault, and what is not on the map. Places of a pair count in full."""
        found = [0.0] * (len(self.hypotheses.names) + 1)
        for members, weight in zip(self.hypotheses.sets, self.weights, strict=True):
            for i in members:
                found[i] += weight
        at = self.hypotheses.at
        nothing = self.weights[at[()]] if () in at else 0.0
        return {NO_FAULT: nothing, OFF_MAP: found[OFF], **dict(zip(self.hypotheses.names, found, strict=False))}

    def open_set(self, level: float = 0.95) -> tuple[str, ...]:
        """The fewest names, most believed first, one of which is the case with a chance of at least `level`."""
        left = list(
            zip((self.hypotheses.members(at) or {NO_FAULT} for at in range(len(self.weights))), self.weights, strict=True)
        )
        chosen: list[str] = []
        reached = 0.0
        while reached < level and left:
            sums: dict[str, float] = {}
            for members, weight in left:
                for name in members:
                    sums[name] = sums.get(name, 0.0) + weight
            best = max(sums, key=lambda name: (sums[name], name))
            chosen.append(best)
            reached += sums[best]
            left = [(members, weight) for members, weight in left if best not in members]
        return tuple(chosen)

    def moved(self, moves: Iterable[tuple[int, int, float]]) -> Belief:
        """With a share of some hypotheses gone over to others: (from, to, share) each, all at the same time."""
        weights = list(self.weights)
        for source, target, share in moves:
            weights[source] -= share * self.weights[source]
            weights[target] += share * self.weights[source]
        return Belief(self.hypotheses, tuple(weights))

    def __iter__(self) -> Iterator[tuple[frozenset[str], float]]:
        """Each hypothesis with what is believed of it."""
        return ((self.hypotheses.members(at), weight) for at, weight in enumerate(self.weights))
