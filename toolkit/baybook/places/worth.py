"""What looking is worth: in which order to check suspects one by one, and whether a test can change what would be done.

The order by cost over chance is best where every check is made and finds its fault for certain (Kalagnanam & Henrion 1988,
arXiv 1304.2362). Where the last check is left out because only one suspect remains it is not, and all orders have to be
weighed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from ..dataclass import dataclass
from .hypotheses import Belief

MOST = 12  # suspects whose orders are all weighed; 2 to the power of it sets


@dataclass(frozen=True)
class Check:
    """A suspect that can be checked for certain. chance: that it is the one. minutes: or any other cost of the check."""

    name: str
    chance: float
    minutes: float

    def __post_init__(self) -> None:
        if not 0.0 < self.chance <= 1.0 or not 0.0 <= self.minutes < math.inf:
            raise ValueError(f"a check of {self.name!r} needs a chance above 0 and minutes of 0 or more")


def expected_minutes(order: Sequence[Check], *, last_left_out: bool = False) -> float:
    """The expected cost of checking in this order until the fault is found.

    Where none of them is the one (their chances sum to less than one) all are checked. last_left_out: the last is not
    checked, being the one.
    """
    left = max(1.0, math.fsum(check.chance for check in order))
    total = 0.0
    for check in order[:-1] if last_left_out else order:
        total += left * check.minutes
        left -= check.chance
    return total


def by_cost_and_chance(checks: Sequence[Check]) -> tuple[Check, ...]:
    """In rising cost over chance: the best order where every check is made."""
    return tuple(sorted(checks, key=lambda check: check.minutes / check.chance))


def best_order(checks: Sequence[Check], *, last_left_out: bool = False) -> tuple[Check, ...]:
    """The order of least expected cost, by dynamic programming over sets where the last check is left out.

    Raises ValueError for more than MOST checks then.
    """
    if not last_left_out:
        return by_cost_and_chance(checks)
    if len(checks) > MOST:
        raise ValueError(f"the orders of more than {MOST} checks are too many to weigh")
    whole = frozenset(range(len(checks)))
    total = max(1.0, math.fsum(check.chance for check in checks))
    best: dict[frozenset[int], tuple[float, tuple[int, ...]]] = {frozenset(): (0.0, ())}
    for done in _subsets(len(checks)):
        if done:
            left = {at: total - math.fsum(checks[i].chance for i in done if i != at) for at in done}
            best[done] = min(
                (cost + (0.0 if done == whole else left[at] * checks[at].minutes), (*order, at))
                for at in done
                for cost, order in (best[done - {at}],)
            )
    return tuple(checks[at] for at in best[whole][1])


def _subsets(count: int) -> Iterator[frozenset[int]]:
    for size in range(count + 1):
        yield from map(frozenset, combinations(range(count), size))


def best_action(belief: Belief, gains: Mapping[str, Sequence[float]]) -> tuple[str, float]:
    """The action of the highest expected gain, and that gain. gains: for each action, what it gains under each hypothesis."""
    expected = {name: math.fsum(w * g for w, g in zip(belief.weights, row, strict=True)) for name, row in gains.items()}
    name = max(expected, key=lambda action: expected[action])
    return name, expected[name]


def value_of_test(belief: Belief, outcomes: Sequence[Sequence[float]], gains: Mapping[str, Sequence[float]]) -> float:
    """How much the best expected gain rises by knowing the outcome first, the test itself costing nothing (Howard 1966).

    Zero where no outcome changes the action. outcomes: as in Belief.information.
    """
    with_test = 0.0
    for row in outcomes:
        chance = math.fsum(w * c for w, c in zip(belief.weights, row, strict=True))
        if chance > 0.0:
            with_test += chance * best_action(belief.updated(row), gains)[1]
    return max(0.0, with_test - best_action(belief, gains)[1])
