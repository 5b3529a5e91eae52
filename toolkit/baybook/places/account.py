"""The account of one place: from its odds at the beginning, evidence by evidence, to its odds now."""

from __future__ import annotations

import math

from ..dataclass import dataclass
from .evidence import Evidence
from .history import Epoch, believed
from .joint import likelihoods, parts
from .place import NO_FAULT
from .system import SystemMap

# Words for likelihood ratios, ENFSI Guideline for Evaluative Reporting (2015); tables in use differ, so this one is named.
STRENGTHS = (
    (1e6, "extremely strong"),
    (1e4, "very strong"),
    (1e3, "strong"),
    (1e2, "moderately strong"),
    (10.0, "moderate"),
    (2.0, "weak"),
)


@dataclass(frozen=True)
class Factor:
    """What one test says of a place, or several that share a cause of error, which count together.

    factor: how much likelier the outcome is with this place at fault than with no fault. without: the chance of the place
    if this had not
    been taken.
    """

    evidence: tuple[Evidence, ...]
    factor: float
    without: float

    @property
    def strength(self) -> str:
        """The factor in words, whichever way it goes; "none" below 2."""
        size = max(self.factor, 1.0 / self.factor) if self.factor else math.inf
        return next((word for least, word in STRENGTHS if size >= least), "none")

    def to_dict(self) -> dict[str, object]:
        """For JSON."""
        tests = [
            {"step": e.step, "test": e.test, "object": e.object, "question": e.question, "said": e.said} for e in self.evidence
        ]
        return {"tests": tests, "factor": self.factor, "strength": self.strength, "chance_without": self.without}


@dataclass(frozen=True)
class Account:
    """The odds of a place alone against no fault: `start` at the beginning or after the last repair, times every factor,
    is `odds`.

    chance: that the place is at fault, alone or with another.
    """

    place: str
    start: float
    factors: tuple[Factor, ...]
    odds: float
    chance: float

    @property
    def speaking_for(self) -> tuple[Factor, ...]:
        """What raises the chance of the place, the most first."""
        return tuple(sorted((f for f in self.factors if f.without < self.chance - 1e-9), key=lambda f: f.without))

    @property
    def speaking_against(self) -> tuple[Factor, ...]:
        """What lowers it, the most first: by not showing it, or by showing another place."""
        return tuple(sorted((f for f in self.factors if f.without > self.chance + 1e-9), key=lambda f: -f.without))

    def to_dict(self) -> dict[str, object]:
        """For JSON."""
        factors = [factor.to_dict() for factor in self.factors]
        return {
            "place": self.place,
            "against": NO_FAULT,
            "start": self.start,
            "factors": factors,
            "odds": self.odds,
            "chance": self.chance,
        }


def account(epoch: Epoch, at: int, system: SystemMap) -> Account:
    """The account of the place at that position."""
    hypotheses = epoch.start.hypotheses
    alone, nothing = hypotheses.at[(at,)], hypotheses.at[()]
    name = hypotheses.names[at]
    factors = []
    groups = parts(epoch.evidence)
    for group in groups:
        [row] = likelihoods(group, system, hypotheses)
        if 0.0 in row:  # what it rules out was something before it
            left = believed(epoch.start, [item for other in groups if other is not group for item in other], system).weights
        else:
            left = tuple(w / chance for w, chance in zip(epoch.end.weights, row, strict=True))
        with_it = math.fsum(w for members, w in zip(hypotheses.sets, left, strict=True) if at in members)
        factor = row[alone] / row[nothing] if row[nothing] else math.inf
        factors.append(Factor(tuple(group), factor, with_it / math.fsum(left)))
    start, end = epoch.start.weights, epoch.end.weights
    return Account(
        name,
        start[alone] / start[nothing],
        tuple(factors),
        end[alone] / end[nothing] if end[nothing] else math.inf,
        epoch.end.of(name),
    )
