"""Contradiction: no fault, no single place and no pair explains all the tests together."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ..dataclass import dataclass
from .evidence import Evidence
from .history import Epoch
from .hypotheses import OFF, Hypotheses
from .system import SystemMap

# The best explanation makes the outcomes less than this fraction as likely as each would be by the place that suits it best.
# Chosen by simulation: of jobs drawn from the senses themselves fewer than 1 in 20 is called contradictory
# (tools/simulate_places.py).
THRESHOLD = 0.10
# An outcome that is at least this fraction as likely by a single place is no surprise, and many that are none do not add up to
# a contradiction: every fifth time a sound test misses what it looks for. Two faults at once have to explain the outcomes as
# they are. Common practice, no source.
NO_SURPRISE = 0.20


@dataclass(frozen=True)
class Contradiction:
    """fit: of the best explanation, what is no surprise by it left out. repeat: the two tests without which the rest fits best,
    the better one first."""

    fit: float
    repeat: tuple[Evidence, ...]

    def to_dict(self) -> dict[str, object]:
        """For JSON."""
        repeat = [{"step": item.step, "test": item.test, "object": item.object} for item in self.repeat]
        return {"fit": self.fit, "threshold": THRESHOLD, "repeat": repeat}


def contradiction(epoch: Epoch, system: SystemMap, *, away: bool = False) -> Contradiction | None:
    """The contradiction among the tests of an epoch; None where one hypothesis explains them.

    The complaint is what is to be explained, not a test. away: whether the fault is away at times, so that what is good
    contradicts nothing.
    """
    hypotheses = epoch.start.hypotheses
    tests = [item for item in epoch.evidence if item.is_test and not (away and item.conforms > 0.5)]
    unlike = [] if away else [found for item in tests if (found := _unlike(item, epoch.taken))]
    if unlike:
        return min(unlike, key=lambda found: found.fit)
    if len(tests) < 2:
        return None
    rows = [_fits(item, system, hypotheses) for item in tests]
    sums = [math.fsum(column) for column in zip(*rows, strict=True)]
    best = max(sums)
    if best >= math.log(THRESHOLD):
        return None
    without = [max(s - own for s, own in zip(sums, row, strict=True)) for row in rows]
    ranked = sorted(range(len(tests)), key=lambda at: (-without[at], tests[at].step))
    return Contradiction(math.exp(best), tuple(tests[at] for at in ranked[:2] if without[at] > best + 1e-9))


def _unlike(joined: Evidence, taken: Sequence[Evidence]) -> Contradiction | None:
    """Two outcomes of the same test that differ, where no third decided between them."""
    same = [item for item in taken if item.step in joined.steps and item.looked_for == joined.looked_for]
    bad, good = [item for item in same if item.bad], [item for item in same if item.good]
    if joined.bad or joined.good or not bad or not good or {i.step for i in bad} == {i.step for i in good}:
        return None
    p, q = bad[0].conforms, good[0].conforms
    return Contradiction(p * q + (1.0 - p) * (1.0 - q), (bad[0], good[0]))


def _fits(item: Evidence, system: SystemMap, hypotheses: Hypotheses) -> list[float]:
    """How well each hypothesis but the one off the map explains it, as logarithms."""
    kept = [(members, chance) for members, chance in zip(hypotheses.sets, item.likelihood(system, hypotheses), strict=True)
            if members != (OFF,)]  # fmt: skip
    most = max(chance for _, chance in kept)
    return [
        0.0 if len(members) < 2 and chance >= NO_SURPRISE * most
        else math.log(chance / most) if chance > 0.0
        else -1e9
        for members, chance in kept
    ]  # fmt: skip
