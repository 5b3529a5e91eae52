"""The steps of a job in their order: evidence, and repairs between them, after which the repaired place is a new one."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property

from ..dataclass import dataclass
from ..errors import InputError
from .evidence import Evidence
from .hypotheses import OFF, Belief, Hypotheses
from .joint import likelihoods, shown_in
from .place import is_outside
from .repeated import single
from .system import SystemMap

# Common practice, no source.
MENDED = 0.95  # how often a repair removes the fault of the place that was repaired
NEW_FAULT = 0.01  # how often it brings one


@dataclass(frozen=True)
class Repair:
    """A repair as a step. parts: names of places or of the parts they belong to: "injector 3" is its coil too; or of parts
    outside the fuel system."""

    step: int
    parts: tuple[str, ...]
    said: str = ""

    def positions(self, system: SystemMap) -> frozenset[int]:
        """The positions of the places that were repaired. Raises InputError for a part that is not on the map."""
        found: set[int] = set()
        for part in self.parts:
            if is_outside(part):
                continue
            here = {at for at, place in enumerate(system.places) if place.mended_with(part)}
            found |= here or {system.places.index(system.place(part))}
        return frozenset(found)

    @property
    def outside(self) -> bool:
        """Whether a part outside the fuel system was mended."""
        return any(is_outside(part) for part in self.parts)

    def mends(self, item: Evidence, system: SystemMap) -> bool:
        """Whether that evidence looked at what was repaired."""
        return (self.outside and item.looks_outside) or any(item.looked(at, system) > 0.0 for at in self.positions(system))


@dataclass(frozen=True)
class Epoch:
    """What lies between two repairs.

    start: the belief at its beginning. taken: the evidence as it came. repair: that began it.
    """

    system: SystemMap
    start: Belief
    taken: tuple[Evidence, ...]
    repair: Repair | None

    @cached_property
    def evidence(self) -> tuple[Evidence, ...]:
        """The evidence, one for each thing that was looked at."""
        return tuple(single(self.taken))

    @cached_property
    def end(self) -> Belief:
        """The belief after all of it."""
        return believed(self.start, self.evidence, self.system)

    @cached_property
    def shown_in(self) -> Mapping[tuple[str, float], float]:
        """How likely the fault shows in each other condition than the complaint's, by it and what was left there beforehand."""
        return shown_in(self.evidence, self.end.weights, self.system, self.end.hypotheses)

    def left(self, item: Evidence) -> float:
        """The share of its reach that a test has, by all that was found in its condition."""
        return self.shown_in.get((item.elsewhere, item.left), item.left)


@dataclass(frozen=True)
class History:
    """A job's steps worked through on a map. Within an epoch the order of steps does not matter."""

    system: SystemMap
    hypotheses: Hypotheses
    steps: tuple[Evidence | Repair, ...]

    def __post_init__(self) -> None:
        for step in self.steps:
            if isinstance(step, Repair):
                step.positions(self.system)
            elif step.object and step.object not in (place.name for place in self.system.places):
                _off_the_map(step, self.system)

    @cached_property
    def epochs(self) -> tuple[Epoch, ...]:
        """The epochs in order; the first has no repair before it."""
        done = []
        belief = self.hypotheses.belief()
        for repair, evidence in _parted(self.steps):
            if repair is not None:
                belief = self._repaired(belief, repair)
            epoch = Epoch(self.system, belief, tuple(evidence), repair)
            belief = epoch.end
            done.append(epoch)
        return tuple(done)

    @property
    def belief(self) -> Belief:
        """What is believed now. A complaint that was tried again and stands has a cause: where the fuel system is without a
        fault, it lies outside."""
        last = self.epochs[-1]
        tried = [item for item in last.taken if not item.is_test and item.step]
        if not tried or not tried[-1].bad:
            return last.end
        return last.end.moved([(self.hypotheses.at[()], self.hypotheses.at[(OFF,)], 1.0)])

    def binding(self, at: int) -> Iterator[Evidence]:
        """The evidence that still binds a place: all since it was last repaired."""
        epochs = self.epochs
        repaired = [n for n, epoch in enumerate(epochs) if epoch.repair and at in epoch.repair.positions(self.system)]
        for epoch in epochs[repaired[-1] if repaired else 0 :]:
            yield from epoch.evidence

    def _repaired(self, belief: Belief, repair: Repair) -> Belief:
        parts = repair.positions(self.system)
        where = self.hypotheses.at
        moves = []
        for at, members in enumerate(self.hypotheses.sets):
            if members == (OFF,):
                moves += [(at, where[()], MENDED)] if repair.outside else []
                continue
            if not parts:
                continue
            if parts & set(members):
                moves.append((at, where.get(tuple(i for i in members if i not in parts), at), MENDED))
            else:
                ways = [where[new] for i in sorted(parts) if (new := tuple(sorted((*members, i)))) in where]
                moves += [(at, way, NEW_FAULT / len(ways)) for way in ways]
        return belief.moved(moves)


def believed(start: Belief, evidence: Sequence[Evidence], system: SystemMap) -> Belief:
    """The belief after evidence; logarithms keep many strong steps from running out of numbers."""
    rows = likelihoods(evidence, system, start.hypotheses)
    if not rows:
        return start
    summed = [math.fsum(map(_log, column)) for column in zip(*rows, strict=True)]
    highest = max(value for value, weight in zip(summed, start.weights, strict=True) if weight > 0.0)
    return start.updated([math.exp(value - highest) for value in summed])


def _log(chance: float) -> float:
    return math.log(chance) if chance > 0.0 else -1e9


def _parted(steps: Sequence[Evidence | Repair]) -> Iterator[tuple[Repair | None, list[Evidence]]]:
    repair: Repair | None = None
    evidence: list[Evidence] = []
    for step in steps:
        if isinstance(step, Repair):
            yield repair, evidence
            repair, evidence = step, []
        else:
            evidence.append(step)
    yield repair, evidence


def _off_the_map(step: Evidence, system: SystemMap) -> None:
    if is_outside(step.object):
        return
    try:
        system.place(step.object)
    except InputError as error:
        [problem] = error.problems
        raise InputError.one(f"step {step.step} ({step.test})", step.object, problem.why, problem.hint) from None
